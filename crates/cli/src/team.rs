//! Several searches of one job, each on a thread, that exchange their best plans at whole rounds.
//!
//! The page's workers are run by the same [`Rounds`]: the same job, seed, steps and number of
//! workers give the same plan here and there. Threads and the clock are this side's.

use std::sync::Arc;
use std::time::{Duration, Instant};

use heartside_app::rounds::{Made, Order, Rounds, Terms};
use heartside_nest::giving::choices_of;
use heartside_nest::{Giving, ROUND_STEPS, Remake, SearchError, Settings};
use heartside_timber::job::{Goal, Job};
use heartside_timber::plan::{self, Bound, Layout, Plan};
use heartside_timber::score::Score;

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

/// A plan that a search has found.
struct Found {
    worker: usize,
    plan: Plan,
    score: Score,
}

/// The searches.
pub(crate) struct Team {
    searches: Vec<Giving>,
    rounds: Rounds<Arc<Found>>,
    limits: Limits,
    order: Vec<heartside_timber::document::Aim>,
    goal: Goal,
    seed: u32,
}

impl Team {
    /// A team of as many workers as the settings say that has made no step; `earlier` is what still holds of a plan made before the job was changed.
    ///
    /// # Errors
    /// As [`Giving::new`].
    pub(crate) fn new(
        (job, remake): (&Job, &Remake),
        settings: Settings,
        limits: Limits,
        earlier: &[Layout],
    ) -> Result<Team, SearchError> {
        let mut searches = (0..settings.workers)
            .map(|worker| {
                // One floor is enough: it depends on the job alone.
                let floor = worker == 0;
                let settings = Settings {
                    worker,
                    floor,
                    ..settings
                };
                Giving::new(job, settings, Remake::clone(remake))
            })
            .collect::<Result<Vec<_>, _>>()?;
        for search in &mut searches {
            search.go_on_from(earlier.to_vec());
        }
        let terms = Terms {
            workers: searches.len(),
            round: ROUND_STEPS,
            limit: limits.steps,
            in_pieces: limits.by_the_clock().is_some(),
        };
        Ok(Team {
            searches,
            rounds: Rounds::new(terms, None),
            limits,
            order: job.order.clone(),
            goal: job.goal,
            seed: settings.seed,
        })
    }

    /// Every worker does as it is told, each on a thread.
    fn obey(&mut self, order: &Order<Arc<Found>>) {
        let is_first = self.rounds.best().is_none();
        let steps = order.steps;
        let status = std::thread::scope(|scope| {
            let running: Vec<_> = (self.searches.iter_mut().enumerate())
                .map(|(worker, search)| {
                    let adopt = order.adopt.as_deref().filter(|f| f.worker != worker);
                    scope.spawn(move || {
                        if let Some(found) = adopt {
                            search.adopt(&found.plan);
                        }
                        search.step(steps)
                    })
                })
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
        // What one has proved or found nothing left of, the others need not try.
        let finished = status.iter().any(|s| s.finished);
        for (worker, (search, status)) in self.searches.iter().zip(status).enumerate() {
            let better = (status.improved || is_first).then(|| {
                Arc::new(Found {
                    worker,
                    plan: search.best().clone(),
                    score: search.score().clone(),
                })
            });
            let places = search.best().placed_count() > 0;
            self.rounds.made(
                worker,
                Made {
                    better,
                    places,
                    finished,
                },
            );
        }
    }

    /// Makes rounds until a limit is reached or nothing can change; `each` hears of every round
    /// and of the time since `started`, from which the limit counts: what was needed to get ready
    /// is part of it. Returns the time spent in here.
    ///
    /// Where there is time the workers make a few steps at a time, about a [`GLANCE`] of
    /// them, all as many: so what the clock cuts short is repeated by its number of steps.
    /// Whatever the getting ready took, a first plan is looked for.
    pub(crate) fn run(
        &mut self,
        started: Instant,
        mut each: impl FnMut(&Team, Duration),
    ) -> Duration {
        let entered = Instant::now();
        let seconds = self.limits.by_the_clock();
        // Beyond what an instant can name is as good as without end.
        let until = seconds.and_then(|s| started.checked_add(Duration::try_from_secs_f64(s).ok()?));
        let mut was_quick = true;
        while let Some(order) = self.rounds.next(was_quick) {
            let asked = Instant::now();
            self.obey(&order);
            let look = self
                .rounds
                .look(|a, b| a.score.better_than(&b.score, &self.order));
            was_quick = asked.elapsed() < GLANCE || until.is_none();
            let out_of_time = look.is_shown && until.is_some_and(|until| Instant::now() >= until);
            if look.ends_round || look.is_over || out_of_time {
                each(self, started.elapsed());
            }
            if out_of_time {
                break;
            }
        }
        entered.elapsed()
    }

    /// The search that leads.
    fn leader(&self) -> &Giving {
        &self.searches[self.rounds.best().map_or(0, |found| found.worker)]
    }

    /// The best plan, with the numbers that repeat it.
    pub(crate) fn plan(&self) -> Plan {
        let now = self.leader().best();
        // Its own search may have found since why it leaves parts out, or cut it in another way that is no better.
        let mut plan = match self.rounds.best() {
            Some(found) if found.plan.layouts != now.layouts => found.plan.clone(),
            _ => now.clone(),
        };
        let workers = u32::try_from(self.searches.len()).unwrap_or(u32::MAX);
        plan.made = plan::Made {
            seed: self.seed,
            steps: self.steps(),
            workers,
        };
        plan
    }

    /// The nearest floor (or ceiling) that any search has proved.
    ///
    /// A search that has proved its plan the best shares it with a leader found before.
    pub(crate) fn bound(&self) -> Bound {
        let (leader, plan) = (self.leader(), self.plan());
        let choices = choices_of(leader.job());
        let nearer = |a: &Bound, b: &Bound| match self.goal {
            Goal::Value => a.value < b.value,
            Goal::Furnish | Goal::InOrder | Goal::StripLength => a.value > b.value,
        };
        // What others have proved of other sizes does not hold here.
        let alike = self.searches.iter();
        let alike = alike.filter(|search| choices_of(search.job()) == choices);
        alike
            .map(|search| search.bound_for(&plan))
            .fold(leader.bound_for(&plan), |best, bound| {
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
        self.rounds.steps()
    }
}
