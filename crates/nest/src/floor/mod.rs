//! A floor under the cost that knows how parts lie in boards: prices on parts, and what each board can
//! yield at them at most.
//!
//! **Rows.** Give every part a price, not negative. A plan that places all copies earns D, the copies
//! times their prices; a board earns at most some U of its own. So the boards that are cut have a sum of
//! U of D or more, whatever the prices: each set of prices is a row, and no plan is cheaper than the
//! cheapest whole boards that meet every row (`choice`). Prices are moved for the boards that are the
//! cheapest so far, until they give less than D (a new row, which forbids them and many others) or
//! nothing more comes of it: Benders' cuts (1962), found by a subgradient method (Held & Karp 1971)
//! whose steps are shares of the prices, so that no linear programme is needed. Areas as prices are the
//! first row. Kept offcuts that earn money: of board b with blanks of area a at most A - a is kept, so it
//! costs at least price - rate x A + rate x a, and all blanks together at least their area at the lowest
//! rate of a board that holds them.
//!
//! **Yields.** A straight line across the board meets blanks that lie side by side, a kerf apart: what is
//! earned a millimetre of such lines is a knapsack of widths (`lines`), and a blank of length l earns its
//! price / l on each. It is met where it could lie (`reach`), clear of edges, trims and flaws as far as
//! they surely forbid it (`wood`); sizes are rounded down and room up. Lines along the board are a
//! second such bound. Of every price a share is put on the lines across and the rest on those along;
//! the sum bounds for all shares, which move with the prices (Lagrangean decomposition, Guignard & Kim
//! 1987). The area of the clear wood is a third bound; it alone holds for parts and boards sawn by line.
//! Lines are known as bars in the packing of strips (Scheithauer 1999).
//!
//! **What it claims.** Plans with straight cuts square to the boards, to a long straight side of theirs
//! or to their grain, one such frame a board ([`is_square`]). A layout askew, cuts that turn, and straight
//! parts sawn out by line between others may be cheaper.
//!
//! **What was tried and brought nothing.** Limits on the copies a line may meet (a bounded knapsack beside that by
//! places): the mean over fifty jobs was no higher with them (0.7296 of the best plan, 0.7311 without, one
//! run). One covering knapsack at the best prices instead of rows, and moves by Polyak's lengths, were
//! behind on the few jobs they were tried on. Not tried: dynamic programming over the clear outer rectangle.

mod choice;
mod group;
mod lines;
mod reach;
mod wood;

use heartside_geometry::{Arrange, SortedSet};
use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::document::Cuts;
use heartside_timber::job::{Board, Goal, Job, Part, PartCut};
use heartside_timber::plan::{Bound, CutNode, Layout, Plan, Way};

use crate::bound::with_sizes;
use crate::cuts::frames::frame_angles;
use crate::fit;
use crate::task::usable_stock;
use group::Group;

/// The plans that it speaks of.
const SQUARE: &str = "cut square to the boards";

/// Boards times kinds of parts up to which there is a floor.
const MOST_PAIRS: usize = 20_000;

/// A floor under the cost that rises step by step, for plans cut square to the boards.
pub struct Floor {
    groups: Vec<Group>,
    turn: usize,
    class: String,
}

impl std::fmt::Debug for Floor {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Floor").field(&self.value()).finish()
    }
}

impl Floor {
    /// A floor under plans that place every part of which this plan leaves no copy waiting. None where
    /// something but whole boards is paid for, where of some part only a few copies have places, and for
    /// jobs so large that a step would take long.
    pub fn of(job: &Job, plan: &Plan) -> Option<Floor> {
        let waits = SortedSet::from_iter(
            plan.unplaced
                .iter()
                .filter(|u| !u.copies.is_empty())
                .map(|u| u.part.as_str()),
        );
        let placed = SortedSet::from_iter(
            plan.layouts
                .iter()
                .flat_map(|l| &l.placements)
                .map(|p| p.part.as_str()),
        );
        let is_large = job.boards.len() * job.parts.len() > MOST_PAIRS;
        if is_large || job.goal != Goal::Furnish || waits.iter().any(|part| placed.contains(part)) {
            return None;
        }
        let is_asked = |part: &Part| part.wanted_count() > 0 && placed.contains(part.id.as_str());
        let parts = (0..job.parts.len()).filter(|p| is_asked(&job.parts[*p]));
        Some(Floor {
            groups: groups(job, parts.collect()),
            turn: 0,
            class: with_sizes(job, SQUARE),
        })
    }

    /// What is proved by now.
    pub fn bound(&self) -> Bound {
        Bound {
            value: self.value(),
            because:
                "the cheapest whole boards in which the blanks find room, with kerfs and flaws"
                    .to_owned(),
            class: Some(self.class.clone()),
            proved_for: None,
        }
    }

    fn value(&self) -> f64 {
        self.groups.iter().map(Group::floor).sum()
    }

    /// True where further steps would not raise it.
    pub fn is_finished(&self) -> bool {
        self.groups.iter().all(Group::is_finished)
    }

    /// A little more work, some milliseconds at most; true if the floor rose. The job must be the one it was made of,
    /// but for pins.
    pub fn step(&mut self, job: &Job) -> bool {
        let all = self.groups.len();
        let mut turns = (0..all).map(|k| (self.turn + k) % all);
        let Some(next) = turns.find(|k| !self.groups[*k].is_finished()) else {
            return false;
        };
        self.turn = next + 1;
        let before = self.groups[next].floor();
        self.groups[next].step(job);
        self.groups[next].floor() > before
    }
}

/// The greater of two floors, of those that hold for the plan.
pub fn greater_bound(job: &Job, plan: &Plan, all: Bound, floor: Option<&Floor>) -> Bound {
    let higher = floor.filter(|f| f.value() > all.value && is_square(job, plan));
    higher.map_or(all, Floor::bound)
}

/// True for a plan of the class that [`Floor`] speaks of. O(placements + cuts).
pub fn is_square(job: &Job, plan: &Plan) -> bool {
    let mut layouts = plan.layouts.iter();
    layouts.all(|layout| {
        job.board_index(&layout.board.board)
            .is_none_or(|board| is_laid_square(job, board, layout))
    })
}

fn is_laid_square(job: &Job, board: usize, layout: &Layout) -> bool {
    let is_straight = |k: &usize| {
        let placement = layout.placements.get(*k);
        let part = placement.and_then(|p| job.part(&p.part));
        part.is_some_and(|p| p.cut == PartCut::Straight)
    };
    let straight: Vec<usize> = (0..layout.placements.len()).filter(is_straight).collect();
    if straight.is_empty() || job.boards[board].cuts == Cuts::Sawn {
        return true;
    }
    let quarters = |angle: f64| {
        let off = angle.rem_euclid(90.0);
        off.min(90.0 - off)
    };
    let angle = layout.frame.angle;
    let nodes = layout.cuts.iter().flat_map(|tree| &tree.nodes);
    let mut turned = nodes.map(|node| match node {
        CutNode::Region { placements } => placements.iter().any(is_straight),
        node => node.cut().is_some_and(|cut| cut.angle != 0.0),
    });
    layout.way == Way::Straight
        && frame_angles(job, board)
            .iter()
            .any(|a| quarters(a - angle) < 1e-6)
        && straight
            .iter()
            .all(|k| quarters(layout.placements[*k].at.turn - angle) < 1e-6)
        && !turned.any(|is| is)
}

/// Parts and the boards that could hold them, those together that have to do with
/// each other.
fn groups(job: &Job, parts: Vec<usize>) -> Vec<Group> {
    let mut copies = vec![0u32; job.boards.len()];
    for stock in usable_stock(job, |_| true) {
        copies[stock.board] += 1;
    }
    let boards: Vec<usize> = (0..job.boards.len()).filter(|b| copies[*b] > 0).collect();
    let holds = |b: usize, p: usize| holds(&job.boards[b], &job.parts[p]);
    let mut open: Vec<usize> = parts;
    let mut found = Vec::new();
    while let Some(first) = open.first().copied() {
        let (mut of, mut on) = (vec![first], Vec::<usize>::new());
        open.remove(0);
        let mut at = 0;
        while at < of.len() {
            let part = of[at];
            for b in boards.iter().filter(|b| holds(**b, part)) {
                if on.contains(b) {
                    continue;
                }
                on.push(*b);
                let (joins, stays) = open.iter().partition(|p| holds(*b, **p));
                open = stays;
                of.extend::<Vec<usize>>(joins);
            }
            at += 1;
        }
        of.arrange();
        on.arrange();
        found.push(Group::new(job, of, &on, &copies, &holds));
    }
    found
}

/// Species and thickness allow it: warp takes off what it takes of any blank.
fn holds(board: &Board, part: &Part) -> bool {
    let thick = greatest_finished_thickness(board, &part.allowances, 0.0, 0.0);
    fit::species_fits(board, part) && thick + 1e-3 >= part.thickness
}
