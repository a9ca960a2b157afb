//! The wood of a part: where it lies, and whose photographs show it.

use heartside_geometry::Pose;
use heartside_timber::composite::is_of_leaves;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;

use crate::lineage::{has_picture, lineage};

/// Where a part lies.
#[derive(Debug, Clone)]
pub(super) struct Lies {
    /// On what; a blank in hand on the piece that it is.
    pub(super) board: BoardCopy,
    /// Takes the part's frame into the board's.
    pub(super) pose: Pose,
    /// Which leaf of a blank it is.
    pub(super) leaf: Option<u32>,
}

impl Lies {
    /// In hand, else where the plan has it.
    pub(super) fn of(job: &Job, plan: &Plan, part: &PartCopy) -> Option<Lies> {
        let held = job.boards.iter().find_map(|board| {
            let mut held = board.from.as_ref()?.held();
            let held = held.find(|p| p.part_copy() == *part)?;
            let piece = BoardCopy {
                board: board.id.clone(),
                copy: 1,
            };
            Some((piece, held))
        });
        let (board, placement) = held.or_else(|| {
            let (layout, place) = plan.find(&part.part, part.copy)?;
            let layout = &plan.layouts[layout];
            Some((layout.board.clone(), &layout.placements[place]))
        })?;
        Some(Lies {
            board,
            pose: placement.pose(),
            leaf: placement.leaf,
        })
    }
}

/// Whose photographs show a face of a part: the board or piece that it lies on or the nearest that this was cut
/// from, of which there is one; else the board as it was bought. None where the face lies within a blank until that
/// is resawn.
pub(super) fn photographed(
    job: &Job,
    lies: &Lies,
    part: &PartCopy,
    is_down: bool,
) -> Option<String> {
    let board = job.board(&lies.board.board)?;
    let is_outside = lies.leaf.is_none_or(|leaf| {
        let mut leaves = job.matches.iter().filter(|m| is_of_leaves(m));
        let count = leaves
            .find(|m| m.parts.contains(part))
            .map(|m| m.parts.len());
        if is_down {
            count == Some(leaf as usize)
        } else {
            leaf == 1
        }
    });
    let line = lineage(job, board);
    // A leaf's own photographs show what the saw parted, those of its board do not.
    let is_shown = |place: usize| is_outside || line[place..].iter().any(|(_, resawn)| *resawn);
    let ids = line.iter().enumerate().map(|(place, (id, _))| (place, *id));
    let shown = ids.filter(|(place, _)| is_shown(*place));
    let mut last = None;
    for (_, id) in shown {
        if has_picture(job, id, is_down) {
            return Some(id.to_owned());
        }
        last = Some(id);
    }
    let root = line.last().map(|(id, _)| *id);
    last.filter(|last| Some(*last) == root).map(str::to_owned)
}
