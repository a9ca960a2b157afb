//! The best of the places proposed for a piece, improved step by step.

use heartside_geometry::{Arrange, Point, Vector};
use heartside_timber::job::Job;

use super::places::Proposal;
use super::{Separation, size_of, snapped, within};
use crate::chance::Chance;
use crate::sawn::shape::Form;
use crate::sawn::yard::Yard;

/// So many of the proposed places are improved step by step, and then so many of them finely on strips.
const POLISHED: usize = 3;
const FINISHED: usize = 1;

/// The first step of that and the last ones, as shares of the piece's lesser extent.
const FIRST_STEP: f64 = 0.2;
const ROUGHLY: f64 = 0.03;
const FINELY: f64 = 0.004;

/// In so many of a hundred cases a place is also improved by turning, and so many turns are tried.
///
/// A turned form is new to the table of no-fit polygons: each costs as much as some hundred moves.
const TURNED: u32 = 20;
const TURNS: usize = 3;

impl Separation {
    /// Moves a piece to the best place found, if that is better than where it lies.
    pub(super) fn move_piece(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance, k: usize) {
        let lie = self.lies[k].clone();
        let on = self.on[k];
        let here = self.cost(yard, job, k, (on, &lie.form, lie.at), f64::INFINITY);
        let mut best = Proposal {
            on,
            form: lie.form.clone(),
            at: lie.at,
            cost: here,
        };
        let mut proposals = self.proposals(yard, job, chance, k, POLISHED);
        proposals.push(best.clone());
        // All are improved roughly, then the most promising ones finely.
        let mut steps = Vec::with_capacity(proposals.len());
        for (number, proposal) in proposals.iter_mut().enumerate() {
            let first = FIRST_STEP * size_of(&proposal.form);
            let mut step = (first, first);
            self.descend(yard, job, chance, k, proposal, &mut step, ROUGHLY);
            steps.push((proposal.cost, number, step));
        }
        steps.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        // On boards that are filled to the last corner more of them are worth it.
        let finished = if self.right.is_finite() {
            FINISHED
        } else {
            POLISHED + 1
        };
        for (_, number, mut step) in steps.into_iter().take(finished) {
            let mut polished = proposals[number].clone();
            self.descend(yard, job, chance, k, &mut polished, &mut step, FINELY);
            if polished.cost > 0.0 {
                self.push_out(yard, job, k, &mut polished);
            }
            polished.at = snapped(job, polished.at);
            polished.cost = self.cost(yard, job, k, polished.place(), f64::INFINITY);
            if polished.cost < best.cost {
                best = polished;
            }
            if best.cost <= 0.0 {
                break;
            }
        }
        if best.cost > 0.0 && !self.choices[best.on][k].ranges.is_empty() && chance.percent(TURNED)
        {
            self.turn_a_little(yard, job, k, &mut best);
            self.push_out(yard, job, k, &mut best);
            best.at = snapped(job, best.at);
            best.cost = self.cost(yard, job, k, best.place(), f64::INFINITY);
        }
        if best.cost < here {
            self.lies[k].form = best.form;
            self.lies[k].at = best.at;
            let before = self.boxes[k];
            self.boxes[k] = self.lies[k].bounds().grown(self.lies[k].form.radius);
            self.slabs[on].set(k, &before, false);
            self.on[k] = best.on;
            self.slabs[best.on].set(k, &self.boxes[k], true);
            self.measure(yard, job, k);
        }
    }

    /// Improves a place by steps along the axes that grow with success and shrink with failure, until they are less than `least` of the piece.
    #[allow(clippy::too_many_arguments)]
    fn descend(
        &self,
        yard: &mut Yard,
        job: &Job,
        chance: &mut Chance,
        k: usize,
        best: &mut Proposal,
        (dx, dy): &mut (f64, f64),
        least: f64,
    ) {
        let room = self.room(yard, best.on, &best.form);
        let least = least * size_of(&best.form);
        while dx.max(*dy) > least && best.cost > 0.0 {
            let moves: [Vector; 2] = match chance.below(4) {
                0 => [Vector::new(*dx, 0.0), Vector::new(-*dx, 0.0)],
                1 => [Vector::new(0.0, *dy), Vector::new(0.0, -*dy)],
                2 => [Vector::new(*dx, *dy), Vector::new(-*dx, -*dy)],
                _ => [Vector::new(*dx, -*dy), Vector::new(-*dx, *dy)],
            };
            let mut better = false;
            for by in moves {
                let at = within(&room, best.at + by);
                let cost = self.cost(yard, job, k, (best.on, &best.form, at), best.cost);
                if cost < best.cost {
                    best.at = at;
                    best.cost = cost;
                    better = true;
                }
            }
            let factor = if better { 1.1 } else { 0.5 };
            if moves[0].x != 0.0 {
                *dx *= factor;
            }
            if moves[0].y != 0.0 {
                *dy *= factor;
            }
        }
    }

    /// Turns the piece about its middle, within what the grain allows, by steps that are halved where neither way is better.
    fn turn_a_little(&self, yard: &mut Yard, job: &Job, k: usize, best: &mut Proposal) {
        let choices = self.choices[best.on][k].clone();
        let widest = choices
            .ranges
            .iter()
            .map(|(l, h)| h - l)
            .fold(0.0, f64::max);
        let grid = (widest / 16.0).min(1.0);
        let mut step = 4.0 * grid;
        for _ in 0..TURNS {
            let mut better = false;
            for by in [step, -step] {
                // Few turns come up again and again; thousandths of a degree: short numbers in a plan.
                let turn =
                    (((best.form.turn + by) / grid).round() * grid * 1000.0).round() / 1000.0;
                let Some(turn) = choices.allowed(turn) else {
                    continue;
                };
                let wanted = (best.form.part, turn, best.form.turned_over);
                let Some(form) = yard.turned(job, self.boards[best.on], wanted, true) else {
                    continue;
                };
                let middle = best.form.bounds.centre() - form.bounds.centre();
                let on = best.on;
                let at = within(&self.room(yard, on, &form), best.at + middle);
                let cost = self.cost(yard, job, k, (on, &form, at), best.cost);
                if cost < best.cost {
                    *best = Proposal { on, form, at, cost };
                    better = true;
                    break;
                }
            }
            if best.cost <= 0.0 {
                return;
            }
            if !better {
                step *= 0.5;
            }
        }
    }

    /// Moves the piece straight out of the neighbour that it overlaps by most, again and again; the best place on the way is kept.
    fn push_out(&self, yard: &mut Yard, job: &Job, k: usize, best: &mut Proposal) {
        let room = self.room(yard, best.on, &best.form);
        let mut at = best.at;
        for _ in 0..6 {
            let Some(by) = self.way_out(yard, k, (best.on, &best.form, at)) else {
                return;
            };
            at = within(&room, at + by);
            let cost = self.cost(yard, job, k, (best.on, &best.form, at), f64::INFINITY);
            if cost < best.cost {
                best.at = at;
                best.cost = cost;
            }
            if cost <= 0.0 {
                return;
            }
        }
    }

    /// The shortest way out of the deepest overlap, weights counted.
    fn way_out(
        &self,
        yard: &mut Yard,
        k: usize,
        (on, form, at): (usize, &Form, Point),
    ) -> Option<Vector> {
        let n = self.lies.len();
        let slack = yard.margin.slack;
        let mut worst = (0.0, Vector::ZERO);
        if let Some(out) = yard.way_off_rim(self.boards[on], form, at) {
            worst = (self.own_weights[k] * out.depth, out.direction * out.depth);
        }
        let own = form.bounds_at(at).grown(form.radius + yard.no_fits.kerf());
        for j in 0..n {
            if j == k || self.on[j] != on || !own.intersects(&self.boxes[j]) {
                continue;
            }
            let other = &self.lies[j];
            if let Some(out) = yard
                .no_fits
                .between(form, &other.form)
                .way_out(Point::ORIGIN + (at - other.at), slack)
            {
                let weighted = self.weights[k * n + j] * out.depth;
                if weighted > worst.0 {
                    worst = (weighted, out.direction * out.depth);
                }
            }
        }
        (worst.0 > 0.0).then_some(worst.1)
    }
}
