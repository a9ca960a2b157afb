//! A plan as the checker sees it, with everything that follows from it.

use std::cell::OnceCell;

use heartside_check::Checker;
use heartside_timber::finding::{Finding, Severity, is_sound};
use heartside_timber::job::Job;
use heartside_timber::plan::{Plan, Unplaced};
use heartside_timber::score::Score;

use super::picture::{Step, Totals, totals};
use crate::protocol::VerdictKind;

/// A plan that was checked.
#[derive(Debug, Clone)]
pub(super) struct Judged {
    pub(super) findings: Vec<Finding>,
    pub(super) steps: Vec<Step>,
    pub(super) totals: Totals,
    pub(super) score: Score,
    pub(super) placed: usize,
    pub(super) wanted: u64,
    /// How many set-ups the other way of listing the cuts has; counted when it is first asked for.
    pub(super) other_set_ups: OnceCell<usize>,
}

impl Judged {
    /// Checks a plan against its job. Nothing that it claims is believed; `left_out` are the
    /// parts that have a problem: they have no place and count all the same.
    pub(super) fn of(
        checker: &Checker,
        job: &Job,
        plan: &Plan,
        left_out: &[Unplaced],
        steps: fn(&Job, &Plan) -> Vec<Step>,
    ) -> Judged {
        let whole = (!left_out.is_empty()).then(|| {
            let mut plan = plan.clone();
            plan.unplaced
                .retain(|u| left_out.iter().all(|l| l.part != u.part));
            plan.unplaced.extend_from_slice(left_out);
            plan
        });
        let plan = whole.as_ref().unwrap_or(plan);
        let steps = steps(job, plan);
        let totals = totals(job, plan, &steps);
        Judged {
            findings: checker.check(plan),
            score: Score::of(job, plan),
            placed: totals.placed,
            wanted: totals.wanted,
            steps,
            totals,
            other_set_ups: OnceCell::new(),
        }
    }

    /// No rule is broken.
    pub(super) fn is_sound(&self) -> bool {
        is_sound(&self.findings)
    }

    /// Every piece has its place.
    pub(super) fn is_complete(&self) -> bool {
        self.placed as u64 >= self.wanted
    }

    /// How many findings are of a kind.
    pub(super) fn count(&self, severity: Severity) -> usize {
        self.findings
            .iter()
            .filter(|f| f.severity == severity)
            .count()
    }

    /// What the checker says as a whole.
    pub(super) fn verdict(&self) -> VerdictKind {
        match (self.is_sound(), self.is_complete()) {
            (false, _) => VerdictKind::Wrong,
            (true, false) => VerdictKind::NotAllPlaced,
            (true, true) => VerdictKind::Checked,
        }
    }

    /// The same in words.
    pub(super) fn verdict_text(&self) -> String {
        let not_checked = self.count(Severity::NotChecked);
        let rest = match not_checked {
            0 => String::new(),
            1 => "; 1 thing could not be checked yet".to_owned(),
            n => format!("; {n} things could not be checked yet"),
        };
        let said = match self.verdict() {
            VerdictKind::Wrong => match self.count(Severity::Broken) {
                1 => "1 thing is wrong".to_owned(),
                n => format!("{n} things are wrong"),
            },
            VerdictKind::NotAllPlaced if not_checked == 0 => {
                "What is placed is checked against every rule".to_owned()
            }
            VerdictKind::NotAllPlaced => "What is placed is checked".to_owned(),
            VerdictKind::Checked if not_checked == 0 => "Checked against every rule".to_owned(),
            VerdictKind::Checked => "Checked".to_owned(),
        };
        said + &rest
    }
}
