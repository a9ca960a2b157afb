//! Where the sides of outlines cross or run over each other.
//!
//! All tests use the exact orientation of three points, so the answer is right for the
//! coordinates as given. Two sides that only touch (a corner on a side, or two corners in
//! one place) are no conflict unless one line passes through to the other side there.

use crate::arrange::Arrange;
use crate::library::orientation;
use crate::{Bounds, Point};

/// Two sides in conflict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Conflict {
    /// Index of the side of the first outline (side k runs from point k to point k + 1).
    pub(crate) first: usize,
    /// Index of the side of the second outline.
    pub(crate) second: usize,
    /// A place where they meet.
    pub(crate) at: Point,
    /// Whether they run over each other along a stretch, instead of crossing in a point.
    pub(crate) overlap: bool,
}

/// The conflicts of a closed outline with itself, at most `limit` of them, by side numbers.
///
/// The points must be finite and no two neighbours equal. O(n log n + k) for n sides and k
/// pairs of sides whose extents along the longer axis meet.
pub(crate) fn self_conflicts(points: &[Point], limit: usize) -> Vec<Conflict> {
    let n = points.len();
    let mut found = Vec::new();
    for k in 0..n {
        if folds_back(points, k) {
            let before = (k + n - 1) % n;
            found.push(Conflict {
                first: before.min(k),
                second: before.max(k),
                at: points[k],
                overlap: true,
            });
        }
    }
    let sides: Vec<Side> = (0..n).map(|k| Side::new(points, k, 0)).collect();
    for_close_pairs(&sides, |a, b| {
        let (a, b) = if a.index < b.index { (a, b) } else { (b, a) };
        let neighbours = b.index - a.index == 1 || (a.index == 0 && b.index == n - 1);
        if !neighbours && let Some(conflict) = conflict(points, a.index, points, b.index) {
            found.push(conflict);
        }
        found.len() < 4 * limit.max(1)
    });
    in_order(found, limit)
}

/// The conflicts between two closed outlines, at most `limit` of them, by side numbers.
pub(crate) fn conflicts_between(a: &[Point], b: &[Point], limit: usize) -> Vec<Conflict> {
    let mut sides: Vec<Side> = (0..a.len()).map(|k| Side::new(a, k, 0)).collect();
    sides.extend((0..b.len()).map(|k| Side::new(b, k, 1)));
    let mut found = Vec::new();
    for_close_pairs(&sides, |s, t| {
        if s.outline != t.outline {
            let (s, t) = if s.outline == 0 { (s, t) } else { (t, s) };
            found.extend(conflict(a, s.index, b, t.index));
        }
        found.len() < 4 * limit.max(1)
    });
    in_order(found, limit)
}

/// One side with its box.
struct Side {
    index: usize,
    outline: usize,
    bounds: Bounds,
}

impl Side {
    fn new(points: &[Point], index: usize, outline: usize) -> Side {
        let next = points[(index + 1) % points.len()];
        Side {
            index,
            outline,
            bounds: Bounds::new(points[index], next),
        }
    }
}

fn in_order(mut found: Vec<Conflict>, limit: usize) -> Vec<Conflict> {
    found.arrange_by_key(|c| (c.first, c.second));
    found.dedup_by_key(|c| (c.first, c.second));
    found.truncate(limit);
    found
}

/// Calls `visit` with every two sides whose boxes meet, until it returns false.
fn for_close_pairs(sides: &[Side], mut visit: impl FnMut(&Side, &Side) -> bool) {
    let all = sides
        .iter()
        .fold(Bounds::EMPTY, |all, side| all.union(side.bounds));
    let along_x = all.width() >= all.height();
    let low = |s: &Side| {
        if along_x {
            s.bounds.min.x
        } else {
            s.bounds.min.y
        }
    };
    let high = |s: &Side| {
        if along_x {
            s.bounds.max.x
        } else {
            s.bounds.max.y
        }
    };
    let mut order: Vec<&Side> = sides.iter().collect();
    order.arrange_by(|a, b| {
        low(a)
            .total_cmp(&low(b))
            .then((a.outline, a.index).cmp(&(b.outline, b.index)))
    });
    for (k, a) in order.iter().enumerate() {
        let end = high(a);
        for b in order[k + 1..].iter().take_while(|b| low(b) <= end) {
            if a.bounds.intersects(&b.bounds) && !visit(a, b) {
                return;
            }
        }
    }
}

/// Whether the side after point `k` runs back over the side before it.
fn folds_back(points: &[Point], k: usize) -> bool {
    let n = points.len();
    let (before, here, after) = (points[(k + n - 1) % n], points[k], points[(k + 1) % n]);
    orientation(before, here, after) == 0 && (before - here).dot(after - here) > 0.0
}

/// The conflict of side `i` of `a` with side `j` of `b`, which must not be neighbours in one
/// outline. A passing through at a corner is reported for the sides that start there.
fn conflict(a: &[Point], i: usize, b: &[Point], j: usize) -> Option<Conflict> {
    let (p0, p1) = (a[i], a[(i + 1) % a.len()]);
    let (q0, q1) = (b[j], b[(j + 1) % b.len()]);
    let found = |at, overlap| {
        Some(Conflict {
            first: i,
            second: j,
            at,
            overlap,
        })
    };
    let (q0_side, q1_side) = (orientation(p0, p1, q0), orientation(p0, p1, q1));
    if q0_side * q1_side > 0 {
        return None;
    }
    let (p0_side, p1_side) = (orientation(q0, q1, p0), orientation(q0, q1, p1));
    if p0_side * p1_side > 0 {
        return None;
    }
    if q0_side == 0 && q1_side == 0 {
        return common_stretch(p0, p1, q0, q1).and_then(|at| found(at, true));
    }
    if q0_side * q1_side < 0 && p0_side * p1_side < 0 {
        return found(crossing_point(p0, p1, q0, q1), false);
    }
    let before = |points: &[Point], k: usize| points[(k + points.len() - 1) % points.len()];
    let passes = if p0 == q0 {
        passes_through(before(a, i), p1, before(b, j), p0, q1)
    } else if p0_side == 0 && p0 != q1 {
        passes_through(before(a, i), p1, q0, p0, q1)
    } else if q0_side == 0 && q0 != p1 {
        passes_through(before(b, j), q1, p0, q0, p1)
    } else {
        false
    };
    if passes {
        found(if p0_side == 0 { p0 } else { q0 }, false)
    } else {
        None
    }
}

/// Where two sides on one line run over each other, if along more than a point.
fn common_stretch(p0: Point, p1: Point, q0: Point, q1: Point) -> Option<Point> {
    let common = Bounds::new(p0, p1).intersection(Bounds::new(q0, q1))?;
    (common.min != common.max).then(|| common.centre())
}

/// Where two sides that properly cross do so, up to rounding.
pub(crate) fn crossing_point(p0: Point, p1: Point, q0: Point, q1: Point) -> Point {
    let (along, other) = (p1 - p0, q1 - q0);
    let t = (q0 - p0).cross(other) / along.cross(other);
    p0 + along * t.clamp(0.0, 1.0)
}

/// Whether the line from `a0` over `corner` to `a1` passes from one side of the line `b0`,
/// `corner`, `b1` to the other. Running along the other line is not passing.
fn passes_through(a0: Point, a1: Point, b0: Point, corner: Point, b1: Point) -> bool {
    side_of_corner(b0, corner, b1, a0) * side_of_corner(b0, corner, b1, a1) < 0
}

/// On which side of the bent line `b0`, `corner`, `b1` the direction from the corner to `p`
/// points: 1 left, -1 right, 0 along it.
fn side_of_corner(b0: Point, corner: Point, b1: Point, p: Point) -> i32 {
    let (to_in, to_out) = (orientation(b0, corner, p), orientation(corner, b1, p));
    let along_in = to_in == 0 && (b0 - corner).dot(p - corner) > 0.0;
    let along_out = to_out == 0 && (b1 - corner).dot(p - corner) > 0.0;
    if along_in || along_out {
        return 0;
    }
    let bend = orientation(b0, corner, b1);
    let left = if bend >= 0 {
        to_in > 0 && to_out > 0
    } else {
        to_in > 0 || to_out > 0
    };
    // On a straight line both orientations agree.
    if left { 1 } else { -1 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(list: &[(f64, f64)]) -> Vec<Point> {
        list.iter().map(|&(x, y)| Point::new(x, y)).collect()
    }

    #[test]
    fn a_bow_tie_crosses_once() {
        let tie = points(&[(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)]);
        let found = self_conflicts(&tie, 10);
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].first, found[0].second), (0, 2));
        assert_eq!(found[0].at, Point::new(2.0, 2.0));
    }

    #[test]
    fn touching_is_no_conflict() {
        // A notch whose tip touches the bottom side, and one whose tip meets a corner.
        let side = points(&[(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (3.0, 0.0), (0.0, 3.0)]);
        assert_eq!(self_conflicts(&side, 10), vec![]);
        let corner = points(&[
            (0.0, 0.0),
            (3.0, 0.0),
            (6.0, 0.0),
            (6.0, 3.0),
            (3.0, 0.0),
            (0.0, 3.0),
        ]);
        assert_eq!(self_conflicts(&corner, 10), vec![]);
    }

    #[test]
    fn passing_through_at_a_corner_is_a_crossing() {
        // Two loops that swap sides in the common corner (3, 0).
        let eight = points(&[
            (0.0, -2.0),
            (3.0, 0.0),
            (6.0, 2.0),
            (6.0, -2.0),
            (3.0, 0.0),
            (0.0, 2.0),
        ]);
        assert_eq!(self_conflicts(&eight, 10).len(), 1);
        // The tip of a spike pokes through a side exactly at its corner.
        let through = points(&[(0.0, 0.0), (6.0, 0.0), (3.0, 0.0), (3.0, -2.0), (1.0, 4.0)]);
        assert!(!self_conflicts(&through, 10).is_empty());
    }

    #[test]
    fn running_over_a_side_is_an_overlap() {
        let spike = points(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (4.0, 2.0), (0.0, 2.0)]);
        assert!(self_conflicts(&spike, 10).iter().all(|c| c.overlap));
        assert!(!self_conflicts(&spike, 10).is_empty());
        let square = points(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]);
        let beside = points(&[(4.0, 1.0), (8.0, 1.0), (8.0, 3.0), (4.0, 3.0)]);
        let found = conflicts_between(&square, &beside, 10);
        assert_eq!(found.len(), 1);
        assert!(found[0].overlap && found[0].first == 1 && found[0].second == 3);
    }
}
