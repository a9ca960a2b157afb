//! A piece where it lies.

use std::sync::Arc;

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::plan::Placed;

use super::shape::Form;

/// One copy of a part that is to be placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Piece {
    /// Place of the part in the job's list.
    pub(super) part: usize,
    /// Which copy.
    pub(super) copy: u32,
}

/// A piece where it lies on some board.
#[derive(Debug, Clone)]
pub(super) struct Lie {
    /// Place of the piece in the engine's list.
    pub(super) piece: usize,
    /// How it is turned.
    pub(super) form: Arc<Form>,
    /// Where its origin lies.
    pub(super) at: Point,
    /// A pin: it stays.
    pub(super) pinned: bool,
}

impl Lie {
    /// The box round its core.
    pub(super) fn bounds(&self) -> Bounds {
        self.form.bounds_at(self.at)
    }

    /// The pose it stands for.
    pub(super) fn pose(&self) -> Pose {
        Pose {
            x: self.at.x,
            y: self.at.y,
            turn: self.form.turn,
            turned_over: self.form.turned_over,
        }
    }

    /// The pose as a plan holds it.
    pub(super) fn placed(&self) -> Placed {
        self.pose().into()
    }
}
