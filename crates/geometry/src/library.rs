//! The one file that speaks to the `geo` library.
//!
//! `geo` gives the exact orientation of three points (an adaptive predicate in plain
//! arithmetic, so the same everywhere), convex hulls, unions and rounded offsets. Unions and
//! offsets come from integer snapping and may be off by a few nanometres, and offsets use the
//! platform's trigonometry: both serve drawing and conservative search shapes, never a
//! decision.

use geo::algorithm::kernels::{Kernel, Orientation, RobustKernel};
use geo::{Buffer, ConvexHull, Coord, LineString, MultiPoint, MultiPolygon, Polygon};

use crate::{Point, Region, Ring};

/// On which side of the line from `a` through `b` the point `c` lies, exactly: 1 left, -1
/// right, 0 on the line.
pub(crate) fn orientation(a: Point, b: Point, c: Point) -> i32 {
    match RobustKernel::orient2d(coord(a), coord(b), coord(c)) {
        Orientation::CounterClockwise => 1,
        Orientation::Clockwise => -1,
        Orientation::Collinear => 0,
    }
}

/// The corners of the convex hull, counter-clockwise, without points along its sides.
pub(crate) fn convex_hull(points: &[Point]) -> Vec<Point> {
    let cloud = MultiPoint::from_iter(points.iter().map(|&p| geo::Point(coord(p))));
    open_points(cloud.convex_hull().exterior())
}

/// The region with rounded corners, `by` further out (or in, if negative).
pub(crate) fn buffered(region: &Region, by: f64) -> Vec<Region> {
    regions(polygon(region).buffer(by))
}

/// The union of simple outlines given as counter-clockwise points.
pub(crate) fn union(outlines: &[Vec<Point>]) -> Vec<Region> {
    let polygons: Vec<Polygon> = outlines
        .iter()
        .map(|points| Polygon::new(line_string(points), Vec::new()))
        .collect();
    regions(geo::unary_union(&polygons))
}

fn coord(p: Point) -> Coord {
    Coord { x: p.x, y: p.y }
}

fn line_string(points: &[Point]) -> LineString {
    LineString::from_iter(points.iter().map(|&p| coord(p)))
}

fn polygon(region: &Region) -> Polygon {
    Polygon::new(
        line_string(region.outer().points()),
        region
            .holes()
            .iter()
            .map(|hole| line_string(hole.points()))
            .collect(),
    )
}

fn open_points(line: &LineString) -> Vec<Point> {
    let mut points: Vec<Point> = line.coords().map(|c| Point::new(c.x, c.y)).collect();
    if points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    points
}

fn regions(found: MultiPolygon) -> Vec<Region> {
    found
        .iter()
        .filter_map(|polygon| {
            let outer = Ring::from_sound_points(open_points(polygon.exterior()))?;
            let holes = polygon
                .interiors()
                .iter()
                .filter_map(|hole| Ring::from_sound_points(open_points(hole)))
                .collect();
            Some(Region::from_sound_rings(outer, holes))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::{Area, Validation};

    #[test]
    fn orientation_is_exact_next_to_a_line() {
        let (a, b) = (Point::new(12.0, 12.0), Point::new(24.0, 24.0));
        let step = 0.5 + f64::EPSILON;
        assert_eq!(orientation(a, b, Point::new(0.5, 0.5)), 0);
        assert_eq!(orientation(a, b, Point::new(0.5, step)), 1);
        assert_eq!(orientation(a, b, Point::new(step, 0.5)), -1);
    }

    #[test]
    fn areas_and_validity_agree_with_the_library() {
        let ring =
            |list: &[(f64, f64)]| Ring::new(list.iter().map(|&(x, y)| Point::new(x, y)).collect());
        let outer = ring(&[(0.0, 0.0), (9.0, 1.0), (8.0, 7.0), (4.0, 3.0), (1.0, 8.0)]).unwrap();
        let hole = ring(&[(2.0, 2.0), (3.0, 2.0), (2.0, 3.0)]).unwrap();
        let region = Region::new(outer, vec![hole]).unwrap();
        assert!((polygon(&region).unsigned_area() - region.area()).abs() < 1e-12);
        assert!(polygon(&region).is_valid());
        let tie = [(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)];
        assert!(ring(&tie).is_err());
        let points: Vec<Point> = tie.iter().map(|&(x, y)| Point::new(x, y)).collect();
        assert!(!Polygon::new(line_string(&points), Vec::new()).is_valid());
    }

    #[test]
    fn unions_join_what_touches() {
        let square = |x: f64| {
            [(x, 0.0), (x + 2.0, 0.0), (x + 2.0, 2.0), (x, 2.0)]
                .map(|(x, y)| Point::new(x, y))
                .to_vec()
        };
        let joined = union(&[square(0.0), square(2.0), square(9.0)]);
        assert_eq!(joined.len(), 2);
        assert!((joined.iter().map(Region::area).sum::<f64>() - 12.0).abs() < 1e-6);
    }
}
