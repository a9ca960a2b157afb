//! Outlines further out or in, and one less another: for drawing and for what a saw leaves, never for
//! decisions.
//!
//! Decisions add radii to exact distances instead; no offset outline is needed for them.

use crate::{Point, Region, Ring, library};

/// The region `by` millimetres further out, corners rounded; further in if negative. It may
/// fall apart or vanish.
///
/// For drawing only: points are snapped to a fine grid inside the library, and the last digits
/// of rounded corners may differ between machines. `tolerance` is the least size of pieces and
/// holes that are kept: thinner ones than this are dropped.
pub fn offset(region: &Region, by: f64, tolerance: f64) -> Vec<Region> {
    if by == 0.0 || !by.is_finite() {
        return vec![region.clone()];
    }
    let least = tolerance * tolerance;
    library::buffered(&rings(region), by)
        .into_iter()
        .filter_map(Region::from_sound_points)
        .filter(|piece| piece.outer().signed_area() > least)
        .collect()
}

/// What is left of a region without another; it may fall apart or vanish.
///
/// New corners are off by some nanometres on boards of metres, as those of [`offset`] are; corners of
/// either region that are left stay as they are. O(n log n) for regions that meet in few places, and
/// at most O(corners left x corners).
pub fn subtracted(region: &Region, less: &Region) -> Vec<Region> {
    let known: Vec<Point> = region
        .rings()
        .chain(less.rings())
        .flat_map(|ring| ring.points().iter().copied())
        .collect();
    let settled = |p: Point| {
        let near = known.iter().map(|k| (k.distance(p), *k));
        let nearest = near.min_by(|a, b| a.0.total_cmp(&b.0));
        nearest
            .filter(|(far, _)| *far <= SNAPPED)
            .map_or(p, |(_, k)| k)
    };
    library::subtracted(&rings(region), &rings(less))
        .into_iter()
        .filter_map(|area| {
            let settle = |ring: Vec<Point>| ring.into_iter().map(settled).collect();
            Region::from_sound_points(area.into_iter().map(settle).collect())
        })
        .collect()
}

/// The library moves corners by far less than this, in millimetres; nobody measures as finely.
const SNAPPED: f64 = 1e-4;

fn rings(region: &Region) -> Vec<&[Point]> {
    region.rings().map(Ring::points).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Bounds;

    fn rectangle(x: f64, y: f64, width: f64, height: f64) -> Region {
        let (min, max) = (Point::new(x, y), Point::new(x + width, y + height));
        Region::rectangle(Bounds::new(min, max)).unwrap()
    }

    #[test]
    fn what_is_left_adds_up_and_keeps_its_corners() {
        let board = rectangle(0.1, -0.2, 2000.3, 200.7);
        // Inside; over an edge; right across.
        for (less, pieces, holes) in [
            (rectangle(300.0, 50.0, 100.0, 40.0), 1, 1),
            (rectangle(300.0, -10.0, 100.0, 40.0), 1, 0),
            (rectangle(300.0, -10.0, 100.0, 400.0), 2, 0),
            (rectangle(-10.0, -10.0, 4000.0, 400.0), 0, 0),
        ] {
            let left = subtracted(&board, &less);
            assert_eq!(left.len(), pieces);
            assert_eq!(left.iter().map(|r| r.holes().len()).sum::<usize>(), holes);
            let taken = crate::area_in_bounds(&board, &less.bounds());
            let sum: f64 = left.iter().map(Region::area).sum();
            assert!((sum + taken - board.area()).abs() < 1e-1, "{sum}");
            for corner in board.outer().points() {
                let stays = left.iter().any(|r| r.outer().points().contains(corner));
                assert_eq!(stays, !less.contains(*corner));
            }
        }
    }
}
