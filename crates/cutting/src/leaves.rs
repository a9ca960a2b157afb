//! Leaves of one thick blank: which lie together, which blanks are still to be resawn, and how.

use heartside_geometry::Bounds;
use heartside_timber::blank::Blank;
use heartside_timber::composite::{is_of_leaves, leaves_as_sawn, resawn_extents};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Job, Match, Part, Tool};
use heartside_timber::plan::{CutNode, CutTree, Frame, Layout, Placement, Way};
use heartside_timber::words::counted;

use crate::step::Caution;

/// The leaves that a copy is one of.
pub(crate) fn leaves_with<'a>(job: &'a Job, copy: &PartCopy) -> Option<&'a Match> {
    let mut leaves = job.matches.iter().filter(|m| is_of_leaves(m));
    leaves.find(|m| m.parts.contains(copy))
}

/// The places of all that lie in one blank with a placement, from the up face down; itself alone where it is
/// no leaf.
pub(crate) fn in_one_blank(job: &Job, placements: &[Placement], place: usize) -> Vec<usize> {
    let leaf = placements.get(place).filter(|p| p.leaf.is_some());
    let Some(leaves) = leaf.and_then(|p| leaves_with(job, &p.part_copy())) else {
        return vec![place];
    };
    let of = |copy: &PartCopy| {
        let is_it = |p: &Placement| p.leaf.is_some() && p.part_copy() == *copy;
        placements.iter().position(is_it)
    };
    leaves.parts.iter().filter_map(of).collect()
}

/// The blanks in hand that are still to be resawn, each as a layout of its own: all of it is one blank.
pub(crate) fn still_to_resaw(job: &Job) -> Vec<Layout> {
    let thick = job.boards.iter().filter(|b| b.left() > 0);
    let thick = thick.filter_map(|board| {
        let from = board.from.as_ref().filter(|from| !from.leaves.is_empty())?;
        let placements: Vec<Placement> = from.held().cloned().collect();
        let all = (0..placements.len()).collect();
        let nodes = vec![CutNode::Leaves { placements: all }];
        Some(Layout {
            board: BoardCopy {
                board: board.id.clone(),
                copy: 1,
            },
            way: Way::Straight,
            frame: Frame::default(),
            placements,
            cuts: Some(CutTree { nodes }),
        })
    });
    thick.collect()
}

/// How a thick blank is resawn.
pub(crate) struct Resawing<'a> {
    pub(crate) tool: Option<&'a Tool>,
    pub(crate) kerf: f64,
    /// How thick each leaf comes off the saw.
    pub(crate) leaves: Vec<f64>,
    /// Length and width of the blank as it stands on its edge.
    pub(crate) extents: (f64, f64),
    /// The blank on its board.
    pub(crate) bounds: Bounds,
}

impl<'a> Resawing<'a> {
    /// None where the job does not know the parts.
    pub(crate) fn of(job: &'a Job, board: &str, leaves: &[&Placement]) -> Option<Resawing<'a>> {
        let board = job.board(board)?;
        let parts: Option<Vec<&Part>> = leaves.iter().map(|p| job.part(&p.part)).collect();
        let parts = parts?;
        let blank = Blank::of(parts.first()?);
        let lying = leaves.first()?.pose().apply_region(&blank.core);
        let bounds = lying.bounds().grown(blank.radius);
        let (length, width) = resawn_extents(&blank.bounds());
        Some(Resawing {
            tool: job.workshop.resawing_tool_for(length, width),
            kerf: job.workshop.resaw_kerf_for(length, width),
            leaves: leaves_as_sawn(job, board, &parts, (bounds.width(), bounds.height())),
            extents: (length, width),
            bounds,
        })
    }
}

/// Said where a blank of leaves comes off: once it is turned over nobody knows which face was up.
pub(crate) fn to_be_resawn(count: usize) -> Caution {
    let text = format!(
        "This thick blank is resawn into {} by a later cut: mark its up face now.",
        counted(count, "leaf", "leaves")
    );
    Caution::new("mark-leaves", text, "mark its up face", "common practice")
}
