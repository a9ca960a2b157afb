//! What a run had found by the seconds that were marked.
//!
//! A search by the clock can be stopped at any time, so one long run passes through all the
//! shorter ones. A mark notes the last whole round that had ended by then: its plan is what
//! `--steps` with that round's number of steps would give.

use std::time::Duration;

use heartside_timber::plan::Plan;

use crate::failure::Failure;

/// Reads off `--marks` and `--seconds`.
///
/// # Errors
/// For marks that do not rise, lie beyond the end of the run, or are not positive numbers.
pub(crate) fn marks(marks: &[f64], seconds: f64) -> Result<Vec<f64>, Failure> {
    let positive = marks.iter().all(|mark| mark.is_finite() && *mark > 0.0);
    if !positive || !marks.is_sorted_by(|a, b| a < b) {
        let given: Vec<String> = marks.iter().map(f64::to_string).collect();
        return Err(Failure::Option(format!(
            "--marks {}: give seconds above 0, each more than the one before, such as 10,60",
            given.join(",")
        )));
    }
    match marks.iter().find(|mark| **mark > seconds) {
        Some(mark) => Err(Failure::Option(format!(
            "--marks {mark}: the run ends at {seconds} seconds; give more --seconds or an earlier mark"
        ))),
        None => Ok(marks.to_vec()),
    }
}

/// The best plan at the end of a round.
#[derive(Debug, Clone)]
pub(crate) struct Standing {
    /// With the number of steps that repeat it.
    pub(crate) plan: Plan,
    /// When the round ended, from the beginning of the run.
    pub(crate) ended: Duration,
}

/// Hears of every round and keeps what stood at each mark.
pub(crate) struct Marks {
    wanted: std::vec::IntoIter<f64>,
    next: Option<f64>,
    last: Standing,
    stood: Vec<(f64, Standing)>,
}

impl Marks {
    /// Nothing heard yet; `first` is the plan before any step, which stands until a round has ended.
    pub(crate) fn new(wanted: Vec<f64>, first: Plan) -> Marks {
        let mut wanted = wanted.into_iter();
        Marks {
            next: wanted.next(),
            wanted,
            last: Standing {
                plan: first,
                ended: Duration::ZERO,
            },
            stood: Vec::new(),
        }
    }

    /// A round has ended with this plan.
    pub(crate) fn round(&mut self, plan: Plan, ended: Duration) {
        while let Some(mark) = self.next.filter(|mark| ended.as_secs_f64() > *mark) {
            self.note(mark);
        }
        self.last = Standing { plan, ended };
    }

    /// What stood at each mark; a run that ended before a mark could find nothing better.
    pub(crate) fn stood(mut self) -> Vec<(f64, Standing)> {
        while let Some(mark) = self.next {
            self.note(mark);
        }
        self.stood
    }

    fn note(&mut self, mark: f64) {
        self.stood.push((mark, self.last.clone()));
        self.next = self.wanted.next();
    }
}

#[cfg(test)]
mod tests {
    use heartside_timber::plan::Made;

    use super::*;

    fn after(steps: u64) -> Plan {
        Plan {
            made: Made {
                steps,
                ..Made::default()
            },
            ..Plan::default()
        }
    }

    #[test]
    fn a_mark_notes_the_last_round_that_had_ended_by_then() {
        let mut heard = Marks::new(vec![0.5, 1.0, 2.0, 2.5, 9.0], after(0));
        for (steps, ended) in [(500, 1.0), (1000, 1.5), (1500, 3.0)] {
            heard.round(after(steps), Duration::from_secs_f64(ended));
        }
        let stood: Vec<(f64, u64, f64)> = heard
            .stood()
            .into_iter()
            .map(|(mark, s)| (mark, s.plan.made.steps, s.ended.as_secs_f64()))
            .collect();
        let expected = [
            (0.5, 0, 0.0),
            (1.0, 500, 1.0),
            (2.0, 1000, 1.5),
            (2.5, 1000, 1.5),
            (9.0, 1500, 3.0),
        ];
        assert_eq!(stood, expected);
    }

    #[test]
    fn marks_rise_and_lie_within_the_run() {
        assert_eq!(marks(&[0.5, 10.0], 10.0).ok(), Some(vec![0.5, 10.0]));
        assert_eq!(marks(&[], 10.0).ok(), Some(Vec::new()));
        for wrong in [
            &[0.0][..],
            &[-1.0],
            &[f64::NAN],
            &[f64::INFINITY],
            &[2.0, 1.0],
            &[2.0, 2.0],
            &[10.1],
        ] {
            assert!(marks(wrong, 10.0).is_err(), "{wrong:?}");
        }
    }
}
