//! Blanks that are alike change places, and are turned end for end or over where they lie, until no such change makes
//! the faces better.
//!
//! No cut moves, and no timber is used that was not: only which stave is which, and which way round it lies.

use heartside_geometry::{Point, SortedSet, math};
use heartside_timber::document::{Hearts, PartCopy};
use heartside_timber::job::{FigureJudge, Form, Job, MatchKind, Part};
use heartside_timber::plan::{Placed, Placement, Plan};

use crate::fit::grain_allows;
use crate::hearts::{may_turn, turned_over, with_corner};

/// Faces that differ by less are alike.
const SAME: f64 = 1e-9;

/// More changes than this are not tried round by round: the first ones are those of the staves of the first panels.
const MOST_CHANGES: usize = 1_000;

/// A blank that may change: its layout's and its own place in the lists.
type Slot = (usize, usize);

/// A change that keeps every rule and every cut.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Change {
    /// Two blanks that are alike change places.
    Swap(Slot, Slot),
    /// One is turned end for end.
    EndForEnd(Slot),
    /// One is turned over about its middle line.
    Over(Slot),
    /// Both.
    OverAndEndForEnd(Slot),
}

/// A plan under change.
pub(super) struct Rearranging {
    pub(super) plan: Plan,
    /// How far its faces are from the best, roughly.
    loss: f64,
    changes: Vec<Change>,
    /// The next to be tried, and how many were tried since one was for the better.
    next: usize,
    in_vain: usize,
}

impl Rearranging {
    /// Nothing is changed yet. O(blanks² of those that are alike).
    pub(super) fn new(job: &Job, plan: &Plan, judge: &FigureJudge) -> Rearranging {
        Rearranging {
            loss: judge.0.rough_loss(job, plan),
            changes: changes(job, plan),
            plan: plan.clone(),
            next: 0,
            in_vain: 0,
        }
    }

    /// Tries one change; false where none is left that makes the faces better.
    pub(super) fn step(&mut self, job: &Job, judge: &FigureJudge) -> bool {
        if self.in_vain >= self.changes.len() {
            return false;
        }
        let change = self.changes[self.next];
        self.next = (self.next + 1) % self.changes.len();
        self.in_vain += 1;
        let before = change
            .slots()
            .map(|(l, k)| self.plan.layouts[l].placements[k].clone());
        self.make(job, change);
        let loss = judge.0.rough_loss(job, &self.plan);
        if loss < self.loss - SAME {
            self.loss = loss;
            self.in_vain = 0;
        } else {
            for ((l, k), placement) in change.slots().into_iter().zip(before) {
                self.plan.layouts[l].placements[k] = placement;
            }
        }
        true
    }

    fn make(&mut self, job: &Job, change: Change) {
        let mut turn = |(l, k): Slot, to: fn(&Job, &Part, &Placement) -> Placed| {
            let placement = &mut self.plan.layouts[l].placements[k];
            if let Some(part) = job.part(&placement.part) {
                placement.at = to(job, part, placement);
            }
        };
        match change {
            Change::EndForEnd(slot) => turn(slot, end_for_end),
            Change::Over(slot) => turn(slot, turned_over),
            Change::OverAndEndForEnd(slot) => {
                turn(slot, turned_over);
                turn(slot, end_for_end);
            }
            Change::Swap(a, b) => {
                let [one, other] = [a, b].map(|(l, k)| self.plan.layouts[l].placements[k].clone());
                let lies = |there: &Placement, who: &Placement| Placement {
                    at: there.at,
                    ..who.clone()
                };
                self.plan.layouts[a.0].placements[a.1] = lies(&one, &other);
                self.plan.layouts[b.0].placements[b.1] = lies(&other, &one);
            }
        }
    }
}

impl Change {
    /// The blanks that it changes; one twice where it is the only one.
    fn slots(self) -> [Slot; 2] {
        match self {
            Change::Swap(a, b) => [a, b],
            Change::EndForEnd(slot) | Change::Over(slot) | Change::OverAndEndForEnd(slot) => {
                [slot, slot]
            }
        }
    }
}

/// All changes that may be made of a plan, the same whatever was changed before.
fn changes(job: &Job, plan: &Plan) -> Vec<Change> {
    let free = |copy: &PartCopy| {
        let mut matches = job.matches.iter();
        let is_tied = matches.any(|m| !m.kind.leaves_cuts_free() && m.parts.contains(copy));
        !is_tied && job.pins.iter().all(|pin| pin.part != *copy)
    };
    let mut slots: Vec<(Slot, &Part, &Placement)> = Vec::new();
    for (l, layout) in plan.layouts.iter().enumerate() {
        for (k, placement) in layout.placements.iter().enumerate() {
            let is_free = placement.leaf.is_none()
                && free(&placement.part_copy())
                && !job.lay_there(&layout.board, placement);
            if let (true, Some(part)) = (is_free, job.part(&placement.part)) {
                slots.push(((l, k), part, placement));
            }
        }
    }
    let seen = seen(job);
    let is_seen = |placement: &Placement| seen.contains(&placement.part_copy());
    let mut turns = Vec::new();
    let mut swaps = Vec::new();
    for (place, (slot, part, placement)) in slots.iter().enumerate() {
        let alike = |other: &(Slot, &Part, &Placement)| are_alike(part, other.1);
        let mut others = slots.iter().filter(|other| alike(other));
        if !is_seen(placement) && !others.any(|other| is_seen(other.2)) {
            continue;
        }
        let after = slots[place + 1..].iter().filter(|other| alike(other));
        let may_change = after.filter(|(other, of, there)| {
            (is_seen(placement) || is_seen(there))
                && may_swap(job, plan, (*slot, part), (*other, of))
        });
        swaps.extend(may_change.map(|(other, ..)| Change::Swap(*slot, *other)));
        turns.extend(ways_round(job, plan, *slot, part));
    }
    turns.extend(swaps);
    turns.truncate(MOST_CHANGES);
    turns
}

/// The copies that are seen in a face that is put together.
fn seen(job: &Job) -> SortedSet<PartCopy> {
    let staves = job.parts.iter().filter(|p| p.stave.is_some());
    let staves = staves.map(|p| PartCopy {
        part: p.id.clone(),
        copy: 1,
    });
    let matched = job.matches.iter().flat_map(|m| m.parts.iter().cloned());
    SortedSet::from_iter(staves.chain(matched))
}

/// True where one may be sawn out in place of the other: they are alike in all but name and place.
fn are_alike(one: &Part, other: &Part) -> bool {
    let plain = |part: &Part| Part {
        id: String::new(),
        name: String::new(),
        count: 1,
        in_hand: Vec::new(),
        stave: None,
        value: 0.0,
        ..part.clone()
    };
    one.id == other.id
        || (one.length() == other.length()
            && one.width() == other.width()
            && plain(one) == plain(other))
}

/// True where two blanks that are alike may change places.
fn may_swap(job: &Job, plan: &Plan, a: (Slot, &Part), b: (Slot, &Part)) -> bool {
    let [one, other] = [a, b].map(|((l, k), _)| {
        let layout = &plan.layouts[l];
        (layout, &layout.placements[k])
    });
    let is_same_board = job.root(&one.0.board) == job.root(&other.0.board);
    let at_home = |placement: &Placement| {
        let copy = placement.part_copy();
        let mut matches = job
            .matches
            .iter()
            .filter(|m| m.kind == MatchKind::SameBoard);
        !matches.any(|m| m.parts.contains(&copy))
    };
    (is_same_board || (at_home(one.1) && at_home(other.1)))
        && !asks_for_hearts(job, a.1)
        && !asks_for_hearts(job, b.1)
}

/// Its heart side is looked after elsewhere ([`crate::hearts`]).
fn asks_for_hearts(job: &Job, part: &Part) -> bool {
    let panel = part.stave.as_ref().and_then(|s| job.panels.get(s.panel));
    panel.is_some_and(|p| p.hearts != Hearts::Any)
}

/// The ways in which a blank may be turned where it lies.
fn ways_round(job: &Job, plan: &Plan, slot: Slot, part: &Part) -> Vec<Change> {
    let layout = &plan.layouts[slot.0];
    let placement = &layout.placements[slot.1];
    let Some(board) = job.board_index(&layout.board.board) else {
        return Vec::new();
    };
    // Others do not cover what they covered.
    if part.form != Form::Rectangle || part.outline.outer().points().len() != 4 {
        return Vec::new();
    }
    let turn = math::normalise_deg(placement.at.turn + 180.0);
    let other_end = grain_allows(&job.boards[board], part, turn);
    let over = !asks_for_hearts(job, part) && may_turn(job, part, (board, layout), placement);
    let mut ways = Vec::new();
    if other_end {
        ways.push(Change::EndForEnd(slot));
    }
    if over {
        ways.push(Change::Over(slot));
    }
    if over && other_end {
        ways.push(Change::OverAndEndForEnd(slot));
    }
    ways
}

/// A rectangle turned by half a turn about its middle: its blank stays where it is.
fn end_for_end(job: &Job, part: &Part, placement: &Placement) -> Placed {
    let corner = Point::new(part.length(), part.width());
    Placed {
        turn: math::normalise_deg(placement.at.turn + 180.0),
        ..with_corner(job, placement, corner)
    }
}
