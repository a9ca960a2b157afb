//! Pieces that nobody keeps.

use heartside_timber::job::{Board, Job};
use heartside_timber::plan::Plan;

/// True for a piece of a cut board that no part is to come from and that is too small to keep.
pub fn is_scrap(job: &Job, plan: Option<&Plan>, board: &Board) -> bool {
    let bounds = board.outline.bounds();
    let (length, width) = job.workshop.min_offcut;
    let is_small = bounds.width() < length || bounds.height() < width;
    let layout = plan.and_then(|p| p.layout(&board.id, 1));
    let is_used = layout.is_some_and(|l| !l.placements.is_empty());
    let is_resawn = |b: &Board| job.done.iter().any(|c| c.resawn && c.board.board == b.id);
    board.from.is_some() && !board.is_in_hand() && is_small && !is_used && !is_resawn(board)
}
