//! Places and displacements in the plane, in millimetres, y up.

use core::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

use serde::{Deserialize, Serialize};

/// A place in the plane, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Point {
    /// Along the length.
    pub x: f64,
    /// Across the length, upwards.
    pub y: f64,
}

/// A displacement in the plane, in millimetres; the difference of two points.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Vector {
    /// Along the length.
    pub x: f64,
    /// Across the length, upwards.
    pub y: f64,
}

impl Point {
    /// The place where both coordinates are 0.
    pub const ORIGIN: Point = Point { x: 0.0, y: 0.0 };

    /// A place by its coordinates.
    pub const fn new(x: f64, y: f64) -> Point {
        Point { x, y }
    }

    /// The straight-line distance to another place.
    pub fn distance(self, other: Point) -> f64 {
        (other - self).length()
    }

    /// The square of the distance to another place: cheaper, and enough to compare.
    pub fn distance_squared(self, other: Point) -> f64 {
        (other - self).length_squared()
    }

    /// The place halfway to another one.
    pub fn midpoint(self, other: Point) -> Point {
        Point::new(0.5 * (self.x + other.x), 0.5 * (self.y + other.y))
    }

    /// The place at the share `t` of the way to another one: 0 is here, 1 is there.
    pub fn towards(self, other: Point, t: f64) -> Point {
        self + (other - self) * t
    }

    /// The displacement from the origin to this place.
    pub const fn to_vector(self) -> Vector {
        Vector {
            x: self.x,
            y: self.y,
        }
    }

    /// Whether both coordinates are finite numbers.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }

    /// The place on the segment from `a` to `b` that lies nearest.
    pub fn nearest_on_segment(self, a: Point, b: Point) -> Point {
        let along = b - a;
        let squared = along.length_squared();
        if squared == 0.0 {
            return a;
        }
        let t = (self - a).dot(along) / squared;
        if t <= 0.0 {
            a
        } else if t >= 1.0 {
            b
        } else {
            a + along * t
        }
    }

    /// The distance to the nearest place on the segment from `a` to `b`.
    pub fn distance_to_segment(self, a: Point, b: Point) -> f64 {
        self.distance(self.nearest_on_segment(a, b))
    }
}

impl Vector {
    /// No displacement at all.
    pub const ZERO: Vector = Vector { x: 0.0, y: 0.0 };

    /// A displacement by its components.
    pub const fn new(x: f64, y: f64) -> Vector {
        Vector { x, y }
    }

    /// The scalar product: the lengths times the cosine of the angle between.
    pub fn dot(self, other: Vector) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The cross product: positive where `other` points to the left of this vector.
    pub fn cross(self, other: Vector) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// The length, correctly rounded up to a bit or two.
    pub fn length(self) -> f64 {
        self.length_squared().sqrt()
    }

    /// The square of the length.
    pub fn length_squared(self) -> f64 {
        self.x * self.x + self.y * self.y
    }

    /// The vector of length 1 in the same direction; none for the zero vector or where the
    /// length is not a finite number.
    pub fn unit(self) -> Option<Vector> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| self / length)
    }

    /// Turned by a quarter to the left (counter-clockwise).
    pub fn turned_left(self) -> Vector {
        Vector::new(-self.y, self.x)
    }

    /// Turned by a quarter to the right (clockwise).
    pub fn turned_right(self) -> Vector {
        Vector::new(self.y, -self.x)
    }

    /// The direction in degrees, above -180 and at most 180.
    pub fn angle_deg(self) -> f64 {
        crate::math::atan2_deg(self.y, self.x)
    }
}

impl Sub for Point {
    type Output = Vector;
    fn sub(self, other: Point) -> Vector {
        Vector::new(self.x - other.x, self.y - other.y)
    }
}

impl Add<Vector> for Point {
    type Output = Point;
    fn add(self, by: Vector) -> Point {
        Point::new(self.x + by.x, self.y + by.y)
    }
}

impl AddAssign<Vector> for Point {
    fn add_assign(&mut self, by: Vector) {
        *self = *self + by;
    }
}

impl Sub<Vector> for Point {
    type Output = Point;
    fn sub(self, by: Vector) -> Point {
        Point::new(self.x - by.x, self.y - by.y)
    }
}

impl Add for Vector {
    type Output = Vector;
    fn add(self, other: Vector) -> Vector {
        Vector::new(self.x + other.x, self.y + other.y)
    }
}

impl AddAssign for Vector {
    fn add_assign(&mut self, other: Vector) {
        *self = *self + other;
    }
}

impl Sub for Vector {
    type Output = Vector;
    fn sub(self, other: Vector) -> Vector {
        Vector::new(self.x - other.x, self.y - other.y)
    }
}

impl Neg for Vector {
    type Output = Vector;
    fn neg(self) -> Vector {
        Vector::new(-self.x, -self.y)
    }
}

impl Mul<f64> for Vector {
    type Output = Vector;
    fn mul(self, factor: f64) -> Vector {
        Vector::new(self.x * factor, self.y * factor)
    }
}

impl Div<f64> for Vector {
    type Output = Vector;
    fn div(self, by: f64) -> Vector {
        Vector::new(self.x / by, self.y / by)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn left_is_positive() {
        let east = Vector::new(1.0, 0.0);
        assert!(east.cross(Vector::new(0.0, 1.0)) > 0.0);
        assert_eq!(east.turned_left(), Vector::new(0.0, 1.0));
        assert_eq!(east.turned_right(), Vector::new(0.0, -1.0));
    }

    #[test]
    fn nearest_on_a_segment_stops_at_the_ends() {
        let (a, b) = (Point::new(0.0, 0.0), Point::new(10.0, 0.0));
        assert_eq!(Point::new(-3.0, 4.0).distance_to_segment(a, b), 5.0);
        assert_eq!(Point::new(4.0, 2.0).distance_to_segment(a, b), 2.0);
        assert_eq!(Point::new(13.0, -4.0).distance_to_segment(a, b), 5.0);
        assert_eq!(Point::new(3.0, 4.0).distance_to_segment(a, a), 5.0);
    }

    #[test]
    fn the_zero_vector_has_no_direction() {
        assert_eq!(Vector::ZERO.unit(), None);
        assert_eq!(Vector::new(3.0, 4.0).unit(), Some(Vector::new(0.6, 0.8)));
    }
}
