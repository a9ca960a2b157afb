//! One convex polygon of a no-fit polygon, and the way out of it.

use heartside_geometry::{Point, Vector};

/// One convex polygon: a run of corners, the distance kept from it, and the box of what is barred.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Span {
    pub(crate) low: Point,
    pub(crate) high: Point,
    pub(crate) from: u32,
    pub(crate) to: u32,
    pub(crate) keep: f64,
    /// About how wide the smaller of the two convex pieces is: depth times this is about the area of their overlap.
    pub(crate) width: f64,
}

/// A corner and the side that leaves it: outward normal and its height.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Corner {
    pub(crate) at: Point,
    pub(crate) normal: Vector,
    pub(crate) height: f64,
}

/// The way out of a barred place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WayOut {
    /// How far one would have to go to leave the worst polygon.
    pub(crate) depth: f64,
    /// The direction, a unit vector.
    pub(crate) direction: Vector,
}

impl Span {
    /// Its own corners among those of all polygons.
    pub(crate) fn of<'a, T>(&self, corners: &'a [T]) -> &'a [T] {
        &corners[self.from as usize..self.to as usize]
    }
}
