//! The job is made for what the plan on the floor has chosen: the values of sizes that may give, and
//! the staves of panels. Another plan is judged in the job made for its own choices.

use heartside_check::Checker;
use heartside_timber::choices::Choices;
use heartside_timber::job::Job;
use heartside_timber::plan::{Plan, Unplaced};
use heartside_timber::prepare::{Prepared, prepare_with};

use super::Session;
use crate::figure::judge_like;

impl Session {
    /// What the job is made for.
    pub(super) fn chosen(&self) -> Choices {
        let dimensions = self.job.dimensions.iter();
        Choices {
            dimensions: dimensions.map(|d| d.value.clone()).collect(),
            panels: self.job.panel_choices(),
        }
    }

    /// True where the job is the one for these choices.
    fn is_made_for(&self, choices: &Choices) -> bool {
        let d = &self.document;
        let mut ranges = d.dimensions.iter();
        let gives = ranges.any(|d| d.least.is_some() || d.most.is_some()) || !d.panels.is_empty();
        !gives || *choices == self.chosen()
    }

    /// Looks at a plan in the job made for what it has chosen.
    pub(super) fn in_its_job<R>(
        &self,
        plan: &Plan,
        look: impl FnOnce(&Checker, &Job, &[Unplaced]) -> R,
    ) -> R {
        let choices = Choices::of(plan);
        if self.is_made_for(&choices) {
            return look(&self.checker, &self.job, &self.left_out);
        }
        let prepared = self.made_for(&choices);
        let checker = self.checker.renewed(&prepared.job);
        look(&checker, &prepared.job, &prepared.unplaced_parts())
    }

    fn made_for(&self, choices: &Choices) -> Prepared {
        let mut prepared = prepare_with(&self.document, choices);
        judge_like(&mut prepared.job, &self.job);
        // What plans are compared by beside is the same for all.
        prepared.job.revision = self.job.revision;
        prepared.job.earlier.clone_from(&self.job.earlier);
        prepared
    }

    /// A plan comes to lie on the floor: from now on the job is the one for what it has chosen.
    pub(super) fn make_job_for(&mut self, plan: &Plan) {
        let choices = Choices::of(plan);
        if !self.is_made_for(&choices) {
            let prepared = self.made_for(&choices);
            self.put_job(prepared);
        }
    }
}
