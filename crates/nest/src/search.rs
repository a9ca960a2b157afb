//! The search: advances the engines step by step and keeps the best whole plan.

use heartside_timber::document::Cuts;
use heartside_timber::job::{Goal, Job, PartCut};
use heartside_timber::plan::{Bound, Layout, Made, Plan};
use heartside_timber::score::Score;

use crate::assemble::whole_plan;
use crate::bound::{bound_with, is_met};
use crate::chance::Chance;
use crate::engine::{Engine, Pinned, Stock, Task, usable_stock};
use crate::reasons::Reasons;
use crate::sawn;
use crate::straight;

/// Steps in a round: workers exchange their best plans at whole rounds only, and a run is repeated in whole rounds.
///
/// Fewer and the exchange costs more than it brings; more and a stop waits longer for the
/// round to end (at the usual tens of microseconds a step a round takes about a tenth of a second).
pub const ROUND_STEPS: u64 = 2_000;

/// Steps for which one course of a search goes on before the next has its turn.
const SLICE: u64 = 1_000;

/// How boards that may be cut either way are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WayWanted {
    /// As each board says; boards that say "any" are cut whichever way gives the better plan.
    #[default]
    AsJob,
    /// By straight cuts.
    Straight,
    /// By line.
    Sawn,
}

/// What a search is made with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// Seed of the generator.
    pub seed: u32,
    /// Which of the workers this is, from 0.
    pub worker: u32,
    /// How many workers share the job.
    pub workers: u32,
    /// How boards are cut.
    pub way: WayWanted,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            seed: 1,
            worker: 0,
            workers: 1,
            way: WayWanted::AsJob,
        }
    }
}

/// Why a search could not be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SearchError {
    /// `worker` is not below `workers`.
    #[error("worker {worker} of {workers} does not exist: workers are counted from 0")]
    NoSuchWorker {
        /// The worker asked for.
        worker: u32,
        /// How many there are.
        workers: u32,
    },
}

/// How a search stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Status {
    /// Steps made in all.
    pub steps: u64,
    /// The best plan changed during the last call.
    pub improved: bool,
    /// Further steps can change nothing: the best is proved, or there is nothing to do.
    pub finished: bool,
}

/// A search for the best plan of a job.
///
/// Steps bound the work and nothing else does: `step(a)` then `step(b)` is `step(a + b)`,
/// and the same job, settings and steps give the same plan on every machine.
pub struct Search {
    job: Job,
    settings: Settings,
    reasons: Reasons,
    bound: Bound,
    courses: Vec<Course>,
    steps: u64,
    best: Plan,
    score: Score,
    finished: bool,
}

impl Search {
    /// A search that has made no step yet; its best plan holds the pins and lists everything else as unplaced.
    ///
    /// # Errors
    /// [`SearchError::NoSuchWorker`] where `worker` is not below `workers`.
    pub fn new(job: &Job, settings: Settings) -> Result<Search, SearchError> {
        if settings.worker >= settings.workers {
            return Err(SearchError::NoSuchWorker {
                worker: settings.worker,
                workers: settings.workers,
            });
        }
        let job = job.clone();
        let reasons = Reasons::new(&job);
        let bound = bound_with(&job, &reasons);
        let courses = courses(&job, settings);
        let layouts = courses.first().map_or_else(Vec::new, |c| c.layouts());
        let best = whole_plan(&job, layouts, &reasons, &bound, made(settings, 0));
        let score = Score::of(&job, &best);
        let mut search = Search {
            job,
            settings,
            reasons,
            bound,
            courses,
            steps: 0,
            best,
            score,
            finished: false,
        };
        search.look_whether_finished();
        Ok(search)
    }

    /// Makes `n` steps, or fewer where it finishes before.
    pub fn step(&mut self, n: u64) -> Status {
        let mut improved = false;
        for _ in 0..n {
            if self.finished {
                break;
            }
            let turn = ((self.steps / SLICE) % self.courses.len().max(1) as u64) as usize;
            self.steps += 1;
            let job = &self.job;
            let Some(course) = self.courses.get_mut(turn) else {
                break;
            };
            if course.step(job) {
                improved |= self.consider(turn);
            } else if self.courses.iter().all(Course::is_finished) {
                self.finished = true;
            }
        }
        self.best.made = made(self.settings, self.steps);
        Status {
            steps: self.steps,
            improved,
            finished: self.finished,
        }
    }

    /// The best plan so far: complete, its claims filled in.
    pub fn best(&self) -> &Plan {
        &self.best
    }

    /// The best plan's score.
    pub fn score(&self) -> &Score {
        &self.score
    }

    /// A floor under the cost (for values: a ceiling), proved for the best plan where that meets it.
    pub fn bound(&self) -> Bound {
        self.best
            .bound
            .clone()
            .unwrap_or_else(|| self.bound.clone())
    }

    /// The state of the generators and the best plan in sixteen letters, for telling whether two runs went the same way.
    ///
    /// FNV-1a (Fowler, Noll & Vo) over the numbers that each engine would draw next and
    /// over every bit of the best plan's positions.
    pub fn fingerprint(&self) -> String {
        let placed = self.best.layouts.iter().flat_map(|l| &l.placements);
        let numbers = placed
            .flat_map(|p| [p.at.x.to_bits(), p.at.y.to_bits(), p.at.turn.to_bits()])
            .chain(self.courses.iter().map(Course::chance_state))
            .chain([self.steps, self.best.cost.to_bits()]);
        let hash = numbers
            .flat_map(u64::to_le_bytes)
            .fold(0xcbf2_9ce4_8422_2325u64, |hash, byte| {
                (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
            });
        format!("{hash:016x}")
    }

    /// Goes on from a plan found elsewhere, if it is better than the best here; true if it was taken.
    ///
    /// The plan must have come from a search of the same job: it is believed to be legal.
    /// Pieces that it leaves out are listed again.
    pub fn adopt(&mut self, plan: &Plan) -> bool {
        if !Score::of(&self.job, plan).better_than(&self.score, &self.job.order) {
            return false;
        }
        for course in &mut self.courses {
            course.adopt(&self.job, &plan.layouts);
        }
        self.replace(plan.layouts.clone())
    }

    fn consider(&mut self, turn: usize) -> bool {
        let layouts = self.courses[turn].layouts();
        self.replace(layouts)
    }

    fn replace(&mut self, layouts: Vec<Layout>) -> bool {
        let plan = whole_plan(
            &self.job,
            layouts,
            &self.reasons,
            &self.bound,
            made(self.settings, self.steps),
        );
        let score = Score::of(&self.job, &plan);
        if !score.better_than(&self.score, &self.job.order) {
            return false;
        }
        self.best = plan;
        self.score = score;
        self.look_whether_finished();
        true
    }

    /// Proved where the bound is met and only what no board could take is missing.
    ///
    /// With no aim but the one the bound speaks of left undecided there would be nothing
    /// to search for; labour and offcuts can still be bettered, so only goals without them finish.
    fn look_whether_finished(&mut self) {
        if let Some(class) = is_met(
            &self.job,
            &self.best,
            &self.score,
            &self.bound,
            &self.reasons,
        ) {
            if let Some(bound) = &mut self.best.bound {
                bound.proved_for = Some(class);
            }
            self.finished = self.job.goal != Goal::Furnish;
        }
        if self.courses.iter().all(Course::is_finished) {
            self.finished = true;
        }
    }
}

fn made(settings: Settings, steps: u64) -> Made {
    Made {
        seed: settings.seed,
        steps,
        workers: settings.workers,
    }
}

/// One way of sharing the boards between the engines: a first engine, then a second one
/// for what the first left over, on boards it did not use.
struct Course {
    first: Box<dyn Engine>,
    second: Option<Second>,
    follow: Option<Follow>,
    settings: Settings,
    turn: u64,
}

/// A running second engine and the layouts of the first that it was made for.
struct Second {
    engine: Box<dyn Engine>,
    beside: Vec<Layout>,
}

/// Which engine follows, and on which boards.
#[derive(Debug, Clone)]
struct Follow {
    way: EngineKind,
    stock: Vec<Stock>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum EngineKind {
    Straight,
    Sawn,
}

/// Steps that the first engine of a course makes before the second takes over, and the other way round.
const HAND_OVER: u64 = 3_000;

impl Course {
    fn step(&mut self, job: &Job) -> bool {
        let phase = (self.turn / HAND_OVER) % 2;
        self.turn += 1;
        if phase == 0 || self.follow.is_none() {
            // While a second engine stands, what the first improves shows when the second is made anew.
            return self.first.step(job) && self.second.is_none();
        }
        if self.turn % HAND_OVER == 1 {
            let beside = self.first.layouts().to_vec();
            if self.second.as_ref().is_none_or(|s| s.beside != beside) {
                self.second = self
                    .follow
                    .as_ref()
                    .map(|f| self.make_second(job, f, beside));
                return true;
            }
        }
        self.second.as_mut().is_some_and(|s| s.engine.step(job))
    }

    /// Where pins lie on the second engine's boards it must stand from the start, or they would be missing.
    fn hold_pins(&mut self, job: &Job) {
        let has_pins = |s: &Stock| {
            job.pins
                .iter()
                .any(|p| p.board.board == job.boards[s.board].id && p.board.copy == s.copy)
        };
        if let Some(follow) = self.follow.clone().filter(|f| f.stock.iter().any(has_pins)) {
            self.second = Some(self.make_second(job, &follow, self.first.layouts().to_vec()));
        }
    }

    fn make_second(&self, job: &Job, follow: &Follow, beside: Vec<Layout>) -> Second {
        let stock: Vec<Stock> = follow
            .stock
            .iter()
            .copied()
            .filter(|s| {
                beside
                    .iter()
                    .all(|l| l.board.board != job.boards[s.board].id || l.board.copy != s.copy)
            })
            .collect();
        let mut task = task(job, self.settings, stock, |_| true, 1);
        for placement in beside.iter().flat_map(|l| &l.placements) {
            if let Some(part) = job.part_index(&placement.part) {
                task.wanted[part].retain(|c| *c != placement.copy);
            }
        }
        Second {
            engine: engine(job, follow.way, task),
            beside,
        }
    }

    fn layouts(&self) -> Vec<Layout> {
        match &self.second {
            None => self.first.layouts().to_vec(),
            Some(second) => second
                .beside
                .iter()
                .chain(second.engine.layouts())
                .cloned()
                .collect(),
        }
    }

    fn is_finished(&self) -> bool {
        self.follow.is_none() && self.first.is_finished()
    }

    fn chance_state(&self) -> u64 {
        let second = self.second.as_ref().map_or(0, |s| s.engine.chance_state());
        self.first.chance_state() ^ second.rotate_left(32)
    }

    fn adopt(&mut self, job: &Job, layouts: &[Layout]) {
        if self.follow.is_none() {
            self.first.adopt(job, layouts);
        }
    }
}

fn engine(job: &Job, kind: EngineKind, task: Task) -> Box<dyn Engine> {
    match kind {
        EngineKind::Straight => straight::engine(job, task),
        EngineKind::Sawn => sawn::engine(job, task),
    }
}

/// The courses of a search: each a division of boards and pieces between the engines.
fn courses(job: &Job, settings: Settings) -> Vec<Course> {
    let course = |kind, task: Task, follow: Option<Follow>| {
        let mut course = Course {
            first: engine(job, kind, task),
            second: None,
            follow,
            settings,
            turn: 0,
        };
        course.hold_pins(job);
        course
    };
    let everything = |stock| task(job, settings, stock, |_| true, 0);
    match settings.way {
        WayWanted::Straight => {
            let stock = usable_stock(job, |c| c != Cuts::Sawn);
            vec![course(EngineKind::Straight, everything(stock), None)]
        }
        WayWanted::Sawn => {
            let stock = usable_stock(job, |c| c != Cuts::Straight);
            vec![course(EngineKind::Sawn, everything(stock), None)]
        }
        WayWanted::AsJob => {
            let sawn_only = usable_stock(job, |c| c == Cuts::Sawn);
            let straight = usable_stock(job, |c| c != Cuts::Sawn);
            let may_saw = usable_stock(job, |c| c != Cuts::Straight);
            let follow = (!sawn_only.is_empty()).then(|| Follow {
                way: EngineKind::Sawn,
                stock: sawn_only.clone(),
            });
            let mut list = Vec::new();
            if !straight.is_empty() || sawn_only.is_empty() {
                list.push(course(
                    EngineKind::Straight,
                    everything(straight.clone()),
                    follow,
                ));
            }
            let has_sawn_parts = job.parts.iter().any(|p| p.cut == PartCut::Sawn);
            if has_sawn_parts && !may_saw.is_empty() {
                // Sawn parts first, by line, on as few boards as they need; the rest by straight cuts on the others.
                let follow = (!straight.is_empty()).then_some(Follow {
                    way: EngineKind::Straight,
                    stock: straight,
                });
                let only_sawn = task(
                    job,
                    settings,
                    may_saw,
                    |p| job.parts[p].cut == PartCut::Sawn,
                    2,
                );
                list.push(course(EngineKind::Sawn, only_sawn, follow));
            }
            if !sawn_only.is_empty() && list.is_empty() {
                list.push(course(EngineKind::Sawn, everything(sawn_only), None));
            }
            list
        }
    }
}

/// The task for one engine: its boards, the copies of some parts that no pin holds, and the pins on its boards.
fn task(
    job: &Job,
    settings: Settings,
    stock: Vec<Stock>,
    wants: impl Fn(usize) -> bool,
    purpose: u32,
) -> Task {
    let is_pinned = |part: &str, copy: u32| {
        job.pins
            .iter()
            .any(|p| p.part.part == part && p.part.copy == copy)
    };
    let wanted = job
        .parts
        .iter()
        .enumerate()
        .map(|(index, part)| {
            if wants(index) {
                (1..=part.count)
                    .filter(|c| !is_pinned(&part.id, *c))
                    .collect()
            } else {
                Vec::new()
            }
        })
        .collect();
    let pins = job
        .pins
        .iter()
        .filter_map(|pin| {
            let part = job.part_index(&pin.part.part)?;
            let stock = *stock
                .iter()
                .find(|s| job.boards[s.board].id == pin.board.board && s.copy == pin.board.copy)?;
            Some(Pinned {
                part,
                copy: pin.part.copy,
                stock,
                at: pin.at,
            })
        })
        .collect();
    Task {
        stock,
        wanted,
        pins,
        chance: Chance::new(settings.seed, settings.worker, purpose),
    }
}
