//! Multi-board separation: pieces laid over each other on several boards and parted over all of them.
//!
//! Forcing pieces in one by one, board by board, hardly ever finds which pieces go together on
//! which board. Here the pieces of some boards and those that still need a place lie on these
//! boards all at once, over each other, and the parting moves them from board to board as it
//! moves them about on one. Where it does not end and pieces may be left out, the one that
//! stands most in the way for its size is taken out, and the rest are parted on.

use heartside_geometry::Point;

use super::build::Floor;
use super::lie::Lie;
use super::separation::{Moved, Separation};
use super::tools::Tools;

/// Passes without a gain of this share of the loss that end a try.
const PATIENCE: u32 = 120;
const GAIN: f64 = 0.98;

/// The same, where a piece may be taken out and the parting goes on.
const PATIENCE_IF_LEAVING: u32 = 10;

/// Pieces being parted over several boards.
#[derive(Debug)]
pub(super) struct MultiBoard {
    /// The boards, as the engine counts them.
    stock: Vec<usize>,
    separation: Separation,
    least: f64,
    stale: u32,
    /// Pieces taken out.
    out: Vec<usize>,
    may_leave: bool,
}

/// How a step of the parting ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Parted {
    /// It goes on.
    On,
    /// Nothing overlaps any more.
    Clear,
    /// It is given up.
    Failed,
}

impl MultiBoard {
    /// What lies on the boards `stock` of a floor and the pieces `more` over them; none where one of these can lie on none of the boards.
    pub(super) fn gather(
        tools: &mut Tools<'_>,
        floor: &Floor,
        stock: Vec<usize>,
        more: &[usize],
        may_leave: bool,
    ) -> Option<MultiBoard> {
        let boards: Vec<usize> = stock.iter().map(|s| tools.stock[*s].board).collect();
        let (mut lies, mut on) = (Vec::new(), Vec::new());
        for (k, s) in stock.iter().enumerate() {
            lies.extend(floor.boards[*s].iter().cloned());
            on.resize(lies.len(), k);
        }
        for piece in more {
            let part = tools.pieces[*piece].part;
            let first = tools.chance.below(boards.len());
            let (k, choices) = (0..boards.len())
                .map(|k| (first + k) % boards.len())
                .map(|k| (k, tools.yard.choices(tools.job, boards[k], part)))
                .find(|(_, choices)| !choices.all.is_empty())?;
            let form = choices.all[tools.chance.below(choices.all.len())].clone();
            let room = tools.yard.room(boards[k], &form);
            let at = Point::new(
                tools
                    .job
                    .snap(room.min.x + tools.chance.unit() * room.width()),
                tools
                    .job
                    .snap(room.min.y + tools.chance.unit() * room.height()),
            );
            lies.push(Lie {
                piece: *piece,
                form,
                at,
                pinned: false,
            });
            on.push(k);
        }
        let separation = Separation::over(tools.yard, tools.job, boards, (lies, on), f64::INFINITY);
        Some(MultiBoard {
            stock,
            separation,
            least: f64::INFINITY,
            stale: 0,
            out: Vec::new(),
            may_leave,
        })
    }

    /// One move.
    pub(super) fn step(&mut self, tools: &mut Tools<'_>) -> Parted {
        match self.separation.step(tools.yard, tools.job, tools.chance) {
            Moved::On => return Parted::On,
            Moved::Clear => return Parted::Clear,
            Moved::PassEnded => {}
        }
        let loss = self.separation.loss();
        if loss < self.least * GAIN {
            self.stale = 0;
        } else {
            self.stale += 1;
        }
        self.least = self.least.min(loss);
        let patience = if self.may_leave {
            PATIENCE_IF_LEAVING
        } else {
            PATIENCE
        };
        if self.stale < patience {
            return Parted::On;
        }
        if self.may_leave && self.take_one_out(tools) {
            Parted::On
        } else {
            Parted::Failed
        }
    }

    /// Takes out the piece with most overlap for its size, or one of the next; false where only pins are left.
    fn take_one_out(&mut self, tools: &mut Tools<'_>) -> bool {
        let mut worst: Option<(f64, usize)> = None;
        for (k, lie) in self.separation.lies.iter().enumerate() {
            let size = tools.yard.shapes[lie.form.part].area.sqrt();
            let priority = f64::from(1 + tools.job.parts[lie.form.part].priority);
            let share = self.separation.burden(k) * priority / size * (0.5 + tools.chance.unit());
            if !lie.pinned && share > worst.map_or(0.0, |w| w.0) {
                worst = Some((share, k));
            }
        }
        let Some((_, k)) = worst else {
            return false;
        };
        self.out.push(self.separation.lies[k].piece);
        self.separation.take_out(tools.yard, tools.job, k);
        self.least = f64::INFINITY;
        self.stale = 0;
        true
    }

    /// Lays the parted pieces on the boards of the floor; what was taken out lies nowhere.
    pub(super) fn settle(self, floor: &mut Floor, changed: &mut [bool]) -> Vec<usize> {
        for s in &self.stock {
            floor.boards[*s].clear();
            changed[*s] = true;
        }
        for (lie, on) in self.separation.lies.into_iter().zip(self.separation.on) {
            floor.left.retain(|k| *k != lie.piece);
            floor.boards[self.stock[on]].push(lie);
        }
        for piece in &self.out {
            if !floor.left.contains(piece) {
                floor.left.push(*piece);
            }
        }
        self.out
    }
}
