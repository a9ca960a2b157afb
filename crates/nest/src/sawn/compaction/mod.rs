//! Compaction: where offcuts are asked for, the pieces of a board are pressed together towards one
//! end or edge, so that the largest clear offcut stays whole.
//!
//! Each of the four sides of a board may be the one that is kept. What keeping it would be
//! worth is the area that the score counts beyond the pieces. A side is asked for a little more
//! than the best so far: the pieces are brought into what is left, parted (see
//! [`super::separation`]), and once they are, asked for more, by steps that shrink with failure. So
//! a side that cannot beat the best one is given up after a try or two, and the end whose rest
//! has fewer flaws wins, as a flaw's share is not counted.
//!
//! Pieces are kept out of the offcut by a *block*: a pinned piece, larger than any board, that is
//! no part of the job. They are parted from it as from any other, whichever side it comes from.
//! Only towards the greatest x the parting has a limit of its own, which is quicker.
//!
//! Whether a board is bettered is judged by the score alone, once its through cuts are found; all
//! boards' scores add up, so one board is judged by itself. After each board and side has had its
//! turn, the least covered board first, they are disturbed and pressed again. In between, single
//! pieces move from the board with the better rest into free places of the others where that
//! spoils nothing: what lies there need not lie here.
//!
//! It takes every third step, once the search over boards has found nothing better for half as
//! long as it took to come so far: cheaper boards count more than offcuts; every step, where all
//! lies on one board and none that costs less is large enough. Where no offcut is asked for nothing
//! of it exists, and no chance is drawn.
//!
//! A side whose rest is not worth more yet is gone on from all the same when its turn comes again:
//! a ragged end must be long before anything clear is in it.
//!
//! Figures, and what was dropped, stand in `notes/sawn.md` of this crate.
//!
//! # Not there yet
//! Boards on which grain runs on between parts are left alone. Pressed pieces leave less room
//! for the crosscuts that make a long board handy, which the score does not see.

mod press;
mod side;

use std::cell::OnceCell;
use std::cmp::Ordering;

use heartside_geometry::{Arrange, Bounds, Point, Region, SortedMap};
use heartside_timber::document::PartCut;
use heartside_timber::job::Job;
use heartside_timber::plan::{Frame, Layout, Plan};
use heartside_timber::score::{Score, counted_area};
use heartside_timber::workpieces;

use self::press::{LEAST_STEP, Press, STEPS, Start};
use self::side::{blank, extent, line, used, used_by};
use super::build::{Floor, Fronts, covered, place_on};
use super::lie::{Lie, layout_of};
use super::separation::{Moved, Separation};
use super::tools::Tools;
use super::verify::is_sound;
use super::yard::Yard;
use crate::breaking_down::break_down_making_room;
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_wanted_offcut;
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;

/// Steps without a better floor before compaction takes turns with the search over boards: so many,
/// and a share of all its steps until then. What counts more is found first.
const PATIENCE: u64 = 60;

const OF_STEPS: u64 = 2;

/// Of so many steps one is for compaction, where every piece has its place, and where some have not.
const TURNS: (u64, u64) = (3, 8);

/// Moves between boards that are tried in a round.
const MOST_MOVES: usize = 60;

/// Tries to bring the pieces to a side for the first time.
const TRIES: u32 = 3;

const SIDES: [Side; 4] = [Side::HighX, Side::LowX, Side::HighY, Side::LowY];

/// The compaction of a floor's pieces.
#[derive(Debug)]
pub(super) struct Compaction {
    /// The job with one part more: the block.
    job: Job,
    /// Boards and kept sides that wait for their turn in this round, the next one last.
    queue: Vec<(usize, Side)>,
    press: Option<Box<Press>>,
    /// Moves of a piece that wait for their turn, the next one last: from a board, which piece, to
    /// a board.
    moves: Vec<(usize, usize, usize)>,
    /// Rounds begun since the floor was another.
    rounds: u32,
    /// Steps until the search over boards last found a better floor, and since then.
    until: u64,
    since: u64,
    /// No board can be bettered.
    is_done: bool,
    /// For boards and kept sides the tightest pieces found, whether or not they were worth more.
    tightest: SortedMap<(usize, usize), Vec<Lie>>,
    /// The boards as through cuts see them, once asked for.
    grounds: Vec<OnceCell<Ground>>,
}

impl Compaction {
    /// None where no offcut is asked for.
    pub(super) fn new(job: &Job) -> Option<Compaction> {
        if !job.asks_for_offcuts() {
            return None;
        }
        let extent = |b: &Bounds| b.width() + b.height();
        let boards = job.boards.iter().map(|b| extent(&b.outline.bounds()));
        let size = 4.0 * boards.fold(1.0, f64::max);
        let mut block = job.parts.first()?.clone();
        block.outline = Region::rectangle(Bounds::of_size(size, size))?;
        block.allowances.sawn = 0.0;
        block.cut = PartCut::Sawn;
        let mut job = job.clone();
        job.parts.push(block);
        Some(Compaction {
            grounds: vec![OnceCell::new(); job.boards.len()],
            job,
            queue: Vec::new(),
            press: None,
            moves: Vec::new(),
            rounds: 0,
            until: 0,
            since: 0,
            is_done: false,
            tightest: SortedMap::new(),
        })
    }

    /// The job that the yard is made for.
    pub(super) fn job(&self) -> &Job {
        &self.job
    }

    /// Begins anew: the floor is another.
    pub(super) fn begin_anew(&mut self) {
        self.queue.clear();
        self.press = None;
        self.moves.clear();
        self.tightest.clear();
        self.rounds = 0;
        self.until += std::mem::take(&mut self.since);
        self.is_done = false;
    }

    /// True if this step is for compaction, and not for the search over boards; always where that
    /// can better nothing.
    pub(super) fn has_turn(&mut self, floor: &Floor, is_all_there_is: bool) -> bool {
        self.since += 1;
        if is_all_there_is {
            return !self.is_done;
        }
        let turns = if floor.left.is_empty() {
            TURNS.0
        } else {
            TURNS.1
        };
        let patience = PATIENCE + self.until / OF_STEPS;
        !self.is_done && self.since > patience && self.since.is_multiple_of(turns)
    }

    /// One unit of work; true if the floor is better.
    pub(super) fn step(&mut self, tools: &mut Tools<'_>, floor: &mut Floor) -> bool {
        let Some(mut press) = self.press.take() else {
            if let Some(next) = self.moves.pop() {
                return move_one(tools, floor, next);
            }
            self.press = self.next_press(tools, floor).map(Box::new);
            return false;
        };
        let (goes_on, has_failed) = match press.separation.step(tools.yard, &self.job, tools.chance)
        {
            Moved::On => (true, false),
            Moved::Clear => (self.succeed(tools, &mut press, floor), false),
            Moved::PassEnded if press.has_patience() => (true, false),
            Moved::PassEnded => (self.fail(tools, &mut press, floor), true),
        };
        // While it succeeds at once it is not judged yet.
        let is_due = has_failed || !goes_on;
        let mut is_better = false;
        if let Some(lies) = press.unjudged(is_due) {
            let boards = [(press.stock, lies.as_slice())];
            let place = (press.stock, press.side as usize);
            self.tightest.insert(place, lies.clone());
            if compared(tools, floor, &boards) == Ordering::Less {
                floor.boards[press.stock] = lies;
                is_better = true;
            }
        }
        if goes_on {
            self.press = Some(press);
        }
        is_better
    }

    /// The next board and side that could be bettered.
    fn next_press(&mut self, tools: &mut Tools<'_>, floor: &Floor) -> Option<Press> {
        if self.queue.is_empty() {
            self.queue = self.round(tools, floor);
            self.is_done = self.queue.is_empty();
            if self.rounds > 0 {
                self.moves = self.moves_of(tools, floor);
            }
            self.rounds += 1;
        }
        let (stock, side) = self.queue.pop()?;
        let start = match (self.rounds, tools.chance.below(2)) {
            (1, _) => Start::AsTheyLie,
            (_, 0) => Start::TwoSwapped,
            _ => Start::Scattered,
        };
        self.press_on(tools, floor, (stock, side), start)
    }

    /// The boards and sides of a round, those that are pressed first last.
    fn round(&self, tools: &mut Tools<'_>, floor: &Floor) -> Vec<(usize, Side)> {
        let mut boards: Vec<(f64, usize)> = (0..tools.stock.len())
            .filter(|s| may_move(tools, &floor.boards[*s]))
            .map(|s| {
                let clear = tools.yard.boards[tools.stock[s].board].clear_area;
                (covered(tools.yard, &floor.boards[s]) / clear.max(1.0), s)
            })
            .collect();
        boards.arrange_by(|a, b| b.0.total_cmp(&a.0).then(b.1.cmp(&a.1)));
        let mut queue = Vec::new();
        for (_, stock) in boards {
            let lies = &floor.boards[stock];
            let board = tools.stock[stock].board;
            let standing = self.standing(tools.yard, board, lies);
            // The sides by what they could be worth, then by what they are.
            let mut sides: Vec<(f64, f64, Side)> = Vec::new();
            for side in SIDES {
                let least = least_used(tools, board, side, lies);
                let most = self.worth(tools.yard, board, side, least);
                if most > standing {
                    let frame = tools.yard.boards[board].frame;
                    let now = self.worth(tools.yard, board, side, used(&frame, side, lies));
                    sides.push((most, now, side));
                }
            }
            sides.arrange_by(|a, b| {
                let order = a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1));
                order.then((b.2 as usize).cmp(&(a.2 as usize)))
            });
            queue.extend(sides.into_iter().map(|(_, _, side)| (stock, side)));
        }
        queue
    }

    /// Moves from boards with a better rest to those with a worse one, the pieces that reach
    /// furthest first.
    fn moves_of(&self, tools: &Tools<'_>, floor: &Floor) -> Vec<(usize, usize, usize)> {
        let mut boards: Vec<(f64, usize)> = (0..tools.stock.len())
            .filter(|s| !floor.boards[*s].is_empty())
            .map(|s| {
                let board = tools.stock[s].board;
                (self.standing(tools.yard, board, &floor.boards[s]), s)
            })
            .collect();
        boards.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut moves = Vec::new();
        for (k, (rest, from)) in boards.iter().enumerate() {
            let mut pieces: Vec<(f64, usize)> = Vec::new();
            let frame = tools.yard.boards[tools.stock[*from].board].frame;
            for lie in floor.boards[*from].iter().filter(|l| !l.pinned) {
                let piece = tools.pieces[lie.piece];
                let id = &tools.job.parts[piece.part].id;
                let mut matched = tools.job.matches.iter().flat_map(|m| &m.parts);
                if !matched.any(|p| p.part == *id && p.copy == piece.copy) {
                    pieces.push((used_by(&frame, Side::HighX, &blank(lie)), lie.piece));
                }
            }
            pieces.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            for (_, piece) in pieces {
                let fuller = boards[k + 1..].iter().filter(|(other, _)| other < rest);
                moves.extend(fuller.map(|(_, to)| (*from, piece, *to)));
            }
        }
        moves.truncate(MOST_MOVES);
        moves.reverse();
        moves
    }

    /// What the best side is worth as the pieces lie.
    fn standing(&self, yard: &Yard, board: usize, lies: &[Lie]) -> f64 {
        let frame = yard.boards[board].frame;
        SIDES
            .iter()
            .map(|side| self.worth(yard, board, *side, used(&frame, *side, lies)))
            .fold(0.0, f64::max)
    }

    /// What a side is worth if the pieces reach so far: the area that the score counts of the
    /// rest, 0 where the workshop does not keep it.
    fn worth(&self, yard: &Yard, b: usize, side: Side, used: f64) -> f64 {
        let frame = yard.boards[b].frame;
        let line = line(&frame, side, used);
        let ground =
            self.grounds[b].get_or_init(|| Ground::for_parts(&self.job, b, 0.0, &|_| false));
        let (low, high) =
            Workpiece::whole(ground).halves(ground, side.direction(), (line, 0.0), false);
        let rest = if side.is_low() { low } else { high };
        // Ragged ends with nothing clear in them are waste, however large.
        let Some(rest) = rest.filter(|rest| is_wanted_offcut(&self.job, ground, rest)) else {
            return 0.0;
        };
        let board = &self.job.boards[b];
        let whole = workpieces::Ground::whole(Frame::default(), &board.outline);
        counted_area(&self.job, board, &whole, &rest.rect)
    }

    /// A board about to be pressed; none where that is in vain.
    fn press_on(
        &self,
        tools: &mut Tools<'_>,
        floor: &Floor,
        (stock, side): (usize, Side),
        start: Start,
    ) -> Option<Press> {
        let board = tools.stock[stock].board;
        let frame = tools.yard.boards[board].frame;
        let standing = self.standing(tools.yard, board, &floor.boards[stock]);
        // What was gained at this side before is gone on from, though another one was worth more
        // or the rest was too small to be kept.
        let before = self.tightest.get(&(stock, side as usize));
        let lies = before
            .filter(|lies| is_same(lies, &floor.boards[stock]))
            .filter(|l| used(&frame, side, l) < used(&frame, side, &floor.boards[stock]))
            .unwrap_or(&floor.boards[stock]);
        let reach = used(&frame, side, lies);
        let least = least_used(tools, board, side, lies);
        let share = if start == Start::AsTheyLie {
            STEPS.0
        } else {
            STEPS.1
        };
        let step = (share * reach).max(LEAST_STEP);
        let target = if self.worth(tools.yard, board, side, reach) >= standing {
            reach - step
        } else {
            // As far as they may reach for this side to be worth more than the best one.
            let (mut low, mut high) = (least, reach);
            if self.worth(tools.yard, board, side, low) <= standing {
                return None;
            }
            for _ in 0..24 {
                let middle = 0.5 * (low + high);
                if self.worth(tools.yard, board, side, middle) > standing {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            low
        };
        let target = target.max(least);
        if target >= reach {
            return None;
        }
        let as_they_lie = lies;
        let mut lies = lies.clone();
        lies.push(self.block(tools.yard));
        let mut press = Press {
            stock,
            board,
            frame,
            side,
            shortest: least,
            separation: Separation::new(tools.yard, &self.job, board, lies, f64::INFINITY),
            best: None,
            is_judged: true,
            target,
            step,
            least: f64::INFINITY,
            stale: 0,
            tries: 0,
        };
        let lies = press.started(tools, &self.job, as_they_lie, start);
        press.lay(tools, &self.job, lies);
        Some(press)
    }

    fn block(&self, yard: &mut Yard) -> Lie {
        let part = self.job.parts.len() - 1;
        let shape = &yard.shapes[part];
        Lie {
            piece: usize::MAX,
            form: yard.forms.kept(part, shape, 0.0, false),
            at: Point::ORIGIN,
            pinned: true,
        }
    }

    /// The pieces are parted: they are pressed on; false where they are as tight as may be.
    fn succeed(&self, tools: &mut Tools<'_>, press: &mut Press, floor: &Floor) -> bool {
        let lies = press.pieces().to_vec();
        if !is_sound(tools.yard, &self.job, press.board, &lies) {
            return self.fail(tools, press, floor);
        }
        press.best = Some((used(&press.frame, press.side, &lies), lies));
        press.is_judged = false;
        press.go_on(tools, &self.job)
    }

    /// A try was in vain: a smaller step, or another start; false where nothing is left to try.
    fn fail(&self, tools: &mut Tools<'_>, press: &mut Press, floor: &Floor) -> bool {
        if press.best.is_some() {
            press.step *= 0.5;
            return press.go_on(tools, &self.job);
        }
        press.tries += 1;
        if press.tries >= TRIES {
            return false;
        }
        let lies = press.started(
            tools,
            &self.job,
            &floor.boards[press.stock],
            Start::Scattered,
        );
        press.lay(tools, &self.job, lies);
        true
    }
}

/// True for the same pieces, however they lie.
fn is_same(a: &[Lie], b: &[Lie]) -> bool {
    a.len() == b.len() && a.iter().all(|l| b.iter().any(|m| m.piece == l.piece))
}

/// True where pieces may be moved: some are not pinned, and no grain runs on between them.
fn may_move(tools: &Tools<'_>, lies: &[Lie]) -> bool {
    let is_of = |lie: &Lie, part: &str, copy: u32| {
        let piece = tools.pieces[lie.piece];
        tools.job.parts[piece.part].id == part && piece.copy == copy
    };
    let mut matches = tools.job.matches.iter();
    let is_matched = matches.any(|m| {
        let lying = m
            .parts
            .iter()
            .filter(|p| lies.iter().any(|l| is_of(l, &p.part, p.copy)));
        !m.kind.leaves_places_free() && lying.count() > 1
    });
    !is_matched && lies.iter().any(|l| !l.pinned)
}

/// How far the pieces of a board reach at least, whatever is done, if this side is kept.
fn least_used(tools: &mut Tools<'_>, board: usize, side: Side, lies: &[Lie]) -> f64 {
    let frame = tools.yard.boards[board].frame;
    let mut least = covered(tools.yard, lies) / frame.area() * extent(&frame, side);
    for lie in lies {
        let own = if lie.pinned {
            used_by(&frame, side, &blank(lie))
        } else {
            let choices = tools.yard.choices(tools.job, board, lie.form.part);
            let forms = choices.all.iter().chain([&lie.form]);
            forms
                .map(|f| extent(&f.bounds, side) + 2.0 * f.radius)
                .fold(f64::INFINITY, f64::min)
        };
        least = least.max(own);
    }
    least
}

/// The score of some boards with these pieces, against that of what lies on them now.
fn compared(tools: &Tools<'_>, floor: &Floor, boards: &[(usize, &[Lie])]) -> Ordering {
    let layout =
        |stock: usize, lies: &[Lie]| layout_of(tools.job, &tools.stock[stock], tools.pieces, lies);
    let new = boards.iter().map(|(s, lies)| layout(*s, lies)).collect();
    let old = boards.iter().map(|(s, _)| layout(*s, &floor.boards[*s]));
    let old = score_of(tools.job, old.collect());
    score_of(tools.job, new).compare(&old, &tools.job.order)
}

/// Moves a piece to another board if the score is no worse for it; true if it is better.
fn move_one(
    tools: &mut Tools<'_>,
    floor: &mut Floor,
    (from, piece, to): (usize, usize, usize),
) -> bool {
    let Some(place) = floor.boards[from].iter().position(|l| l.piece == piece) else {
        return false;
    };
    let board = tools.stock[to].board;
    let part = tools.pieces[piece].part;
    let choices = tools.yard.choices(tools.job, board, part);
    let fronts = &mut Fronts::default();
    let lies = &floor.boards[to];
    let forms = &choices.plain;
    let found = place_on(tools.yard, tools.job, (to, board), lies, forms, fronts);
    let Some((form, at)) = found else {
        return false;
    };
    let (mut left, mut filled) = (floor.boards[from].clone(), lies.clone());
    left.remove(place);
    filled.push(Lie {
        piece,
        form,
        at,
        pinned: false,
    });
    let order = compared(tools, floor, &[(from, &left), (to, &filled)]);
    if order == Ordering::Greater || !is_sound(tools.yard, tools.job, board, &filled) {
        return false;
    }
    (floor.boards[from], floor.boards[to]) = (left, filled);
    order == Ordering::Less
}

/// The score of some layouts once they are broken down.
pub(super) fn score_of(job: &Job, layouts: Vec<Layout>) -> Score {
    let broken_down = layouts
        .into_iter()
        .map(|l| break_down_making_room(job, Layout { cuts: None, ..l }));
    let plan = Plan {
        layouts: broken_down.collect(),
        ..Plan::default()
    };
    Score::of(job, &plan)
}
