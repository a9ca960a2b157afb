//! A search over what gives: values of dimensions with a range, widths and numbers of staves.
//!
//! A [`Job`] is made for one set of choices, and a [`Search`] looks for its best plan. Here the best
//! plan so far is held with its choices and its search; most steps go to trials, searches of
//! the job for other choices that go on from the held plan, laid again with the parts as they would be
//! ([`laid_again`]). A trial that comes to a better plan is held from then on; others are kept for a while,
//! and gone on with when their turn comes again, or begun anew with other draws (restarts: Luby, Sinclair &
//! Zuckerman 1993).
//!
//! Trials for timber have the smallest parts and fewer or cheaper boards than the held plan
//! ([`timber`]); trials for sizes have the boards of the held plan and sizes nearer to those preferred
//! ([`sizes`]).
//!
//! Tried and dropped: bisection of each size by itself, and of all together with what failed ruled out for a round
//! (a search fails too often where there is a plan); all trials on all boards (they find dearer
//! plans, and stay with them); every trial for timber from nothing.

mod choosing;
mod end_to_end;
mod laid_again;
mod lanes;
mod laying;
mod offers;
mod other_prices;
mod proposals;
mod sizes;
mod staves;
mod timber;

use std::sync::Arc;

use heartside_timber::choices::Choices;
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Dimension, Goal, Job};
use heartside_timber::plan::{Bound, DimensionValue, Layout, Made, Plan, Tried};
use heartside_timber::score::Score;

use crate::bound::quick_bound_of;
use crate::chance::Chance;
use crate::figured::{Figured, Found};
use crate::floor::{Floor, greater_bound};
use crate::hearts::in_turns;
use crate::search::{Search, SearchError, Status};
use crate::settings::Settings;
use laid_again::untouched;
use laying::laid;
use other_prices::OtherPrices;
use proposals::{Here, Kind, Next, Proposals};

pub use laid_again::laid_in;
pub use proposals::choices_of;

/// Makes the job for other choices. What of them does not hold is as usual, so that the job may come
/// out for others than asked: [`choices_of`] tells.
pub type Remake = Arc<dyn Fn(&Choices) -> Job + Send + Sync>;

/// Steps that the first search has for itself, for each piece and board of the job, and beside them: about what
/// a first plan and some attempts at a better one take. A trial has half of that at a time.
const ALONE: (u64, u64) = (4, 40);

/// Every so manieth step goes to the search of the best plan where sizes give, every other where only staves do.
const HELD_EVERY: u64 = 30;

/// What is shown to be in vain counts as so many times the steps that a plan takes as a rule.
const FOR_GOOD: u64 = 20;

/// A search that came to nothing in so many times what the first had for itself begins anew with other draws: what
/// is stuck stays stuck. Later it has longer.
const RESTART_AFTER: u64 = 4;

/// Steps between two of the floor, which take up to some milliseconds; they end after some thousand.
const FLOOR_EVERY: u64 = 100;

/// Steps between two looks at what the search passes by, where figure is judged and nothing else waits to be.
const PASSING_EVERY: u64 = 5;

/// Searches for other choices that are kept at most, and of all their pieces about how many: they take room.
const MOST_PARKED: u64 = 24;
const MOST_PARKED_PIECES: u64 = 1_000;

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
    /// Searches for other choices that a later trial may go on with, the latest last.
    parked: Vec<Held>,
    /// What was found with other sizes, on all boards.
    tried: Vec<(Vec<DimensionValue>, Score, usize)>,
    proposals: Proposals,
    steps: u64,
    /// Every so manieth step goes to the search of the best plan, the others to trials.
    held_every: u64,
    /// Steps that the first search has for itself.
    alone: u64,
    best: Plan,
    /// The best plan with its figure, where somebody judges that.
    figured: Option<Figured>,
    /// Searches beside, for other boards, where figure is judged.
    other_prices: OtherPrices,
    /// A floor under plans of the held job, where one is asked for and a plan is whole.
    floor: Option<Floor>,
}

/// A search and the job that it is of.
struct Held {
    job: Job,
    search: Search,
    /// The boards that it is to do with; all where there are none.
    boards: Option<Vec<BoardCopy>>,
    /// Steps that it has made, and how often it was begun anew.
    steps: u64,
    restarts: u64,
}

impl Held {
    fn step(&mut self) -> Status {
        self.steps += 1;
        self.search.step(1)
    }
}

/// A search of the job for other choices, and the steps that it still has.
struct Trial {
    held: Held,
    left: u64,
    made: u64,
}

impl Giving {
    /// A search that has made no step yet; `remake` makes the same job for other choices.
    ///
    /// # Errors
    /// As [`Search::new`].
    pub fn new(job: &Job, settings: Settings, remake: Remake) -> Result<Giving, SearchError> {
        let mut job = job.clone();
        let judge = job.judge.take();
        let search = Search::new(&job, settings)?;
        let best = search.best().clone();
        let boards: u64 = job.boards.iter().map(|b| u64::from(b.left())).sum();
        Ok(Giving {
            remake: gives(&job).then_some(remake),
            settings,
            trial: None,
            parked: Vec::new(),
            tried: Vec::new(),
            proposals: Proposals::new(Chance::new(settings.seed, settings.worker, 7)),
            steps: 0,
            held_every: match job.dimensions.iter().any(|d| d.gives()) {
                true => HELD_EVERY,
                false => 2,
            },
            alone: ALONE.0 * (job.piece_count() + boards) + ALONE.1,
            best,
            other_prices: OtherPrices::new(settings),
            figured: judge.map(|judge| Figured::new(judge, as_found(&job, &search))),
            floor: None,
            held: Held {
                job,
                search,
                boards: None,
                steps: 0,
                restarts: 0,
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
        if self.figured.is_none() {
            return self.step_search(n);
        }
        let mut status = self.step_search(0);
        for _ in 0..n {
            if status.finished && self.figured.as_ref().is_none_or(Figured::is_idle) {
                break;
            }
            let made = self.step_search(1);
            let looked = self.look_at_figure(made.improved);
            let improved = status.improved || made.improved || looked;
            status = Status { improved, ..made };
        }
        self.take_best();
        status
    }

    /// Looks at the figure of a plan that the search has just come to, and goes on with those before; true if what is
    /// handed out is better.
    fn look_at_figure(&mut self, is_news: bool) -> bool {
        let Some(figured) = &mut self.figured else {
            return false;
        };
        if is_news {
            return figured.consider(as_found(&self.held.job, &self.held.search));
        }
        let dearer = self.held.job.figure_worth;
        let is_due = self.steps.is_multiple_of(PASSING_EVERY) && figured.is_idle();
        let passing = is_due.then(|| self.held.search.passing(dearer));
        if let Some((plan, score)) = passing.flatten() {
            let job = self.held.job.clone();
            let bound = self.held.search.bound();
            figured.pass_by(Found {
                job,
                plan,
                score,
                bound,
            });
        }
        let is_better = figured.step();
        self.look_at_other_boards();
        is_better
    }

    /// Goes on with a search beside, once there is a first plan.
    fn look_at_other_boards(&mut self) {
        if self.steps <= self.alone {
            return;
        }
        let jobs = (&self.held.job, self.remake.as_ref());
        let found = (self.other_prices).step(jobs, self.settings, self.alone);
        let found = found.and_then(|plan| self.in_its_job(&plan));
        if let (Some(figured), Some(found)) = (&mut self.figured, found) {
            figured.pass_by(found);
        }
    }

    fn step_search(&mut self, n: u64) -> Status {
        if self.remake.is_none() {
            let status = self.held.search.step(n);
            self.steps = status.steps;
            if self.figured.is_none() {
                self.best.clone_from(self.held.search.best());
            }
            return status;
        }
        let mut improved = false;
        for _ in 0..n {
            self.steps += 1;
            let is_trials = self.steps > self.alone && !self.steps.is_multiple_of(self.held_every);
            if !is_trials || !self.step_trial(&mut improved) {
                improved |= self.held.step().improved;
            }
        }
        if n > 0 && self.figured.is_none() {
            self.take_best();
        }
        Status {
            steps: self.steps,
            improved,
            finished: false,
        }
    }

    fn take_best(&mut self) {
        let plain = self.held.search.best();
        self.best.clone_from(plain);
        if let Some(figured) = self.figured.as_ref().map(Figured::best)
            && figured.plan.layouts != plain.layouts
        {
            self.best.clone_from(&figured.plan);
            self.best.bound = Some(figured.bound.clone());
            let is_as_cheap = figured.score.cost <= self.held.search.score().cost * (1.0 + 1e-12);
            self.best.cheapest = (!is_as_cheap).then(|| self.held.search.score().cost);
            if choices_of(&figured.job) == choices_of(&self.held.job) {
                self.best.bound.clone_from(&plain.bound);
                tell_why(&mut self.best, plain);
            }
            if let (false, Some(bound)) = (is_as_cheap, &mut self.best.bound) {
                bound.proved_for = None;
            }
        }
        self.best.tried = self.found_nearer();
        self.best.made = Made {
            seed: self.settings.seed,
            steps: self.steps,
            workers: self.settings.workers,
        };
    }

    /// For each size that is not as preferred, the best that was found with it nearest to that.
    fn found_nearer(&self) -> Vec<Tried> {
        let dimensions = self.held.job.dimensions.iter().enumerate();
        let off = dimensions.filter(|(_, d)| d.gives() && d.value.value != d.preferred);
        let order = &self.held.job.order;
        off.filter_map(|(k, d)| {
            let away = |value: f64| (value - d.preferred).abs();
            let nearer = self
                .tried
                .iter()
                .filter(|t| away(t.0[k].value) < away(d.value.value));
            let (values, score, boards) = nearer.min_by(|a, b| {
                let by_value = away(a.0[k].value).total_cmp(&away(b.0[k].value));
                by_value.then_with(|| a.1.compare(&b.1, order))
            })?;
            Some(Tried {
                name: d.value.name.clone(),
                value: values[k].value,
                missing: score.missing.iter().sum(),
                cost: score.cost,
                boards: *boards as u32,
            })
        })
        .collect()
    }

    /// One step of a trial; false where there is nothing to try.
    fn step_trial(&mut self, improved: &mut bool) -> bool {
        if self.trial.is_none() {
            self.trial = self.next_trial();
        }
        let Some(trial) = &mut self.trial else {
            return false;
        };
        let status = trial.held.step();
        trial.made += 1;
        trial.left = trial.left.saturating_sub(1);
        // What comes nearer goes on.
        if status.improved && trial.made > 1 && self.proposals.trying != Kind::Staves {
            trial.left = trial.left.max(self.alone / 2);
        }
        let order = &self.held.job.order;
        let here = self.held.search.score();
        // A new one may be better by what it was made from.
        let found = trial.held.search.score();
        let is_better = found.better_than(here, order)
            && end_to_end::pays((&self.held.job, here), (&trial.held.job, found));
        if !is_better && trial.left > 0 && !status.finished {
            return true;
        }
        let Some(trial) = self.trial.take() else {
            return true;
        };
        // What was found on some boards only goes on with all of them.
        let found = match is_better {
            true => self.on_all_boards(trial.held),
            false => (false, trial.held),
        };
        match found {
            (true, held) => {
                self.hold(held);
                *improved = true;
            }
            (false, held) => {
                if let Some(figured) = self.figured.as_mut().filter(|f| f.is_idle())
                    && held.boards.is_none()
                {
                    figured.pass_by(as_found(&held.job, &held.search));
                }
                // A search that has nothing left to try has shown that there is nothing.
                let for_good = if status.finished {
                    FOR_GOOD * self.alone
                } else {
                    0
                };
                self.proposals.came_to_nothing(trial.made + for_good);
                if self.proposals.trying != Kind::Staves {
                    self.park(held);
                }
            }
        }
        true
    }

    /// True and a search on all boards that goes on from the plan of one on some of them; false and that one
    /// where it comes to nothing there.
    fn on_all_boards(&self, held: Held) -> (bool, Held) {
        if held.boards.is_none() {
            return (true, held);
        }
        let mut made = self.made_for(&choices_of(&held.job), None, self.settings.seed);
        if let Some(all) = &mut made {
            all.search.go_on_from(held.search.best().layouts.clone());
        }
        match made {
            Some(all)
                if (all.search.score()).better_than(self.held.search.score(), &all.job.order) =>
            {
                (true, all)
            }
            _ => (false, held),
        }
    }

    fn hold(&mut self, held: Held) {
        let mut before = std::mem::replace(&mut self.held, held);
        before.search.be_brief(true);
        self.held.search.be_brief(false);
        self.floor = None;
        let (values, score) = (
            choices_of(&before.job).dimensions,
            before.search.score().clone(),
        );
        let boards = timber::used(before.search.best()).len();
        self.tried.retain(|t| t.0 != values);
        self.tried.push((values, score, boards));
        self.proposals.reopen();
        self.park(before);
        self.take_best();
    }

    /// Keeps a search for a later trial; what was kept longest goes where there are too many.
    fn park(&mut self, held: Held) {
        self.parked.push(held);
        let most = MOST_PARKED_PIECES / self.held.job.piece_count().max(1);
        if self.parked.len() as u64 > most.clamp(2, MOST_PARKED) {
            self.parked.remove(0);
        }
    }

    /// The next trial; none where there is nothing to try, or it cannot be.
    fn next_trial(&mut self) -> Option<Trial> {
        let remake = self.remake.as_ref()?;
        let here = Here {
            job: &self.held.job,
            plan: self.held.search.best(),
            score: self.held.search.score(),
            steps: self.steps,
            alone: self.alone,
        };
        let Next {
            choices,
            boards,
            staves,
            left,
        } = self.proposals.next(&here, &**remake)?;
        let trial = |held| Trial {
            held,
            left,
            made: 0,
        };
        let is_same = |h: &Held| h.boards == boards && choices_of(&h.job) == choices;
        let parked = self.parked.iter().position(is_same);
        let mut held = match parked {
            Some(place) => self.parked.remove(place),
            None => match self.made_for(&choices, boards, self.settings.seed) {
                Some(held) => held,
                None => {
                    self.proposals.came_to_nothing(left);
                    return None;
                }
            },
        };
        let longest = self.alone * RESTART_AFTER * (1 + held.restarts);
        if held.steps >= longest {
            let seed = self.settings.seed.wrapping_add(self.proposals.turn as u32);
            let restarts = held.restarts + 1;
            held = self.made_for(&choices, held.boards, seed)?;
            held.restarts = restarts;
            return Some(trial(held));
        }
        let before = &self.held.search.best().layouts;
        let layouts = match &staves {
            Some(staves) => {
                let beside = untouched(&self.held.job, &held.job, before);
                laid(&held.job, beside, staves)
            }
            None => laid_in(&self.held.job, &held.job, before),
        };
        // A plan that is adopted keeps its order.
        if staves.is_some()
            && let Some(panels) = in_turns(&held.job, &layouts)
        {
            let dimensions = choices.dimensions.clone();
            let in_order = Choices { dimensions, panels };
            held = self.made_for(&in_order, None, self.settings.seed)?;
        }
        match parked {
            // What it has of its own stands beside nothing else.
            Some(_) => held.search.adopt(&Plan {
                layouts,
                ..Plan::default()
            }),
            None => held.search.go_on_from(layouts),
        };
        Some(trial(held))
    }

    /// The job for other choices, on some boards only, and a search of it that has made no step yet; none
    /// where a size that is worked out from others would be out of its range.
    fn made_for(
        &self,
        choices: &Choices,
        boards: Option<Vec<BoardCopy>>,
        seed: u32,
    ) -> Option<Held> {
        let remake = self.remake.as_ref()?;
        let job = &self.held.job;
        let mut other = remake(choices);
        other.judge = None;
        other.earlier = untouched(job, &other, &job.earlier);
        if let Some(boards) = &boards {
            timber::restrict(&mut other, boards);
        }
        let within =
            |d: &Dimension| !d.follows || d.least <= d.value.value && d.value.value <= d.most;
        if !other.dimensions.iter().all(within) {
            return None;
        }
        let settings = Settings {
            seed,
            ..self.settings
        };
        let mut search = Search::new(&other, settings).ok()?;
        search.hurry();
        Some(Held {
            job: other,
            search,
            boards,
            steps: 0,
            restarts: 0,
        })
    }

    /// The best plan so far.
    pub fn best(&self) -> &Plan {
        &self.best
    }

    /// The best plan's score.
    pub fn score(&self) -> &Score {
        let figured = self.figured.as_ref().map(Figured::best);
        figured.map_or(self.held.search.score(), |best| &best.score)
    }

    /// The job that the best plan is made for.
    pub fn job(&self) -> &Job {
        let figured = self.figured.as_ref().map(Figured::best);
        figured.map_or(&self.held.job, |best| &best.job)
    }

    /// A floor under the cost of plans with the sizes and staves of the best one: the greatest that holds for it.
    pub fn bound(&self) -> Bound {
        self.bound_for(self.best())
    }

    /// As [`Giving::bound`], for a plan with the same sizes and staves.
    pub fn bound_for(&self, plan: &Plan) -> Bound {
        if let Some(figured) = self.figured.as_ref().map(Figured::best)
            && choices_of(&figured.job) != choices_of(&self.held.job)
        {
            return greater_bound(&figured.job, plan, figured.bound.clone(), None);
        }
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
        let taken = self.adopt_plain(plan);
        if taken {
            self.look_at_figure(true);
        }
        let looked = self.adopt_figure(plan);
        if looked || taken {
            self.take_best();
        }
        looked || taken
    }

    /// A plan that may be no better to the search, and is of better figure.
    fn adopt_figure(&mut self, plan: &Plan) -> bool {
        let found = self.figured.as_ref().and_then(|_| self.in_its_job(plan));
        match (&mut self.figured, found) {
            (Some(figured), Some(found)) => figured.adopt(found),
            _ => false,
        }
    }

    /// A plan from elsewhere in the job for its choices; none where those do not hold.
    fn in_its_job(&self, plan: &Plan) -> Option<Found> {
        let choices = Choices::of(plan);
        let job = match &self.remake {
            Some(remake) if choices != choices_of(&self.held.job) => {
                let mut job = remake(&choices);
                job.judge = None;
                job.earlier = untouched(&self.held.job, &job, &self.held.job.earlier);
                job
            }
            _ => self.held.job.clone(),
        };
        if self.remake.is_some() && choices_of(&job) != choices {
            return None;
        }
        let score = Score::of(&job, plan);
        let bound = plan.bound.clone().unwrap_or_else(|| quick_bound_of(&job));
        let plan = Plan {
            cost: score.cost,
            ..plan.clone()
        };
        Some(Found {
            job,
            plan,
            score,
            bound,
        })
    }

    fn adopt_plain(&mut self, plan: &Plan) -> bool {
        let choices = Choices::of(plan);
        if self.remake.is_none() || choices == choices_of(&self.held.job) {
            let taken = self.held.search.adopt(plan);
            if taken {
                self.take_best();
            }
            return taken;
        }
        let Some(mut held) = self.made_for(&choices, None, self.settings.seed) else {
            return false;
        };
        let order = &self.held.job.order;
        let better = choices_of(&held.job) == choices
            && Score::of(&held.job, plan).better_than(self.held.search.score(), order)
            && held.search.adopt(plan)
            && held
                .search
                .score()
                .better_than(self.held.search.score(), order);
        if better {
            self.hold(held);
            self.trial = None;
        }
        better
    }

    /// As [`Search::go_on_from`], for the choices that the job was made for.
    pub fn go_on_from(&mut self, layouts: Vec<Layout>) -> bool {
        let taken = self.held.search.go_on_from(layouts);
        if taken {
            self.look_at_figure(true);
            self.take_best();
        }
        taken
    }
}

/// What a search has found, as it is looked at for its figure.
fn as_found(job: &Job, search: &Search) -> Found {
    Found {
        job: job.clone(),
        plan: search.best().clone(),
        score: search.score().clone(),
        bound: search.bound(),
    }
}

/// Why parts have no place, where the same wait in both plans: a search learns that after it has found a plan.
fn tell_why(plan: &mut Plan, known: &Plan) {
    let waits = |plan: &Plan| -> Vec<(String, Vec<u32>)> {
        let unplaced = plan.unplaced.iter();
        unplaced
            .map(|u| (u.part.clone(), u.copies.clone()))
            .collect()
    };
    if waits(plan) == waits(known) {
        plan.unplaced.clone_from(&known.unplaced);
    }
}
