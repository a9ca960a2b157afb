//! Across boards: destroy a part of the plan, repair it, keep what is good enough.
//!
//! One round of work (an *attempt*) empties one to three boards, or parts of them, and
//! fills them again from what lay there and what is not placed yet, with a few unused
//! boards to choose from besides. Late acceptance (Burke & Bykov 2017) keeps an attempt
//! that is no worse than the plan of some attempts ago.

use heartside_geometry::Arrange;
use heartside_timber::document::Use;
use heartside_timber::job::{Goal, Job};
use heartside_timber::plan::Layout;

use super::deal::{self, deal};
use super::fill::{Filling, Shop, Worth, worths};
use super::layouts::layouts_of;
use super::pattern_pool::PatternPool;
use super::priority_rule::PriorityRule;
use super::standing::{BoardMeasure, Standing};
use super::stockroom::{Stockroom, board_copy, cutouts_of};
use super::takes::{Chosen, Takes};
use crate::chance::Chance;
use crate::cuts::cutting::Cutting;
use crate::engine::{Engine, Task};

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

/// Attempts between two times that fillings are combined anew: by then there are new ones, and
/// combining takes as long as some dozen attempts.
const COMBINE_EVERY: usize = 400;

/// How fast a part that is left out gains weight, how fast it loses it, and the most it can
/// have. Without a limit one part would drive all others out, and it would take as long to
/// fade as it took to grow.
const TROUBLE_GROWS: f64 = 1.2;
const TROUBLE_FADES: f64 = 0.95;
const MOST_TROUBLE: f64 = 30.0;

/// Share of a board's clear area that fillings usually reach; for choosing boards only.
const USUAL_FILL: f64 = 0.8;

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

    /// What the next attempt destroys.
    fn next_attempt(&mut self, job: &Job) -> Attempt {
        let used: Vec<usize> = (0..self.current.boards.len())
            .filter(|b| self.current.boards[*b].is_some())
            .collect();
        let empty: Vec<usize> = (0..self.current.boards.len())
            .filter(|b| self.current.boards[*b].is_none() && !self.room.shelves[*b].is_stuck)
            .collect();
        let combines = matches!(job.goal, Goal::Furnish | Goal::InOrder);
        if combines && self.attempts % COMBINE_EVERY == COMBINE_EVERY - 1 {
            return self.recombined(job);
        }
        // A strip or a knapsack is one board: parts of it are repaired by turns with all of it.
        let anew = match job.goal {
            Goal::Furnish | Goal::InOrder => self.idle >= patience(job.piece_count()),
            Goal::StripLength => self.attempts.is_multiple_of(2),
            Goal::Value => self.attempts.is_multiple_of(3),
        };
        if anew || self.attempts < FIRST_RULES.len() {
            return self.anew(job, &empty, &used);
        }
        let mut attempt = Attempt {
            changed: Vec::new(),
            reopened: Vec::new(),
            candidates: Vec::new(),
            pool: self.current.pool.clone(),
            rule: None,
            filling: None,
        };
        let mut left = used;
        let releases = [1, 1, 2, 2, 2, 3][self.chance.below(6)];
        for _ in 0..releases {
            if left.is_empty() {
                break;
            }
            let board = left.remove(self.pick(&left));
            self.release(job, board, &mut attempt);
        }
        self.offer_empty(&empty, &mut attempt);
        attempt
    }

    /// Everything from the start.
    fn anew(&mut self, job: &Job, empty: &[usize], used: &[usize]) -> Attempt {
        let mut attempt = Attempt {
            changed: Vec::new(),
            reopened: Vec::new(),
            candidates: empty.to_vec(),
            pool: self.current.pool.clone(),
            rule: FIRST_RULES.get(self.attempts).copied(),
            filling: None,
        };
        for board in used {
            self.empty_board(job, *board, &mut attempt);
        }
        attempt.candidates.arrange();
        attempt
    }

    /// One of the boards, badly filled ones rather than well filled ones.
    fn pick(&mut self, boards: &[usize]) -> usize {
        let one = self.chance.below(boards.len());
        let other = self.chance.below(boards.len());
        let fill = |place: usize| {
            self.current.boards[boards[place]]
                .as_ref()
                .map_or(0.0, |f| {
                    f.cutting.cutouts.iter().map(|c| c.rect.area()).sum::<f64>()
                        / self.room.grounds[f.frame].bounds.area().max(1e-9)
                })
        };
        if self.chance.percent(60) && fill(other) < fill(one) {
            other
        } else {
            one
        }
    }

    /// Gives back what lies on a board, or on one workpiece of it.
    fn release(&mut self, job: &Job, board: usize, attempt: &mut Attempt) {
        let whole = matches!(job.goal, Goal::Furnish | Goal::InOrder) && self.chance.percent(60);
        let Some(filled) = self.current.boards[board].clone().filter(|_| !whole) else {
            self.empty_board(job, board, attempt);
            return;
        };
        let nodes: Vec<usize> = filled
            .cutting
            .cut_nodes()
            .into_iter()
            .filter(|n| *n > 0)
            .collect();
        let mut cutting = filled.cutting;
        if nodes.is_empty() {
            self.empty_board(job, board, attempt);
            return;
        }
        let node = nodes[self.chance.below(nodes.len())];
        let mut trial = cutting.clone();
        let released = trial.undo(node);
        if released.iter().any(|c| c.copy.is_some()) {
            self.empty_board(job, board, attempt);
            return;
        }
        for cutout in &released {
            attempt.pool[cutout.part] += 1;
        }
        cutting = trial;
        cutting.reopen();
        self.keep_limit(job, filled.frame, &mut cutting);
        attempt.reopened.push((board, filled.frame, cutting));
    }

    /// The remainder of a strip beyond its limit stays closed.
    fn keep_limit(&self, job: &Job, frame: usize, cutting: &mut Cutting) {
        if let (Goal::StripLength, Some(limit)) = (job.goal, self.strip.limit) {
            let edge = self.room.grounds[frame].usable.min.x + limit;
            let works = &cutting.works;
            cutting
                .open
                .retain(|o| works[*o].is_some_and(|w| w.rect.max.x <= edge + 1e-9));
        }
    }

    fn empty_board(&mut self, job: &Job, board: usize, attempt: &mut Attempt) {
        if let Some(filled) = &self.current.boards[board] {
            for cutout in filled.cutting.cutouts.iter().filter(|c| c.copy.is_none()) {
                attempt.pool[cutout.part] += 1;
            }
        }
        if self.room.shelves[board].pinned.is_some() {
            let frame = self.room.shelves[board].frames[0];
            attempt.reopened.push((
                board,
                frame,
                self.room.start(job, board, frame, self.strip.limit),
            ));
        } else {
            attempt.changed.push((board, None));
            attempt.candidates.push(board);
        }
    }

    /// A few unused boards to choose from besides; all of them while something is missing.
    fn offer_empty(&mut self, empty: &[usize], attempt: &mut Attempt) {
        if self.current.pool.iter().any(|n| *n > 0) || empty.len() <= 3 {
            attempt.candidates.extend(empty);
        } else {
            for _ in 0..2 {
                let board = empty[self.chance.below(empty.len())];
                if !attempt.candidates.contains(&board) {
                    attempt.candidates.push(board);
                }
            }
        }
        attempt.candidates.arrange();
    }

    /// One unit of an attempt; true once it is complete.
    fn advance(&mut self, job: &Job, attempt: &mut Attempt) -> bool {
        if let Some((board, frame, mut filling)) = attempt.filling.take() {
            let mut chance = self.chance.clone();
            let goes_on = attempt.pool.iter().any(|n| *n > 0)
                && filling.advance(&self.shop(job, frame), &mut attempt.pool, &mut chance);
            self.chance = chance;
            if goes_on {
                attempt.filling = Some((board, frame, filling));
            } else {
                self.close(job, attempt, board, frame, filling.cutting);
            }
            return false;
        }
        if let Some((board, frame, cutting)) = attempt.reopened.pop() {
            self.begin(job, attempt, board, frame, cutting);
            return false;
        }
        let Some((board, frame)) = self.choose_board(job, attempt) else {
            return true;
        };
        attempt.candidates.retain(|c| *c != board);
        let cutting = self.room.start(job, board, frame, self.strip.limit);
        self.begin(job, attempt, board, frame, cutting);
        false
    }

    fn begin(
        &mut self,
        job: &Job,
        attempt: &mut Attempt,
        board: usize,
        frame: usize,
        cutting: Cutting,
    ) {
        let mut chance = self.chance.clone();
        // A knapsack leaves most pieces out, and needs more chance to leave the right ones out.
        let spread = if job.goal == Goal::Value { 1.0 } else { 0.6 };
        let rule = attempt
            .rule
            .unwrap_or_else(|| PriorityRule::drawn(&mut chance, spread));
        let filling = Filling::new(
            &self.shop(job, frame),
            cutting,
            rule,
            &attempt.pool,
            &mut chance,
        );
        self.chance = chance;
        attempt.filling = Some((board, frame, filling));
    }

    fn close(
        &mut self,
        job: &Job,
        attempt: &mut Attempt,
        board: usize,
        frame: usize,
        cutting: Cutting,
    ) {
        attempt.changed.retain(|(b, _)| *b != board);
        let filled = (!cutting.cutouts.is_empty()).then(|| Filled {
            frame,
            measure: BoardMeasure::of(job, &self.room.grounds[frame], &cutting),
            cutting,
        });
        if let Some(filled) = &filled
            && self.room.shelves[board].pinned.is_none()
        {
            let area = |p: usize| job.parts[p].length() * job.parts[p].width();
            let place = self.room.shelves[board].stock.board;
            let Filled {
                frame,
                cutting,
                measure,
            } = filled;
            self.pool.keep(place, *frame, cutting, *measure, area);
        }
        attempt.changed.push((board, filled));
    }

    /// A whole plan put together from fillings met so far, as an attempt that needs no more work.
    fn recombined(&self, job: &Job) -> Attempt {
        let area = |p: usize| job.parts[p].length() * job.parts[p].width();
        let open: Vec<usize> = (0..self.room.shelves.len())
            .filter(|s| {
                let shelf = &self.room.shelves[*s];
                shelf.pinned.is_none() && !shelf.is_stuck
            })
            .collect();
        let mut pool = self.current.pool.clone();
        for filled in open.iter().filter_map(|s| self.current.boards[*s].as_ref()) {
            filled
                .cutting
                .cutouts
                .iter()
                .for_each(|c| pool[c.part] += 1);
        }
        let boards: Vec<usize> = open
            .iter()
            .map(|s| self.room.shelves[*s].stock.board)
            .collect();
        let chosen = self
            .pool
            .combine(&boards, &pool, area, |b| job.boards[b].cost);
        let mut attempt = Attempt {
            changed: Vec::new(),
            reopened: Vec::new(),
            candidates: Vec::new(),
            pool,
            rule: None,
            filling: None,
        };
        for (shelf, filling) in open.into_iter().zip(chosen) {
            let filled = filling.map(|f| Filled {
                frame: f.frame,
                cutting: f.cutting.clone(),
                measure: f.measure,
            });
            if let Some(filled) = &filled {
                let cutouts = &filled.cutting.cutouts;
                cutouts.iter().for_each(|c| attempt.pool[c.part] -= 1);
            }
            attempt.changed.push((shelf, filled));
        }
        attempt
    }

    /// The next board to open, and its frame: the cheapest, for what it will take, of those that take the hardest piece left.
    fn choose_board(&mut self, job: &Job, attempt: &Attempt) -> Option<(usize, usize)> {
        let shelves = self.room.shelves.len();
        let candidates = Chosen::of(shelves, attempt.candidates.iter().copied());
        let waiting = (0..attempt.pool.len()).filter(|p| attempt.pool[*p] > 0);
        let waiting = Chosen::of(attempt.pool.len(), waiting);
        let mut hardest: Option<(f64, usize)> = None;
        for (part, left) in attempt
            .pool
            .iter()
            .enumerate()
            .filter(|(_, left)| **left > 0)
        {
            let count = self.takes.takers(part, &candidates);
            if count == 0 {
                continue;
            }
            let size = job.parts[part].length().max(job.parts[part].width());
            let hardness = self.worths[part].weight * size / count as f64;
            debug_assert!(*left > 0);
            if hardest.is_none_or(|(most, _)| hardness > most) {
                hardest = Some((hardness, part));
            }
        }
        let (_, part) = hardest?;
        let areas: Vec<f64> = (job.parts.iter())
            .map(|part| part.length() * part.width())
            .collect();
        let noise = if attempt.rule.is_some() { 0.0 } else { 0.35 };
        let mut best: Option<(f64, usize)> = None;
        for board in attempt.candidates.clone() {
            let shelf = &self.room.shelves[board];
            if !self.takes.takes(board, part) {
                continue;
            }
            let wanted: f64 = (self.takes.taken(board, &waiting))
                .map(|p| f64::from(attempt.pool[p]) * areas[p])
                .sum();
            let stock = &job.boards[shelf.stock.board];
            let useful = (USUAL_FILL * stock.outline.area()).min(wanted).max(1e-9);
            let preference = match stock.usage {
                Use::First => 1e-6,
                Use::IfNeeded => 1e6,
                Use::Freely | Use::Leave => 1.0,
            };
            let price = (stock.cost + 1e-9) / useful * preference;
            let price = price * (1.0 + noise * self.chance.unit());
            if best.is_none_or(|(least, _)| price < least) {
                best = Some((price, board));
            }
        }
        let (_, board) = best?;
        let frames: Vec<usize> = self.room.shelves[board]
            .frames
            .iter()
            .copied()
            .filter(|f| !self.room.grounds[*f].fits[part].is_empty())
            .collect();
        let first = *frames.first()?;
        let other = noise > 0.0 && frames.len() > 1 && self.chance.percent(20);
        Some((
            board,
            if other {
                frames[self.chance.below(frames.len())]
            } else {
                first
            },
        ))
    }

    /// Takes a finished attempt over, or not; true if the best improved.
    fn judge(&mut self, job: &Job, attempt: Attempt) -> bool {
        let mut boards = self.current.boards.clone();
        for (board, filled) in attempt.changed {
            boards[board] = filled;
        }
        let standing = standing(job, &self.task.wanted, &boards, &attempt.pool);
        self.weigh_trouble(&attempt.pool);
        let place = self.attempts % MEMORY;
        self.attempts += 1;
        let starts_anew = matches!(job.goal, Goal::Furnish | Goal::InOrder)
            && self.idle >= patience(job.piece_count());
        let is_first = self.attempts == 1 || starts_anew;
        let accepted = is_first
            || standing.guide(&self.memory[place], &job.order).is_le()
            || standing.guide(&self.current.standing, &job.order).is_le();
        let improved = standing
            .score
            .better_than(&self.best.standing.score, &job.order);
        let state = State {
            boards,
            pool: attempt.pool,
            standing,
        };
        self.idle = if improved || starts_anew {
            0
        } else {
            self.idle + 1
        };
        if improved {
            self.best = state.clone();
        }
        if accepted {
            self.current = state;
        }
        if is_first {
            self.memory = vec![self.current.standing.clone(); MEMORY];
        } else {
            self.memory[place] = self.current.standing.clone();
        }
        if job.goal == Goal::StripLength {
            self.tighten(job);
        }
        if improved {
            self.layouts = self.layouts_of(job);
        }
        improved
    }

    /// Parts that attempts leave out are laid the sooner in later ones, until they find a place (Joslin & Clements 1999).
    fn weigh_trouble(&mut self, left: &[u32]) {
        for ((worth, trouble), left) in self.worths.iter_mut().zip(&mut self.trouble).zip(left) {
            let base = worth.weight / *trouble;
            *trouble = if *left > 0 {
                (*trouble * TROUBLE_GROWS).min(MOST_TROUBLE)
            } else {
                (*trouble * TROUBLE_FADES).max(1.0)
            };
            worth.weight = base * *trouble;
        }
    }

    /// After a strip held everything: shorter. After many failures: less so.
    fn tighten(&mut self, job: &Job) {
        let held = self.current.pool.iter().all(|n| *n == 0);
        let best = self.best.standing.score.cost;
        if held && self.current.standing.score.cost > 0.0 {
            self.strip.failures = 0;
        } else {
            self.strip.failures += 1;
            if self.strip.failures < 300 {
                return;
            }
            self.strip.failures = 0;
            self.strip.squeeze *= 0.5;
        }
        if self.best.pool.iter().all(|n| *n == 0) {
            let limit = best * (1.0 - self.strip.squeeze);
            self.strip.limit = Some(limit);
            // Start the shorter strip from nothing: what lies beyond the limit would not be cut off.
            let boards: Vec<Option<Filled>> = vec![None; self.current.boards.len()];
            let pool: Vec<u32> = self
                .task
                .wanted
                .iter()
                .map(|w| u32::try_from(w.len()).unwrap_or(u32::MAX))
                .collect();
            if self.room.shelves.iter().all(|s| s.pinned.is_none()) {
                let standing = standing(job, &self.task.wanted, &boards, &pool);
                self.memory = vec![standing.clone(); MEMORY];
                self.current = State {
                    boards,
                    pool,
                    standing,
                };
            }
        }
    }

    /// The best boards as layouts.
    fn layouts_of(&self, job: &Job) -> Vec<Layout> {
        let boards: Vec<Option<(usize, &Cutting)>> = self
            .best
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
        if self.advance(job, &mut attempt) {
            return self.judge(job, attempt);
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
        self.layouts = self.layouts_of(job);
        true
    }

    fn chance_state(&self) -> u64 {
        self.chance.state()
    }
}
