//! The one file that speaks to the `geo` library.
//!
//! `geo` gives the exact orientation of three points (an adaptive predicate in plain
//! arithmetic, so the same everywhere), convex hulls, rounded offsets and areas less others. Offsets
//! and differences come from integer snapping, may be off by a few nanometres and use the platform's trigonometry: they serve
//! drawing, never a decision.

use geo::algorithm::kernels::{Kernel, Orientation, RobustKernel};
use geo::{BooleanOps, Buffer, ConvexHull, Coord, LineString, MultiPoint, MultiPolygon, Polygon};

use crate::Point;

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

/// The area with rounded corners, `by` further out (or in, if negative). An area is its outer
/// ring and its holes, here and in the answer.
pub(crate) fn buffered(rings: &[&[Point]], by: f64) -> Vec<Vec<Vec<Point>>> {
    areas(&polygon(rings).buffer(by))
}

/// What is left of one area without another, each as in [`buffered`].
pub(crate) fn subtracted(rings: &[&[Point]], less: &[&[Point]]) -> Vec<Vec<Vec<Point>>> {
    areas(&polygon(rings).difference(&polygon(less)))
}

fn areas(found: &MultiPolygon) -> Vec<Vec<Vec<Point>>> {
    found
        .iter()
        .map(|polygon| {
            let rings = std::iter::once(polygon.exterior()).chain(polygon.interiors());
            rings.map(open_points).collect()
        })
        .collect()
}

fn coord(p: Point) -> Coord {
    Coord { x: p.x, y: p.y }
}

fn line_string(points: &[Point]) -> LineString {
    LineString::from_iter(points.iter().map(|&p| coord(p)))
}

fn polygon(rings: &[&[Point]]) -> Polygon {
    let mut lines = rings.iter().map(|points| line_string(points));
    let outer = lines.next().unwrap_or_else(|| LineString::new(Vec::new()));
    Polygon::new(outer, lines.collect())
}

fn open_points(line: &LineString) -> Vec<Point> {
    let mut points: Vec<Point> = line.coords().map(|c| Point::new(c.x, c.y)).collect();
    if points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    points
}

#[cfg(test)]
mod tests {
    use geo::{Area, Validation};

    use super::*;
    use crate::{Region, Ring};

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
        let rings: Vec<&[Point]> = region.rings().map(Ring::points).collect();
        let of_region = polygon(&rings);
        assert!((of_region.unsigned_area() - region.area()).abs() < 1e-12);
        assert!(of_region.is_valid());
        let tie = [(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)];
        assert!(ring(&tie).is_err());
        let points: Vec<Point> = tie.iter().map(|&(x, y)| Point::new(x, y)).collect();
        assert!(!Polygon::new(line_string(&points), Vec::new()).is_valid());
    }
}
