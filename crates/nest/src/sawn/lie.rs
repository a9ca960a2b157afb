//! A piece where it lies, and the layout that pieces make.

use std::sync::Arc;

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::document::BoardCopy;
use heartside_timber::job::Job;
use heartside_timber::plan::{Frame, Layout, Placed, Placement, Way};

use super::shape::Form;
use crate::task::Stock;

/// One copy of a part that is to be placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// Place of the part in the job's list.
    pub part: usize,
    /// Which copy.
    pub copy: u32,
}

/// A piece where it lies on some board.
#[derive(Debug, Clone)]
pub struct Lie {
    /// Place of the piece in the engine's list.
    pub piece: usize,
    /// How it is turned.
    pub form: Arc<Form>,
    /// Where its origin lies.
    pub at: Point,
    /// A pin: it stays.
    pub pinned: bool,
}

impl Lie {
    /// The box round its core.
    pub fn bounds(&self) -> Bounds {
        self.form.bounds_at(self.at)
    }

    /// The pose it stands for.
    pub fn pose(&self) -> Pose {
        Pose {
            x: self.at.x,
            y: self.at.y,
            turn: self.form.turn,
            turned_over: self.form.turned_over,
        }
    }

    /// The pose as a plan holds it.
    pub(crate) fn placed(&self) -> Placed {
        self.pose().into()
    }
}

/// The layout of one board.
pub(crate) fn layout_of(job: &Job, stock: &Stock, pieces: &[Piece], lies: &[Lie]) -> Layout {
    Layout {
        board: BoardCopy {
            board: job.boards[stock.board].id.clone(),
            copy: stock.copy,
        },
        way: Way::Sawn,
        frame: Frame::default(),
        placements: lies
            .iter()
            .map(|lie| Placement {
                part: job.parts[pieces[lie.piece].part].id.clone(),
                copy: pieces[lie.piece].copy,
                at: lie.placed(),
                ..Placement::default()
            })
            .collect(),
        cuts: None,
    }
}
