//! The wood of a part: where it lies, and whose photographs show it.

use heartside_geometry::{Arrange, Pose};
use heartside_timber::composite::is_of_leaves;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Board, Job, Photo};
use heartside_timber::plan::Plan;

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

/// The pictures of a face of a board, from left to right: a piece shows its own, else those of the nearest that it
/// was cut from.
pub fn photos_of<'a>(job: &'a Job, board: &Board, is_down: bool) -> Vec<&'a Photo> {
    let line = lineage(job, board);
    let mut found = line.iter().map(|(id, _)| pictures(job, id, is_down));
    found.find(|of| !of.is_empty()).unwrap_or_default()
}

/// The pictures of a face that are of this board or piece itself, from left to right.
pub(super) fn pictures<'a>(job: &'a Job, id: &str, is_down: bool) -> Vec<&'a Photo> {
    let photos = job.photos.iter();
    let mut photos: Vec<&Photo> = photos
        .filter(|p| p.board == id && p.is_down == is_down)
        .collect();
    photos.arrange_by(|a, b| a.covers.min.x.total_cmp(&b.covers.min.x));
    photos
}

fn has_picture(job: &Job, id: &str, is_down: bool) -> bool {
    !pictures(job, id, is_down).is_empty()
}

/// The ids of a piece and of everything that it was cut from, the board as it was bought last; with each whether
/// it came free by resawing.
fn lineage<'a>(job: &'a Job, board: &'a Board) -> Vec<(&'a str, bool)> {
    let mut line: Vec<(&str, bool)> = Vec::new();
    let mut at = Some(board);
    while let Some(board) = at {
        // A job from a file is no circle, and this is no place to find out.
        if line.iter().any(|(id, _)| *id == board.id) {
            break;
        }
        let cut = board.from.as_ref().and_then(|from| job.done.get(from.done));
        line.push((&board.id, cut.is_some_and(|cut| cut.resawn)));
        at = cut.and_then(|cut| job.board(&cut.board.board));
    }
    line
}
