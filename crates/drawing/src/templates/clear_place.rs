//! Room on a sheet that no line runs through and nothing else stands on.

use heartside_geometry::{Bounds, Point};

use crate::fitting::around;
use crate::room::{line_meets, overlaps};

/// The lines on a sheet and what is written on it. y down, in millimetres of the sheet.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ground {
    pub(crate) lines: Vec<(Point, Point)>,
    pub(crate) taken: Vec<Bounds>,
}

/// Kept between words and a line.
const CLEAR: f64 = 0.8;
/// Places tried along and across.
const TRIED: (u32, u32) = (24, 14);

impl Ground {
    /// The lines and boxes that reach into a part of the sheet.
    pub(crate) fn near(&self, within: &Bounds) -> Ground {
        let within = within.grown(CLEAR);
        let lines = self
            .lines
            .iter()
            .filter(|(a, b)| line_meets(&within, *a, *b));
        let taken = self.taken.iter().filter(|box_| overlaps(box_, &within));
        Ground {
            lines: lines.copied().collect(),
            taken: taken.copied().collect(),
        }
    }

    /// True where a box meets nothing.
    pub(crate) fn is_clear(&self, own: &Bounds) -> bool {
        let own = own.grown(CLEAR);
        !self.taken.iter().any(|taken| overlaps(taken, &own))
            && !self.lines.iter().any(|(a, b)| line_meets(&own, *a, *b))
    }

    /// The middle of a clear box of a size within bounds, as near to a place as can be; only where a
    /// middle is wanted. O(places tried x (lines + boxes)).
    pub(crate) fn clear_place(
        &self,
        (w, h): (f64, f64),
        within: &Bounds,
        near: Point,
        is_wanted: impl Fn(Point) -> bool,
    ) -> Option<Point> {
        let spare = (within.width() - w, within.height() - h);
        if spare.0 < 0.0 || spare.1 < 0.0 {
            return None;
        }
        let mut best: Option<(f64, Point)> = None;
        for i in 0..=TRIED.0 {
            for k in 0..=TRIED.1 {
                let middle = Point {
                    x: within.min.x + w / 2.0 + spare.0 * f64::from(i) / f64::from(TRIED.0),
                    y: within.min.y + h / 2.0 + spare.1 * f64::from(k) / f64::from(TRIED.1),
                };
                let far = middle.distance_squared(near);
                let is_nearer = best.is_none_or(|(least, _)| far < least);
                if is_nearer && is_wanted(middle) && self.is_clear(&around(middle, w, h)) {
                    best = Some((far, middle));
                }
            }
        }
        best.map(|(_, middle)| middle)
    }
}
