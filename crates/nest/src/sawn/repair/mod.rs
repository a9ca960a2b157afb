//! Bettering a floor of several boards: take up some pieces, place them again, part what overlaps.
//!
//! Each try changes a copy of the present floor. It empties a board (rather a dear or hardly
//! covered one) onto the others and onto cheaper ones, or takes up pieces of a few boards and
//! lays them in another order, or only places what is still missing. A piece that finds no
//! free place is laid over others on the board with most room, and the overlap is parted
//! (see [`super::separation`]). A floor that is no worse replaces the present one.
//!
//! What a try changes is drawn in `choose`, boards exchanged for fewer or cheaper ones in `exchange`.

mod choose;
mod exchange;

use std::cmp::Ordering;

use super::attempt::{Attempt, Parting, begin_parting};
use super::build::{Floor, covered, placing_order};
use super::edge_matching::EdgeMatching;
use super::multi_board::{MultiBoard, Parted};
use super::separation::Moved;
use super::tools::Tools;
use super::verify::is_sound;
use crate::objective::{Choices, Worth};

/// Passes of parting before a piece is given up on a board.
///
/// Fewer and tight boards are never solved; more and hopeless ones take the time of many other tries.
const PASSES: u32 = 60;

/// So many boards take part in that.
const MOST_BOARDS: usize = 8;

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
    /// The floor it is at, where that is as whole as its best and dearer by no more than this.
    pub(super) fn passing(&self, dearer: f64) -> Option<&Floor> {
        let is_near = self.current_worth.is_near(&self.best_worth, dearer);
        is_near.then_some(&self.current)
    }

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
            let reluctant = other.is_spared() && !this.is_spared();
            let relief = this.is_spared() && !other.is_spared();
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
}
