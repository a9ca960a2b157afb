//! Which pieces a try takes up, and where they are to be laid anew.

use heartside_geometry::Arrange;

use super::{MOST_BOARDS, Repair, State};
use crate::sawn::attempt::{Attempt, shuffle_a_little, yard_room};
use crate::sawn::build::{Fronts, covered, filling_order, placing_order};
use crate::sawn::edge_matching::EdgeMatching;
use crate::sawn::multi_board::MultiBoard;
use crate::sawn::tools::Tools;

/// In so many of a hundred cases with pieces missing, boards are taken up and filled side to side, and so many boards at most.
const MATCHED: u32 = 85;

const BOARDS_MATCHED: usize = 3;

/// The same, where all pieces lie and a board is to be emptied.
const MATCHED_IF_EMPTYING: u32 = 40;

/// In so many of a hundred cases pieces are laid over others on several boards and parted over all of them.
const MULTI_BOARD: u32 = 50;

/// So many missing pieces are forced in so at most.
const MISSING_FORCED: usize = 2;

/// In so many of a hundred cases where a board is to be emptied, some are exchanged for fewer or cheaper ones instead.
const EXCHANGED: u32 = 70;

/// Only once so many changes have bettered nothing: parting several full boards takes long.
const EXCHANGED_AFTER: u32 = 60;

impl Repair {
    pub(super) fn choose(&self, tools: &mut Tools<'_>) -> Option<State> {
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

    /// A board without pins, rather dear for what lies on it.
    fn board_to_empty(&self, tools: &mut Tools<'_>, used: &[usize]) -> Option<usize> {
        let mut list: Vec<usize> = used
            .iter()
            .copied()
            .filter(|s| self.current.boards[*s].iter().all(|l| !l.pinned))
            .collect();
        let price = |s: usize| {
            let board = &tools.job.boards[tools.stock[s].board];
            let reluctant = if board.is_spared() { 1.0e3 } else { 1.0 };
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
            let relief = board(emptied).is_spared() && !board(s).is_spared();
            let no_worse = !board(s).is_spared() || board(emptied).is_spared();
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
