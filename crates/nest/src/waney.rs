//! Boards with outlines of very many corners, as they are traced from photographs.
//!
//! Whatever is laid is measured against every corner in the end; but the searches need not know
//! them all. They see few lines, and keep as much more from each as the true sides stray from it:
//! less clear timber than there is, never more.

use heartside_geometry::{Point, Region, Ring};
use heartside_timber::job::{Board, Workshop};

/// Outlines with more corners than this are seen in fewer lines; it is more than anyone measures by hand.
const VERY_MANY: usize = 96;

/// How far true sides may stray from the lines that stand for them, in shares of a board's smaller
/// extent, tried in turn until the lines are few: 0.2 mm on a board of 200, and 1.6 mm where it is rough.
const STRAYS: [f64; 4] = [0.001, 0.002, 0.004, 0.008];

/// So many sides are one line at most: each further one is compared with all before it.
const MOST_IN_LINE: usize = 64;

/// An outline in few lines.
#[derive(Debug)]
pub(crate) struct FewLines {
    /// The region that the lines enclose.
    pub(crate) region: Region,
    /// The lines, and the distance that a blank keeps from each: what the true sides stray from it,
    /// and their trim.
    ///
    /// The true outline lies within what its sides stray from the lines. So what keeps out of that
    /// lies in the true outline if, and only if, it lies in the region.
    pub(crate) lines: Vec<(Point, Point, f64)>,
}

impl FewLines {
    /// For a board of very many corners; none for others, and where the lines would cross.
    ///
    /// O(corners).
    pub(crate) fn of(board: &Board, workshop: &Workshop) -> Option<FewLines> {
        if board.outline.point_count() <= VERY_MANY {
            return None;
        }
        let bounds = board.outline.bounds();
        let size = bounds.width().min(bounds.height());
        let mut found = None;
        for share in STRAYS {
            let few = FewLines::straying(board, workshop, share * size);
            found = few.or(found);
            if found.as_ref().is_some_and(|f| f.lines.len() <= VERY_MANY) {
                break;
            }
        }
        found
    }

    fn straying(board: &Board, workshop: &Workshop, most: f64) -> Option<FewLines> {
        let trims: Vec<f64> = board.sides.iter().map(|s| s.trim(workshop)).collect();
        let mut lines = Vec::new();
        let mut before = 0;
        let mut rings = board.outline.rings().map(|ring| {
            let first = before;
            before += ring.points().len();
            let trim = |side: usize| trims.get(first + side).copied().unwrap_or(0.0);
            let from = lines.len();
            add_lines(ring, &trim, most, &mut lines);
            Ring::new(lines[from..].iter().map(|line| line.0).collect()).ok()
        });
        let outer = rings.next()??;
        let holes: Option<Vec<Ring>> = rings.collect();
        let region = Region::new(outer, holes?).ok()?;
        Some(FewLines { region, lines })
    }
}

/// Sides in a row that hardly bend, and are trimmed alike, become one line.
fn add_lines(
    ring: &Ring,
    trim: &dyn Fn(usize) -> f64,
    most: f64,
    lines: &mut Vec<(Point, Point, f64)>,
) {
    let points = ring.points();
    let count = points.len();
    let end_of = |side: usize| points[(side + 1) % count];
    let mut from = 0;
    while from < count {
        let start = points[from];
        let (mut to, mut strays) = (from, 0.0);
        while to + 1 < count && to - from < MOST_IN_LINE && trim(to + 1) == trim(from) {
            let end = end_of(to + 1);
            let corners = points[from + 1..=to + 1].iter();
            let off = corners.map(|p| p.distance_to_segment(start, end));
            let off = off.fold(0.0, f64::max);
            if off > most {
                break;
            }
            (to, strays) = (to + 1, off);
        }
        lines.push((start, end_of(to), trim(from) + strays));
        from = to + 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{board, job, rectangle};
    use heartside_geometry::math::sin_cos_deg;
    use heartside_geometry::{Location, PreparedRegion};
    use heartside_timber::document::EdgeKind;

    /// A board of 2000 by 200 whose long edges wave, coarsely and finely.
    fn waney(corners: u32) -> Board {
        let mut waney = board("A", rectangle(0.0, 0.0, 2000.0, 200.0), EdgeKind::Raw);
        let half = corners / 2;
        let edge = |k: u32, at: f64| {
            let share = f64::from(k) / f64::from(half - 1);
            let wave = |count: f64, depth: f64| depth * sin_cos_deg(360.0 * count * share + at).0;
            let y = at + wave(3.0, 8.0) + wave(37.0, 2.0) + wave(411.0, 0.4);
            Point::new(2000.0 * share, y)
        };
        let mut points: Vec<Point> = (0..half).map(|k| edge(k, 0.0)).collect();
        points.extend((0..half).rev().map(|k| edge(k, 200.0)));
        let side = waney.sides[0];
        waney.sides = vec![side; points.len()];
        waney.outline = Region::from_ring(Ring::new(points).unwrap());
        waney
    }

    #[test]
    fn thousands_of_corners_become_few_lines() {
        for corners in [200, 2000, 5000, 10_000] {
            let board = waney(corners);
            let job = job(vec![board.clone()], Vec::new());
            let few = FewLines::of(&board, &job.workshop).unwrap();
            assert!(few.lines.len() <= 300, "{}", few.lines.len());
            let off = (few.region.area() - board.outline.area()).abs();
            assert!(off < 4000.0 * 0.4, "{off}");
        }
        let few = waney(60);
        let job = job(vec![few.clone()], Vec::new());
        assert!(FewLines::of(&few, &job.workshop).is_none());
    }

    /// What lies in the region and keeps its distance from the lines keeps its trim from every true side.
    #[test]
    fn what_keeps_from_the_lines_keeps_from_the_sides() {
        let mut board = waney(10_000);
        // Sides that need no trim, and end grain, part the rows.
        for side in &mut board.sides[1000..1200] {
            side.kind = EdgeKind::Straight;
        }
        for side in &mut board.sides[3000..3010] {
            side.is_end = true;
        }
        let job = job(vec![board.clone()], Vec::new());
        let few = FewLines::of(&board, &job.workshop).unwrap();
        let outline = PreparedRegion::new(board.outline.clone());
        for ((a, b), side) in board.outline.outer().edges().zip(&board.sides) {
            let trim = side.trim(&job.workshop);
            let held = few.lines.iter().any(|(from, to, kept)| {
                let strays = |p: Point| p.distance_to_segment(*from, *to);
                let most = strays(a).max(strays(b));
                trim + most <= kept + 1e-9 && *kept <= trim + 2.0
            });
            assert!(held, "{a:?}");
        }
        // Points just far enough from the lines, on both of their sides.
        let mut inside = [0, 0];
        for (from, to, kept) in &few.lines {
            let across = (*to - *from).turned_left().unit().unwrap() * (kept + 1e-6);
            for p in [from.midpoint(*to) + across, from.midpoint(*to) - across] {
                let clear = few
                    .lines
                    .iter()
                    .all(|(a, b, kept)| p.distance_to_segment(*a, *b) >= *kept);
                if clear {
                    let within = few.region.locate(p) == Location::Inside;
                    assert_eq!(outline.region().locate(p) == Location::Inside, within);
                    inside[usize::from(within)] += 1;
                }
            }
        }
        assert!(inside[0] > 100 && inside[1] > 100, "{inside:?}");
    }
}
