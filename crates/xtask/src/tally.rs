//! Adding up what the test runners report about themselves.
//!
//! Playwright writes JSON. What `cargo test` writes for machines is not yet stable, so its lines are read.

use std::fmt;
use std::ops::AddAssign;

use serde_json::Value;

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
        let report: Value = serde_json::from_str(report).ok()?;
        let stats = report.get("stats")?;
        let count = |name: &str| stats.get(name).and_then(Value::as_u64);
        Some(Self {
            passed: count("expected")?,
            failed: count("unexpected")? + count("flaky").unwrap_or(0),
            skipped: count("skipped").unwrap_or(0),
        })
    }
}

/// The tests that failed, as the lines of `cargo test` name them.
pub(crate) fn failed_of_cargo(text: &str) -> Vec<String> {
    text.lines()
        // "test laws::a_law ... FAILED"
        .filter_map(|line| line.strip_prefix("test ")?.strip_suffix(" ... FAILED"))
        .map(str::to_owned)
        .collect()
}

/// The tests that did not come right at once in Playwright's JSON report, each with the first lines of why.
pub(crate) fn failed_of_playwright(report: &str) -> Vec<String> {
    let mut failed = Vec::new();
    if let Ok(report) = serde_json::from_str::<Value>(report) {
        failed_in_suite(&report, &mut failed);
    }
    failed
}

/// More lines of why than this stand in the runner's own words above.
const LINES_OF_WHY: usize = 12;

fn failed_in_suite(suite: &Value, failed: &mut Vec<String>) {
    for inner in list(&suite["suites"]) {
        failed_in_suite(inner, failed);
    }
    for spec in list(&suite["specs"]) {
        let tests = list(&spec["tests"]);
        let faults = tests
            .flat_map(|test| list(&test["results"]))
            .flat_map(|result| list(&result["errors"]));
        let why: Vec<&str> = faults
            .filter_map(|fault| fault["message"].as_str())
            .flat_map(|message| message.lines().filter(|l| !l.trim().is_empty()))
            .take(LINES_OF_WHY)
            .collect();
        if !why.is_empty() {
            let (file, line) = (&spec["file"], &spec["line"]);
            let (file, title) = (text_of(file), text_of(&spec["title"]));
            let why = without_colours(&why.join("\n      "));
            failed.push(format!("{file}:{line} {title}\n      {why}"));
        }
    }
}

/// Without the sequences by which terminals show colours (ECMA-48, "select graphic rendition").
fn without_colours(text: &str) -> String {
    let mut pieces = text.split("\u{1b}[");
    let mut plain = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        plain.push_str(piece.split_once('m').map_or(piece, |(_, rest)| rest));
    }
    plain
}

fn list(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

fn text_of(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
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

    #[test]
    fn what_failed_is_named() {
        let text =
            "test a::b ... ok\ntest a::c ... FAILED\ntest result: FAILED. 1 passed; 1 failed;\n";
        assert_eq!(failed_of_cargo(text), ["a::c"]);
        let report = r#"{"suites":[{"suites":[{"specs":[
            {"title":"good","file":"a.spec.ts","line":3,"tests":[{"results":[{"errors":[]}]}]},
            {"title":"bad","file":"a.spec.ts","line":9,"tests":[{"results":[{"errors":[{"message":"Error: \u001b[31mone\u001b[39m\n\nis two"}]}]}]}
        ]}]}]}"#;
        assert_eq!(
            failed_of_playwright(report),
            ["a.spec.ts:9 bad\n      Error: one\n      is two"]
        );
    }
}
