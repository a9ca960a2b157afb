//! What both engines offer and what they are given.

use std::fmt::Debug;

use heartside_timber::document::Use;
use heartside_timber::job::{Board, Cuts, Job};
use heartside_timber::plan::{Layout, Placed};

use crate::chance::Chance;
use crate::sawn::{Floor, Phase, Tools};

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
    /// The boards it may cut, in the job's order; none with [`Use::Leave`].
    pub stock: Vec<Stock>,
    /// The copies it is to place, for each part of the job in order (empty where none); pinned ones are not among them.
    pub wanted: Vec<Vec<u32>>,
    /// The pins on its boards. Every layout it offers holds them.
    pub pins: Vec<Pinned>,
    /// Its chance.
    pub chance: Chance,
}

/// A search for layouts of some boards, advanced step by step.
///
/// `Send`, so that native callers may run one search on each thread.
pub trait Engine: Send {
    /// One small unit of work (microseconds to a millisecond). True if the layouts changed for the better, or
    /// something more was proved.
    ///
    /// What happens depends on nothing but the task and the number of steps made.
    fn step(&mut self, job: &Job) -> bool;

    /// Steps that it makes when its turn comes, chosen so that both engines' turns take about as long.
    fn turn_steps(&self) -> u64;

    /// The best layouts so far, one for each board that carries a part, in the order of the stock; from the start at least the pins.
    fn layouts(&self) -> &[Layout];

    /// True when further steps can change nothing.
    fn is_finished(&self) -> bool;

    /// Goes on from layouts made elsewhere for the same task, if the engine can read them; its best is never made worse.
    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool;

    /// What no layouts of this engine's kind can better, where it has proved that: a value or a strip's length, as the job asks.
    fn limit(&self) -> Option<f64> {
        None
    }

    /// The state of its chance, as the number that would be drawn next; 0 where it draws none.
    ///
    /// Only for comparing two runs.
    fn chance_state(&self) -> u64 {
        0
    }
}

/// Engines that come from outside: a search takes them into its portfolio.
///
/// Each is asked once for each task. What makes them must not depend on anything but what it is given.
pub trait Beside: Debug + Sync {
    /// Engines that go other ways about a task of straight cuts, in the order of their turns.
    fn straight(&self, job: &Job, task: &Task) -> Vec<Box<dyn Engine>> {
        let _ = (job, task);
        Vec::new()
    }

    /// What follows the first layout on boards that are sawn by line, if anything.
    fn after_first_layout(&self, tools: &mut Tools<'_>, floor: &Floor) -> Option<Box<dyn Phase>> {
        let _ = (tools, floor);
        None
    }

    /// What takes the place of laying pieces anew on such boards, if anything.
    fn instead_of_repair(&self, tools: &mut Tools<'_>, floor: &Floor) -> Option<Box<dyn Phase>> {
        let _ = (tools, floor);
        None
    }
}

/// No engines from outside.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Nobody;

impl Beside for Nobody {}

/// The copies of boards that may be used at all, in the job's order.
///
/// A board is never listed oftener than there are pieces: further copies could carry nothing.
pub(crate) fn usable_stock(job: &Job, may_cut: impl Fn(Cuts) -> bool) -> Vec<Stock> {
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
    let mut stock = Vec::new();
    for (index, board) in job.boards.iter().enumerate() {
        if board.usage == Use::Leave || !may_use(board) {
            continue;
        }
        let pinned = job
            .pins
            .iter()
            .filter(|p| p.board.board == board.id)
            .map(|p| p.board.copy)
            .max()
            .unwrap_or(0);
        for copy in 1..=board.count.min(pieces.max(pinned)) {
            stock.push(Stock { board: index, copy });
        }
    }
    stock
}
