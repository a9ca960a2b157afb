//! Outlines with fewer points, for search shapes: certainly larger, or certainly smaller.

use crate::{Point, PreparedRegion, Region, Ring, protrusion};

/// A region that holds this one, goes beyond it by at most `tolerance` millimetres, and has
/// few points.
///
/// Dents shallower than the tolerance are filled and corners flatter than it are extended to a
/// point; holes become smaller. Where that would make lines cross, less is done, down to
/// nothing.
pub fn simplify_outer(region: &Region, tolerance: f64) -> Region {
    simplify(region, tolerance, true)
}

/// A region that lies in this one, stays back from its outline by at most `tolerance`
/// millimetres, and has few points. Holes become larger. Where that would make lines cross,
/// less is done, down to nothing.
pub fn simplify_inner(region: &Region, tolerance: f64) -> Region {
    simplify(region, tolerance, false)
}

fn simplify(region: &Region, tolerance: f64, grow: bool) -> Region {
    if tolerance.is_nan() || tolerance <= 0.0 {
        return region.clone();
    }
    // Fewer and fewer points are taken away until the lines keep clear of each other.
    let mut allowed = tolerance;
    for _ in 0..6 {
        let outer = simplify_ring(region.outer(), allowed, grow);
        let holes: Option<Vec<Ring>> = region
            .holes()
            .iter()
            .map(|hole| simplify_ring(hole, allowed, !grow))
            .collect();
        if let (Some(outer), Some(holes)) = (outer, holes)
            && let Ok(simple) = Region::new(outer, holes)
            && (if grow {
                holds(&simple, region)
            } else {
                holds(region, &simple)
            })
        {
            return simple;
        }
        allowed *= 0.5;
    }
    region.clone()
}

/// Whether one region holds another, up to rounding.
fn holds(outer: &Region, inner: &Region) -> bool {
    let rounding = 1e-11 * outer.bounds().largest_coordinate();
    let (outer, inner) = (
        PreparedRegion::new(outer.clone()),
        PreparedRegion::new(inner.clone()),
    );
    protrusion(&inner, &outer).amount >= -rounding
}

/// One ring with fewer points; none if it would cross itself.
fn simplify_ring(ring: &Ring, tolerance: f64, grow: bool) -> Option<Ring> {
    let mut line = Shrinking::new(ring, grow);
    while line.points.len() > 4 && line.pass(tolerance) {}
    Ring::new(line.points).ok()
}

/// A line losing points. `strayed[k]` is how far the side from point k may already lie from
/// the original line.
struct Shrinking {
    points: Vec<Point>,
    strayed: Vec<f64>,
    /// Whether the enclosed area may only grow.
    grow: bool,
    /// By so much new corners are moved further off, so that rounding cannot put the original
    /// line on their wrong side.
    hair: f64,
}

impl Shrinking {
    fn new(ring: &Ring, grow: bool) -> Shrinking {
        Shrinking {
            points: ring.points().to_vec(),
            strayed: vec![0.0; ring.points().len()],
            grow,
            hair: 1e-10 * ring.bounds().largest_coordinate(),
        }
    }

    /// Goes round once and removes what it can, no two neighbours; whether anything was.
    fn pass(&mut self, tolerance: f64) -> bool {
        let n = self.points.len();
        let mut points = Vec::with_capacity(n);
        let mut strayed = Vec::with_capacity(n);
        let mut left = n;
        let mut k = 0;
        while k < n {
            // The corners at both ends of the round stay, so that no change meets another.
            let room = k >= 1 && left > 4;
            if room
                && k + 1 < n
                && let Some(off) = self.drop_point(k, tolerance)
            {
                // The side before reaches over the dropped point; the next one is kept.
                if let Some(last) = strayed.last_mut() {
                    *last = off;
                }
                points.push(self.points[k + 1]);
                strayed.push(self.strayed[k + 1]);
                left -= 1;
                k += 2;
            } else if room
                && k + 2 < n
                && let Some((corner, off)) = self.extend_side(k, tolerance)
            {
                // Both neighbours of the dropped side now run on to the new corner.
                if let Some(last) = strayed.last_mut() {
                    *last = off.max(*last);
                }
                points.push(corner);
                strayed.push(off.max(self.strayed[k + 1]));
                points.push(self.points[k + 2]);
                strayed.push(self.strayed[k + 2]);
                left -= 1;
                k += 3;
            } else {
                points.push(self.points[k]);
                strayed.push(self.strayed[k]);
                k += 1;
            }
        }
        let changed = points.len() < n;
        self.points = points;
        self.strayed = strayed;
        changed
    }

    fn point(&self, k: usize) -> Point {
        self.points[k % self.points.len()]
    }

    /// If point k may go: how far the new side strays at most.
    fn drop_point(&self, k: usize, tolerance: f64) -> Option<f64> {
        let (a, v, b) = (self.point(k - 1), self.point(k), self.point(k + 1));
        let turn = (v - a).cross(b - v);
        // Filling a dent lets the area grow; cutting a corner lets it shrink.
        let right_way = if self.grow { turn <= 0.0 } else { turn >= 0.0 };
        let off = v.distance_to_segment(a, b) + self.strayed[k - 1].max(self.strayed[k]);
        (right_way && off <= tolerance).then_some(off)
    }

    /// If the side from point k to the next may go, its neighbours running on until they
    /// meet: where they meet, and how far that strays at most.
    fn extend_side(&self, k: usize, tolerance: f64) -> Option<(Point, f64)> {
        let (a, b) = (self.point(k - 1), self.point(k));
        let (c, d) = (self.point(k + 1), self.point(k + 2));
        let (before, side, after) = (b - a, c - b, d - c);
        let (turn_b, turn_c) = (before.cross(side), side.cross(after));
        let right_way = if self.grow {
            turn_b > 0.0 && turn_c > 0.0
        } else {
            turn_b < 0.0 && turn_c < 0.0
        };
        let total = before.cross(after);
        if !right_way || total == 0.0 || (total > 0.0) != self.grow {
            return None;
        }
        let corner = b + before * (side.cross(after) / total);
        let corner = corner + (corner - b.midpoint(c)).unit()? * self.hair;
        let off = corner.distance_to_segment(b, c)
            + self.strayed[k]
                .max(self.strayed[k - 1])
                .max(self.strayed[k + 1]);
        (off <= tolerance && corner.is_finite()).then_some((corner, off))
    }
}
