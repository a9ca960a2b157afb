//! Where a part lies: turned over or not, turned, moved.

use serde::{Deserialize, Serialize};

use crate::transform::Transform;
use crate::{Point, Region, Vector, math};

/// How a part's own frame lies in the board's frame.
///
/// A point is first mirrored (y to -y) if the part is turned over, then turned by `turn`
/// degrees counter-clockwise about the origin, then moved by `(x, y)`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Pose {
    /// Where the part's origin comes to lie along the board, in millimetres.
    pub x: f64,
    /// Where the part's origin comes to lie across the board, in millimetres.
    pub y: f64,
    /// Counter-clockwise turn in degrees.
    pub turn: f64,
    /// Whether the part lies with its seen face down.
    pub turned_over: bool,
}

impl Default for Pose {
    fn default() -> Pose {
        Pose::IDENTITY
    }
}

impl Pose {
    /// The pose that leaves everything where it is.
    pub const IDENTITY: Pose = Pose {
        x: 0.0,
        y: 0.0,
        turn: 0.0,
        turned_over: false,
    };

    /// A pose that turns and then moves, without turning over.
    pub const fn new(x: f64, y: f64, turn: f64) -> Pose {
        Pose {
            x,
            y,
            turn,
            turned_over: false,
        }
    }

    /// The pose as the numbers of a matrix: sine and cosine are computed once, so apply many
    /// points through this.
    pub fn transform(&self) -> Transform {
        let (sin, cos) = math::sin_cos_deg(self.turn);
        Transform {
            sin,
            cos,
            flip: if self.turned_over { -1.0 } else { 1.0 },
            x: self.x,
            y: self.y,
        }
    }

    /// Where a point of the part comes to lie.
    pub fn apply(&self, p: Point) -> Point {
        self.transform().apply(p)
    }

    /// How a displacement of the part comes to lie: turned, but not moved.
    pub fn apply_vector(&self, v: Vector) -> Vector {
        self.transform().apply_vector(v)
    }

    /// Where a region comes to lie.
    pub fn apply_region(&self, region: &Region) -> Region {
        region.transformed(&self.transform())
    }

    /// The point of the part that comes to lie at `p`.
    pub fn inverse_apply(&self, p: Point) -> Point {
        let t = self.transform();
        let v = Vector::new(p.x - t.x, p.y - t.y);
        Point::new(
            v.x * t.cos + v.y * t.sin,
            t.flip * (v.y * t.cos - v.x * t.sin),
        )
    }

    /// The same pose, moved further.
    pub fn moved(self, by: Vector) -> Pose {
        Pose {
            x: self.x + by.x,
            y: self.y + by.y,
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Ring;

    #[test]
    fn turns_over_first_then_turns_then_moves() {
        let pose = Pose {
            x: 100.0,
            y: 10.0,
            turn: 90.0,
            turned_over: true,
        };
        // (3, 2) -> (3, -2) -> (2, 3) -> (102, 13)
        assert_eq!(pose.apply(Point::new(3.0, 2.0)), Point::new(102.0, 13.0));
        assert_eq!(
            pose.apply_vector(Vector::new(3.0, 2.0)),
            Vector::new(2.0, 3.0)
        );
        assert_eq!(
            pose.inverse_apply(Point::new(102.0, 13.0)),
            Point::new(3.0, 2.0)
        );
    }

    #[test]
    fn a_turned_over_ring_stays_counter_clockwise() {
        let ring = Ring::new(vec![
            Point::new(0.0, 0.0),
            Point::new(4.0, 0.0),
            Point::new(4.0, 1.0),
        ])
        .unwrap();
        let pose = Pose {
            x: 0.0,
            y: 0.0,
            turn: 33.0,
            turned_over: true,
        };
        assert!((ring.transformed(&pose.transform()).signed_area() - 2.0).abs() < 1e-12);
    }
}
