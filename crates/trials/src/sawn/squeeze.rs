//! Squeezing a strip: shrink, part what overlaps, shrink again.
//!
//! Outlines of many corners are seen coarsely while arrangements are looked for: a pair of
//! arcs of 22 convex pieces each has 484 no-fit polygons, of 9 pieces 81. What is found is then
//! pressed together as the fine outlines allow, which gives back the area that was lent.
//!
//! There are two phases: exploring by larger steps with restarts from the least bad layouts, and
//! pressing the best one together (the frame of Gardeyn, Vanden Berghe & Wauters 2025). Where
//! exploring fails its steps are halved, and a better layout of another worker does not end a try
//! that would still be shorter.

use std::sync::Arc;

use heartside_geometry::Arrange;
use heartside_timber::job::Job;

use heartside_nest::kit::{
    Chance, Floor, Form, Lie, Moved, Phase as Outside, Separation, Stepped, Tools, Yard, is_sound,
};

/// By how much the strip is shortened at a time while looking for new arrangements.
///
/// Larger steps fail more often; smaller ones spend their time on parting what hardly overlaps.
const LARGE_STEP: f64 = 0.005;

/// That step is made smaller where a round of tries has failed, down to this, and larger again where one succeeds.
const LEAST_LARGE_STEP: f64 = 0.001;
const AFTER_FAILURES: f64 = 0.5;
const AFTER_SUCCESS: f64 = 1.3;

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

/// A layout and how long it is.
#[derive(Debug, Clone)]
struct Held {
    lies: Vec<Lie>,
    length: f64,
}

/// A strip being squeezed.
#[derive(Debug)]
pub(crate) struct Squeeze {
    /// The best layout, seen finely.
    best: Held,
    /// What new arrangements are looked for from, seen as they are.
    base: Held,
    /// What is pressed together, seen finely.
    pressed: Held,
    /// The base has changed since it was pressed.
    is_fresh: bool,
    board: usize,
    start: f64,
    /// The same parts seen coarsely, where that makes them simpler.
    coarse: Option<Box<Yard>>,
    separation: Separation,
    /// The length tried now.
    target: f64,
    phase: Phase,
    /// Least loss of this try and its layout.
    least: f64,
    least_lies: Vec<Lie>,
    stale: u32,
    tries: u32,
    given_up: u32,
    /// The steps by which it is shortened in the two phases.
    large_step: f64,
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

impl Phase {
    /// The parts as they are seen in this phase.
    fn sees<'a>(self, coarse: &'a mut Option<Box<Yard>>, fine: &'a mut Yard) -> &'a mut Yard {
        match (self, coarse) {
            (Phase::Explore, Some(coarse)) => coarse,
            _ => fine,
        }
    }
}

impl Squeeze {
    /// Starts from the sound layout of a strip; none where nothing lies there.
    pub(crate) fn start(tools: &mut Tools<'_>, floor: &Floor) -> Option<Squeeze> {
        let lies = floor
            .boards
            .first()
            .filter(|lies| !lies.is_empty())?
            .clone();
        let board = tools.stock[0].board;
        Some(Squeeze::new(
            tools.yard,
            tools.job,
            board,
            lies,
            tools.chance,
        ))
    }

    fn new(
        yard: &mut Yard,
        job: &Job,
        board: usize,
        lies: Vec<Lie>,
        chance: &mut Chance,
    ) -> Squeeze {
        let start = yard.frame(board).min.x;
        let best = Held {
            length: reach(&lies) - start,
            lies,
        };
        let mut coarse = yard.coarse(job, board).map(Box::new);
        let base = match &mut coarse {
            Some(coarse) => seen_coarsely(&best, yard, coarse, job, board),
            None => best.clone(),
        };
        let seen = coarse.as_deref_mut().unwrap_or(yard);
        let separation = Separation::new(seen, job, board, base.lies.clone(), f64::INFINITY);
        let mut squeeze = Squeeze {
            least_lies: base.lies.clone(),
            pressed: best.clone(),
            target: base.length,
            is_fresh: true,
            best,
            base,
            board,
            start,
            coarse,
            separation,
            phase: Phase::Explore,
            least: f64::INFINITY,
            stale: 0,
            tries: 0,
            given_up: 0,
            large_step: LARGE_STEP,
            small_step: SMALL_STEPS.0,
            pool: Vec::new(),
        };
        squeeze.shrink(yard, job, chance, LARGE_STEP);
        squeeze
    }

    fn succeed(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) -> bool {
        let sound = is_sound(yard, job, self.board, &self.separation.lies);
        let found = Held {
            length: self.separation.reach() - self.start,
            lies: self.separation.lies.clone(),
        };
        let fine = match (self.phase, &self.coarse) {
            (Phase::Explore, Some(_)) => {
                let lies = recast(&found.lies, yard, job, self.board);
                let length = reach(&lies) - self.start;
                Held { lies, length }
            }
            _ => found.clone(),
        };
        let better = sound && fine.length < self.best.length;
        if better {
            self.best = fine.clone();
        }
        self.given_up = 0;
        match self.phase {
            Phase::Explore => {
                if sound && found.length < self.base.length {
                    self.base = found;
                    self.is_fresh = true;
                    self.large_step = (self.large_step * AFTER_SUCCESS).min(LARGE_STEP);
                    self.pool.clear();
                }
                self.shrink(yard, job, chance, self.large_step);
            }
            Phase::Press => {
                if sound && fine.length < self.pressed.length {
                    self.pressed = fine;
                }
                self.shrink(yard, job, chance, self.small_step);
            }
        }
        better
    }

    fn after_pass(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) {
        let loss = self.separation.loss();
        if loss < self.least * GAIN {
            self.stale = 0;
        } else {
            self.stale += 1;
        }
        if loss < self.least {
            self.least = loss;
            self.least_lies.clone_from_slice(&self.separation.lies);
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
            let seen = self.phase.sees(&mut self.coarse, yard);
            self.separation.lay(seen, job, &self.least_lies);
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
                    self.disturb(yard, job, lies, chance);
                } else {
                    self.press(yard, job, chance);
                }
            }
            Phase::Press => {
                self.small_step *= SMALLER;
                if self.small_step < SMALL_STEPS.1 {
                    self.explore(yard, job, chance);
                } else {
                    self.shrink(yard, job, chance, self.small_step);
                }
            }
        }
    }

    /// Begins to press what was found last, or the best layout where that has been pressed.
    fn press(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) {
        self.pressed = self.best.clone();
        if self.is_fresh && self.coarse.is_some() {
            let lies = recast(&self.base.lies, yard, job, self.board);
            let length = reach(&lies) - self.start;
            self.pressed = Held { lies, length };
        }
        self.is_fresh = false;
        self.phase = Phase::Press;
        self.small_step = SMALL_STEPS.0;
        self.shrink(yard, job, chance, self.small_step);
    }

    /// Looks for new arrangements again, after a disturbance.
    fn explore(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) {
        if self.coarse.is_none() {
            self.base = self.best.clone();
        }
        self.phase = Phase::Explore;
        self.large_step = (self.large_step * AFTER_FAILURES).max(LEAST_LARGE_STEP);
        self.given_up = 0;
        self.pool.clear();
        self.shrink(yard, job, chance, self.large_step);
        let lies = self.separation.lies.clone();
        self.disturb(yard, job, lies, chance);
    }

    /// Begins a try with a layout in which two pieces have changed places.
    fn disturb(&mut self, yard: &mut Yard, job: &Job, lies: Vec<Lie>, chance: &mut Chance) {
        let seen = self.coarse.as_deref_mut().unwrap_or(yard);
        let lies = disturbed(seen, lies, chance);
        self.separation.forget();
        self.separation.lay(seen, job, &lies);
        self.begin_try();
    }

    fn remember(&mut self) {
        let entry = (self.least, self.least_lies.clone());
        let place = self.pool.partition_point(|p| p.0 <= entry.0);
        self.pool.insert(place, entry);
        self.pool.truncate(POOL);
    }

    /// Shortens the base, or what is pressed: what lies right of a random line moves to the left.
    fn shrink(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance, by: f64) {
        let from = match self.phase {
            Phase::Explore => &self.base,
            Phase::Press => &self.pressed,
        };
        let seen = self.phase.sees(&mut self.coarse, yard);
        self.target = from.length * (1.0 - by);
        let cut = self.start + chance.unit() * from.length;
        // Below nought where a layout is given more room, to be seen coarsely.
        let step = reach(&from.lies) - self.start - self.target;
        let mut lies = from.lies.clone();
        for lie in lies.iter_mut().filter(|l| !l.pinned) {
            if lie.bounds().centre().x > cut {
                lie.at.x = job.snap(lie.at.x - step);
            }
        }
        self.separation = Separation::new(seen, job, self.board, lies, self.start + self.target);
        self.begin_try();
    }

    fn begin_try(&mut self) {
        self.least = f64::INFINITY;
        self.stale = 0;
        self.tries = 0;
    }
}

impl Outside for Squeeze {
    /// One move.
    fn step(&mut self, tools: &mut Tools<'_>, floor: &mut Floor) -> Stepped {
        let Tools {
            job, yard, chance, ..
        } = tools;
        let seen = self.phase.sees(&mut self.coarse, yard);
        let is_better = match self.separation.step(seen, job, chance) {
            Moved::On => false,
            Moved::Clear => self.succeed(yard, job, chance),
            Moved::PassEnded => {
                self.after_pass(yard, job, chance);
                false
            }
        };
        if !is_better {
            return Stepped::On;
        }
        floor.boards[0].clone_from(&self.best.lies);
        Stepped::Better
    }

    /// Takes up a better layout found elsewhere; what is being tried goes on where it is still worth it.
    fn adopt(&mut self, tools: &mut Tools<'_>, floor: &Floor) {
        let Tools {
            job, yard, chance, ..
        } = tools;
        let lies = floor.boards[0].clone();
        self.best = Held {
            length: reach(&lies) - self.start,
            lies,
        };
        let base = match &mut self.coarse {
            Some(coarse) => seen_coarsely(&self.best, yard, coarse, job, self.board),
            None => self.best.clone(),
        };
        if base.length < self.base.length {
            self.base = base;
            self.is_fresh = true;
        }
        match self.phase {
            Phase::Explore if self.target >= self.base.length => {
                self.pool.clear();
                self.given_up = 0;
                self.shrink(yard, job, chance, self.large_step);
            }
            Phase::Explore => {}
            Phase::Press => {
                self.pressed = self.best.clone();
                self.shrink(yard, job, chance, self.small_step);
            }
        }
    }
}

/// Swaps two of the larger pieces that differ.
fn disturbed(yard: &Yard, mut lies: Vec<Lie>, chance: &mut Chance) -> Vec<Lie> {
    let mut large: Vec<usize> = (0..lies.len()).filter(|k| !lies[*k].pinned).collect();
    large.arrange_by(|a, b| {
        let area = |k: usize| yard.area(lies[k].form.part);
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

/// The greatest x that any piece reaches with its allowance.
fn reach(lies: &[Lie]) -> f64 {
    lies.iter()
        .map(|lie| lie.bounds().max.x + lie.form.radius)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// The same layout as another yard sees it.
fn recast(lies: &[Lie], yard: &mut Yard, job: &Job, board: usize) -> Vec<Lie> {
    let cast = |lie: &Lie| {
        let (part, turn, over) = (lie.form.part, lie.form.turn, lie.form.turned_over);
        let mut ready = yard.forms_on(job, board, part).into_iter();
        let same = |form: &Arc<Form>| form.turn == turn && form.turned_over == over;
        let form = ready
            .find(same)
            .unwrap_or_else(|| yard.form(part, turn, over));
        Lie {
            form,
            ..lie.clone()
        }
    };
    lies.iter().map(cast).collect()
}

/// A layout as long as it would be, were it as dense with the coarse outlines.
fn seen_coarsely(held: &Held, fine: &Yard, coarse: &mut Yard, job: &Job, board: usize) -> Held {
    let area = |yard: &Yard| -> f64 {
        let parts = held.lies.iter().map(|lie| lie.form.part);
        parts.map(|part| yard.seen_area(part)).sum()
    };
    Held {
        length: held.length * area(coarse) / area(fine),
        lies: recast(&held.lies, coarse, job, board),
    }
}
