//! The whole check of a plan.

use std::borrow::Cow;
use std::sync::Arc;

use heartside_timber::finding::Finding;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Plan};

use crate::dimensions::dimensions;
use crate::done;
use crate::floor::Laid;
use crate::index::JobIndex;
use crate::live::Live;
use crate::report;
use crate::rules::all_but_cuts_and_dimensions;

/// Checks a plan against every rule and returns everything found.
///
/// Nothing in the plan is believed: blanks, distances, cuts and counts are worked out from
/// the job and the placements. An empty answer means that every rule was looked at and is
/// kept; a rule that cannot be checked yet is told as such
/// ([`Severity::NotChecked`](heartside_timber::finding::Severity::NotChecked)). What all of it
/// comes to says [`Outcome`](heartside_timber::finding::Outcome); only its `Checked` may be
/// called checked against every rule.
///
/// The job must have been worked out with the plan's own dimensions; where it was not, that
/// is a finding. No plan, however damaged, makes it panic.
///
/// # Order
/// By board (the job's order; findings about no board last), rule, part, zone, cause: the
/// order of layouts and placements in the plan changes nothing but where indices of the tree
/// of cuts point.
///
/// # Cost
/// About O((placements + cuts) x corners), pairs found through an index.
pub fn check(job: &Job, plan: &Plan) -> Vec<Finding> {
    check_on(&JobIndex::new(Cow::Borrowed(job)), plan)
}

/// A job made ready for checking many plans.
///
/// [`check`] prepares the boards of one plan each time; a search or a page that looks at one
/// plan after another prepares them once with this.
#[derive(Clone)]
pub struct Checker {
    index: Arc<JobIndex<'static>>,
}

impl std::fmt::Debug for Checker {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Checker").finish_non_exhaustive()
    }
}

impl Checker {
    /// Prepares all parts of a job, and each board when it is first asked about.
    pub fn new(job: &Job) -> Checker {
        Checker {
            index: Arc::new(JobIndex::new(Cow::Owned(job.clone()))),
        }
    }

    /// A checker of another job that goes on with what this one has prepared, where the two
    /// differ in pins only; else a new one.
    pub fn renewed(&self, job: &Job) -> Checker {
        if !self.index.job().differs_in_pins_only(job) {
            return Checker::new(job);
        }
        Checker {
            index: Arc::new(self.index.with_pins_of(Cow::Owned(job.clone()))),
        }
    }

    /// What [`check`] says about a plan.
    pub fn check(&self, plan: &Plan) -> Vec<Finding> {
        check_on(&self.index, plan)
    }

    /// The plan laid out to be changed by hand.
    pub fn live(&self, plan: &Plan) -> Live {
        Live::on(Arc::clone(&self.index), plan)
    }
}

fn check_on(index: &JobIndex<'_>, plan: &Plan) -> Vec<Finding> {
    let lay = |layout: &Layout| Laid::new(index, layout.clone());
    let laid: Vec<Laid> = plan.layouts.iter().map(lay).collect();
    let mut found = all_but_cuts_and_dimensions(index, &laid, plan);
    found.extend(laid.iter().flat_map(|l| l.cuts()).cloned());
    found.extend(dimensions(index, plan));
    found.extend(index.wrong_pieces(done::pieces).iter().cloned());
    report::sort(&mut found, index);
    found
}
