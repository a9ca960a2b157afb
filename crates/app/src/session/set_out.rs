//! A set-out that is on, and the plans that it came by.

use heartside_timber::plan::Plan;
use heartside_timber::score::Score;

use crate::protocol::ProgressPoint;

/// A set-out that is on.
#[derive(Debug)]
pub(super) struct SetOut {
    /// The plan on the floor as it was before.
    pub(super) before: Option<Box<Plan>>,
    /// Nothing was taken yet.
    pub(super) first: bool,
}

/// A plan on the way.
#[derive(Debug, Clone)]
pub(super) struct Passed {
    pub(super) point: ProgressPoint,
    pub(super) score: Score,
    /// How many pieces it was to place: another plan may glue up panels from more staves or fewer.
    pub(super) wanted: u64,
    /// What was spent already, which its cost leaves out.
    pub(super) spent: f64,
}
