//! How far pieces reach towards the kept side of a board.

use heartside_geometry::{Bounds, Point, Vector};
use heartside_timber::job::Job;
use heartside_timber::plan::Direction;

use crate::cuts::side::Side;
use crate::sawn::lie::Lie;

/// The box round a blank.
pub(super) fn blank(lie: &Lie) -> Bounds {
    lie.bounds().grown(lie.form.radius)
}

/// How far pieces reach from the side opposite the kept one.
pub(super) fn used(frame: &Bounds, side: Side, lies: &[Lie]) -> f64 {
    let reach = lies.iter().map(|lie| used_by(frame, side, &blank(lie)));
    reach.fold(0.0, f64::max)
}

pub(super) fn used_by(frame: &Bounds, side: Side, bounds: &Bounds) -> f64 {
    match side {
        Side::HighX => bounds.max.x - frame.min.x,
        Side::LowX => frame.max.x - bounds.min.x,
        Side::HighY => bounds.max.y - frame.min.y,
        Side::LowY => frame.max.y - bounds.min.y,
    }
}

/// The line so far from the side opposite the kept one.
pub(super) fn line(frame: &Bounds, side: Side, used: f64) -> f64 {
    let from = opposite(side).of(frame);
    if side.is_low() {
        from - used
    } else {
        from + used
    }
}

pub(super) fn opposite(side: Side) -> Side {
    let (low, high) = Side::pair(side.direction());
    if side.is_low() { high } else { low }
}

/// The extent of a box square to a side.
pub(super) fn extent(bounds: &Bounds, side: Side) -> f64 {
    match side.direction() {
        Direction::Crosscut => bounds.width(),
        Direction::Rip => bounds.height(),
    }
}

/// Away from the kept side.
pub(super) fn inward(side: Side) -> Vector {
    match side {
        Side::HighX => Vector::new(-1.0, 0.0),
        Side::LowX => Vector::new(1.0, 0.0),
        Side::HighY => Vector::new(0.0, -1.0),
        Side::LowY => Vector::new(0.0, 1.0),
    }
}

pub(super) fn snapped(job: &Job, at: Point) -> Point {
    Point::new(job.snap(at.x), job.snap(at.y))
}
