//! How parts may lie on a board, and what they keep clear of there.

use heartside_geometry::Point;
use heartside_timber::job::{GrainRule, Part};

use crate::fit;

/// What a part keeps clear of: places in the ground's list of pieces.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Class {
    /// The blank keeps clear of these.
    pub blank: Vec<usize>,
    /// The finished rectangle keeps clear of these.
    pub finished: Vec<usize>,
    /// The blank keeps clear of these or lies wholly round each.
    pub around: Vec<usize>,
}

/// One way in which a part may lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Extents of the blank's rectangle along and across the frame.
    pub width: f64,
    /// Across the frame.
    pub height: f64,
    /// From the blank's sides to the finished rectangle's, along and across the frame.
    pub inset: (f64, f64),
    /// Turn of the placement, in the board.
    pub(crate) turn: f64,
    /// Turned over.
    pub(crate) turned_over: bool,
    /// The obstacles.
    pub class: usize,
    /// From the rectangle's low corner to the part's origin, in the frame.
    pub(super) origin: (f64, f64),
}

impl Fit {
    /// True where no obstacle and no cut can tell the two ways of lying apart.
    pub(super) fn same_room(&self, other: &Fit, noise: f64) -> bool {
        self.class == other.class
            && (self.width - other.width).abs() <= noise
            && (self.height - other.height).abs() <= noise
            && self.inset == other.inset
    }

    /// The same part, turned alike, with its origin somewhere in a larger rectangle.
    pub(super) fn in_rectangle(&self, width: f64, height: f64, origin: Point, class: usize) -> Fit {
        Fit {
            width,
            height,
            inset: (0.0, 0.0),
            class,
            origin: (origin.x, origin.y),
            ..*self
        }
    }
}

/// Two parts that share a rectangle, as they may lie on one board.
#[derive(Debug, Clone)]
pub struct Pair {
    /// Places in the job's list.
    pub parts: [usize; 2],
    /// The rectangle, and how the first part lies in it.
    pub fit: Fit,
    /// How the second lies: its turn on the board, and its origin in the rectangle.
    pub(super) second_turn: f64,
    pub(super) second_origin: Point,
}

/// The turn as the part lists it, where it lists turns.
pub(crate) fn listed_turn(part: &Part, turn: f64) -> Option<f64> {
    match &part.grain {
        GrainRule::Turns(turns) => turns.iter().copied().find(|t| fit::same_turn(*t, turn)),
        GrainRule::Axis { .. } | GrainRule::Any => Some(turn),
    }
}
