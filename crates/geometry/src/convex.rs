//! Convex pieces.

use crate::{Bounds, Point, Transform, Vector, library};

/// A convex polygon with its outward normals at hand, for fast exact distances.
#[derive(Debug, Clone, PartialEq)]
pub struct Convex {
    points: Vec<Point>,
    /// Outward unit normal of the side from point k to point k + 1.
    normals: Vec<Vector>,
    bounds: Bounds,
}

impl Convex {
    /// The convex hull of some points; none if they lie on one line.
    pub fn hull_of(points: &[Point]) -> Option<Convex> {
        Convex::from_convex_points(library::convex_hull(points))
    }

    /// From points known to run counter-clockwise round a convex polygon. Points closer to the
    /// line of their neighbours than rounding can tell are dropped, so that every side has a
    /// well-defined direction.
    pub(crate) fn from_convex_points(points: Vec<Point>) -> Option<Convex> {
        let bounds = Bounds::around(&points);
        let size = bounds
            .width()
            .max(bounds.height())
            .max(1e-3 * bounds.largest_coordinate());
        let close = 1e-13 * size;
        let mut kept: Vec<Point> = Vec::with_capacity(points.len());
        let n = points.len();
        for k in 0..n {
            let before = kept.last().copied().unwrap_or(points[(k + n - 1) % n]);
            let (here, after) = (points[k], points[(k + 1) % n]);
            let whole = after - before;
            let off = (here - before).cross(whole).abs();
            if (here - before).length() > close && off > close * whole.length() {
                kept.push(here);
            }
        }
        if kept.len() < 3 {
            return None;
        }
        let normals = (0..kept.len())
            .map(|k| (kept[(k + 1) % kept.len()] - kept[k]).turned_right().unit())
            .collect::<Option<Vec<Vector>>>()?;
        Some(Convex {
            bounds: Bounds::around(&kept),
            points: kept,
            normals,
        })
    }

    /// A segment as a convex set without area (a single point, if both ends are equal).
    pub(crate) fn segment(a: Point, b: Point) -> Convex {
        match (b - a).turned_right().unit() {
            Some(normal) => Convex {
                points: vec![a, b],
                normals: vec![normal, -normal],
                bounds: Bounds::new(a, b),
            },
            None => Convex {
                points: vec![a],
                normals: Vec::new(),
                bounds: Bounds::new(a, a),
            },
        }
    }

    /// The corners, counter-clockwise.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The outward unit normals; number k belongs to the side from point k to the next.
    pub fn normals(&self) -> &[Vector] {
        &self.normals
    }

    /// The least box round the piece.
    pub fn bounds(&self) -> &Bounds {
        &self.bounds
    }

    /// The area in square millimetres.
    pub fn area(&self) -> f64 {
        crate::ring::signed_area(&self.points)
    }

    /// Whether a point lies in the piece or on its outline, up to rounding.
    pub fn contains(&self, p: Point) -> bool {
        self.bounds.contains(p)
            && self
                .points
                .iter()
                .zip(&self.normals)
                .all(|(&q, n)| (p - q).dot(*n) <= 0.0)
    }

    /// The piece as it comes to lie after a pose; normals are turned, not computed again.
    pub fn transformed(&self, transform: &Transform) -> Convex {
        let points = transform.apply_points(&self.points);
        let mut normals: Vec<Vector> = self
            .normals
            .iter()
            .map(|&n| transform.apply_vector(n))
            .collect();
        if transform.mirrors() && !normals.is_empty() {
            // Reversed, the last side joins the first two points: it moves to the end.
            normals.reverse();
            normals.rotate_left(1);
        }
        Convex {
            bounds: Bounds::around(&points),
            points,
            normals,
        }
    }

    /// The piece moved by a displacement.
    pub fn translated(&self, by: Vector) -> Convex {
        Convex {
            points: self.points.iter().map(|&p| p + by).collect(),
            normals: self.normals.clone(),
            bounds: self.bounds.translated(by),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Pose;

    fn kite() -> Convex {
        let points: Vec<Point> = [(0.0, 0.0), (4.0, -2.0), (8.0, 0.0), (4.0, 6.0)]
            .map(|(x, y)| Point::new(x, y))
            .to_vec();
        Convex::from_convex_points(points).unwrap()
    }

    #[test]
    fn normals_stay_with_their_sides() {
        let kite = kite();
        for turned_over in [false, true] {
            let pose = Pose {
                x: 3.0,
                y: -8.0,
                turn: 127.0,
                turned_over,
            };
            let moved = kite.transformed(&pose.transform());
            let fresh = Convex::from_convex_points(moved.points().to_vec()).unwrap();
            assert_eq!(fresh.points().len(), 4);
            let shift = fresh
                .points()
                .iter()
                .position(|&p| p == moved.points()[0])
                .unwrap();
            for k in 0..4 {
                let difference = moved.normals()[k] - fresh.normals()[(k + shift) % 4];
                assert!(
                    difference.length() < 1e-12,
                    "side {k}, turned over {turned_over}"
                );
            }
            assert!((moved.area() - kite.area()).abs() < 1e-9);
        }
    }

    #[test]
    fn points_along_a_side_are_dropped() {
        let points: Vec<Point> = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]
            .map(|(x, y)| Point::new(x, y))
            .to_vec();
        assert_eq!(
            Convex::from_convex_points(points.clone())
                .unwrap()
                .points()
                .len(),
            4
        );
        assert!(Convex::from_convex_points(points[..3].to_vec()).is_none());
        assert_eq!(Convex::hull_of(&points).unwrap().area(), 4.0);
    }
}
