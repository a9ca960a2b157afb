//! Sides and angles of outlines, and the angles that they leave free round a point.

use heartside_geometry::math::atan2;
use heartside_geometry::{Arrange, Bounds, Point, Region, Vector};

/// A whole turn, in radians.
pub(super) const TAU: f64 = std::f64::consts::TAU;
/// Half a turn.
pub(super) const HALF: f64 = std::f64::consts::PI;

/// A direction, and how long the side is that runs along it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ray {
    /// Radians, within a turn.
    pub(super) angle: f64,
    pub(super) length: f64,
}

/// By how much an angle turns counter-clockwise, from -180 to 180 degrees in radians.
pub(super) fn turn(angle: f64) -> f64 {
    angle - TAU * ((angle + HALF) / TAU).floor()
}

impl Ray {
    /// True if the sides leave no gap between them that counts: at the end of the shorter one they are no further apart than that.
    pub(super) fn meets(&self, other: &Ray, near: f64) -> bool {
        turn(self.angle - other.angle).abs() * self.length.min(other.length) <= near
    }

    pub(super) fn back(&self) -> Ray {
        Ray {
            angle: (self.angle + HALF) % TAU,
            length: self.length,
        }
    }
}

/// A side of an outline; what is covered lies on its left.
#[derive(Debug, Clone, Copy)]
pub(super) struct Side {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) ray: Ray,
    /// The side before it in its ring.
    pub(super) before: usize,
}

/// An angle at a point, counter-clockwise from one ray to another.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wedge {
    pub(super) low: Ray,
    pub(super) high: Ray,
    /// Radians.
    pub(super) opening: f64,
}

impl Wedge {
    pub(super) fn between(low: Ray, high: Ray) -> Wedge {
        let opening = high.angle - low.angle;
        Wedge {
            low,
            high,
            opening: opening - TAU * (opening / TAU).floor(),
        }
    }
}

/// An outline with the lower left of its box at the origin: what forms that differ by a displacement have in common.
#[derive(Debug)]
pub(super) struct Outline {
    pub(super) sides: Vec<Side>,
    pub(super) size: Vector,
}

impl Outline {
    /// The sides of a region moved by `by`; the other way round, so that its outside counts as covered, if `inside_out`.
    pub(super) fn of(region: &Region, by: Vector, inside_out: bool) -> Outline {
        let mut sides: Vec<Side> = Vec::new();
        for (ring, outline) in region.rings().enumerate() {
            let mut points: Vec<Point> = outline.points().iter().map(|p| *p + by).collect();
            // Holes, too, run counter-clockwise as they come.
            let is_hole = ring > 0;
            if is_hole != inside_out {
                points.reverse();
            }
            let first = sides.len();
            for (k, from) in points.iter().enumerate() {
                let to = points[(k + 1) % points.len()];
                let along = to - *from;
                let angle = atan2(along.y, along.x);
                sides.push(Side {
                    from: *from,
                    to,
                    ray: Ray {
                        angle: if angle < 0.0 { angle + TAU } else { angle },
                        length: along.length(),
                    },
                    before: first + (k + points.len() - 1) % points.len(),
                });
            }
        }
        let bounds = region.bounds();
        Outline {
            sides,
            size: bounds.max - bounds.min,
        }
    }

    /// The angle that is covered at the corner from which side k leaves.
    pub(super) fn corner(&self, k: usize) -> Wedge {
        Wedge::between(
            self.sides[k].ray,
            self.sides[self.sides[k].before].ray.back(),
        )
    }

    /// Adds the angles covered at a point.
    pub(super) fn wedges_at(&self, p: Point, near: f64, into: &mut Vec<Wedge>) {
        for (k, side) in self.sides.iter().enumerate() {
            if p.distance(side.from) <= near {
                into.push(self.corner(k));
            } else if p.distance(side.to) > near
                && p.distance_to_segment(side.from, side.to) <= near
            {
                let with = |ray: Ray, length| Ray { length, ..ray };
                into.push(Wedge {
                    low: with(side.ray, p.distance(side.to)),
                    high: with(side.ray.back(), p.distance(side.from)),
                    opening: HALF,
                });
            }
        }
    }

    pub(super) fn bounds_at(&self, at: Point) -> Bounds {
        Bounds {
            min: at,
            max: at + self.size,
        }
    }

    /// True if both are the same but for rounding.
    pub(super) fn is_like(&self, other: &Outline, near: f64) -> bool {
        let holds = |side: &Side| {
            (other.sides.iter())
                .any(|s| s.from.distance(side.from) <= near && s.to.distance(side.to) <= near)
        };
        self.sides.len() == other.sides.len() && self.sides.iter().all(holds)
    }
}

/// A free angle at a point.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sector {
    pub(super) at: Point,
    pub(super) free: Wedge,
}

/// Adds what the covered angles round a point leave free.
pub(super) fn free_at(at: Point, covered: &mut [Wedge], near: f64, into: &mut Vec<Sector>) {
    covered.arrange_by(|a, b| a.low.angle.total_cmp(&b.low.angle));
    // How far round all is covered before the first one begins, seen from a turn earlier.
    let end = |w: &Wedge| w.low.angle + w.opening;
    let Some(last) = covered
        .iter()
        .max_by(|a, b| end(a).total_cmp(&end(b)))
        .copied()
    else {
        return;
    };
    let (mut reach, mut ray) = (end(&last) - TAU, last.high);
    for wedge in covered.iter() {
        let opening = wedge.low.angle - reach;
        if opening * ray.length.min(wedge.low.length) > near {
            into.push(Sector {
                at,
                free: Wedge {
                    low: ray,
                    high: wedge.low,
                    opening,
                },
            });
        }
        if end(wedge) > reach {
            (reach, ray) = (end(wedge), wedge.high);
        }
    }
}
