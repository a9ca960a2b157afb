//! Bettering a floor of several boards: take up some pieces, place them again, part what overlaps.
//!
//! Each try changes a copy of the present floor. It empties a board (rather a dear or hardly
//! covered one) onto the others and onto cheaper ones, or takes up pieces of a few boards and
//! lays them in another order, or only places what is still missing. A piece that finds no
//! free place is laid over others on the board with most room, and the overlap is parted
//! (see [`super::separation`]). A floor that is no worse replaces the present one.

use heartside_geometry::Arrange;
use std::cmp::Ordering;

use heartside_geometry::Point;
use heartside_timber::document::Use;
use heartside_timber::job::{Goal, Job};

use super::build::{Floor, Fronts, covered, filling_order, place_on, placing_order};
use super::edge_matching::EdgeMatching;
use super::lie::{Lie, Piece};
use super::multi_board::{MultiBoard, Parted};
use super::separation::{Moved, Separation};
use super::verify::is_sound;
use super::worth::Worth;
use super::yard::Yard;
use crate::chance::Chance;
use crate::engine::Stock;

/// Passes of parting before a piece is given up on a board.
///
/// Fewer and tight boards are never solved; more and hopeless ones take the time of many other tries.
const PASSES: u32 = 60;

/// Boards on which a piece without a free place is laid over others.
const BOARDS_TRIED: usize = 3;

/// In so many of a hundred cases with pieces missing, boards are taken up and filled side to side, and so many boards at most.
const FITTED: u32 = 85;
const BOARDS_FITTED: usize = 3;

/// The same, where all pieces lie and a board is to be emptied.
const FITTED_IF_EMPTYING: u32 = 40;

/// In so many of a hundred cases pieces are laid over others on several boards and parted over all of them.
const CROWDED: u32 = 50;

/// So many missing pieces are forced in so at most.
const MISSING_CROWDED: usize = 2;

/// So many boards take part in that.
const BOARDS_CROWDED: usize = 8;

/// In so many of a hundred cases where a board is to be emptied, some are exchanged for fewer or cheaper ones instead.
const EXCHANGED: u32 = 70;

/// Only once so many changes have bettered nothing: parting several full boards takes long.
///
/// Four workshop jobs of 60 parts cost 92.5, 50, 55 and 74 after 3 s of processor time without
/// exchanges, and 117, 69.5, 63.5 and 72 where they were tried from the start.
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
    Fill(Box<Trial>),
    Part(Box<Trial>, Box<Parting>),
    MultiBoard(Box<Trial>, Box<MultiBoard>),
    EdgeMatching(Box<Trial>, Box<EdgeMatching>),
}

/// A floor being changed.
#[derive(Debug)]
struct Trial {
    floor: Floor,
    /// Pieces still to be laid, the next one last.
    queue: Vec<usize>,
    /// Pieces that found no free place.
    stuck: Vec<usize>,
    /// The boards that may be used, in the order in which they are tried.
    order: Vec<usize>,
    fronts: Fronts,
    changed: Vec<bool>,
    /// Pieces without a free place are forced in.
    forcing: bool,
    /// All pieces without a free place are forced on to all boards of the order at once.
    forces_all: bool,
}

/// A piece laid over others on a board.
#[derive(Debug)]
struct Parting {
    stock: usize,
    piece: usize,
    separation: Separation,
    passes: u32,
    /// Boards still to be tried for this piece.
    others: Vec<usize>,
}

/// What a search over floors works with.
pub(super) struct Tools<'a> {
    pub(super) job: &'a Job,
    pub(super) yard: &'a mut Yard,
    pub(super) stock: &'a [Stock],
    pub(super) pieces: &'a [Piece],
    pub(super) chance: &'a mut Chance,
}

impl Repair {
    /// Starts from a sound floor.
    pub(super) fn new(tools: &mut Tools<'_>, floor: &Floor) -> Repair {
        let worth = Worth::of(tools.job, tools.yard, tools.stock, tools.pieces, floor);
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
            State::EdgeMatching(mut trial, mut edge_matching) => {
                if edge_matching.step(tools, &mut trial.floor) {
                    self.state = State::EdgeMatching(trial, edge_matching);
                    return None;
                }
                let boards = edge_matching.boards().to_vec();
                trial.queue = edge_matching.into_left();
                if let Some(multi_board) =
                    MultiBoard::gather(tools, &trial.floor, boards, &[], true)
                {
                    self.state = State::MultiBoard(trial, Box::new(multi_board));
                }
                None
            }
            State::MultiBoard(mut trial, mut multi_board) => {
                match multi_board.step(tools) {
                    Parted::On => self.state = State::MultiBoard(trial, multi_board),
                    Parted::Failed => {}
                    Parted::Clear => {
                        let out = multi_board.settle(&mut trial.floor, &mut trial.changed);
                        trial.queue.extend(out);
                        placing_order(tools.job, tools.yard, tools.pieces, &mut trial.queue);
                        trial.queue.reverse();
                        self.state = State::Fill(trial);
                    }
                }
                None
            }
            State::Fill(mut trial) => {
                if trial.fill_one(tools) {
                    self.state = State::Fill(trial);
                    return None;
                }
                self.settle_or_part(tools, trial)
            }
            State::Part(trial, parting) => self.part(tools, trial, parting),
        }
    }

    /// All pieces have had their turn: the floor is judged, or what found no place is forced in.
    fn settle_or_part(&mut self, tools: &mut Tools<'_>, mut trial: Box<Trial>) -> Option<&Floor> {
        if trial.forces_all && !trial.stuck.is_empty() {
            trial.forces_all = false;
            let (boards, stuck) = (trial.order.clone(), std::mem::take(&mut trial.stuck));
            let multi_board = MultiBoard::gather(tools, &trial.floor, boards, &stuck, false)?;
            self.state = State::MultiBoard(trial, Box::new(multi_board));
            return None;
        }
        // A floor that is worse even with everything stuck placed is not worth the work.
        if trial.stuck.is_empty() || !trial.forcing || !self.could_be_better(tools, &trial) {
            return self.judge(tools, *trial);
        }
        let piece = trial.stuck.pop()?;
        match begin_parting(tools, &trial, piece, None) {
            Some(parting) => {
                self.state = State::Part(trial, Box::new(parting));
                None
            }
            None => {
                trial.stuck.clear();
                self.judge(tools, *trial)
            }
        }
    }

    fn part(
        &mut self,
        tools: &mut Tools<'_>,
        mut trial: Box<Trial>,
        mut parting: Box<Parting>,
    ) -> Option<&Floor> {
        match parting.separation.step(tools.yard, tools.job, tools.chance) {
            Moved::On => {}
            Moved::Clear => {
                trial.floor.boards[parting.stock] = parting.separation.lies;
                trial.floor.left.retain(|k| *k != parting.piece);
                trial.changed[parting.stock] = true;
                return self.settle_or_part(tools, trial);
            }
            Moved::PassEnded => {
                parting.passes += 1;
                if parting.passes >= PASSES {
                    let others = std::mem::take(&mut parting.others);
                    match begin_parting(tools, &trial, parting.piece, Some(others)) {
                        Some(next) => *parting = next,
                        None => {
                            // One piece that cannot be placed: where all must be, the rest is in vain.
                            if self.current.left.is_empty() {
                                trial.stuck.clear();
                            }
                            return self.settle_or_part(tools, trial);
                        }
                    }
                }
            }
        }
        self.state = State::Part(trial, parting);
        None
    }

    fn could_be_better(&self, tools: &Tools<'_>, trial: &Trial) -> bool {
        let mut full = trial.floor.clone();
        full.left.retain(|k| !trial.stuck.contains(k));
        let worth = Worth::of(tools.job, tools.yard, tools.stock, tools.pieces, &full);
        if tools.job.goal == Goal::Value && !self.current.left.is_empty() {
            return true;
        }
        worth.compare(&self.current_worth) == Ordering::Less
    }

    fn judge(&mut self, tools: &mut Tools<'_>, trial: Trial) -> Option<&Floor> {
        let worth = Worth::of(
            tools.job,
            tools.yard,
            tools.stock,
            tools.pieces,
            &trial.floor,
        );
        let order = worth.compare(&self.current_worth);
        // Floors as good are taken if their spread is not much worse, so that the search moves about.
        let sideways = order == Ordering::Equal
            && worth.spread <= self.current_worth.spread + 0.02 * tools.chance.unit();
        if order != Ordering::Less && !sideways {
            return None;
        }
        for (s, changed) in trial.changed.iter().enumerate() {
            if *changed
                && !is_sound(
                    tools.yard,
                    tools.job,
                    tools.stock[s].board,
                    &trial.floor.boards[s],
                )
            {
                return None;
            }
        }
        self.current = trial.floor;
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
        let mut trial = Trial {
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
            && self.exchange(tools, &mut trial, &used)
        {
            return Some(State::Fill(Box::new(trial)));
        }
        let fitted = if missing.is_empty() {
            FITTED_IF_EMPTYING
        } else {
            FITTED
        };
        if !used.is_empty() && tools.chance.percent(fitted) {
            return self.edge_matching(tools, trial, used);
        }
        if !used.is_empty() && tools.chance.percent(CROWDED) {
            trial.forcing = false;
            let multi_board = if missing.is_empty() {
                self.multi_board_of_emptied(tools, &mut trial, &used)?
            } else {
                self.multi_board_with_missing(tools, &mut trial, &missing)?
            };
            return Some(State::MultiBoard(Box::new(trial), Box::new(multi_board)));
        }
        let emptying = missing.is_empty() && tools.chance.percent(60);
        if used.is_empty() {
            if missing.is_empty() {
                return None;
            }
            trial.order = filling_order(tools.job, tools.yard, tools.stock);
        } else if emptying {
            let emptied = self.board_to_empty(tools, &used)?;
            trial.take_up(tools, emptied, 100);
            trial.order = self.receivers(tools, emptied, &used);
        } else {
            let count = 1 + tools.chance.below(3.min(used.len()));
            let share = 30 + tools.chance.below(71) as u32;
            let only_missing = !missing.is_empty() && tools.chance.percent(30);
            if !only_missing {
                for _ in 0..count {
                    let s = used[tools.chance.below(used.len())];
                    trial.take_up(tools, s, share);
                }
            }
            trial.order = if missing.is_empty() {
                used
            } else {
                filling_order(tools.job, tools.yard, tools.stock)
            };
            shuffle_a_little(&mut trial.order, tools.chance);
        }
        placing_order(tools.job, tools.yard, tools.pieces, &mut trial.queue);
        if tools.chance.percent(70) {
            shuffle_a_little(&mut trial.queue, tools.chance);
        }
        trial.queue.reverse();
        (!trial.queue.is_empty()).then(|| State::Fill(Box::new(trial)))
    }

    /// Some boards taken up to be filled side to side, also with what is missing or with what another board held.
    fn edge_matching(
        &self,
        tools: &mut Tools<'_>,
        mut trial: Trial,
        used: Vec<usize>,
    ) -> Option<State> {
        trial.forcing = false;
        trial.order = used;
        if trial.queue.is_empty() {
            let emptied = self.board_to_empty(tools, &trial.order)?;
            trial.order = self.receivers(tools, emptied, &trial.order);
            trial.take_up(tools, emptied, 100);
        }
        let mut boards = trial.order.clone();
        for k in (1..boards.len()).rev() {
            boards.swap(k, tools.chance.below(k + 1));
        }
        boards.truncate(1 + tools.chance.below(BOARDS_FITTED));
        for s in &boards {
            trial.take_up(tools, *s, 100);
        }
        let queue = std::mem::take(&mut trial.queue);
        let edge_matching = EdgeMatching::new(boards, queue);
        Some(State::EdgeMatching(
            Box::new(trial),
            Box::new(edge_matching),
        ))
    }

    /// A board's pieces laid over those of others.
    fn multi_board_of_emptied(
        &self,
        tools: &mut Tools<'_>,
        trial: &mut Trial,
        used: &[usize],
    ) -> Option<MultiBoard> {
        let emptied = self.board_to_empty(tools, used)?;
        trial.order = self.receivers(tools, emptied, used);
        trial.order.truncate(BOARDS_CROWDED);
        trial.take_up(tools, emptied, 100);
        let more = std::mem::take(&mut trial.queue);
        let wanted: f64 = area_of(tools, &more);
        let room =
            |s: &usize| yard_room(tools.yard, tools.stock[*s].board, &trial.floor.boards[*s]);
        let room: f64 = trial.order.iter().map(room).sum();
        if more.is_empty() || room < wanted {
            return None;
        }
        MultiBoard::gather(tools, &trial.floor, trial.order.clone(), &more, false)
    }

    /// What is missing, as much of it as the room could hold, laid over what is on some boards.
    fn multi_board_with_missing(
        &self,
        tools: &mut Tools<'_>,
        trial: &mut Trial,
        missing: &[usize],
    ) -> Option<MultiBoard> {
        trial.order = filling_order(tools.job, tools.yard, tools.stock);
        for k in (1..trial.order.len()).rev() {
            trial.order.swap(k, tools.chance.below(k + 1));
        }
        trial.order.truncate(1 + tools.chance.below(4));
        let room =
            |s: &usize| yard_room(tools.yard, tools.stock[*s].board, &trial.floor.boards[*s]);
        let mut room: f64 = trial.order.iter().map(room).sum();
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
        more.truncate(1 + tools.chance.below(MISSING_CROWDED));
        trial.queue.clear();
        if more.is_empty() {
            return None;
        }
        MultiBoard::gather(tools, &trial.floor, trial.order.clone(), &more, true)
    }

    /// Takes up the pieces of some boards, to lay them on the others and on fewer or cheaper ones
    /// that are not in use; false where no such exchange is found.
    ///
    /// Of those drawn the one that saves most is taken, among those that ask for no more than a
    /// certain share of the boards to be covered.
    fn exchange(&self, tools: &mut Tools<'_>, trial: &mut Trial, used: &[usize]) -> bool {
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
            trial.take_up(tools, *s, 100);
        }
        let mut order: Vec<usize> = (used.iter().copied())
            .filter(|s| !given_up.contains(s))
            .chain(taken)
            .collect();
        let room = |s: usize| yard_room(tools.yard, tools.stock[s].board, &trial.floor.boards[s]);
        order.arrange_by(|a, b| room(*b).total_cmp(&room(*a)).then(a.cmp(b)));
        order.truncate(BOARDS_CROWDED);
        trial.order = order;
        (trial.forcing, trial.forces_all) = (false, true);
        placing_order(tools.job, tools.yard, tools.pieces, &mut trial.queue);
        shuffle_a_little(&mut trial.queue, tools.chance);
        trial.queue.reverse();
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

impl Trial {
    /// Takes pieces off a board: each with the given chance.
    fn take_up(&mut self, tools: &mut Tools<'_>, s: usize, percent: u32) {
        let lies = std::mem::take(&mut self.floor.boards[s]);
        for lie in lies {
            if lie.pinned || !tools.chance.percent(percent) {
                self.floor.boards[s].push(lie);
            } else {
                self.queue.push(lie.piece);
                self.floor.left.push(lie.piece);
                self.changed[s] = true;
            }
        }
    }

    /// Lays the next piece; false when there is none.
    fn fill_one(&mut self, tools: &mut Tools<'_>) -> bool {
        let Some(piece) = self.queue.pop() else {
            return false;
        };
        let part = tools.pieces[piece].part;
        for s in &self.order {
            let board = tools.stock[*s].board;
            let choices = tools.yard.choices(tools.job, board, part);
            if choices.is_empty()
                || yard_room(tools.yard, board, &self.floor.boards[*s])
                    < tools.yard.shapes[part].core.region().area()
            {
                continue;
            }
            let forms = if choices.all.len() <= 8 || tools.chance.percent(30) {
                &choices.all
            } else {
                &choices.plain
            };
            let lies = &self.floor.boards[*s];
            let found = place_on(
                tools.yard,
                tools.job,
                (*s, board),
                lies,
                forms,
                &mut self.fronts,
            );
            if let Some((form, at)) = found {
                self.floor.boards[*s].push(Lie {
                    piece,
                    form,
                    at,
                    pinned: false,
                });
                self.floor.left.retain(|k| *k != piece);
                self.changed[*s] = true;
                return true;
            }
        }
        self.stuck.push(piece);
        true
    }
}

/// Lays a piece over others on the board with most room; `boards` are those still to be tried.
fn begin_parting(
    tools: &mut Tools<'_>,
    trial: &Trial,
    piece: usize,
    boards: Option<Vec<usize>>,
) -> Option<Parting> {
    let part = tools.pieces[piece].part;
    let area = tools.yard.shapes[part].area;
    let mut boards = boards.unwrap_or_else(|| {
        let room =
            |s: &usize| yard_room(tools.yard, tools.stock[*s].board, &trial.floor.boards[*s]);
        let mut list: Vec<usize> = trial
            .order
            .iter()
            .copied()
            .filter(|s| room(s) >= area)
            .collect();
        list.arrange_by(|a, b| room(b).total_cmp(&room(a)).then(a.cmp(b)));
        list.truncate(BOARDS_TRIED);
        list.reverse();
        list
    });
    while let Some(s) = boards.pop() {
        let board = tools.stock[s].board;
        let choices = tools.yard.choices(tools.job, board, part);
        if choices.all.is_empty() {
            continue;
        }
        let form = choices.all[tools.chance.below(choices.all.len())].clone();
        let room = tools.yard.room(board, &form);
        let at = Point::new(
            tools
                .job
                .snap(room.min.x + tools.chance.unit() * (room.max.x - room.min.x)),
            tools
                .job
                .snap(room.min.y + tools.chance.unit() * (room.max.y - room.min.y)),
        );
        let mut lies = trial.floor.boards[s].clone();
        lies.push(Lie {
            piece,
            form,
            at,
            pinned: false,
        });
        let separation = Separation::new(tools.yard, tools.job, board, lies, f64::INFINITY);
        return Some(Parting {
            stock: s,
            piece,
            separation,
            passes: 0,
            others: boards,
        });
    }
    None
}

/// Area of some pieces' blanks.
fn area_of(tools: &Tools<'_>, pieces: &[usize]) -> f64 {
    let area = |k: &usize| tools.yard.shapes[tools.pieces[*k].part].area;
    pieces.iter().map(area).sum()
}

/// Clear area of a board that no blank covers.
fn yard_room(yard: &Yard, board: usize, lies: &[Lie]) -> f64 {
    yard.boards[board].clear_area - covered(yard, lies)
}

/// So many of a list, drawn by chance; the list changes its order.
fn drawn(list: &mut [usize], count: usize, chance: &mut Chance) -> Vec<usize> {
    let count = count.min(list.len());
    for k in 0..count {
        list.swap(k, k + chance.below(list.len() - k));
    }
    list[..count].to_vec()
}

/// Swaps some neighbours and a few that lie apart.
fn shuffle_a_little(list: &mut [usize], chance: &mut Chance) {
    for k in 1..list.len() {
        if chance.percent(35) {
            list.swap(k - 1, k);
        }
    }
    if list.len() > 2 && chance.percent(50) {
        let (a, b) = (chance.below(list.len()), chance.below(list.len()));
        list.swap(a, b);
    }
}
