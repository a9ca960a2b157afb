//! The calls into the layout engines.

use heartside_nest::{TreeResult, break_down, tree_for};
use heartside_timber::document::PartCopy;
use heartside_timber::job::{Cuts, Job};
use heartside_timber::plan::{Layout, Plan, Way};

/// Cuts looked at when an order is looked for after a drop: tens of milliseconds at most.
/// Fewer and layouts that can be cut apart would be called lost (with 6,000 a test's part that is
/// put back at its old place is); more and a drop would lag.
const TREE_STEPS: u64 = 20_000;
/// The same for each place that a snapped part may have meant beside the one it is shown at.
const INSTEAD_STEPS: u64 = 1_000;

/// A board whose parts no order of straight cuts frees.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NotCut {
    pub(super) board: heartside_timber::document::BoardCopy,
    /// The parts that no straight cut can separate; empty where the search gave up.
    pub(super) parts: Vec<PartCopy>,
}

/// So many boards are remembered: a drop asks about two and the places that it may have meant.
const MOST_KNOWN: usize = 64;

/// Orders of cuts that were looked for in one job, pins aside: no layout is searched twice.
#[derive(Debug, Default)]
pub(super) struct KnownCuts {
    known: Vec<Known>,
    /// How many boards were searched.
    pub(super) searched: u32,
}

#[derive(Debug)]
struct Known {
    asked: Layout,
    found: Layout,
    lost: Option<NotCut>,
}

impl KnownCuts {
    /// Looks for an order of straight cuts for every layout that has none; tells those without.
    pub(super) fn find(&mut self, job: &Job, plan: &mut Plan) -> Vec<NotCut> {
        let layouts = plan.layouts.iter_mut();
        layouts
            .filter_map(|layout| self.find_one(job, layout))
            .collect()
    }

    /// True if a quick look finds an order of cuts for a layout.
    pub(super) fn finds_soon(&mut self, job: &Job, layout: &Layout) -> bool {
        let mut found = layout.clone();
        if find_within(job, &mut found, INSTEAD_STEPS).is_some() {
            return false;
        }
        self.remember(layout.clone(), &found, None);
        true
    }

    /// An order of cuts for one layout.
    pub(super) fn find_one(&mut self, job: &Job, layout: &mut Layout) -> Option<NotCut> {
        if layout.cuts.is_some() || layout.placements.is_empty() {
            return None;
        }
        let known = self.known.iter().find(|known| known.asked == *layout);
        if let Some(known) = known {
            layout.clone_from(&known.found);
            return known.lost.clone();
        }
        let asked = layout.clone();
        let lost = find_cuts(job, layout);
        self.remember(asked, layout, lost.clone());
        lost
    }

    fn remember(&mut self, asked: Layout, found: &Layout, lost: Option<NotCut>) {
        self.searched += 1;
        if self.known.len() >= MOST_KNOWN {
            self.known.remove(0);
        }
        self.known.push(Known {
            asked,
            found: found.clone(),
            lost,
        });
    }
}

/// Looks for an order of straight cuts for a layout that has none; tells where there is none.
///
/// Boards sawn by line get the through cuts that break them down, if any; nothing is lost there.
pub(super) fn find_cuts(job: &Job, layout: &mut Layout) -> Option<NotCut> {
    find_within(job, layout, TREE_STEPS)
}

fn find_within(job: &Job, layout: &mut Layout, steps: u64) -> Option<NotCut> {
    let board = job.board_index(&layout.board.board)?;
    if layout.way == Way::Sawn || job.boards[board].cuts == Cuts::Sawn {
        layout.way = Way::Sawn;
        break_down(job, layout);
        return None;
    }
    let parts = match tree_for(job, board, &layout.placements, steps) {
        TreeResult::Tree(tree, frame) => {
            layout.cuts = Some(tree);
            layout.frame = frame;
            return None;
        }
        TreeResult::Inseparable(places) => places
            .iter()
            .filter_map(|p| layout.placements.get(*p))
            .map(|p| p.part_copy())
            .collect(),
        TreeResult::GaveUp => Vec::new(),
    };
    Some(NotCut {
        board: layout.board.clone(),
        parts,
    })
}
