//! Several searches of one job, each on a thread, that exchange their best plans at whole rounds.
//!
//! The same rounds, merged in the same order, are made by the page's workers: the same
//! job, seed, steps and number of workers give the same plan here and there.

use std::time::{Duration, Instant};

use heartside_nest::{ROUND_STEPS, Search, SearchError, Settings};
use heartside_timber::job::{Goal, Job};
use heartside_timber::plan::{Bound, Layout, Made, Plan};

/// When to stop. Whatever comes first; without either, after ten seconds.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limits {
    /// Steps of each worker.
    pub(crate) steps: Option<u64>,
    /// Seconds by the clock; the round under way is ended early, but for the first until something is placed.
    pub(crate) seconds: Option<f64>,
}

impl Limits {
    /// Seconds after which a run ends, whatever else ends it sooner.
    pub(crate) fn by_the_clock(&self) -> Option<f64> {
        match self.steps {
            Some(_) => self.seconds,
            None => Some(self.seconds.unwrap_or(10.0)),
        }
    }
}

/// How long the workers run at a time where the clock stops them: long beside what it costs to
/// wait for each other, short beside any limit.
const GLANCE: Duration = Duration::from_millis(250);

/// The searches.
pub(crate) struct Team {
    searches: Vec<Search>,
    order: Vec<heartside_timber::document::Aim>,
    goal: Goal,
    seed: u32,
    steps: u64,
    leader: usize,
    finished: bool,
}

impl Team {
    /// A team of as many workers as the settings say that has made no step; `earlier` is what still holds of a plan made before the job was changed.
    ///
    /// # Errors
    /// As [`Search::new`].
    pub(crate) fn new(
        job: &Job,
        settings: Settings,
        earlier: &[Layout],
    ) -> Result<Team, SearchError> {
        let mut searches = (0..settings.workers)
            .map(|worker| Search::new(job, Settings { worker, ..settings }))
            .collect::<Result<Vec<_>, _>>()?;
        for search in &mut searches {
            search.go_on_from(earlier.to_vec());
        }
        Ok(Team {
            searches,
            order: job.order.clone(),
            goal: job.goal,
            seed: settings.seed,
            steps: 0,
            leader: 0,
            finished: false,
        })
    }

    /// Every worker makes `steps` steps, or fewer where time is up; then all go on from the best plan among them.
    ///
    /// Until when there is time the workers make a few steps at a time, about a [`GLANCE`] of
    /// them, all as many: so what the clock cuts short is repeated by its number of steps.
    fn round(&mut self, steps: u64, until: Option<Instant>) {
        let (mut left, mut at_a_time) = (steps, 1);
        while left > 0 {
            let started = Instant::now();
            let out_of_time = until.is_some_and(|until| started >= until);
            if out_of_time && self.has_placed() {
                break;
            }
            let steps = if until.is_some() {
                left.min(at_a_time)
            } else {
                left
            };
            self.advance(steps);
            left -= steps;
            if started.elapsed() < GLANCE {
                at_a_time *= 2;
            } else {
                at_a_time = (at_a_time / 2).max(1);
            }
        }
        self.exchange();
    }

    /// Whether any search has placed anything yet.
    fn has_placed(&self) -> bool {
        self.searches.iter().any(|s| s.best().placed_count() > 0)
    }

    /// Every worker makes `steps` steps.
    fn advance(&mut self, steps: u64) {
        let status = std::thread::scope(|scope| {
            let running: Vec<_> = self
                .searches
                .iter_mut()
                .map(|search| scope.spawn(move || search.step(steps)))
                .collect();
            // A thread that panicked has a mistake of ours in it: go on with the panic.
            running
                .into_iter()
                .map(|thread| {
                    thread
                        .join()
                        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
                })
                .collect::<Vec<_>>()
        });
        self.steps += steps;
        self.finished = status.iter().any(|s| s.finished);
    }

    /// All go on from the best plan among them.
    ///
    /// Merged in the order of the workers: a later one leads only if strictly better.
    fn exchange(&mut self) {
        self.leader = 0;
        for worker in 1..self.searches.len() {
            if self.searches[worker]
                .score()
                .better_than(self.searches[self.leader].score(), &self.order)
            {
                self.leader = worker;
            }
        }
        if self.searches.len() > 1 {
            let best = self.searches[self.leader].best().clone();
            let leader = self.leader;
            for (_, search) in self
                .searches
                .iter_mut()
                .enumerate()
                .filter(|(worker, _)| *worker != leader)
            {
                search.adopt(&best);
            }
        }
    }

    /// Makes rounds until a limit is reached or nothing can change; `each` hears of every round
    /// and of the time since `started`, from which the limit counts: what was needed to get ready
    /// is part of it. Returns the time spent in here.
    pub(crate) fn run(
        &mut self,
        limits: Limits,
        started: Instant,
        mut each: impl FnMut(&Team, Duration),
    ) -> Duration {
        let entered = Instant::now();
        let seconds = limits.by_the_clock();
        // Beyond what an instant can name is as good as without end.
        let until = seconds.and_then(|s| started.checked_add(Duration::try_from_secs_f64(s).ok()?));
        loop {
            let left = limits.steps.map_or(ROUND_STEPS, |steps| {
                steps.saturating_sub(self.steps).min(ROUND_STEPS)
            });
            // Whatever the getting ready took, a first plan is looked for.
            let out_of_time = self.steps > 0 && until.is_some_and(|until| Instant::now() >= until);
            if left == 0 || self.finished || out_of_time {
                return entered.elapsed();
            }
            self.round(left, until);
            each(self, started.elapsed());
        }
    }

    /// The best plan, with the numbers that repeat it.
    pub(crate) fn plan(&self) -> Plan {
        let mut plan = self.searches[self.leader].best().clone();
        let workers = u32::try_from(self.searches.len()).unwrap_or(u32::MAX);
        plan.made = Made {
            seed: self.seed,
            steps: self.steps,
            workers,
        };
        plan
    }

    /// The nearest floor (or ceiling) that any search has proved.
    ///
    /// A search that has proved its plan the best shares it with a leader found before.
    pub(crate) fn bound(&self) -> Bound {
        let leader = self.searches[self.leader].bound();
        let nearer = |a: &Bound, b: &Bound| match self.goal {
            Goal::Value => a.value < b.value,
            Goal::Furnish | Goal::InOrder | Goal::StripLength => a.value > b.value,
        };
        self.searches
            .iter()
            .map(Search::bound)
            .fold(leader, |best, bound| {
                let proves = bound.proved_for.is_some() && best.proved_for.is_none();
                let is_open = best.proved_for.is_none();
                if proves || (is_open && nearer(&bound, &best)) {
                    bound
                } else {
                    best
                }
            })
    }

    /// Steps each worker has made.
    pub(crate) fn steps(&self) -> u64 {
        self.steps
    }
}
