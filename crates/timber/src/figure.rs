//! Who says how good the figure of a plan is.
//!
//! What is known of wood and what makers look at is no business of plans: a judge is made where both are known, and
//! goes along with the job.

use std::fmt::Debug;
use std::sync::Arc;

use crate::job::Job;
use crate::plan::Plan;

/// Judges the faces that a plan puts together.
pub trait JudgesFigure: Debug + Send + Sync {
    /// How far all faces together are from the best that could be wished for, from 0 to 1.
    ///
    /// It depends on nothing but the job and where the plan has its parts, and it must be the same for
    /// every job that differs from the one it was made for in choices alone.
    fn loss(&self, job: &Job, plan: &Plan) -> f64;

    /// About the same, some times quicker: for choosing what is worth a closer look.
    fn rough_loss(&self, job: &Job, plan: &Plan) -> f64 {
        self.loss(job, plan)
    }
}

/// A judge as a job has it.
#[derive(Debug, Clone)]
pub struct FigureJudge(pub Arc<dyn JudgesFigure>);

impl PartialEq for FigureJudge {
    /// What a judge goes by is in the job itself, so that is what tells jobs apart.
    fn eq(&self, _: &FigureJudge) -> bool {
        true
    }
}
