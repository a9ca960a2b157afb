//! Across boards: destroy a part of the plan, repair it, keep what is good enough.
//!
//! One round of work (an *attempt*) empties one to three boards, or parts of them, and
//! fills them again from what lay there and what is not placed yet, with a few unused
//! boards to choose from besides. Late acceptance (Burke & Bykov 2017) keeps an attempt
//! that is no worse than the plan of some attempts ago.
//!
//! Once that has found nothing better for a while attempts become *thorough*: they empty up to
//! five boards and fill each of them several times, keeping what leaves least of it. So the waste of
//! several boards comes together on one, where a large part finds room: filling bin after bin as full
//! as can be and disturbing that is how Fleszar & Hindi (2002) solve bin packing.

mod destroy;
mod judge;
mod refill;

use heartside_timber::job::Job;
use heartside_timber::plan::Layout;

use crate::chance::Chance;
use crate::cuts::cutting::Cutting;
use crate::engine::Engine;
use crate::objective::{BoardMeasure, Standing};
use crate::straight::deal::{self, deal};
use crate::straight::fill::{Filling, Shop, Worth, worths};
use crate::straight::layouts::layouts_of;
use crate::straight::pattern_pool::{Combination, PatternPool};
use crate::straight::priority_rule::PriorityRule;
use crate::straight::stockroom::{Stockroom, board_copy, cutouts_of};
use crate::straight::takes::Takes;
use crate::task::Task;

/// How many attempts ago the plan was that a new one must not be worse than.
///
/// Shorter and the search settles sooner in worse plans; longer and small jobs wander for
/// most of a short run.
const MEMORY: usize = 40;

/// Attempts without a better plan after which a job of so many pieces is set out anew and
/// the search goes on from there.
///
/// It grows with the square of their number and is long: fresh starts after a few hundred
/// attempts cost up to a tenth more timber on generated jobs of 24 and 60 pieces than
/// going on did; never starting anew leaves a small job stuck for good.
fn patience(pieces: u64) -> usize {
    usize::try_from(pieces.saturating_mul(pieces).saturating_mul(4).max(1_000))
        .unwrap_or(usize::MAX)
}

/// How often a thorough attempt fills each board. Of 1, 4, 8 and 12 times 4 found most; one filling alone
/// is too seldom a full one, and more leave too little time for other boards.
const TRIES: usize = 4;

/// Workpieces given up, boards begun and the like that a step in a hurry goes by at most.
const MOST_BESIDE: usize = 30;

/// A board with blanks on it.
#[derive(Debug, Clone)]
struct Filled {
    /// Place in the list of grounds.
    frame: usize,
    cutting: Cutting,
    measure: BoardMeasure,
}

/// All boards at one moment.
#[derive(Debug, Clone)]
struct State {
    boards: Vec<Option<Filled>>,
    /// Copies of each part that are not placed.
    pool: Vec<u32>,
    standing: Standing,
}

/// A change under way: which boards are made anew, and what is still to be laid.
struct Attempt {
    /// Boards as they will be, where they change.
    changed: Vec<(usize, Option<Filled>)>,
    /// Boards to be filled further before empty ones are opened.
    reopened: Vec<(usize, usize, Cutting)>,
    /// Empty boards that may be opened.
    candidates: Vec<usize>,
    pool: Vec<u32>,
    rule: Option<PriorityRule>,
    filling: Option<(usize, usize, Filling)>,
    /// Boards are filled several times and the best filling is kept.
    is_thorough: bool,
    tries: Option<Tries>,
    /// Fillings being chosen for all boards, in place of filling any.
    combination: Option<Combination>,
}

/// One board being filled several times.
struct Tries {
    left: usize,
    /// The board before it is filled, and what could be laid.
    start: (Cutting, Vec<u32>),
    /// The best filling so far: what it is worth, and what it leaves to be laid.
    best: Option<(f64, Cutting, Vec<u32>)>,
}

impl Attempt {
    /// One that changes nothing yet, with so much to be laid.
    fn new(pool: Vec<u32>) -> Attempt {
        Attempt {
            changed: Vec::new(),
            reopened: Vec::new(),
            candidates: Vec::new(),
            pool,
            rule: None,
            filling: None,
            is_thorough: false,
            tries: None,
            combination: None,
        }
    }
}

/// The search over the boards of one task.
pub(crate) struct Repair {
    room: Stockroom,
    /// Which of its boards, empty, takes which part.
    takes: Takes,
    task: Task,
    worths: Vec<Worth>,
    /// Fillings of single boards met so far.
    pool: PatternPool,
    /// Of each part, how much heavier it weighs since attempts left it out.
    trouble: Vec<f64>,
    chance: Chance,
    current: State,
    best: State,
    memory: Vec<Standing>,
    attempts: usize,
    /// Each step goes on until something is laid, and no attempt is made without chance.
    hurries: bool,
    /// Attempts since the best improved, or since the last fresh start.
    idle: usize,
    attempt: Option<Attempt>,
    strip: StripLimit,
    layouts: Vec<Layout>,
    has_work: bool,
}

/// The length that a strip is not to exceed, tightened after each success.
#[derive(Debug, Clone, Copy)]
struct StripLimit {
    limit: Option<f64>,
    /// Share by which the next limit is shorter.
    squeeze: f64,
    failures: u32,
}

impl Repair {
    /// The search before its first step: only pins are placed.
    pub(crate) fn new(job: &Job, task: Task) -> Repair {
        let room = Stockroom::new(job, &task);
        let takes = room.table(job);
        let count = room.shelves.len().max(1) as f64;
        let shares: Vec<f64> = (0..job.parts.len())
            .map(|part| takes.all_takers(part) as f64 / count)
            .collect();
        let worths = worths(job, &shares);
        let pool: Vec<u32> = task
            .wanted
            .iter()
            .map(|w| u32::try_from(w.len()).unwrap_or(u32::MAX))
            .collect();
        let boards: Vec<Option<Filled>> = room
            .shelves
            .iter()
            .map(|shelf| {
                shelf.pinned.as_ref().map(|cutting| Filled {
                    frame: shelf.frames[0],
                    cutting: cutting.clone(),
                    measure: BoardMeasure::of(job, &room.grounds[shelf.frames[0]], cutting),
                })
            })
            .collect();
        let has_work = pool
            .iter()
            .enumerate()
            .any(|(p, n)| *n > 0 && takes.all_takers(p) > 0);
        let standing = standing(job, &task.wanted, &boards, &pool);
        let state = State {
            boards,
            pool,
            standing: standing.clone(),
        };
        let chance = task.chance.clone();
        let mut repair = Repair {
            room,
            takes,
            task,
            pool: PatternPool::new(job.boards.len()),
            trouble: vec![1.0; worths.len()],
            worths,
            chance,
            current: state.clone(),
            best: state,
            memory: vec![standing; MEMORY],
            attempts: 0,
            hurries: false,
            idle: 0,
            attempt: None,
            strip: StripLimit {
                limit: None,
                squeeze: 0.02,
                failures: 0,
            },
            layouts: Vec::new(),
            has_work,
        };
        repair.layouts = repair.layouts_of(job);
        repair
    }

    fn shop<'a>(&'a self, job: &'a Job, frame: usize) -> Shop<'a> {
        Shop {
            job,
            ground: &self.room.grounds[frame],
            saws: &self.room.saws,
            worths: &self.worths,
        }
    }

    /// The best boards as layouts.
    fn layouts_of(&self, job: &Job) -> Vec<Layout> {
        self.layouts_at(job, &self.best)
    }

    fn layouts_at(&self, job: &Job, state: &State) -> Vec<Layout> {
        let boards: Vec<Option<(usize, &Cutting)>> = state
            .boards
            .iter()
            .map(|b| b.as_ref().map(|f| (f.frame, &f.cutting)))
            .collect();
        layouts_of(job, &self.room, &self.task.wanted, &boards)
    }

    /// The state that layouts made elsewhere describe; none if one of them is not of this task.
    fn state_of(&self, job: &Job, layouts: &[Layout]) -> Option<State> {
        let mut boards: Vec<Option<Filled>> = vec![None; self.room.shelves.len()];
        let mut pool: Vec<u32> = self
            .task
            .wanted
            .iter()
            .map(|w| u32::try_from(w.len()).unwrap_or(u32::MAX))
            .collect();
        for layout in layouts
            .iter()
            .filter(|l| !self.room.stuck.iter().any(|s| s.board == l.board))
        {
            let shelf = self
                .room
                .shelves
                .iter()
                .position(|s| board_copy(job, s.stock) == layout.board)?;
            let frame = *self.room.shelves[shelf]
                .frames
                .iter()
                .find(|f| self.room.grounds[**f].frame == layout.frame)?;
            let ground = &self.room.grounds[frame];
            let is_pin = |part: &str, copy: u32| {
                self.task
                    .pins
                    .iter()
                    .any(|p| job.parts[p.part].id == part && p.copy == copy)
            };
            let cutouts = cutouts_of(job, ground, layout, |part, copy| is_pin(&part.id, copy))?;
            for cutout in cutouts.iter().filter(|c| c.copy.is_none()) {
                pool[cutout.part] = pool[cutout.part].checked_sub(1)?;
            }
            let tree = layout.cuts.as_ref()?;
            let cutting = Cutting::from_tree(job, ground, tree, cutouts)?;
            let measure = BoardMeasure::of(job, ground, &cutting);
            boards[shelf] = Some(Filled {
                frame,
                cutting,
                measure,
            });
        }
        let holds_pins = self
            .room
            .shelves
            .iter()
            .zip(&boards)
            .all(|(s, b)| s.pinned.is_none() || b.is_some());
        let standing = standing(job, &self.task.wanted, &boards, &pool);
        holds_pins.then_some(State {
            boards,
            pool,
            standing,
        })
    }
}

/// The first attempts are made without chance, by these preferences, so that a good plan is there at once.
const FIRST_RULES: [PriorityRule; 4] = [
    PriorityRule::PLAIN,
    PriorityRule {
        rips_percent: 100,
        ..PriorityRule::PLAIN
    },
    PriorityRule::LONGEST_FIRST,
    PriorityRule {
        rips_percent: 0,
        area: 0.7,
        length: 2.0,
        ..PriorityRule::PLAIN
    },
];

fn standing(job: &Job, wanted: &[Vec<u32>], boards: &[Option<Filled>], pool: &[u32]) -> Standing {
    let placed_value = boards
        .iter()
        .flatten()
        .flat_map(|f| &f.cutting.cutouts)
        .map(|c| job.parts[c.part].value)
        .sum();
    let measures = boards.iter().flatten().map(|f| &f.measure);
    if !deal::matters(job) {
        return Standing::of(job, measures, pool, placed_value);
    }
    let cuttings: Vec<Option<&Cutting>> = boards
        .iter()
        .map(|b| b.as_ref().map(|f| &f.cutting))
        .collect();
    let undealt = deal(job, wanted, &cuttings).undealt;
    let left: Vec<u32> = pool.iter().zip(&undealt).map(|(a, b)| a + b).collect();
    Standing::of(job, measures, &left, placed_value)
}

impl Engine for Repair {
    fn step(&mut self, job: &Job) -> bool {
        if !self.has_work {
            return false;
        }
        let mut attempt = match self.attempt.take() {
            Some(attempt) => attempt,
            None => self.next_attempt(job),
        };
        // What lays nothing goes by beside what does.
        for _ in 0..if self.hurries { MOST_BESIDE } else { 1 } {
            let waiting: u32 = attempt.pool.iter().sum();
            if self.advance(job, &mut attempt) {
                return self.judge(job, attempt);
            }
            if attempt.pool.iter().sum::<u32>() < waiting {
                break;
            }
        }
        self.attempt = Some(attempt);
        false
    }

    fn turn_steps(&self) -> u64 {
        1_000
    }

    fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    fn is_finished(&self) -> bool {
        !self.has_work
    }

    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool {
        let known = self.room.grounds.len();
        for layout in layouts {
            self.room.add_frame_of(job, layout);
        }
        if self.room.grounds.len() > known {
            self.takes = self.room.table(job);
        }
        let Some(state) = self.state_of(job, layouts) else {
            return false;
        };
        if !state
            .standing
            .score
            .better_than(&self.best.standing.score, &job.order)
        {
            return false;
        }
        self.best = state.clone();
        self.current = state;
        self.memory = vec![self.current.standing.clone(); MEMORY];
        self.attempt = None;
        if self.hurries {
            // The first attempt is not better by being the first.
            self.attempts = self.attempts.max(1);
        }
        self.layouts = self.layouts_of(job);
        true
    }

    fn hurry(&mut self) {
        self.hurries = true;
    }

    fn passing(&self, job: &Job, dearer: f64) -> Option<Vec<Layout>> {
        let (here, best) = (&self.current.standing.score, &self.best.standing.score);
        let is_near = here.is_as_whole(best) && !here.is_dearer(best, dearer);
        is_near.then(|| self.layouts_at(job, &self.current))
    }

    fn chance_state(&self) -> u64 {
        self.chance.state()
    }
}
