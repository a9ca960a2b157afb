//! The plain rules that the search is measured against.
//!
//! Both lay pieces out one after the other, each into the first place of the first board
//! that takes it, with the same tools, obstacles and cuts as the search has: what is
//! measured is the search, not the rules of the workshop. No pins are heeded.

use heartside_timber::document::Cuts;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Made, Placement, Plan, Way};
use heartside_timber::score::Score;

use crate::assemble::{unplaced, whole_plan};
use crate::bound::bound_with;
use crate::chance::Chance;
use crate::cuts::cutting::{Cutout, Cutting, First};
use crate::cuts::offcut::is_offcut;
use crate::cuts::position::{Edge, find_spot};
use crate::engine::{Task, usable_stock};
use crate::reasons::Reasons;
use crate::straight::stockroom::{Stockroom, board_copy};

/// Longest piece first, each into the first board that it fits.
pub fn longest_first(job: &Job) -> Plan {
    let rule = Rule::new(job);
    let mut order = rule.pieces();
    let longest = |p: usize| job.parts[p].length().max(job.parts[p].width());
    order.sort_by(|a, b| longest(*b).total_cmp(&longest(*a)).then(a.cmp(b)));
    rule.lay_out(&order)
}

/// The best of `count` random orders of the same rule.
pub fn best_of_random_orders(job: &Job, count: u32, seed: u32) -> Plan {
    let rule = Rule::new(job);
    let mut chance = Chance::new(seed, 0, 9);
    let mut order = rule.pieces();
    let mut best: Option<(Score, Plan)> = None;
    for _ in 0..count.max(1) {
        // Fisher and Yates.
        for k in (1..order.len()).rev() {
            order.swap(k, chance.below(k + 1));
        }
        let plan = rule.lay_out(&order);
        let score = Score::of(job, &plan);
        if best
            .as_ref()
            .is_none_or(|(least, _)| score.better_than(least, &job.order))
        {
            best = Some((score, plan));
        }
    }
    best.map_or_else(|| rule.lay_out(&[]), |(_, plan)| plan)
}

struct Rule<'a> {
    job: &'a Job,
    room: Stockroom,
    reasons: Reasons,
}

impl<'a> Rule<'a> {
    fn new(job: &'a Job) -> Rule<'a> {
        let stock = usable_stock(job, |c| c != Cuts::Sawn);
        let task = Task {
            stock,
            wanted: Vec::new(),
            pins: Vec::new(),
            chance: Chance::new(0, 0, 9),
        };
        Rule {
            job,
            room: Stockroom::new(job, &task),
            reasons: Reasons::all(job),
        }
    }

    /// Every piece, by its part.
    fn pieces(&self) -> Vec<usize> {
        let copies = |p: usize| std::iter::repeat_n(p, self.job.parts[p].count as usize);
        (0..self.job.parts.len()).flat_map(copies).collect()
    }

    fn lay_out(&self, order: &[usize]) -> Plan {
        let mut boards: Vec<Option<Cutting>> = vec![None; self.room.shelves.len()];
        let mut next = vec![1u32; self.job.parts.len()];
        for part in order {
            let laid =
                (0..boards.len()).any(|b| self.lay_on(&mut boards[b], b, *part, next[*part]));
            next[*part] += u32::from(laid);
        }
        let layouts = boards
            .iter()
            .enumerate()
            .filter_map(|(b, cutting)| cutting.as_ref().map(|c| self.layout(b, c)))
            .collect();
        let bound = bound_with(self.job, &self.reasons);
        let mut plan = whole_plan(self.job, layouts, &self.reasons, &bound, Made::default());
        plan.unplaced = unplaced(self.job, &plan, &self.reasons, true);
        plan
    }

    fn lay_on(&self, board: &mut Option<Cutting>, shelf: usize, part: usize, copy: u32) -> bool {
        if !self.room.takes(&self.room.shelves[shelf], part) {
            return false;
        }
        let (job, saws) = (self.job, &self.room.saws);
        let ground = &self.room.grounds[self.room.shelves[shelf].frames[0]];
        let mut cutting = board.take().unwrap_or_else(|| Cutting::whole(ground));
        let laid = cutting.open.clone().into_iter().any(|leaf| {
            ground.fits[part].iter().any(|fit| {
                let Some(work) = cutting.works[leaf] else {
                    return false;
                };
                let Some(spot) = find_spot(job, ground, saws, &work, fit, Edge::Low) else {
                    return false;
                };
                let cutout = Cutout {
                    part,
                    copy: Some(copy),
                    placed: spot.placed,
                    rect: spot.rect,
                };
                cutting.free((job, ground, saws), leaf, cutout, First::Rips)
                    || cutting.free((job, ground, saws), leaf, cutout, First::Crosscuts)
            })
        });
        *board = (!cutting.cutouts.is_empty()).then_some(cutting);
        laid
    }

    fn layout(&self, shelf: usize, cutting: &Cutting) -> Layout {
        let shelf = &self.room.shelves[shelf];
        let ground = &self.room.grounds[shelf.frames[0]];
        let placements = cutting
            .cutouts
            .iter()
            .map(|c| Placement {
                part: self.job.parts[c.part].id.clone(),
                copy: c.copy.unwrap_or(0),
                at: c.placed,
                ..Placement::default()
            })
            .collect();
        Layout {
            board: board_copy(self.job, shelf.stock),
            way: Way::Straight,
            frame: ground.frame,
            placements,
            cuts: Some(cutting.finished_tree(|w| is_offcut(self.job, ground, w))),
        }
    }
}
