//! A search over what gives: values of dimensions with a range, widths and numbers of staves.
//!
//! A [`Job`] is made for one set of choices, and a [`Search`] looks for its best plan. Here the best
//! plan so far is held with its choices and its search; every other step goes to a trial, a search of
//! the job for other choices that goes on from what of the held plan is untouched by them. A trial
//! that comes to a better plan is held from then on. Trials are short at first and longer with
//! every round, so that what failed for want of steps is tried again (the steps of a round are
//! doubled, as in restarted searches: Luby, Sinclair & Zuckerman 1993).
//!
//! One size by itself is a bisection with the search as oracle: bigger is harder. Several are taken in
//! the maker's order, from the corners of their ranges inwards.

mod choosing;
mod lanes;
mod laying;
mod sizes;
mod staves;

use std::sync::Arc;

use heartside_timber::choices::Choices;
use heartside_timber::job::{Goal, Job, Part};
use heartside_timber::plan::{Bound, Layout, Made, Plan};
use heartside_timber::score::Score;

use crate::chance::Chance;
use crate::floor::{Floor, greater_bound};
use crate::hearts::in_turns;
use crate::search::{Search, SearchError, Status};
use crate::settings::Settings;
use laying::{Proposal, laid};
use sizes::Sizes;
use staves::Staves;

/// Makes the job for other choices. What of them does not hold is as usual, so that the job may come
/// out for others than asked: [`choices_of`] tells.
pub type Remake = Arc<dyn Fn(&Choices) -> Job + Send + Sync>;

/// Steps of a trial in the first round, for each piece and board of the job, and beside them.
const TRIAL_STEPS: (u64, u64) = (4, 40);

/// After so many rounds trials grow no longer.
const MOST_ROUNDS: u32 = 12;

/// Steps between two of the floor, which take up to some milliseconds; they end after some thousand.
const FLOOR_EVERY: u64 = 100;

/// Most trials of staves in a round.
const STAVE_TRIALS: u32 = 12;

/// The choices that a job was made for.
pub fn choices_of(job: &Job) -> Choices {
    Choices {
        dimensions: job.dimensions.iter().map(|d| d.value.clone()).collect(),
        panels: job.panel_choices(),
    }
}

/// True where something of the job gives: a search may choose.
pub fn gives(job: &Job) -> bool {
    job.goal == Goal::Furnish
        && (job.dimensions.iter().any(|d| d.gives()) || job.panels.iter().any(staves::gives))
}

/// A search for the best plan of a job whose sizes and staves may give. Where nothing gives it is the
/// search of the job.
pub struct Giving {
    remake: Option<Remake>,
    settings: Settings,
    held: Held,
    trial: Option<Trial>,
    proposals: Proposals,
    steps: u64,
    /// Steps that the first search has for itself.
    alone: u64,
    best: Plan,
    /// A floor under plans of the held job, where one is asked for and a plan is whole.
    floor: Option<Floor>,
}

/// A search and the job that it is of.
struct Held {
    job: Job,
    search: Search,
}

/// A search of the job for other choices, and the steps that it still has.
struct Trial {
    held: Held,
    left: u64,
}

/// What is tried next.
struct Proposals {
    round: u32,
    sizes: Sizes,
    staves: Staves,
    chance: Chance,
    /// Trials of staves made in this round.
    stave_trials: u32,
    /// The trial under way is of staves.
    of_staves: bool,
}

impl Giving {
    /// A search that has made no step yet; `remake` makes the same job for other choices.
    ///
    /// # Errors
    /// As [`Search::new`].
    pub fn new(job: &Job, settings: Settings, remake: Remake) -> Result<Giving, SearchError> {
        let search = Search::new(job, settings)?;
        let best = search.best().clone();
        let boards: u64 = job.boards.iter().map(|b| u64::from(b.left())).sum();
        Ok(Giving {
            remake: gives(job).then_some(remake),
            settings,
            trial: None,
            proposals: Proposals {
                round: 0,
                sizes: Sizes::default(),
                staves: Staves::default(),
                chance: Chance::new(settings.seed, settings.worker, 7),
                stave_trials: 0,
                of_staves: false,
            },
            steps: 0,
            alone: TRIAL_STEPS.0 * (job.piece_count() + boards) + TRIAL_STEPS.1,
            best,
            floor: None,
            held: Held {
                job: job.clone(),
                search,
            },
        })
    }

    /// Makes `n` steps, or fewer where it finishes before.
    pub fn step(&mut self, n: u64) -> Status {
        if !self.settings.floor {
            return self.step_plans(n);
        }
        let (mut improved, mut left) = (false, n);
        loop {
            let before = self.steps;
            let due = FLOOR_EVERY - before % FLOOR_EVERY;
            let status = self.step_plans(due.min(left));
            let made = self.steps - before;
            if made > 0 && self.steps.is_multiple_of(FLOOR_EVERY) {
                self.raise_floor();
            }
            improved |= status.improved;
            left -= made;
            if made == 0 || left == 0 || status.finished {
                return Status { improved, ..status };
            }
        }
    }

    fn raise_floor(&mut self) {
        if self.floor.is_none() {
            self.floor = Floor::of(&self.held.job, self.held.search.best());
        }
        if let Some(floor) = &mut self.floor {
            floor.step(&self.held.job);
        }
    }

    fn step_plans(&mut self, n: u64) -> Status {
        if self.remake.is_none() {
            let status = self.held.search.step(n);
            self.steps = status.steps;
            self.best.clone_from(self.held.search.best());
            return status;
        }
        let mut improved = false;
        for _ in 0..n {
            self.steps += 1;
            let is_trials = self.steps > self.alone && self.steps.is_multiple_of(2);
            if !is_trials || !self.step_trial(&mut improved) {
                improved |= self.held.search.step(1).improved;
            }
        }
        if improved || n > 0 {
            self.take_best();
        }
        Status {
            steps: self.steps,
            improved,
            finished: false,
        }
    }

    fn take_best(&mut self) {
        self.best.clone_from(self.held.search.best());
        self.best.made = Made {
            seed: self.settings.seed,
            steps: self.steps,
            workers: self.settings.workers,
        };
    }

    /// One step of a trial; false where there is nothing to try.
    fn step_trial(&mut self, improved: &mut bool) -> bool {
        let is_new = self.trial.is_none();
        if is_new {
            self.trial = self.next_trial();
        }
        let Some(trial) = &mut self.trial else {
            return false;
        };
        let status = trial.held.search.step(1);
        trial.left = trial.left.saturating_sub(1);
        let order = &self.held.job.order;
        let here = self.held.search.score();
        // A new one may be better by what it was made from.
        let improved_here = is_new || status.improved;
        if improved_here && trial.held.search.score().better_than(here, order) {
            if let Some(trial) = self.trial.take() {
                self.hold(trial.held);
                if !self.proposals.of_staves {
                    self.proposals.sizes.took();
                }
            }
            *improved = true;
        } else if trial.left == 0 || status.finished {
            if !self.proposals.of_staves {
                self.proposals.sizes.failed(&trial.held.job);
            }
            self.trial = None;
        }
        true
    }

    fn hold(&mut self, held: Held) {
        self.held = held;
        self.held.search.be_brief(false);
        self.floor = None;
        self.take_best();
    }

    /// The next trial: sizes while there are any to try in this round, then staves, then a new round.
    fn next_trial(&mut self) -> Option<Trial> {
        // A round that has nothing to try is followed by one that has: at most two are begun.
        for _ in 0..3 {
            let job = &self.held.job;
            let p = &mut self.proposals;
            let here = choices_of(job);
            let dimensions = p.sizes.next(job);
            p.of_staves = dimensions.is_none();
            let proposal = match dimensions {
                None if p.stave_trials < STAVE_TRIALS => {
                    p.stave_trials += 1;
                    p.staves.next(job, self.held.search.best(), &mut p.chance)
                }
                _ => None,
            };
            let choices = match (dimensions, &proposal) {
                (Some(dimensions), _) => Some(Choices {
                    dimensions,
                    ..here.clone()
                }),
                (None, Some(proposal)) => Some(Choices {
                    panels: proposal.panels.clone(),
                    ..here.clone()
                }),
                (None, None) => None,
            };
            let Some(choices) = choices else {
                if p.sizes.is_through() && p.stave_trials >= STAVE_TRIALS {
                    p.round = (p.round + 1).min(MOST_ROUNDS);
                    p.stave_trials = 0;
                    p.sizes = Sizes::default();
                }
                continue;
            };
            // No trial is longer than all that was made before it.
            let left = (self.alone << self.proposals.round.min(MOST_ROUNDS)).min(self.steps);
            match self.made_for(&choices, proposal.as_ref()) {
                Some(held) => return Some(Trial { held, left }),
                None if self.proposals.of_staves => {}
                None => self.proposals.sizes.passed_over(),
            }
        }
        None
    }

    /// The job for other choices and a search of it that goes on from what they leave untouched of the
    /// held plan, and from staves as proposed; none where the job comes out as it is.
    fn made_for(&self, choices: &Choices, proposal: Option<&Proposal>) -> Option<Held> {
        let remake = self.remake.as_ref()?;
        let job = &self.held.job;
        let mut other = remake(choices);
        if choices_of(&other) == choices_of(job) {
            return None;
        }
        let mut layouts = untouched(job, &other, &self.held.search.best().layouts);
        if let Some(proposal) = proposal {
            layouts = laid(&other, layouts, proposal);
        }
        // A plan that is adopted keeps its order.
        if proposal.is_some()
            && let Some(panels) = in_turns(&other, &layouts)
        {
            let dimensions = choices.dimensions.clone();
            other = remake(&Choices { dimensions, panels });
        }
        other.earlier = untouched(job, &other, &job.earlier);
        let mut search = Search::new(&other, self.settings).ok()?;
        search.be_brief(true);
        search.go_on_from(layouts);
        Some(Held { job: other, search })
    }

    /// The best plan so far.
    pub fn best(&self) -> &Plan {
        &self.best
    }

    /// The best plan's score.
    pub fn score(&self) -> &Score {
        self.held.search.score()
    }

    /// The job that the best plan is made for.
    pub fn job(&self) -> &Job {
        &self.held.job
    }

    /// A floor under the cost of plans with the sizes and staves of the best one: the greatest that holds for it.
    pub fn bound(&self) -> Bound {
        self.bound_for(self.best())
    }

    /// As [`Giving::bound`], for a plan with the same sizes and staves.
    pub fn bound_for(&self, plan: &Plan) -> Bound {
        let floor = self.floor.as_ref();
        greater_bound(&self.held.job, plan, self.held.search.bound(), floor)
    }

    /// The state of the generators and the best plan in sixteen letters.
    pub fn fingerprint(&self) -> String {
        match &self.trial {
            None => self.held.search.fingerprint(),
            Some(trial) => {
                let read = |s: &Search| u64::from_str_radix(&s.fingerprint(), 16).unwrap_or(0);
                let both = read(&self.held.search) ^ read(&trial.held.search).rotate_left(32);
                format!("{both:016x}")
            }
        }
    }

    /// Goes on from a plan found elsewhere, if it is better than the best here; true if it was taken.
    /// It must have come from a search of the same document.
    pub fn adopt(&mut self, plan: &Plan) -> bool {
        let choices = Choices::of(plan);
        if self.remake.is_none() || choices == choices_of(&self.held.job) {
            let taken = self.held.search.adopt(plan);
            if taken {
                self.take_best();
            }
            return taken;
        }
        let Some(mut held) = self.made_for(&choices, None) else {
            return false;
        };
        let order = &self.held.job.order;
        let better = choices_of(&held.job) == choices
            && Score::of(&held.job, plan).better_than(self.score(), order)
            && held.search.adopt(plan)
            && held.search.score().better_than(self.score(), order);
        if better {
            self.hold(held);
            self.proposals.sizes = Sizes::default();
            self.trial = None;
        }
        better
    }

    /// As [`Search::go_on_from`], for the choices that the job was made for.
    pub fn go_on_from(&mut self, layouts: Vec<Layout>) -> bool {
        let taken = self.held.search.go_on_from(layouts);
        if taken {
            self.take_best();
        }
        taken
    }
}

/// The layouts without the parts that are other ones in the other job.
fn untouched(job: &Job, other: &Job, layouts: &[Layout]) -> Vec<Layout> {
    let same = |id: &str| {
        let alike = |a: &Part, b: &Part| a.outline == b.outline && a.thickness == b.thickness;
        job.part(id)
            .zip(other.part(id))
            .is_some_and(|(a, b)| alike(a, b) && a.tenon == b.tenon && a.allowances == b.allowances)
    };
    let kept = layouts.iter().cloned();
    kept.map(|layout| layout.without(|copy| !same(&copy.part)))
        .filter(|layout| !layout.placements.is_empty())
        .collect()
}
