//! Hulls, least widths and least rectangles.

use crate::arrange::Arrange;
use crate::{Convex, Point, library};

/// The corners of the convex hull, counter-clockwise, without points along its sides.
pub fn convex_hull(points: &[Point]) -> Vec<Point> {
    library::convex_hull(points)
}

/// A rectangle round a shape, turned to fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurnedRectangle {
    /// The direction of the long sides in degrees, at least 0 and below 180.
    pub angle: f64,
    /// The long side in millimetres.
    pub length: f64,
    /// The short side in millimetres.
    pub width: f64,
}

/// The rectangle of least area round some points; none if they lie on one line.
///
/// One side lies along a side of the hull (Freeman & Shapira 1975). O(n log n + h²) for a hull
/// of h corners; ties go to the least angle.
pub fn least_rectangle(points: &[Point]) -> Option<TurnedRectangle> {
    rectangles(points)?
        .into_iter()
        .min_by(|a, b| (a.length * a.width).total_cmp(&(b.length * b.width)))
}

/// The angle in degrees by which the rectangle of least area round the points is turned
/// (direction of its long sides, at least 0 and below 180); 0 if they lie on one line.
pub fn least_rectangle_angle(points: &[Point]) -> f64 {
    least_rectangle(points).map_or(0.0, |rectangle| rectangle.angle)
}

/// The least distance of two parallel lines with the points between them; 0 if they lie on
/// one line.
pub fn least_width(points: &[Point]) -> f64 {
    rectangles(points)
        .and_then(|all| all.into_iter().map(|r| r.width).min_by(f64::total_cmp))
        .unwrap_or(0.0)
}

/// The rectangles along each side of the hull, by angle.
fn rectangles(points: &[Point]) -> Option<Vec<TurnedRectangle>> {
    let hull = Convex::hull_of(points)?;
    let corners = hull.points();
    let mut all: Vec<TurnedRectangle> = hull
        .normals()
        .iter()
        .map(|&normal| {
            let along = normal.turned_left();
            let extent = |direction: crate::Vector| {
                let (low, high) = corners
                    .iter()
                    .map(|p| p.to_vector().dot(direction))
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                        (low.min(value), high.max(value))
                    });
                high - low
            };
            let (length, width) = (extent(along), extent(normal));
            let (direction, length, width) = if length >= width {
                (along, length, width)
            } else {
                (normal, width, length)
            };
            let angle = crate::math::normalise_deg(direction.angle_deg());
            let angle = if angle >= 180.0 { angle - 180.0 } else { angle };
            TurnedRectangle {
                angle,
                length,
                width,
            }
        })
        .collect();
    all.arrange_by(|a, b| a.angle.total_cmp(&b.angle));
    Some(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Pose;

    #[test]
    fn finds_the_turn_of_a_rectangle() {
        let corners = [
            (0.0, 0.0),
            (50.0, 0.0),
            (50.0, 20.0),
            (0.0, 20.0),
            (25.0, 10.0),
        ];
        for turn in [0.0, 17.0, 90.0, 133.0, 179.0] {
            let pose = Pose::new(5.0, 7.0, turn);
            let points: Vec<Point> = corners
                .iter()
                .map(|&(x, y)| pose.apply(Point::new(x, y)))
                .collect();
            let found = least_rectangle(&points).unwrap();
            assert!(
                (found.angle - turn).abs() < 1e-9,
                "{} for {turn}",
                found.angle
            );
            assert!((found.length - 50.0).abs() < 1e-9 && (found.width - 20.0).abs() < 1e-9);
            assert!((least_width(&points) - 20.0).abs() < 1e-9);
            assert_eq!(convex_hull(&points).len(), 4);
        }
    }

    #[test]
    fn the_least_width_may_lie_along_another_side() {
        // A 3-4-5 triangle is narrowest square to its longest side: 12/5.
        let points = [(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)].map(|(x, y)| Point::new(x, y));
        assert!((least_width(&points) - 2.4).abs() < 1e-12);
    }

    #[test]
    fn points_on_a_line_have_no_rectangle() {
        let points = [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)].map(|(x, y)| Point::new(x, y));
        assert!(least_rectangle(&points).is_none());
        assert_eq!(least_width(&points), 0.0);
        assert!(least_rectangle(&[]).is_none());
    }
}
