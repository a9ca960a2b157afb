//! What an engine is given: boards, pieces and chance.

use heartside_timber::blank::Blank;
use heartside_timber::job::{Board, Cuts, Job};
use heartside_timber::plan::Placed;

use crate::chance::Chance;

/// One copy of a board that an engine may cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stock {
    /// Place in the job's list.
    pub board: usize,
    /// 1, 2, ... up to the board's count.
    pub copy: u32,
}

/// A part that stays where it is, on one of the engine's boards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pinned {
    /// Place in the job's list of parts.
    pub part: usize,
    /// Which copy.
    pub copy: u32,
    /// On which board.
    pub stock: Stock,
    /// Where.
    pub at: Placed,
}

/// Boards, pieces and chance: what an engine is made from.
#[derive(Debug, Clone)]
pub struct Task {
    /// The boards it may cut, in the job's order; none that is to be left or in hand.
    pub stock: Vec<Stock>,
    /// The copies it is to place, for each part of the job in order (empty where none); pinned ones are not among them.
    pub wanted: Vec<Vec<u32>>,
    /// The pins on its boards. Every layout it offers holds them.
    pub pins: Vec<Pinned>,
    /// Its chance.
    pub chance: Chance,
}

/// The copies of boards that may be used at all, in the job's order.
///
/// A board is never listed oftener than there are pieces: further copies could carry nothing.
pub fn usable_stock(job: &Job, may_cut: impl Fn(Cuts) -> bool) -> Vec<Stock> {
    stock_of(job, |board| may_cut(board.cuts))
}

/// As [`usable_stock`], of the boards that some saw can follow a line through.
pub(crate) fn stock_by_line(job: &Job, may_cut: impl Fn(Cuts) -> bool) -> Vec<Stock> {
    stock_of(job, |board| {
        may_cut(board.cuts) && job.workshop.can_saw_by_line(board.thickness)
    })
}

fn stock_of(job: &Job, may_use: impl Fn(&Board) -> bool) -> Vec<Stock> {
    let pieces = u32::try_from(job.piece_count()).unwrap_or(u32::MAX);
    let least = least_blank(job);
    let mut stock = Vec::new();
    for (index, board) in job.boards.iter().enumerate() {
        if !board.is_usable() || !may_use(board) {
            continue;
        }
        let pinned = job
            .pins
            .iter()
            .filter(|p| p.board.board == board.id)
            .map(|p| p.board.copy)
            .max()
            .unwrap_or(0);
        // Cuts that were made leave many strips and ends that take nothing.
        if board.from.is_some() && board.outline.area() < 0.999 * least && pinned == 0 {
            continue;
        }
        for (before, copy) in (0..).zip(board.copies()) {
            if before < pieces || copy <= pinned {
                stock.push(Stock { board: index, copy });
            }
        }
    }
    stock
}

/// The area in square millimetres that every blank still wanted has at least; 0 where nothing is cut yet and
/// nobody asks.
fn least_blank(job: &Job) -> f64 {
    if job.done.is_empty() {
        return 0.0;
    }
    let wanted = job.parts.iter().filter(|p| p.wanted_count() > 0);
    let areas = wanted.map(|p| Blank::of(p).core.area());
    areas.fold(f64::INFINITY, f64::min)
}
