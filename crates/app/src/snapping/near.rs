//! What both ways of snapping ask of the board.

use heartside_check::{FAR, Live, Near};
use heartside_geometry::{Point, Pose};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Job;
use heartside_timber::plan::Way;

/// What lies near enough to a pose to matter.
pub(super) fn near<'a>(
    live: &'a Live,
    part: &PartCopy,
    board: &BoardCopy,
    pose: Pose,
    reach_mm: f64,
) -> Option<Near<'a>> {
    let tools = live.job().workshop.tools.iter().map(|tool| tool.kerf);
    let widest = tools.fold(live.job().workshop.sawn_kerf, f64::max);
    let reach = if is_reach(reach_mm) { reach_mm } else { 0.0 };
    live.near(part, board, pose, widest + 2.0 * reach)
}

pub(super) fn is_reach(reach_mm: f64) -> bool {
    reach_mm > 0.0 && reach_mm <= FAR
}

/// The same pose on the job's grid of placements.
pub(crate) fn on_grid(job: &Job, pose: Pose) -> Pose {
    Pose {
        x: job.snap(pose.x),
        y: job.snap(pose.y),
        ..pose
    }
}

/// The sides of the board, and of holes in it, with what is trimmed from each.
pub(super) fn sides(job: &Job, near: &Near<'_>) -> impl Iterator<Item = ((Point, Point), f64)> {
    let trims = near.board.sides.iter();
    let trims = trims.map(|side| side.trim(&job.workshop));
    let edges = near.board.outline.edges();
    edges.zip(trims.chain(std::iter::repeat(0.0)))
}

/// The kerfs that may lie between two blanks of the board, each once.
pub(super) fn kerfs(job: &Job, near: &Near<'_>) -> Vec<f64> {
    let mut kerfs = match near.way {
        Way::Sawn => vec![near.kerf],
        Way::Straight => Vec::new(),
    };
    for tool in &job.workshop.tools {
        if (tool.rips || tool.crosscuts) && !kerfs.contains(&tool.kerf) {
            kerfs.push(tool.kerf);
        }
    }
    if kerfs.is_empty() {
        kerfs.push(near.kerf);
    }
    kerfs
}
