//! Outlines seen in a frame: true edges, clipping.

use heartside_geometry::Point;
use heartside_timber::document::EdgeKind;
use heartside_timber::job::Board;

use super::side::Side;

/// A straight, true stretch of the board's own outline along the frame.
#[derive(Debug, Clone, Copy)]
pub(crate) struct StraightEdge {
    /// The side of the wood that it is.
    pub(crate) side: Side,
    /// Where it lies.
    pub(crate) at: f64,
    /// From where along it.
    pub(crate) from: f64,
    /// To where along it.
    pub(crate) to: f64,
}

/// Makes sides that run along the frame up to rounding run along it exactly.
pub(crate) fn straighten(outline: &mut [Point], noise: f64) {
    let count = outline.len();
    for k in 0..count {
        let next = (k + 1) % count;
        if (outline[k].x - outline[next].x).abs() <= noise {
            outline[next].x = outline[k].x;
        }
        if (outline[k].y - outline[next].y).abs() <= noise {
            outline[next].y = outline[k].y;
        }
    }
}

/// True for four corners with sides along the frame.
pub(crate) fn is_upright_rectangle(outline: &[Point]) -> bool {
    outline.len() == 4
        && (0..4).all(|k| {
            outline[k].x == outline[(k + 1) % 4].x || outline[k].y == outline[(k + 1) % 4].y
        })
}

/// The straight, true stretches of a board's outline, given in the frame, that run along it.
pub(crate) fn straight_edges(board: &Board, outline: &[Point], noise: f64) -> Vec<StraightEdge> {
    let count = outline.len();
    let mut edges = Vec::new();
    for k in 0..count {
        if board
            .sides
            .get(k)
            .is_none_or(|s| s.kind != EdgeKind::Straight)
        {
            continue;
        }
        let (a, b) = (outline[k], outline[(k + 1) % count]);
        // The outer ring runs counter-clockwise: the wood lies to the left of each side.
        if (a.y - b.y).abs() <= noise {
            let side = if b.x > a.x { Side::LowY } else { Side::HighY };
            edges.push(StraightEdge {
                side,
                at: a.y,
                from: a.x.min(b.x),
                to: a.x.max(b.x),
            });
        } else if (a.x - b.x).abs() <= noise {
            let side = if b.y > a.y { Side::HighX } else { Side::LowX };
            edges.push(StraightEdge {
                side,
                at: a.x,
                from: a.y.min(b.y),
                to: a.y.max(b.y),
            });
        }
    }
    edges
}

/// The part of a closed chain on the inner side of an upright line.
pub(crate) fn clipped(points: &[Point], side: Side, at: f64) -> Vec<Point> {
    let coordinate = |p: &Point| {
        if matches!(side, Side::LowX | Side::HighX) {
            p.x
        } else {
            p.y
        }
    };
    let inside = |p: &Point| {
        if side.is_low() {
            coordinate(p) >= at
        } else {
            coordinate(p) <= at
        }
    };
    let mut kept = Vec::with_capacity(points.len() + 2);
    for k in 0..points.len() {
        let (a, b) = (points[k], points[(k + 1) % points.len()]);
        if inside(&a) {
            kept.push(a);
        }
        if inside(&a) != inside(&b) {
            let t = (at - coordinate(&a)) / (coordinate(&b) - coordinate(&a));
            let mut crossing = a.towards(b, t);
            if matches!(side, Side::LowX | Side::HighX) {
                crossing.x = at;
            } else {
                crossing.y = at;
            }
            kept.push(crossing);
        }
    }
    kept
}
