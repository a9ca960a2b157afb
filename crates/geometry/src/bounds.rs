//! Boxes along the axes.

use serde::{Deserialize, Serialize};

use crate::{Point, Vector};

/// A box along the axes, borders included, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Bounds {
    /// The lower left corner.
    pub min: Point,
    /// The upper right corner.
    pub max: Point,
}

impl Bounds {
    /// A box that holds nothing and gives way to whatever is joined to it.
    pub const EMPTY: Bounds = Bounds {
        min: Point {
            x: f64::INFINITY,
            y: f64::INFINITY,
        },
        max: Point {
            x: f64::NEG_INFINITY,
            y: f64::NEG_INFINITY,
        },
    };

    /// The box between two opposite corners, in whatever order they come.
    pub fn new(a: Point, b: Point) -> Bounds {
        Bounds {
            min: Point::new(a.x.min(b.x), a.y.min(b.y)),
            max: Point::new(a.x.max(b.x), a.y.max(b.y)),
        }
    }

    /// The box of a given width and height with its lower left corner at the origin.
    pub fn of_size(width: f64, height: f64) -> Bounds {
        Bounds::new(Point::ORIGIN, Point::new(width, height))
    }

    /// The least box round some points; none where there are no points.
    pub fn of_points(points: impl IntoIterator<Item = Point>) -> Option<Bounds> {
        let mut points = points.into_iter();
        let first = points.next()?;
        Some(points.fold(
            Bounds {
                min: first,
                max: first,
            },
            Bounds::with_point,
        ))
    }

    /// The least box round some points; [`Bounds::EMPTY`] where there are none.
    pub(crate) fn around(points: &[Point]) -> Bounds {
        points
            .iter()
            .copied()
            .fold(Bounds::EMPTY, Bounds::with_point)
    }

    /// The least box round this one and a point.
    pub fn with_point(self, p: Point) -> Bounds {
        Bounds {
            min: Point::new(self.min.x.min(p.x), self.min.y.min(p.y)),
            max: Point::new(self.max.x.max(p.x), self.max.y.max(p.y)),
        }
    }

    /// The least box round this one and another.
    pub fn union(self, other: Bounds) -> Bounds {
        Bounds {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// The box moved outwards by `by` on every side (inwards if negative, and then possibly
    /// empty).
    pub fn grown(self, by: f64) -> Bounds {
        Bounds {
            min: Point::new(self.min.x - by, self.min.y - by),
            max: Point::new(self.max.x + by, self.max.y + by),
        }
    }

    /// The box moved by a displacement.
    pub fn translated(self, by: Vector) -> Bounds {
        Bounds {
            min: self.min + by,
            max: self.max + by,
        }
    }

    /// What two boxes have in common; none where they do not even touch.
    pub fn intersection(self, other: Bounds) -> Option<Bounds> {
        let common = Bounds {
            min: Point::new(self.min.x.max(other.min.x), self.min.y.max(other.min.y)),
            max: Point::new(self.max.x.min(other.max.x), self.max.y.min(other.max.y)),
        };
        (!common.is_empty()).then_some(common)
    }

    /// Whether two boxes have a point in common; touching counts.
    pub fn intersects(&self, other: &Bounds) -> bool {
        self.min.x <= other.max.x
            && other.min.x <= self.max.x
            && self.min.y <= other.max.y
            && other.min.y <= self.max.y
    }

    /// Whether a point lies in the box or on its border.
    pub fn contains(&self, p: Point) -> bool {
        self.min.x <= p.x && p.x <= self.max.x && self.min.y <= p.y && p.y <= self.max.y
    }

    /// Whether another box lies wholly in this one; common borders are allowed.
    pub fn contains_bounds(&self, other: &Bounds) -> bool {
        self.min.x <= other.min.x
            && other.max.x <= self.max.x
            && self.min.y <= other.min.y
            && other.max.y <= self.max.y
    }

    /// The box with its axes exchanged.
    pub fn transposed(self) -> Bounds {
        let swap = |p: Point| Point { x: p.y, y: p.x };
        Bounds {
            min: swap(self.min),
            max: swap(self.max),
        }
    }

    /// Whether the box holds not even a point.
    pub fn is_empty(&self) -> bool {
        !(self.min.x <= self.max.x && self.min.y <= self.max.y)
    }

    /// The extent along x.
    pub fn width(&self) -> f64 {
        self.max.x - self.min.x
    }

    /// The extent along y.
    pub fn height(&self) -> f64 {
        self.max.y - self.min.y
    }

    /// Width times height.
    pub fn area(&self) -> f64 {
        self.width() * self.height()
    }

    /// The middle of the box.
    pub fn centre(&self) -> Point {
        self.min.midpoint(self.max)
    }

    /// The corners, counter-clockwise from the lower left.
    pub fn corners(&self) -> [Point; 4] {
        [
            self.min,
            Point::new(self.max.x, self.min.y),
            self.max,
            Point::new(self.min.x, self.max.y),
        ]
    }

    /// The largest absolute value among the coordinates of the corners.
    pub fn largest_coordinate(&self) -> f64 {
        self.min
            .x
            .abs()
            .max(self.min.y.abs())
            .max(self.max.x.abs())
            .max(self.max.y.abs())
    }

    /// The signed distance of two boxes: the straight-line distance where they are apart, 0
    /// where they touch, and otherwise minus the least move along an axis that parts them.
    ///
    /// Whatever lies in the boxes is never less apart than this.
    pub fn separation(&self, other: &Bounds) -> f64 {
        let dx = (other.min.x - self.max.x).max(self.min.x - other.max.x);
        let dy = (other.min.y - self.max.y).max(self.min.y - other.max.y);
        if dx > 0.0 && dy > 0.0 {
            Vector::new(dx, dy).length()
        } else {
            dx.max(dy)
        }
    }

    /// The distance from a point to the box; 0 inside.
    pub fn distance(&self, p: Point) -> f64 {
        let dx = (self.min.x - p.x).max(p.x - self.max.x).max(0.0);
        let dy = (self.min.y - p.y).max(p.y - self.max.y).max(0.0);
        Vector::new(dx, dy).length()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn separation_of_boxes() {
        let a = Bounds::of_size(10.0, 4.0);
        let at = |x, y| a.translated(Vector::new(x, y));
        assert_eq!(a.separation(&at(13.0, 8.0)), 5.0);
        assert_eq!(a.separation(&at(10.0, 2.0)), 0.0);
        assert_eq!(a.separation(&at(15.0, 2.0)), 5.0);
        assert_eq!(a.separation(&at(9.0, 1.0)), -1.0);
    }

    #[test]
    fn the_empty_box_gives_way() {
        assert!(Bounds::EMPTY.is_empty());
        let a = Bounds::of_size(1.0, 2.0);
        assert_eq!(Bounds::EMPTY.union(a), a);
        assert!(!Bounds::EMPTY.intersects(&a));
        assert_eq!(Bounds::of_points([]), None);
    }

    #[test]
    fn corners_run_counter_clockwise_and_touching_counts() {
        let a = Bounds::new(Point::new(3.0, 5.0), Point::new(1.0, 2.0));
        assert_eq!(a.corners()[0], Point::new(1.0, 2.0));
        assert_eq!(a.corners()[1], Point::new(3.0, 2.0));
        assert!(a.intersects(&Bounds::new(Point::new(3.0, 5.0), Point::new(9.0, 9.0))));
        assert!(a.grown(-2.0).is_empty());
    }
}
