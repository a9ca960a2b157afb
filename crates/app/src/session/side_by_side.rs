//! Photographs side by side that make one long board.

use heartside_geometry::{Point, Region, Ring, Vector, clip_half_plane};

/// Further apart than this, in millimetres, two outlines of one board do not quietly meet.
const MISFIT: f64 = 2.0;

/// One outline of what two photographs show.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Joined {
    /// Its corners, counter-clockwise.
    pub(super) outline: Vec<Point>,
    /// How far the two are apart where they meet, in millimetres.
    pub(super) misfit: f64,
}

impl Joined {
    /// What is to be said of how they meet.
    pub(super) fn words(&self) -> String {
        if self.misfit <= MISFIT {
            return String::new();
        }
        format!(
            "; where it meets the rest of the board the edges are {:.0} mm apart: check the marks",
            self.misfit
        )
    }
}

/// Joins what is known of a board and what is seen of its next part in the middle of what both show.
///
/// None where they show no length in common, or an outline is not in one piece there.
pub(super) fn joined(own: &Region, seen: &Ring) -> Option<Joined> {
    let seen = Region::from_ring(seen.clone());
    let (a, b) = (own.bounds(), seen.bounds());
    let (left, right) = if a.min.x <= b.min.x {
        (own, &seen)
    } else {
        (&seen, own)
    };
    let [first, end] = [right.bounds().min.x, left.bounds().max.x];
    // What lies within the other is of no news.
    if first >= end || right.bounds().max.x <= end {
        return None;
    }
    let seam = Point::new(0.5 * (first + end), 0.0);
    let left = half(left, seam, Vector::new(-1.0, 0.0))?;
    let right = half(right, seam, Vector::new(1.0, 0.0))?;
    let misfit = (left.ends[1].y - right.ends[0].y)
        .abs()
        .max((left.ends[0].y - right.ends[1].y).abs());
    let outline = left.points.into_iter().chain(right.points).collect();
    Some(Joined { outline, misfit })
}

/// One side of a seam.
struct Half {
    /// Its corners from one end of the seam round to the other, counter-clockwise.
    points: Vec<Point>,
    /// The first of them and the last.
    ends: [Point; 2],
}

fn half(whole: &Region, seam: Point, side: Vector) -> Option<Half> {
    let pieces = clip_half_plane(whole, seam, side);
    let [piece] = pieces.as_slice() else {
        return None;
    };
    let points = piece.outer().points();
    let on_seam = |k: usize| (points[k % points.len()].x - seam.x).abs() < 1e-6;
    // The one side that runs along the seam is left out.
    let gap = (0..points.len()).find(|&k| on_seam(k) && on_seam(k + 1))?;
    let round = (1..=points.len()).map(|k| points[(gap + k) % points.len()]);
    let points: Vec<Point> = round.collect();
    let ends = [points[0], points[points.len() - 1]];
    Some(Half { points, ends })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[[f64; 2]]) -> Ring {
        Ring::new(corners.iter().map(|&[x, y]| Point::new(x, y)).collect()).unwrap()
    }

    #[test]
    fn two_halves_make_one_board_whichever_is_known_first() {
        let left = ring(&[[0.0, 0.0], [1500.0, 3.0], [1500.0, 200.0], [0.0, 210.0]]);
        let right = ring(&[
            [1300.0, 3.0],
            [2700.0, 9.0],
            [2700.0, 190.0],
            [1300.0, 201.0],
        ]);
        for (own, seen) in [(&left, &right), (&right, &left)] {
            let joined = joined(&Region::from_ring(own.clone()), seen).unwrap();
            assert!(joined.misfit < 1.0 && joined.words().is_empty());
            let all = Region::from_ring(Ring::new(joined.outline).unwrap());
            assert_eq!((all.bounds().min.x, all.bounds().max.x), (0.0, 2700.0));
            let halves = 1400.0 * 203.4 + 1300.0 * 189.0;
            assert!(
                (all.area() - halves).abs() < 0.01 * halves,
                "{}",
                all.area()
            );
        }
    }

    #[test]
    fn how_badly_they_meet_is_told_and_what_brings_nothing_new_is_left() {
        let own = Region::from_ring(ring(&[
            [0.0, 0.0],
            [1500.0, 0.0],
            [1500.0, 200.0],
            [0.0, 200.0],
        ]));
        let off = ring(&[
            [1300.0, 8.0],
            [2700.0, 8.0],
            [2700.0, 205.0],
            [1300.0, 205.0],
        ]);
        let told = joined(&own, &off).unwrap();
        assert_eq!(told.misfit, 8.0);
        assert!(told.words().contains("8 mm apart"));
        let within = ring(&[[300.0, 0.0], [700.0, 0.0], [700.0, 200.0], [300.0, 200.0]]);
        assert_eq!(joined(&own, &within), None);
        let beyond = ring(&[
            [1600.0, 0.0],
            [2700.0, 0.0],
            [2700.0, 200.0],
            [1600.0, 200.0],
        ]);
        assert_eq!(joined(&own, &beyond), None);
    }
}
