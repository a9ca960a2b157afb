//! Squeezing a strip: shrink, part what overlaps, shrink again.

use heartside_geometry::Arrange;
use heartside_timber::job::Job;

use super::ground::Yard;
use super::lie::Lie;
use super::tangle::{Moved, Tangle};
use super::verify::is_sound;
use crate::chance::Chance;

/// By how much the strip is shortened at a time while looking for new arrangements.
///
/// Larger steps fail more often; smaller ones spend their time on parting what hardly overlaps.
const LARGE_STEP: f64 = 0.005;

/// The first and the last step by which a good arrangement is pressed together.
const SMALL_STEPS: (f64, f64) = (0.002, 0.000_01);

/// What is left of a small step after it failed.
const SMALLER: f64 = 0.6;

/// Passes without a gain of this share of the loss that end a try.
const PATIENCE: u32 = 60;
const GAIN: f64 = 0.98;

/// Tries from the least bad layout before a step is given up.
const TRIES: u32 = 3;

/// Steps given up in a row before the best layout is pressed together.
const GIVEN_UP: u32 = 6;

/// Least bad layouts remembered.
const POOL: usize = 8;

/// A strip being squeezed.
#[derive(Debug)]
pub(super) struct Squeeze {
    best: Vec<Lie>,
    board: usize,
    start: f64,
    /// Length of the best layout.
    length: f64,
    tangle: Tangle,
    /// The length tried now.
    target: f64,
    phase: Phase,
    /// Least loss of this try and its layout.
    least: f64,
    least_lies: Vec<Lie>,
    stale: u32,
    tries: u32,
    given_up: u32,
    small_step: f64,
    pool: Vec<(f64, Vec<Lie>)>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Phase {
    /// Looking for new arrangements.
    Explore,
    /// Pressing the best one together.
    Press,
}

impl Squeeze {
    /// Starts from a sound layout on a board.
    pub(super) fn new(
        yard: &mut Yard,
        job: &Job,
        board: usize,
        lies: Vec<Lie>,
        chance: &mut Chance,
    ) -> Squeeze {
        let start = yard.boards[board].frame.min.x;
        let tangle = Tangle::new(yard, job, board, lies.clone(), f64::INFINITY);
        let length = tangle.reach() - start;
        let mut squeeze = Squeeze {
            least_lies: lies.clone(),
            best: lies,
            board,
            start,
            length,
            tangle,
            target: length,
            phase: Phase::Explore,
            least: f64::INFINITY,
            stale: 0,
            tries: 0,
            given_up: 0,
            small_step: SMALL_STEPS.0,
            pool: Vec::new(),
        };
        squeeze.shrink(yard, job, chance, LARGE_STEP);
        squeeze
    }

    /// The best layout.
    pub(super) fn best(&self) -> &[Lie] {
        &self.best
    }

    /// One move; true if the best layout changed.
    pub(super) fn step(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) -> bool {
        match self.tangle.step(yard, job, chance) {
            Moved::On => false,
            Moved::Clear => self.succeed(yard, job, chance),
            Moved::PassEnded => {
                self.after_pass(yard, job, chance);
                false
            }
        }
    }

    fn succeed(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) -> bool {
        let length = self.tangle.reach() - self.start;
        let better = length < self.length && is_sound(yard, job, self.board, &self.tangle.lies);
        if better {
            self.length = length;
            self.best.clone_from_slice(&self.tangle.lies);
            self.pool.clear();
        }
        self.given_up = 0;
        match self.phase {
            Phase::Explore => self.shrink(yard, job, chance, LARGE_STEP),
            Phase::Press => self.shrink(yard, job, chance, self.small_step),
        }
        better
    }

    fn after_pass(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) {
        let loss = self.tangle.loss();
        if loss < self.least * GAIN {
            self.stale = 0;
        } else {
            self.stale += 1;
        }
        if loss < self.least {
            self.least = loss;
            self.least_lies.clone_from_slice(&self.tangle.lies);
        }
        if self.stale < PATIENCE {
            return;
        }
        self.stale = 0;
        self.tries += 1;
        let tries = match self.phase {
            Phase::Explore => TRIES,
            Phase::Press => 1,
        };
        if self.tries < tries {
            self.tangle.lay(yard, job, &self.least_lies);
            return;
        }
        self.give_up(yard, job, chance);
    }

    fn give_up(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) {
        match self.phase {
            Phase::Explore => {
                self.remember();
                self.given_up += 1;
                if self.given_up < GIVEN_UP {
                    // One of the least bad layouts, rather a better one, disturbed.
                    let pick = chance
                        .below(self.pool.len())
                        .min(chance.below(self.pool.len()));
                    let lies = self.pool[pick].1.clone();
                    let lies = self.disturbed(yard, job, lies, chance);
                    self.tangle.forget();
                    self.tangle.lay(yard, job, &lies);
                    self.begin_try();
                } else {
                    self.phase = Phase::Press;
                    self.small_step = SMALL_STEPS.0;
                    self.shrink(yard, job, chance, self.small_step);
                }
            }
            Phase::Press => {
                self.small_step *= SMALLER;
                if self.small_step < SMALL_STEPS.1 {
                    self.phase = Phase::Explore;
                    self.given_up = 0;
                    self.pool.clear();
                    self.shrink(yard, job, chance, LARGE_STEP);
                    let lies = self.disturbed(yard, job, self.tangle.lies.clone(), chance);
                    self.tangle.lay(yard, job, &lies);
                } else {
                    self.shrink(yard, job, chance, self.small_step);
                }
            }
        }
    }

    fn remember(&mut self) {
        let entry = (self.least, self.least_lies.clone());
        let place = self.pool.partition_point(|p| p.0 <= entry.0);
        self.pool.insert(place, entry);
        self.pool.truncate(POOL);
    }

    /// Shortens the best layout: what lies right of a random line moves to the left.
    fn shrink(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance, by: f64) {
        self.target = self.length * (1.0 - by);
        let cut = self.start + chance.unit() * self.length;
        let step = self.length - self.target;
        let mut lies = self.best.clone();
        for lie in lies.iter_mut().filter(|l| !l.pinned) {
            if lie.bounds().centre().x > cut {
                lie.at.x = job.snap(lie.at.x - step);
            }
        }
        self.tangle.forget();
        self.tangle.set_right(yard, job, self.start + self.target);
        self.tangle.lay(yard, job, &lies);
        self.begin_try();
    }

    fn begin_try(&mut self) {
        self.least = f64::INFINITY;
        self.stale = 0;
        self.tries = 0;
    }

    /// Swaps two of the larger pieces that differ.
    fn disturbed(
        &self,
        yard: &Yard,
        _job: &Job,
        mut lies: Vec<Lie>,
        chance: &mut Chance,
    ) -> Vec<Lie> {
        let mut large: Vec<usize> = (0..lies.len()).filter(|k| !lies[*k].pinned).collect();
        large.arrange_by(|a, b| {
            let area = |k: usize| yard.shapes[lies[k].form.part].area;
            area(*b).total_cmp(&area(*a)).then(a.cmp(b))
        });
        // The quarter with the largest areas, but some at least.
        let pick_from = (large.len() / 4).max(6).min(large.len());
        for _ in 0..20 {
            if pick_from < 2 {
                break;
            }
            let (a, b) = (
                large[chance.below(pick_from)],
                large[chance.below(large.len())],
            );
            if a == b || lies[a].form.part == lies[b].form.part {
                continue;
            }
            let (centre_a, centre_b) = (lies[a].bounds().centre(), lies[b].bounds().centre());
            lies[a].at += centre_b - centre_a;
            lies[b].at += centre_a - centre_b;
            break;
        }
        lies
    }
}
