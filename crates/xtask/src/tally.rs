//! Adding up what the test runners report about themselves.
//!
//! Playwright writes JSON. What `cargo test` writes for machines is not yet stable, so its lines are read.

use std::fmt;
use std::ops::AddAssign;

/// Counts of tests.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Tally {
    pub(crate) passed: u64,
    pub(crate) failed: u64,
    pub(crate) skipped: u64,
}

impl AddAssign for Tally {
    fn add_assign(&mut self, other: Self) {
        self.passed += other.passed;
        self.failed += other.failed;
        self.skipped += other.skipped;
    }
}

/// `12 passed, 0 failed`, and what was skipped if anything was.
impl fmt::Display for Tally {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} passed, {} failed", self.passed, self.failed)?;
        if self.skipped > 0 {
            write!(out, ", {} skipped", self.skipped)?;
        }
        Ok(())
    }
}

impl Tally {
    /// Sums the `test result:` lines of `cargo test`, one for each test program.
    pub(crate) fn of_cargo(text: &str) -> Self {
        let mut sum = Self::default();
        for line in text.lines() {
            // "test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; ..."
            if let Some((_, counts)) = line
                .trim()
                .strip_prefix("test result:")
                .and_then(|rest| rest.split_once('.'))
            {
                sum += Self {
                    passed: count_before(counts, "passed"),
                    failed: count_before(counts, "failed"),
                    skipped: count_before(counts, "ignored"),
                };
            }
        }
        sum
    }

    /// Reads pytest's last summary line, such as `== 2 failed, 510 passed, 1 skipped in 3.2s ==`.
    pub(crate) fn of_pytest(text: &str) -> Self {
        let summary = text
            .lines()
            .rev()
            .find(|line| {
                line.contains(" in ")
                    && ["passed", "failed", "error", "skipped"]
                        .iter()
                        .any(|word| line.contains(word))
            })
            .unwrap_or_default();
        Self {
            passed: count_before(summary, "passed"),
            failed: count_before(summary, "failed") + count_before(summary, "error"),
            skipped: count_before(summary, "skipped"),
        }
    }

    /// Reads the closing `pass`, `fail` and `skipped` lines of `node --test`.
    pub(crate) fn of_node(text: &str) -> Self {
        let count = |word: &str| {
            text.lines()
                .rev()
                .find_map(|line| {
                    let line = line.trim_start_matches(['#', 'ℹ', ' ']);
                    line.strip_prefix(word)?
                        .strip_prefix(' ')?
                        .trim()
                        .parse()
                        .ok()
                })
                .unwrap_or(0)
        };
        Self {
            passed: count("pass"),
            failed: count("fail") + count("cancelled"),
            skipped: count("skipped"),
        }
    }

    /// Reads the `stats` of Playwright's JSON report; `None` if it has none.
    ///
    /// A flaky test counts as failed: nothing here may depend on luck.
    pub(crate) fn of_playwright(report: &str) -> Option<Self> {
        let report: serde_json::Value = serde_json::from_str(report).ok()?;
        let stats = report.get("stats")?;
        let count = |name: &str| stats.get(name).and_then(serde_json::Value::as_u64);
        Some(Self {
            passed: count("expected")?,
            failed: count("unexpected")? + count("flaky").unwrap_or(0),
            skipped: count("skipped").unwrap_or(0),
        })
    }
}

/// The number that stands right before a word in a list such as `2 failed, 3 passed`.
fn count_before(text: &str, word: &str) -> u64 {
    let words: Vec<&str> = text
        .split([' ', ',', ';', '='])
        .filter(|piece| !piece.is_empty())
        .collect();
    words
        .windows(2)
        .find(|pair| pair[1] == word || pair[1].strip_suffix('s') == Some(word))
        .and_then(|pair| pair[0].parse().ok())
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cargo_lines_add_up() {
        let text = "running 3 tests\n\
            test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s\n\
            test a ... ok\n\
            test result: FAILED. 5 passed; 2 failed; 0 ignored; 0 measured; 4 filtered out; finished in 1.25s\n";
        assert_eq!(
            Tally::of_cargo(text),
            Tally {
                passed: 8,
                failed: 2,
                skipped: 1
            }
        );
        assert_eq!(
            Tally::of_cargo("error: could not compile"),
            Tally::default()
        );
    }

    #[test]
    fn pytest_summaries_in_all_shapes() {
        let full = "collected 9 items\n==== 2 failed, 510 passed, 1 skipped, 3 warnings in 12.07s (0:00:12) ====\n";
        assert_eq!(
            Tally::of_pytest(full),
            Tally {
                passed: 510,
                failed: 2,
                skipped: 1
            }
        );
        assert_eq!(
            Tally::of_pytest("1 passed in 0.02s\n"),
            Tally {
                passed: 1,
                failed: 0,
                skipped: 0
            }
        );
        assert_eq!(Tally::of_pytest("== 1 error in 0.1s ==").failed, 1);
        assert_eq!(Tally::of_pytest("== 2 errors in 0.1s ==").failed, 2);
        assert_eq!(Tally::of_pytest("no tests ran in 0.01s"), Tally::default());
    }

    #[test]
    fn node_summaries_in_both_shapes() {
        let tap = "# tests 5\n# suites 0\n# pass 3\n# fail 1\n# cancelled 0\n# skipped 1\n# todo 0\n# duration_ms 61\n";
        assert_eq!(
            Tally::of_node(tap),
            Tally {
                passed: 3,
                failed: 1,
                skipped: 1
            }
        );
        let spec = "ℹ tests 2\nℹ pass 2\nℹ fail 0\nℹ cancelled 0\nℹ skipped 0\n";
        assert_eq!(
            Tally::of_node(spec),
            Tally {
                passed: 2,
                failed: 0,
                skipped: 0
            }
        );
    }

    #[test]
    fn a_flaky_browser_test_has_failed() {
        let report = r#"{"stats":{"expected":7,"skipped":1,"unexpected":2,"flaky":1}}"#;
        assert_eq!(
            Tally::of_playwright(report),
            Some(Tally {
                passed: 7,
                failed: 3,
                skipped: 1
            })
        );
        assert_eq!(Tally::of_playwright("{}"), None);
    }

    #[test]
    fn the_summary_line_reads_plainly() {
        assert_eq!(
            Tally {
                passed: 3,
                failed: 0,
                skipped: 0
            }
            .to_string(),
            "3 passed, 0 failed"
        );
        assert_eq!(
            Tally {
                passed: 3,
                failed: 1,
                skipped: 2
            }
            .to_string(),
            "3 passed, 1 failed, 2 skipped"
        );
    }
}
