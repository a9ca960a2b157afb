//! What a no-fit polygon would say of a place, asked of the two shapes' own shells.

use heartside_geometry::{Point, Vector};

use super::no_fit::NoFit;
use super::shape::Shell;
use super::span::WayOut;

/// What [`NoFit::new`] would say of a place, asked of the shells themselves.
///
/// Quicker than making the no-fit polygon where that would be asked only a few times: most pairs
/// of shells are told apart by their boxes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Direct<'a> {
    /// The shells that are moved.
    pub(super) moving: &'a [Shell],
    /// Those that lie fast.
    pub(super) fixed: &'a [Shell],
    /// The distance to keep.
    pub(super) keep: f64,
}

impl Direct<'_> {
    /// Calls `look` for every pair that is too close at `d`, with its width; stops where it says so.
    fn each(&self, d: Point, slack: f64, mut look: impl FnMut(f64, WayOut) -> bool) {
        let by = d.to_vector();
        for q in self.moving {
            let low = q.bounds.min + by - Vector::new(self.keep, self.keep);
            let high = q.bounds.max + by + Vector::new(self.keep, self.keep);
            for p in self.fixed {
                let own = &p.bounds;
                if own.min.x >= high.x
                    || own.max.x <= low.x
                    || own.min.y >= high.y
                    || own.max.y <= low.y
                {
                    continue;
                }
                if let Some(out) = missing((q, d), p, self.keep, slack)
                    && !look(p.width.min(q.width), out)
                {
                    return;
                }
            }
        }
    }

    /// See [`NoFit::is_clear`].
    pub(super) fn is_clear(&self, d: Point, slack: f64) -> bool {
        let mut clear = true;
        self.each(d, slack, |_, _| {
            clear = false;
            false
        });
        clear
    }

    /// See [`NoFit::overlap`].
    pub(super) fn overlap(&self, d: Point, slack: f64) -> f64 {
        let mut sum = 0.0;
        self.each(d, slack, |width, out| {
            sum += width * out.depth;
            true
        });
        sum
    }

    /// See [`NoFit::way_out`].
    pub(super) fn way_out(&self, d: Point, slack: f64) -> Option<WayOut> {
        let mut worst: Option<WayOut> = None;
        self.each(d, slack, |_, out| {
            if worst.is_none_or(|w| out.depth > w.depth) {
                worst = Some(out);
            }
            true
        });
        worst
    }

    /// How many corners the no-fit polygon has.
    pub(super) fn corner_count(&self) -> usize {
        let corners = |shells: &[Shell]| shells.iter().map(|s| s.points.len()).sum::<usize>();
        self.moving.len() * corners(self.fixed) + self.fixed.len() * corners(self.moving)
    }

    /// Corner k of the no-fit polygon, moved out by the distance to keep.
    pub(super) fn touching(&self, k: usize) -> Point {
        let mut k = k;
        for p in self.fixed {
            for q in self.moving {
                let count = p.points.len() + q.points.len();
                if k < count {
                    let one = std::slice::from_ref(q);
                    let pair = NoFit::new(one, std::iter::once((p, self.keep)));
                    let corner = pair.corner(k);
                    return corner.at + corner.normal * self.keep;
                }
                k -= count;
            }
        }
        Point::ORIGIN
    }
}

/// How much of a distance is missing between a shell moved to `at` and a fixed one, and the moved one's way out.
///
/// The sides of their Minkowski difference are the sides of both, so the deepest overlap is
/// found along one of these (the separating axes of convex polygons): O(corners of one times
/// corners of the other).
pub(super) fn missing(
    (moved, at): (&Shell, Point),
    fixed: &Shell,
    keep: f64,
    slack: f64,
) -> Option<WayOut> {
    let enough = keep - slack;
    let by = at.to_vector();
    let mut out = WayOut {
        depth: f64::NEG_INFINITY,
        direction: Vector::ZERO,
    };
    let mut gap = f64::NEG_INFINITY;
    let middle = moved.middle.to_vector();
    for (normal, corner) in fixed.normals.iter().zip(&fixed.points) {
        let height = (*corner - at).dot(*normal);
        // A point within is no nearer than the nearest corner.
        if middle.dot(*normal) - height <= gap {
            continue;
        }
        let near = moved.points.iter().map(|q| q.to_vector().dot(*normal));
        let g = near.fold(f64::INFINITY, f64::min) - height;
        if g >= enough {
            return None;
        }
        if g > gap {
            gap = g;
            out.direction = *normal;
        }
    }
    let middle = fixed.middle.to_vector();
    for (normal, corner) in moved.normals.iter().zip(&moved.points) {
        let height = (*corner + by).to_vector().dot(*normal);
        if middle.dot(*normal) - height <= gap {
            continue;
        }
        let near = fixed.points.iter().map(|p| p.to_vector().dot(*normal));
        let g = near.fold(f64::INFINITY, f64::min) - height;
        if g >= enough {
            return None;
        }
        if g > gap {
            gap = g;
            out.direction = -*normal;
        }
    }
    if gap > 0.0 {
        // Apart, but nearer than they should be: the nearest points may be corners.
        let (squared, way) = nearest(moved, fixed, at);
        let distance = squared.sqrt();
        if distance >= enough {
            return None;
        }
        if distance > 0.0 {
            out.direction = way / distance;
            gap = distance;
        }
    }
    out.depth = keep - gap;
    Some(out)
}

/// The least squared distance of two shells apart, and the way from the fixed one to the moved one there.
fn nearest(moved: &Shell, fixed: &Shell, at: Point) -> (f64, Vector) {
    let mut best = (f64::INFINITY, Vector::ZERO);
    let by = at.to_vector();
    let mut add = |way: Vector| {
        let squared = way.dot(way);
        if squared < best.0 {
            best = (squared, way);
        }
    };
    let next = |shell: &Shell, k: usize| {
        shell.points[if k + 1 == shell.points.len() {
            0
        } else {
            k + 1
        }]
    };
    for q in &moved.points {
        let q = *q + by;
        for (k, p) in fixed.points.iter().enumerate() {
            add(q - q.nearest_on_segment(*p, next(fixed, k)));
        }
    }
    for p in &fixed.points {
        let p = *p - by;
        for (k, q) in moved.points.iter().enumerate() {
            add(p.nearest_on_segment(*q, next(moved, k)) - p);
        }
    }
    best
}
