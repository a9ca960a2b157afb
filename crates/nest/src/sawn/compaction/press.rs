//! The pieces of one board, pressed towards the side away from the kept one.

use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;

use super::side::{blank, extent, inward, line, opposite, snapped, used_by};
use crate::cuts::side::Side;
use crate::sawn::lie::Lie;
use crate::sawn::separation::Separation;
use crate::sawn::tools::Tools;

/// The first step, the first after the pieces were disturbed, and the last, as shares of how far
/// the pieces reach; none below [`LEAST_STEP`].
pub(super) const STEPS: (f64, f64, f64) = (0.04, 0.01, 0.002);

pub(super) const LEAST_STEP: f64 = 0.5;

/// Passes without a gain of this share of the loss that end a try.
const PASSES: u32 = 30;

const GAIN: f64 = 0.98;

/// How pieces are brought to a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Start {
    AsTheyLie,
    TwoSwapped,
    Scattered,
}

/// One board being pressed.
#[derive(Debug)]
pub(super) struct Press {
    pub(super) stock: usize,
    pub(super) board: usize,
    /// The box round the board.
    pub(super) frame: Bounds,
    /// The side that is kept.
    pub(super) side: Side,
    /// The pieces can reach no less far than this.
    pub(super) shortest: f64,
    /// The pieces, the block last.
    pub(super) separation: Separation,
    /// The tightest sound layout and how far it reaches.
    pub(super) best: Option<(f64, Vec<Lie>)>,
    /// The best was judged already.
    pub(super) is_judged: bool,
    /// How far the pieces may reach.
    pub(super) target: f64,
    pub(super) step: f64,
    pub(super) least: f64,
    pub(super) stale: u32,
    pub(super) tries: u32,
}

impl Press {
    /// The pieces without the block.
    pub(super) fn pieces(&self) -> &[Lie] {
        self.separation
            .lies
            .split_last()
            .map_or(&[], |(_, lies)| lies)
    }

    /// The best layout, if it was not judged yet and is to be now.
    pub(super) fn unjudged(&mut self, is_due: bool) -> Option<Vec<Lie>> {
        if self.is_judged || !is_due {
            return None;
        }
        self.is_judged = true;
        self.best.as_ref().map(|(_, lies)| lies.clone())
    }

    /// A pass has ended: true if the try goes on.
    pub(super) fn has_patience(&mut self) -> bool {
        let loss = self.separation.loss();
        if loss < self.least * GAIN {
            self.stale = 0;
        } else {
            self.stale += 1;
        }
        self.least = self.least.min(loss);
        self.stale < PASSES
    }

    /// Asks for a step more than the best: what lies beyond a random line moves by so much.
    /// False where no step is left.
    pub(super) fn go_on(&mut self, tools: &mut Tools<'_>, job: &Job) -> bool {
        let Some((reach, lies)) = &self.best else {
            return false;
        };
        let least_step = (STEPS.2 * reach).max(LEAST_STEP);
        while self.step >= least_step && reach - self.step < self.shortest {
            self.step *= 0.5;
        }
        if self.step < least_step {
            return false;
        }
        self.target = reach - self.step;
        let cut = tools.chance.unit() * reach;
        let by = inward(self.side) * self.step;
        let mut lies = lies.clone();
        for lie in lies.iter_mut().filter(|l| !l.pinned) {
            let centre = lie.bounds().centre();
            if used_by(&self.frame, self.side, &Bounds::new(centre, centre)) > cut {
                lie.at = snapped(job, lie.at + by);
            }
        }
        self.separation.forget();
        self.lay(tools, job, lies);
        true
    }

    /// Begins a try from these places, within the target.
    pub(super) fn lay(&mut self, tools: &mut Tools<'_>, job: &Job, mut lies: Vec<Lie>) {
        for lie in lies.iter_mut().filter(|l| !l.pinned) {
            let over = used_by(&self.frame, self.side, &blank(lie)) - self.target;
            if over > 0.0 {
                lie.at = snapped(job, lie.at + inward(self.side) * over);
            }
        }
        if let Some(block) = self.separation.lies.last() {
            let mut block = block.clone();
            let beyond = self.target + tools.yard.no_fits.kerf();
            let edge = line(&self.frame, self.side, beyond);
            let (size, middle) = (block.form.bounds.width(), self.frame.centre());
            let across = Point::new(middle.x - 0.5 * size, middle.y - 0.5 * size);
            block.at = match self.side {
                Side::HighX => Point::new(edge, across.y),
                Side::LowX => Point::new(edge - size, across.y),
                Side::HighY => Point::new(across.x, edge),
                Side::LowY => Point::new(across.x, edge - size),
            };
            lies.push(block);
        }
        if self.side == Side::HighX {
            let right = line(&self.frame, self.side, self.target);
            self.separation.set_right(tools.yard, job, right);
        }
        self.separation.lay(tools.yard, job, &lies);
        self.least = f64::INFINITY;
        self.stale = 0;
    }

    /// Where the pieces are when a side is tried: brought together into what they may use.
    pub(super) fn started(
        &self,
        tools: &mut Tools<'_>,
        job: &Job,
        lies: &[Lie],
        start: Start,
    ) -> Vec<Lie> {
        let mut lies = lies.to_vec();
        let free: Vec<usize> = (0..lies.len()).filter(|k| !lies[*k].pinned).collect();
        match start {
            Start::AsTheyLie => {}
            Start::TwoSwapped => {
                let (a, b) = (
                    free[tools.chance.below(free.len())],
                    free[tools.chance.below(free.len())],
                );
                let by = lies[b].bounds().centre() - lies[a].bounds().centre();
                lies[a].at = snapped(job, lies[a].at + by);
                lies[b].at = snapped(job, lies[b].at - by);
            }
            Start::Scattered => {
                for k in free {
                    let part = lies[k].form.part;
                    let choices = tools.yard.choices(job, self.board, part);
                    if choices.all.is_empty() {
                        continue;
                    }
                    let form = choices.all[tools.chance.below(choices.all.len())].clone();
                    let room = tools.yard.room(self.board, &form);
                    let (x, y) = (tools.chance.unit(), tools.chance.unit());
                    let wide = |from: f64, to: f64, share: f64| from + share * (to - from).max(0.0);
                    lies[k].at = Point::new(
                        wide(room.min.x, room.max.x, x),
                        wide(room.min.y, room.max.y, y),
                    );
                    lies[k].form = form;
                }
            }
        }
        self.brought_together(job, lies)
    }

    /// The pieces drawn together along the direction that is pressed until they fit into the
    /// target, in the same order, at the side away from the kept one.
    fn brought_together(&self, job: &Job, mut lies: Vec<Lie>) -> Vec<Lie> {
        // Along this direction, from the pressed side: where a blank begins and ends.
        let opposite = opposite(self.side);
        let length = extent(&self.frame, self.side);
        let span = |lie: &Lie| {
            let bounds = blank(lie);
            let begin = length - used_by(&self.frame, opposite, &bounds);
            (begin, used_by(&self.frame, self.side, &bounds))
        };
        let spans = lies.iter().filter(|l| !l.pinned).map(span);
        let (low, high) = spans.fold((f64::INFINITY, f64::NEG_INFINITY), |all, one| {
            (all.0.min(one.0), all.1.max(one.1))
        });
        // As much stays free at the pressed side as was at the side where more was in use.
        let from = low.min(length - high).max(0.0).min(self.target);
        let room = (self.target - from).min(high - low);
        for lie in lies.iter_mut().filter(|l| !l.pinned) {
            let (begin, end) = span(lie);
            let own = end - begin;
            let play = high - low - own;
            let share = if play > 0.0 {
                (begin - low) / play
            } else {
                0.0
            };
            let wanted = from + share * (room - own).max(0.0);
            lie.at = snapped(job, lie.at + inward(self.side) * (begin - wanted));
        }
        lies
    }
}
