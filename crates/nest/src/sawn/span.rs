//! One convex polygon of a no-fit polygon, and the way out of it.

use heartside_geometry::{Point, Vector};

/// One convex polygon: a run of corners, the distance kept from it, and the box of what is barred.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    pub(super) low: Point,
    pub(super) high: Point,
    pub(super) from: u32,
    pub(super) to: u32,
    pub(super) keep: f64,
    /// About how wide the smaller of the two convex pieces is: depth times this is about the area of their overlap.
    pub(super) width: f64,
}

/// A corner and the side that leaves it: outward normal and its height.
#[derive(Debug, Clone, Copy)]
pub(super) struct Corner {
    pub(super) at: Point,
    pub(super) normal: Vector,
    pub(super) height: f64,
}

/// The way out of a barred place.
#[derive(Debug, Clone, Copy)]
pub(super) struct WayOut {
    /// How far one would have to go to leave the worst polygon.
    pub(super) depth: f64,
    /// The direction, a unit vector.
    pub(super) direction: Vector,
}

impl Span {
    /// Its own corners among those of all polygons.
    pub(super) fn of<'a, T>(&self, corners: &'a [T]) -> &'a [T] {
        &corners[self.from as usize..self.to as usize]
    }
}
