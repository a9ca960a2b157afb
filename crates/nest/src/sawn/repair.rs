//! Bettering a floor of several boards: take up some pieces, place them again, part what overlaps.
//!
//! Each try changes a copy of the present floor. It empties a board (rather a dear or hardly
//! covered one) onto the others and onto cheaper ones, or takes up pieces of a few boards and
//! lays them in another order, or only places what is still missing. A piece that finds no
//! free place is laid over others on the board with most room, and the overlap is parted
//! (see [`super::separation`]). A floor that is no worse replaces the present one.

use std::cmp::Ordering;

use heartside_geometry::Arrange;
use heartside_timber::document::Use;

use super::attempt::{Attempt, Parting, begin_parting, shuffle_a_little, yard_room};
use super::build::{Floor, Fronts, covered, filling_order, placing_order};
use super::edge_matching::EdgeMatching;
use super::multi_board::{MultiBoard, Parted};
use super::separation::Moved;
use super::tools::Tools;
use super::verify::is_sound;
use crate::chance::Chance;
use crate::objective::{Choices, Worth};

/// Passes of parting before a piece is given up on a board.
///
/// Fewer and tight boards are never solved; more and hopeless ones take the time of many other tries.
const PASSES: u32 = 60;

/// In so many of a hundred cases with pieces missing, boards are taken up and filled side to side, and so many boards at most.
const MATCHED: u32 = 85;

const BOARDS_MATCHED: usize = 3;

/// The same, where all pieces lie and a board is to be emptied.
const MATCHED_IF_EMPTYING: u32 = 40;

/// In so many of a hundred cases pieces are laid over others on several boards and parted over all of them.
const MULTI_BOARD: u32 = 50;

/// So many missing pieces are forced in so at most.
const MISSING_FORCED: usize = 2;

/// So many boards take part in that.
const MOST_BOARDS: usize = 8;

/// In so many of a hundred cases where a board is to be emptied, some are exchanged for fewer or cheaper ones instead.
const EXCHANGED: u32 = 70;

/// Only once so many changes have bettered nothing: parting several full boards takes long.
const EXCHANGED_AFTER: u32 = 60;

/// So many exchanges are drawn, and so many boards at most are given up in one.
const EXCHANGES: usize = 40;

const GIVEN_UP: usize = 3;

/// By so much at most the share of the boards that is covered may grow in an exchange, as a share of it.
const FULLER: f64 = 0.15;

/// A search over floors.
#[derive(Debug)]
pub(super) struct Repair {
    current: Floor,
    current_worth: Worth,
    best_worth: Worth,
    state: State,
    /// Pieces that no board can take.
    hopeless: Vec<bool>,
    /// Changes tried since the best floor was found.
    in_vain: u32,
}

#[derive(Debug)]
enum State {
    Choose,
    Fill(Box<Attempt>),
    Part(Box<Attempt>, Box<Parting>),
    MultiBoard(Box<Attempt>, Box<MultiBoard>),
    EdgeMatching(Box<Attempt>, Box<EdgeMatching>),
}

impl Repair {
    /// Starts from a sound floor.
    pub(super) fn new(tools: &mut Tools<'_>, floor: &Floor) -> Repair {
        let worth = floor.worth(tools.job, tools.yard, tools.stock, tools.pieces);
        let mut of_part: Vec<Option<bool>> = vec![None; tools.job.parts.len()];
        let mut hopeless = vec![false; tools.pieces.len()];
        for piece in &floor.left {
            let part = tools.pieces[*piece].part;
            let none = match of_part[part] {
                Some(none) => none,
                None => {
                    let boards: Vec<usize> = tools.stock.iter().map(|s| s.board).collect();
                    boards
                        .iter()
                        .all(|b| tools.yard.choices(tools.job, *b, part).is_empty())
                }
            };
            of_part[part] = Some(none);
            hopeless[*piece] = none;
        }
        Repair {
            current: floor.clone(),
            current_worth: worth.clone(),
            best_worth: worth,
            state: State::Choose,
            hopeless,
            in_vain: 0,
        }
    }

    /// True where nothing lies on any board and nothing can be laid.
    pub(super) fn is_hopeless(&self) -> bool {
        self.current.boards.iter().flatten().all(|l| l.pinned)
            && self.current.left.iter().all(|k| self.hopeless[*k])
    }

    /// True where everything lies on one board and no board that costs less is large enough.
    pub(super) fn is_at_its_best(&self, tools: &Tools<'_>) -> bool {
        let mut used = (0..tools.stock.len()).filter(|s| !self.current.boards[*s].is_empty());
        let (Some(only), None) = (used.next(), used.next()) else {
            return false;
        };
        let board = |s: usize| &tools.job.boards[tools.stock[s].board];
        let laid = covered(tools.yard, &self.current.boards[only]);
        let cheaper = |s: usize| {
            let (this, other) = (board(only), board(s));
            let reluctant = other.usage == Use::IfNeeded && this.usage != Use::IfNeeded;
            let relief = this.usage == Use::IfNeeded && other.usage != Use::IfNeeded;
            !reluctant
                && (relief || other.cost < this.cost)
                && tools.yard.boards[tools.stock[s].board].clear_area >= laid
        };
        self.current.left.is_empty() && !(0..tools.stock.len()).any(cheaper)
    }

    /// One unit of work; the new floor where it is better than all before.
    pub(super) fn step(&mut self, tools: &mut Tools<'_>) -> Option<&Floor> {
        match std::mem::replace(&mut self.state, State::Choose) {
            State::Choose => {
                self.in_vain = self.in_vain.saturating_add(1);
                self.state = match self.choose(tools) {
                    Some(state) => state,
                    None => State::Choose,
                };
                None
            }
            State::EdgeMatching(mut attempt, mut edge_matching) => {
                if edge_matching.step(tools, &mut attempt.floor) {
                    self.state = State::EdgeMatching(attempt, edge_matching);
                    return None;
                }
                let boards = edge_matching.boards().to_vec();
                attempt.queue = edge_matching.into_left();
                if let Some(multi_board) =
                    MultiBoard::gather(tools, &attempt.floor, boards, &[], true)
                {
                    self.state = State::MultiBoard(attempt, Box::new(multi_board));
                }
                None
            }
            State::MultiBoard(mut attempt, mut multi_board) => {
                match multi_board.step(tools) {
                    Parted::On => self.state = State::MultiBoard(attempt, multi_board),
                    Parted::Failed => {}
                    Parted::Clear => {
                        let out = multi_board.settle(&mut attempt.floor, &mut attempt.changed);
                        attempt.queue.extend(out);
                        placing_order(tools.job, tools.yard, tools.pieces, &mut attempt.queue);
                        attempt.queue.reverse();
                        self.state = State::Fill(attempt);
                    }
                }
                None
            }
            State::Fill(mut attempt) => {
                if attempt.fill_one(tools) {
                    self.state = State::Fill(attempt);
                    return None;
                }
                self.settle_or_part(tools, attempt)
            }
            State::Part(attempt, parting) => self.part(tools, attempt, parting),
        }
    }

    /// All pieces have had their turn: the floor is judged, or what found no place is forced in.
    fn settle_or_part(
        &mut self,
        tools: &mut Tools<'_>,
        mut attempt: Box<Attempt>,
    ) -> Option<&Floor> {
        if attempt.forces_all && !attempt.stuck.is_empty() {
            attempt.forces_all = false;
            let (boards, stuck) = (attempt.order.clone(), std::mem::take(&mut attempt.stuck));
            let multi_board = MultiBoard::gather(tools, &attempt.floor, boards, &stuck, false)?;
            self.state = State::MultiBoard(attempt, Box::new(multi_board));
            return None;
        }
        // A floor that is worse even with everything stuck placed is not worth the work.
        if attempt.stuck.is_empty() || !attempt.forcing || !self.could_be_better(tools, &attempt) {
            return self.judge(tools, *attempt);
        }
        let piece = attempt.stuck.pop()?;
        match begin_parting(tools, &attempt, piece, None) {
            Some(parting) => {
                self.state = State::Part(attempt, Box::new(parting));
                None
            }
            None => {
                attempt.stuck.clear();
                self.judge(tools, *attempt)
            }
        }
    }

    fn part(
        &mut self,
        tools: &mut Tools<'_>,
        mut attempt: Box<Attempt>,
        mut parting: Box<Parting>,
    ) -> Option<&Floor> {
        match parting.separation.step(tools.yard, tools.job, tools.chance) {
            Moved::On => {}
            Moved::Clear => {
                attempt.floor.boards[parting.stock] = parting.separation.lies;
                attempt.floor.left.retain(|k| *k != parting.piece);
                attempt.changed[parting.stock] = true;
                return self.settle_or_part(tools, attempt);
            }
            Moved::PassEnded => {
                parting.passes += 1;
                if parting.passes >= PASSES {
                    let others = std::mem::take(&mut parting.others);
                    match begin_parting(tools, &attempt, parting.piece, Some(others)) {
                        Some(next) => *parting = next,
                        None => {
                            // One piece that cannot be placed: where all must be, the rest is in vain.
                            if self.current.left.is_empty() {
                                attempt.stuck.clear();
                            }
                            return self.settle_or_part(tools, attempt);
                        }
                    }
                }
            }
        }
        self.state = State::Part(attempt, parting);
        None
    }

    fn could_be_better(&self, tools: &Tools<'_>, attempt: &Attempt) -> bool {
        let mut full = attempt.floor.clone();
        full.left.retain(|k| !attempt.stuck.contains(k));
        let worth = full.worth(tools.job, tools.yard, tools.stock, tools.pieces);
        if Choices::of(tools.job).is_value() && !self.current.left.is_empty() {
            return true;
        }
        worth.compare(&self.current_worth) == Ordering::Less
    }

    fn judge(&mut self, tools: &mut Tools<'_>, attempt: Attempt) -> Option<&Floor> {
        let worth = attempt
            .floor
            .worth(tools.job, tools.yard, tools.stock, tools.pieces);
        let order = worth.compare(&self.current_worth);
        // Floors as good are taken if their spread is not much worse, so that the search moves about.
        let sideways = order == Ordering::Equal
            && worth.spread <= self.current_worth.spread + 0.02 * tools.chance.unit();
        if order != Ordering::Less && !sideways {
            return None;
        }
        for (s, changed) in attempt.changed.iter().enumerate() {
            if *changed
                && !is_sound(
                    tools.yard,
                    tools.job,
                    tools.stock[s].board,
                    &attempt.floor.boards[s],
                )
            {
                return None;
            }
        }
        self.current = attempt.floor;
        self.current_worth = worth;
        if self.current_worth.compare(&self.best_worth) == Ordering::Less {
            self.best_worth = self.current_worth.clone();
            self.in_vain = 0;
            return Some(&self.current);
        }
        None
    }

    fn choose(&self, tools: &mut Tools<'_>) -> Option<State> {
        let missing: Vec<usize> = self
            .current
            .left
            .iter()
            .copied()
            .filter(|k| !self.hopeless[*k])
            .collect();
        let used: Vec<usize> = (0..tools.stock.len())
            .filter(|s| self.current.boards[*s].iter().any(|l| !l.pinned))
            .collect();
        let mut attempt = Attempt {
            floor: self.current.clone(),
            queue: missing.clone(),
            stuck: Vec::new(),
            order: Vec::new(),
            fronts: Fronts::default(),
            changed: vec![false; tools.stock.len()],
            forcing: true,
            forces_all: false,
        };
        if missing.is_empty()
            && self.in_vain > EXCHANGED_AFTER
            && tools.chance.percent(EXCHANGED)
            && self.exchange(tools, &mut attempt, &used)
        {
            return Some(State::Fill(Box::new(attempt)));
        }
        let fitted = if missing.is_empty() {
            MATCHED_IF_EMPTYING
        } else {
            MATCHED
        };
        if !used.is_empty() && tools.chance.percent(fitted) {
            return self.edge_matching(tools, attempt, used);
        }
        if !used.is_empty() && tools.chance.percent(MULTI_BOARD) {
            attempt.forcing = false;
            let multi_board = if missing.is_empty() {
                self.multi_board_of_emptied(tools, &mut attempt, &used)?
            } else {
                self.multi_board_with_missing(tools, &mut attempt, &missing)?
            };
            return Some(State::MultiBoard(Box::new(attempt), Box::new(multi_board)));
        }
        let emptying = missing.is_empty() && tools.chance.percent(60);
        if used.is_empty() {
            if missing.is_empty() {
                return None;
            }
            attempt.order = filling_order(tools.job, tools.yard, tools.stock);
        } else if emptying {
            let emptied = self.board_to_empty(tools, &used)?;
            attempt.take_up(tools, emptied, 100);
            attempt.order = self.receivers(tools, emptied, &used);
        } else {
            let count = 1 + tools.chance.below(3.min(used.len()));
            let share = 30 + tools.chance.below(71) as u32;
            let only_missing = !missing.is_empty() && tools.chance.percent(30);
            if !only_missing {
                for _ in 0..count {
                    let s = used[tools.chance.below(used.len())];
                    attempt.take_up(tools, s, share);
                }
            }
            attempt.order = if missing.is_empty() {
                used
            } else {
                filling_order(tools.job, tools.yard, tools.stock)
            };
            shuffle_a_little(&mut attempt.order, tools.chance);
        }
        placing_order(tools.job, tools.yard, tools.pieces, &mut attempt.queue);
        if tools.chance.percent(70) {
            shuffle_a_little(&mut attempt.queue, tools.chance);
        }
        attempt.queue.reverse();
        (!attempt.queue.is_empty()).then(|| State::Fill(Box::new(attempt)))
    }

    /// Some boards taken up to be filled side to side, also with what is missing or with what another board held.
    fn edge_matching(
        &self,
        tools: &mut Tools<'_>,
        mut attempt: Attempt,
        used: Vec<usize>,
    ) -> Option<State> {
        attempt.forcing = false;
        attempt.order = used;
        if attempt.queue.is_empty() {
            let emptied = self.board_to_empty(tools, &attempt.order)?;
            attempt.order = self.receivers(tools, emptied, &attempt.order);
            attempt.take_up(tools, emptied, 100);
        }
        let mut boards = attempt.order.clone();
        for k in (1..boards.len()).rev() {
            boards.swap(k, tools.chance.below(k + 1));
        }
        boards.truncate(1 + tools.chance.below(BOARDS_MATCHED));
        for s in &boards {
            attempt.take_up(tools, *s, 100);
        }
        let queue = std::mem::take(&mut attempt.queue);
        let edge_matching = EdgeMatching::new(boards, queue);
        Some(State::EdgeMatching(
            Box::new(attempt),
            Box::new(edge_matching),
        ))
    }

    /// A board's pieces laid over those of others.
    fn multi_board_of_emptied(
        &self,
        tools: &mut Tools<'_>,
        attempt: &mut Attempt,
        used: &[usize],
    ) -> Option<MultiBoard> {
        let emptied = self.board_to_empty(tools, used)?;
        attempt.order = self.receivers(tools, emptied, used);
        attempt.order.truncate(MOST_BOARDS);
        attempt.take_up(tools, emptied, 100);
        let more = std::mem::take(&mut attempt.queue);
        let wanted: f64 = area_of(tools, &more);
        let room =
            |s: &usize| yard_room(tools.yard, tools.stock[*s].board, &attempt.floor.boards[*s]);
        let room: f64 = attempt.order.iter().map(room).sum();
        if more.is_empty() || room < wanted {
            return None;
        }
        MultiBoard::gather(tools, &attempt.floor, attempt.order.clone(), &more, false)
    }

    /// What is missing, as much of it as the room could hold, laid over what is on some boards.
    fn multi_board_with_missing(
        &self,
        tools: &mut Tools<'_>,
        attempt: &mut Attempt,
        missing: &[usize],
    ) -> Option<MultiBoard> {
        attempt.order = filling_order(tools.job, tools.yard, tools.stock);
        for k in (1..attempt.order.len()).rev() {
            attempt.order.swap(k, tools.chance.below(k + 1));
        }
        attempt.order.truncate(1 + tools.chance.below(4));
        let room =
            |s: &usize| yard_room(tools.yard, tools.stock[*s].board, &attempt.floor.boards[*s]);
        let mut room: f64 = attempt.order.iter().map(room).sum();
        let mut more = missing.to_vec();
        shuffle_a_little(&mut more, tools.chance);
        more.retain(|k| {
            let area = area_of(tools, &[*k]);
            let fits = area <= room;
            if fits {
                room -= area;
            }
            fits
        });
        more.truncate(1 + tools.chance.below(MISSING_FORCED));
        attempt.queue.clear();
        if more.is_empty() {
            return None;
        }
        MultiBoard::gather(tools, &attempt.floor, attempt.order.clone(), &more, true)
    }

    /// Takes up the pieces of some boards, to lay them on the others and on fewer or cheaper ones
    /// that are not in use; false where no such exchange is found.
    ///
    /// Of those drawn the one that saves most is taken, among those that ask for no more than a
    /// certain share of the boards to be covered.
    fn exchange(&self, tools: &mut Tools<'_>, attempt: &mut Attempt, used: &[usize]) -> bool {
        let free: Vec<usize> = (used.iter().copied())
            .filter(|s| self.current.boards[*s].iter().all(|l| !l.pinned))
            .collect();
        let clear =
            |tools: &Tools<'_>, s: usize| tools.yard.boards[tools.stock[s].board].clear_area;
        let cost = |tools: &Tools<'_>, list: &[usize]| -> (f64, f64) {
            let boards = list
                .iter()
                .map(|s| &tools.job.boards[tools.stock[*s].board]);
            boards.fold((0.0, 0.0), |sum, b| {
                let reluctant = f64::from(u8::from(b.usage == Use::IfNeeded));
                (sum.0 + reluctant, sum.1 + b.cost)
            })
        };
        let mut unused: Vec<usize> = (0..tools.stock.len())
            .filter(|s| self.current.boards[*s].is_empty())
            .collect();
        let laid: f64 = (used.iter())
            .map(|s| covered(tools.yard, &self.current.boards[*s]))
            .sum();
        let all: f64 = used.iter().map(|s| clear(tools, *s)).sum();
        let fuller = FULLER * tools.chance.unit() * tools.chance.unit();
        let most = (laid / all.max(1.0) * (1.0 + fuller)).min(1.0);
        let mut best: Option<(f64, Vec<usize>, Vec<usize>)> = None;
        for _ in 0..EXCHANGES {
            let given_up = 1 + tools.chance.below(GIVEN_UP.min(free.len()).max(1));
            let taken = tools.chance.below(given_up + 1).min(unused.len());
            let given_up = drawn(&mut free.clone(), given_up, tools.chance);
            let taken = drawn(&mut unused, taken, tools.chance);
            let (before, after) = (cost(tools, &given_up), cost(tools, &taken));
            let saved = before.1 - after.1;
            let area = |list: &[usize]| list.iter().map(|s| clear(tools, *s)).sum::<f64>();
            let room = all - area(&given_up) + area(&taken);
            if given_up.is_empty() || after.0 > before.0 || saved <= 0.0 || laid > most * room {
                continue;
            }
            if saved > best.as_ref().map_or(0.0, |b| b.0) {
                best = Some((saved, given_up, taken));
            }
        }
        let Some((_, given_up, taken)) = best else {
            return false;
        };
        for s in &given_up {
            attempt.take_up(tools, *s, 100);
        }
        let mut order: Vec<usize> = (used.iter().copied())
            .filter(|s| !given_up.contains(s))
            .chain(taken)
            .collect();
        let room = |s: usize| yard_room(tools.yard, tools.stock[s].board, &attempt.floor.boards[s]);
        order.arrange_by(|a, b| room(*b).total_cmp(&room(*a)).then(a.cmp(b)));
        order.truncate(MOST_BOARDS);
        attempt.order = order;
        (attempt.forcing, attempt.forces_all) = (false, true);
        placing_order(tools.job, tools.yard, tools.pieces, &mut attempt.queue);
        shuffle_a_little(&mut attempt.queue, tools.chance);
        attempt.queue.reverse();
        true
    }

    /// A board without pins, rather dear for what lies on it.
    fn board_to_empty(&self, tools: &mut Tools<'_>, used: &[usize]) -> Option<usize> {
        let mut list: Vec<usize> = used
            .iter()
            .copied()
            .filter(|s| self.current.boards[*s].iter().all(|l| !l.pinned))
            .collect();
        let price = |s: usize| {
            let board = &tools.job.boards[tools.stock[s].board];
            let reluctant = if board.usage == Use::IfNeeded {
                1.0e3
            } else {
                1.0
            };
            reluctant * board.cost / covered(tools.yard, &self.current.boards[s]).max(1.0)
        };
        list.arrange_by(|a, b| price(*b).total_cmp(&price(*a)).then(a.cmp(b)));
        if list.is_empty() {
            return None;
        }
        // The lower of two draws: the dearest are chosen oftenest, every one now and then.
        let pick = tools
            .chance
            .below(list.len())
            .min(tools.chance.below(list.len()));
        Some(list[pick])
    }

    /// The other boards in use, then unused ones that cost less than the emptied one.
    fn receivers(&self, tools: &mut Tools<'_>, emptied: usize, used: &[usize]) -> Vec<usize> {
        let board = |s: usize| &tools.job.boards[tools.stock[s].board];
        let mut order: Vec<usize> = used.iter().copied().filter(|s| *s != emptied).collect();
        // Most room first, now and then in any order.
        let room = |s: usize| yard_room(tools.yard, tools.stock[s].board, &self.current.boards[s]);
        order.arrange_by(|a, b| room(*b).total_cmp(&room(*a)).then(a.cmp(b)));
        let cheaper = |s: usize| {
            let relief = board(emptied).usage == Use::IfNeeded && board(s).usage != Use::IfNeeded;
            let no_worse = board(s).usage != Use::IfNeeded || board(emptied).usage == Use::IfNeeded;
            relief || (no_worse && board(s).cost < board(emptied).cost)
        };
        let mut unused: Vec<usize> = (0..tools.stock.len())
            .filter(|s| self.current.boards[*s].is_empty() && *s != emptied && cheaper(*s))
            .collect();
        // Copies of one board are alike: the first unused one stands for them.
        unused.dedup_by_key(|s| tools.stock[*s].board);
        shuffle_a_little(&mut order, tools.chance);
        if !unused.is_empty() && tools.chance.percent(60) {
            let pick = unused[tools.chance.below(unused.len())];
            if tools.chance.percent(50) {
                order.insert(0, pick);
            } else {
                order.push(pick);
            }
        }
        order
    }
}

/// Area of some pieces' blanks.
fn area_of(tools: &Tools<'_>, pieces: &[usize]) -> f64 {
    let area = |k: &usize| tools.yard.shapes[tools.pieces[*k].part].area;
    pieces.iter().map(area).sum()
}

/// So many of a list, drawn by chance; the list changes its order.
fn drawn(list: &mut [usize], count: usize, chance: &mut Chance) -> Vec<usize> {
    let count = count.min(list.len());
    for k in 0..count {
        list.swap(k, k + chance.below(list.len() - k));
    }
    list[..count].to_vec()
}
