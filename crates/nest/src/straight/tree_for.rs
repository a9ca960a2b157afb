//! A legal order of cuts for a layout that is given.
//!
//! Where all straight blanks are square to one frame, `separator` finds it; where they lie at different
//! angles, `askew` parts the board first.

use heartside_timber::job::Job;
use heartside_timber::plan::{CutTree, Frame, Placement};

use super::askew::apart;
pub(crate) use super::askew::is_askew;
use super::separator::{Failure, common_angle, cutting_for};
use crate::cuts::frames::frame_angles;
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_offcut;
use crate::cuts::saw::Saws;

/// Blanks that lie further round than this, in degrees, follow a board that was drawn askew, not its figure.
const MOST_TILTED: f64 = 6.0;

/// What came of looking for an order of cuts.
#[derive(Debug, Clone, PartialEq)]
pub enum TreeResult {
    /// An order of cuts, and the frame it lies in.
    Tree(CutTree, Frame),
    /// No straight cut can separate these placements (places in the list given).
    Inseparable(Vec<usize>),
    /// Nothing was found within the step limit.
    GaveUp,
}

/// The same, but blanks that share a small angle to which the board has no line of its own are crosscut apart first where that
/// can be: then each piece is ripped askew by itself, and the rest of the board stays square.
pub fn tree_crosscut_first(
    job: &Job,
    board_index: usize,
    placements: &[Placement],
    step_limit: u64,
) -> TreeResult {
    if is_turned_together(job, board_index, placements) {
        let saws = Saws::of(job);
        let found = parted((job, &saws), board_index, placements, step_limit / 2);
        if matches!(found, TreeResult::Tree(..)) {
            return found;
        }
    }
    tree_for(job, board_index, placements, step_limit)
}

/// True where all straight parts share a small angle that is none of the board's own.
pub(crate) fn is_turned_together(job: &Job, board_index: usize, placements: &[Placement]) -> bool {
    if board_index >= job.boards.len() || is_askew(job, placements) {
        return false;
    }
    let angle = common_angle(job, placements);
    let is_own = |own: f64| (own - angle).abs() <= 1e-6;
    angle.abs() <= MOST_TILTED && !frame_angles(job, board_index).into_iter().any(is_own)
}

/// An order of cuts that begins square to the board and turns pieces.
fn parted(
    (job, saws): (&Job, &Saws),
    board_index: usize,
    placements: &[Placement],
    step_limit: u64,
) -> TreeResult {
    let ground = Ground::for_parts(job, board_index, 0.0, &|_| false);
    let frame = ground.frame;
    match apart((job, saws), ground, placements, step_limit).map(|p| p.tree(job)) {
        Ok(Some(tree)) => TreeResult::Tree(tree, frame),
        Ok(None) => TreeResult::Inseparable((0..placements.len()).collect()),
        Err(Failure::Inseparable(list)) => TreeResult::Inseparable(list),
        Err(Failure::GaveUp) => TreeResult::GaveUp,
    }
}

/// Looks for a legal order of straight cuts that frees exactly the blanks of a layout.
///
/// The frame is that of the blanks' common turn (modulo a quarter); where straight parts lie askew to
/// each other it is the board's own, and some cuts turn it. Sawn parts get the upright
/// rectangle round their blank; those that no straight cut parts share one. One step is one cut looked at.
pub fn tree_for(
    job: &Job,
    board_index: usize,
    placements: &[Placement],
    step_limit: u64,
) -> TreeResult {
    if board_index >= job.boards.len() {
        return TreeResult::GaveUp;
    }
    let saws = Saws::of(job);
    if is_askew(job, placements) {
        return parted((job, &saws), board_index, placements, step_limit);
    }
    let angle = common_angle(job, placements);
    let ground = Ground::for_parts(job, board_index, angle, &|_| false);
    match cutting_for(job, &ground, &saws, placements, step_limit) {
        Ok((cutting, order)) => {
            let mut tree = cutting.finished_tree(|w| is_offcut(job, &ground, w));
            for node in &mut tree.nodes {
                let held = node.placements_mut().iter_mut();
                held.for_each(|p| *p = order[*p]);
            }
            TreeResult::Tree(tree, ground.frame)
        }
        Err(Failure::Inseparable(list)) => TreeResult::Inseparable(list),
        Err(Failure::GaveUp) => TreeResult::GaveUp,
    }
}
