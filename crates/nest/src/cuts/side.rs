//! The four sides of an upright rectangle.

use heartside_geometry::{Bounds, Point};
use heartside_timber::plan::Direction;

/// One side of an upright rectangle in the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
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

    /// A side square to this one; of a pair both.
    pub(crate) fn beside(self) -> Side {
        match self {
            Side::LowX => Side::LowY,
            Side::HighX => Side::HighY,
            Side::LowY => Side::LowX,
            Side::HighY => Side::HighX,
        }
    }

    /// True for the sides of least x and least y.
    pub fn is_low(self) -> bool {
        matches!(self, Side::LowX | Side::LowY)
    }

    /// Where this side of a rectangle lies.
    pub fn of(self, bounds: &Bounds) -> f64 {
        match self {
            Side::LowX => bounds.min.x,
            Side::HighX => bounds.max.x,
            Side::LowY => bounds.min.y,
            Side::HighY => bounds.max.y,
        }
    }

    /// From where to where this side of a rectangle runs.
    pub(crate) fn span(self, bounds: &Bounds) -> (f64, f64) {
        match self {
            Side::LowX | Side::HighX => (bounds.min.y, bounds.max.y),
            Side::LowY | Side::HighY => (bounds.min.x, bounds.max.x),
        }
    }

    /// A point's place along this side, and square to it.
    pub(crate) fn seen(self, point: Point) -> (f64, f64) {
        match self {
            Side::LowX | Side::HighX => (point.y, point.x),
            Side::LowY | Side::HighY => (point.x, point.y),
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
