//! One attempt at a better floor: a changed copy, filled again piece by piece.

use heartside_geometry::{Arrange, Point};

use super::build::{Floor, Fronts, covered, place_on};
use super::lie::Lie;
use super::separation::Separation;
use super::tools::Tools;
use super::yard::Yard;
use crate::chance::Chance;

/// Boards on which a piece without a free place is laid over others.
const BOARDS_TRIED: usize = 3;

/// A floor being changed.
#[derive(Debug)]
pub(super) struct Attempt {
    pub(super) floor: Floor,
    /// Pieces still to be laid, the next one last.
    pub(super) queue: Vec<usize>,
    /// Pieces that found no free place.
    pub(super) stuck: Vec<usize>,
    /// The boards that may be used, in the order in which they are tried.
    pub(super) order: Vec<usize>,
    pub(super) fronts: Fronts,
    pub(super) changed: Vec<bool>,
    /// Pieces without a free place are forced in.
    pub(super) forcing: bool,
    /// All pieces without a free place are forced on to all boards of the order at once.
    pub(super) forces_all: bool,
}

/// A piece laid over others on a board.
#[derive(Debug)]
pub(super) struct Parting {
    pub(super) stock: usize,
    pub(super) piece: usize,
    pub(super) separation: Separation,
    pub(super) passes: u32,
    /// Boards still to be tried for this piece.
    pub(super) others: Vec<usize>,
}

impl Attempt {
    /// Takes pieces off a board: each with the given chance.
    pub(super) fn take_up(&mut self, tools: &mut Tools<'_>, s: usize, percent: u32) {
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
    pub(super) fn fill_one(&mut self, tools: &mut Tools<'_>) -> bool {
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
pub(super) fn begin_parting(
    tools: &mut Tools<'_>,
    attempt: &Attempt,
    piece: usize,
    boards: Option<Vec<usize>>,
) -> Option<Parting> {
    let part = tools.pieces[piece].part;
    let area = tools.yard.shapes[part].area;
    let mut boards = boards.unwrap_or_else(|| {
        let room =
            |s: &usize| yard_room(tools.yard, tools.stock[*s].board, &attempt.floor.boards[*s]);
        let mut list: Vec<usize> = attempt
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
        let mut lies = attempt.floor.boards[s].clone();
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

/// Clear area of a board that no blank covers.
pub(super) fn yard_room(yard: &Yard, board: usize, lies: &[Lie]) -> f64 {
    yard.boards[board].clear_area - covered(yard, lies)
}

/// Swaps some neighbours and a few that lie apart.
pub(super) fn shuffle_a_little(list: &mut [usize], chance: &mut Chance) {
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
