//! A workpiece: what one cut leaves of a board.

use heartside_geometry::Bounds;
use heartside_timber::defaults::FENCE_CONTACT;
use heartside_timber::plan::Direction;

use super::ground::Ground;
use super::side::Side;

/// The share of its length over which a workpiece has to lie against a fence: a hair more than is
/// asked, so that rounding never decides.
const CONTACT: f64 = FENCE_CONTACT + 1e-3;

/// The board's outline within an upright rectangle of the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Workpiece {
    /// The rectangle: cut lines, and the board's bounds where nothing was cut.
    pub(crate) rect: Bounds,
    /// Bounds of the wood in it.
    pub tight: Bounds,
    /// Which sides of the rectangle a tool made that leaves a true edge: low x, high x, low y, high y.
    made_true: [bool; 4],
}

impl Workpiece {
    /// The whole board.
    pub(crate) fn whole(ground: &Ground) -> Workpiece {
        Workpiece {
            rect: ground.bounds,
            tight: ground.bounds,
            made_true: [false; 4],
        }
    }

    /// Extent of the wood along a cut of this direction.
    pub(crate) fn along(&self, direction: Direction) -> f64 {
        match direction {
            Direction::Rip => self.tight.width(),
            Direction::Crosscut => self.tight.height(),
        }
    }

    /// Extent of the wood square to a cut of this direction.
    pub(crate) fn square_to(&self, direction: Direction) -> f64 {
        match direction {
            Direction::Rip => self.tight.height(),
            Direction::Crosscut => self.tight.width(),
        }
    }

    /// True where a fence can run along this side: over nearly all of the workpiece's length the
    /// edge was left true by a tool, or is a straight side of the board.
    pub(crate) fn is_true(&self, ground: &Ground, side: Side) -> bool {
        let at_the_cut = side.excess(&self.rect, &self.tight).abs() <= ground.noise;
        let length = self.along(side.direction());
        let touching = if self.made_true[side as usize] && at_the_cut {
            ground.wood_along(side, &self.rect)
        } else {
            ground.straight_along(side, &self.tight)
        };
        touching >= CONTACT * length
    }

    /// True where this side follows the frame over nearly all of the workpiece's length, true or not: it
    /// was cut there, or is a straight side of the board.
    pub(crate) fn is_in_line(&self, ground: &Ground, side: Side) -> bool {
        let is_cut = side.excess(&ground.bounds, &self.rect) > ground.noise
            && side.excess(&self.rect, &self.tight).abs() <= ground.noise;
        let touching = if is_cut {
            ground.wood_along(side, &self.rect)
        } else {
            ground.straight_along(side, &self.tight)
        };
        touching >= CONTACT * self.along(side.direction())
    }

    /// True if a fence could run along this side once it is trued at `edge`.
    pub(crate) fn would_be_true(&self, ground: &Ground, side: Side, edge: f64) -> bool {
        let mut rect = self.rect;
        match side {
            Side::LowX => rect.min.x = edge,
            Side::HighX => rect.max.x = edge,
            Side::LowY => rect.min.y = edge,
            Side::HighY => rect.max.y = edge,
        }
        ground.wood_along(side, &rect) >= CONTACT * self.along(side.direction())
    }

    /// The two pieces that a cut leaves, their new edges as true as the tool leaves them; a piece
    /// without wood has none.
    pub(crate) fn halves(
        &self,
        ground: &Ground,
        direction: Direction,
        (at, kerf): (f64, f64),
        leaves_true: bool,
    ) -> (Option<Workpiece>, Option<Workpiece>) {
        let (low_side, high_side) = Side::pair(direction);
        let (low_rect, high_rect) =
            heartside_timber::workpieces::split(self.rect, direction, at, kerf);
        let piece = |rect: Bounds, made: Side| {
            let mut made_true = self.made_true;
            made_true[made as usize] = leaves_true;
            ground.wood_within(&rect).map(|tight| Workpiece {
                rect,
                tight,
                made_true,
            })
        };
        (piece(low_rect, high_side), piece(high_rect, low_side))
    }
}
