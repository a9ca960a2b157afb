//! The calls into the layout engines.

use heartside_nest::{TreeResult, break_down, tree_for};
use heartside_timber::document::PartCopy;
use heartside_timber::job::{Cuts, Job};
use heartside_timber::plan::{Plan, Way};

/// Cuts looked at when an order is looked for after a drop: tens of milliseconds at most.
/// Fewer and layouts that can be cut apart would be called lost; more and a drop would lag.
const TREE_STEPS: u64 = 20_000;

/// A board whose parts no order of straight cuts frees.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NotCut {
    pub(super) board: heartside_timber::document::BoardCopy,
    /// The parts that no straight cut can separate; empty where the search gave up.
    pub(super) parts: Vec<PartCopy>,
}

/// Looks for an order of straight cuts for every layout that has none; tells those without.
///
/// Boards sawn by line get the through cuts that break them down, if any; nothing is lost there.
pub(super) fn find_cuts(job: &Job, plan: &mut Plan) -> Vec<NotCut> {
    let mut lost = Vec::new();
    for layout in &mut plan.layouts {
        if layout.cuts.is_some() || layout.placements.is_empty() {
            continue;
        }
        let Some(board) = job.board_index(&layout.board.board) else {
            continue;
        };
        if layout.way == Way::Sawn || job.boards[board].cuts == Cuts::Sawn {
            layout.way = Way::Sawn;
            break_down(job, layout);
            continue;
        }
        match tree_for(job, board, &layout.placements, TREE_STEPS) {
            TreeResult::Tree(tree, frame) => {
                layout.cuts = Some(tree);
                layout.frame = frame;
            }
            TreeResult::Inseparable(places) => {
                let parts = places
                    .iter()
                    .filter_map(|p| layout.placements.get(*p))
                    .map(|p| p.part_copy())
                    .collect();
                lost.push(NotCut {
                    board: layout.board.clone(),
                    parts,
                });
            }
            TreeResult::GaveUp => lost.push(NotCut {
                board: layout.board.clone(),
                parts: Vec::new(),
            }),
        }
    }
    lost
}
