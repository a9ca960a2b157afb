//! A pose as the numbers of a matrix.

use crate::{Point, Vector};

/// A pose ready to be applied to many points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transform {
    pub(crate) sin: f64,
    pub(crate) cos: f64,
    /// -1 where it turns over first, else 1.
    pub(crate) flip: f64,
    pub(crate) x: f64,
    pub(crate) y: f64,
}

impl Transform {
    /// Moves and does nothing else.
    pub(crate) fn moving(by: Vector) -> Transform {
        Transform {
            sin: 0.0,
            cos: 1.0,
            flip: 1.0,
            x: by.x,
            y: by.y,
        }
    }

    /// Where a point comes to lie.
    pub fn apply(&self, p: Point) -> Point {
        let y = self.flip * p.y;
        Point::new(
            p.x * self.cos - y * self.sin + self.x,
            p.x * self.sin + y * self.cos + self.y,
        )
    }

    /// How a displacement comes to lie.
    pub fn apply_vector(&self, v: Vector) -> Vector {
        let y = self.flip * v.y;
        Vector::new(v.x * self.cos - y * self.sin, v.x * self.sin + y * self.cos)
    }

    /// Whether shapes come out as their mirror images.
    pub fn mirrors(&self) -> bool {
        self.flip < 0.0
    }

    /// Points of a counter-clockwise ring, counter-clockwise again.
    pub(crate) fn apply_points(&self, points: &[Point]) -> Vec<Point> {
        let moved = points.iter().map(|&p| self.apply(p));
        if self.mirrors() {
            moved.rev().collect()
        } else {
            moved.collect()
        }
    }
}
