//! A workpiece: what one cut leaves of a board.

use heartside_geometry::Bounds;
use heartside_timber::plan::Direction;

use super::ground::Ground;

/// One side of an upright rectangle in the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// Least x.
    LowX,
    /// Greatest x.
    HighX,
    /// Least y.
    LowY,
    /// Greatest y.
    HighY,
}

impl Side {
    /// The cut that makes this side.
    pub(crate) fn direction(self) -> Direction {
        match self {
            Side::LowX | Side::HighX => Direction::Crosscut,
            Side::LowY | Side::HighY => Direction::Rip,
        }
    }

    /// True for the sides of least x and least y.
    pub(crate) fn is_low(self) -> bool {
        matches!(self, Side::LowX | Side::LowY)
    }

    /// Where this side of a rectangle lies.
    pub(crate) fn of(self, bounds: &Bounds) -> f64 {
        match self {
            Side::LowX => bounds.min.x,
            Side::HighX => bounds.max.x,
            Side::LowY => bounds.min.y,
            Side::HighY => bounds.max.y,
        }
    }

    /// By how much `outer` reaches beyond `inner` on this side.
    pub(crate) fn excess(self, outer: &Bounds, inner: &Bounds) -> f64 {
        if self.is_low() {
            self.of(inner) - self.of(outer)
        } else {
            self.of(outer) - self.of(inner)
        }
    }

    /// The two sides that cuts of this direction run along: low, high.
    pub(crate) fn pair(direction: Direction) -> (Side, Side) {
        match direction {
            Direction::Rip => (Side::LowY, Side::HighY),
            Direction::Crosscut => (Side::LowX, Side::HighX),
        }
    }
}

/// The board's outline within an upright rectangle of the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Workpiece {
    /// The rectangle: cut lines, and the board's bounds where nothing was cut.
    pub(crate) rect: Bounds,
    /// Bounds of the wood in it.
    pub(crate) tight: Bounds,
    /// Which sides of the rectangle a cut made: low x, high x, low y, high y.
    cut_made: [bool; 4],
}

impl Workpiece {
    /// The whole board.
    pub(crate) fn whole(ground: &Ground) -> Workpiece {
        Workpiece {
            rect: ground.bounds,
            tight: ground.bounds,
            cut_made: [false; 4],
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

    /// True where a fence can lie against this side: a cut made it, or the board is straight there over the whole workpiece.
    pub(crate) fn is_true(&self, ground: &Ground, side: Side) -> bool {
        let made_here = self.cut_made[side as usize]
            && side.excess(&self.rect, &self.tight).abs() <= ground.noise;
        made_here || ground.is_straight_along(side, &self.tight)
    }

    /// The two pieces that a cut leaves; a piece without wood has none.
    pub(crate) fn halves(
        &self,
        ground: &Ground,
        direction: Direction,
        at: f64,
        kerf: f64,
    ) -> (Option<Workpiece>, Option<Workpiece>) {
        let (low_side, high_side) = Side::pair(direction);
        let (low_rect, high_rect) = heartside_timber::score::split(self.rect, direction, at, kerf);
        let piece = |rect: Bounds, made: Side| {
            let mut cut_made = self.cut_made;
            cut_made[made as usize] = true;
            ground.wood_within(&rect).map(|tight| Workpiece {
                rect,
                tight,
                cut_made,
            })
        };
        (piece(low_rect, high_side), piece(high_rect, low_side))
    }
}
