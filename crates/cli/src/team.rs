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
    /// Seconds by the clock; the round under way is finished.
    pub(crate) seconds: Option<f64>,
}

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

    /// Every worker makes `steps` steps; then all go on from the best plan among them.
    ///
    /// Merged in the order of the workers: a later one leads only if strictly better.
    pub(crate) fn round(&mut self, steps: u64) {
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

    /// Makes rounds until a limit is reached or nothing can change; `each` hears of every round.
    pub(crate) fn run(
        &mut self,
        limits: Limits,
        mut each: impl FnMut(&Team, Duration),
    ) -> Duration {
        let started = Instant::now();
        let seconds = match (limits.steps, limits.seconds) {
            (None, None) => Some(10.0),
            (_, seconds) => seconds,
        };
        loop {
            let left = limits.steps.map_or(ROUND_STEPS, |steps| {
                steps.saturating_sub(self.steps).min(ROUND_STEPS)
            });
            let out_of_time = seconds.is_some_and(|s| started.elapsed().as_secs_f64() >= s);
            if left == 0 || self.finished || out_of_time {
                return started.elapsed();
            }
            self.round(left);
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
