//! Outlines with fewer points, for search shapes: certainly larger, or certainly smaller.
//!
//! Points go one at a time, first the one whose going changes the area by least (Visvalingam
//! & Whyatt 1993), and how far a new side strays is measured on all points that it passes
//! over. Before that, neighbours were taken in the order of the outline and what each strayed
//! was added up: on outlines of hundreds of corners that left up to a fifth more convex pieces
//! for the same tolerance.

use std::collections::BinaryHeap;

use crate::{Bounds, Point, PreparedRegion, Region, Ring, protrusion};

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
    let mut line = Shrinking::new(ring, tolerance, grow);
    line.run();
    Ring::new(line.left_over()).ok()
}

/// A line losing points.
struct Shrinking<'a> {
    original: &'a [Point],
    corners: Vec<Corner>,
    /// How many corners there still are.
    left: usize,
    /// What may be done, the least change of area first.
    queue: BinaryHeap<Change>,
    tolerance: f64,
    /// Whether the enclosed area may only grow.
    grow: bool,
    /// By so much new corners are moved further off, so that rounding cannot put the original
    /// line on their wrong side.
    hair: f64,
}

/// A corner of the line as it is now.
struct Corner {
    at: Point,
    before: usize,
    after: usize,
    /// Points of the original line, by number: the side before passes over all up to `last`,
    /// the side after over all from `first` on. Both are the corner itself where it is one of them.
    first: usize,
    last: usize,
    /// How far it may lie from the original line.
    strayed: f64,
    /// Grows with every change of it or a neighbour: what was planned before is void.
    age: u32,
    gone: bool,
}

/// A corner that may be dropped, or the side after it, whose neighbours then run on.
///
/// The order is that of the queue: the greatest comes first, which is what changes the area by least.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Change {
    /// Of a number of at least 0, whose bits are in its order; turned round.
    least_area: core::cmp::Reverse<u64>,
    corner: core::cmp::Reverse<usize>,
    extends: bool,
    age: u32,
}

impl Shrinking<'_> {
    fn new(ring: &Ring, tolerance: f64, grow: bool) -> Shrinking<'_> {
        let original = ring.points();
        let n = original.len();
        let corners = (0..n)
            .map(|k| Corner {
                at: original[k],
                before: (k + n - 1) % n,
                after: (k + 1) % n,
                first: k,
                last: k,
                strayed: 0.0,
                age: 0,
                gone: false,
            })
            .collect();
        Shrinking {
            original,
            corners,
            left: n,
            queue: BinaryHeap::new(),
            tolerance,
            grow,
            hair: 1e-10 * ring.bounds().largest_coordinate(),
        }
    }

    fn run(&mut self) {
        for k in 0..self.corners.len() {
            self.plan(k);
        }
        while self.left > 4 {
            let Some(change) = self.queue.pop() else {
                return;
            };
            let k = change.corner.0;
            if self.corners[k].gone || self.corners[k].age != change.age {
                continue;
            }
            if change.extends {
                if let Some((at, strayed)) = self.extended(k) {
                    self.extend(k, at, strayed);
                }
            } else if self.may_drop(k) {
                self.drop(k);
            }
        }
    }

    /// The points that are left, in order.
    fn left_over(&self) -> Vec<Point> {
        self.corners
            .iter()
            .filter(|corner| !corner.gone)
            .map(|corner| corner.at)
            .collect()
    }

    fn at(&self, k: usize) -> Point {
        self.corners[k].at
    }

    /// Puts what may be done at a corner into the queue.
    fn plan(&mut self, k: usize) {
        let (a, b) = (self.corners[k].before, self.corners[k].after);
        let (p, v, q) = (self.at(a), self.at(k), self.at(b));
        let turn = (v - p).cross(q - v);
        // Filling a dent lets the area grow; cutting a corner lets it shrink.
        let may_drop = if self.grow { turn <= 0.0 } else { turn >= 0.0 };
        let (area, extends) = if may_drop {
            if v.distance_to_segment(p, q) > self.tolerance {
                return;
            }
            (turn, false)
        } else {
            let Some((corner, _)) = self.extended(k) else {
                return;
            };
            ((corner - v).cross(self.at(b) - corner), true)
        };
        self.queue.push(Change {
            least_area: core::cmp::Reverse(area.abs().to_bits()),
            corner: core::cmp::Reverse(k),
            extends,
            age: self.corners[k].age,
        });
    }

    /// A corner and its neighbours have changed.
    fn renew(&mut self, k: usize) {
        let (before, after) = (self.corners[k].before, self.corners[k].after);
        // Extending the side after a corner looks three corners ahead.
        let first = self.corners[before].before;
        for changed in [first, before, k, after] {
            self.corners[changed].age += 1;
            self.plan(changed);
        }
    }

    /// Whether corner k may go, the side then running straight from the one before to the one after.
    fn may_drop(&self, k: usize) -> bool {
        let (a, b) = (self.corners[k].before, self.corners[k].after);
        let (p, q) = (self.at(a), self.at(b));
        self.strays(self.corners[a].first, self.corners[b].last, p, q) <= self.tolerance
            && self.corners[k].strayed.max(self.corners[a].strayed) <= self.tolerance
            && self.is_clear(&[p, self.at(k), q], &[a, k, b])
    }

    fn drop(&mut self, k: usize) {
        let (a, b) = (self.corners[k].before, self.corners[k].after);
        self.corners[k].gone = true;
        self.corners[a].after = b;
        self.corners[b].before = a;
        self.left -= 1;
        self.renew(a);
        self.renew(b);
    }

    /// How far the points of the original line from number `first` to `last` lie from a side at most.
    ///
    /// Between its ends the side is no further from the line than they are: square to the
    /// side at any place of it, the line comes by.
    fn strays(&self, first: usize, last: usize, from: Point, to: Point) -> f64 {
        let n = self.original.len();
        let Some(along) = (to - from).unit() else {
            return f64::INFINITY;
        };
        let mut most = 0.0f64;
        let mut k = first;
        loop {
            most = most.max((self.original[k] - from).cross(along).abs());
            if k == last || most > self.tolerance {
                return most;
            }
            k = if k + 1 == n { 0 } else { k + 1 };
        }
    }

    /// If the side from corner k to the next may go, its neighbours running on until they
    /// meet: where they meet, and how far that strays at most.
    fn extended(&self, k: usize) -> Option<(Point, f64)> {
        let next = self.corners[k].after;
        let (a, b) = (self.at(self.corners[k].before), self.at(k));
        let (c, d) = (self.at(next), self.at(self.corners[next].after));
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
        // What the dropped side strays itself comes on top.
        let strayed = self.strays(self.corners[k].first, self.corners[next].last, b, c);
        let strayed = strayed
            .max(self.corners[k].strayed)
            .max(self.corners[next].strayed);
        let off = corner.distance_to_segment(b, c) + strayed;
        (off <= self.tolerance && corner.is_finite()).then_some((corner, off))
    }

    fn extend(&mut self, k: usize, at: Point, strayed: f64) {
        let next = self.corners[k].after;
        let (a, d) = (self.corners[k].before, self.corners[next].after);
        // The sides beside it stray as before, but for the hair; their ends are now further off.
        let triangle = [self.at(k), at, self.at(next)];
        if self.left <= 4 || !self.is_clear(&triangle, &[a, k, next, d]) {
            return;
        }
        self.corners[k].at = at;
        self.corners[k].last = self.corners[next].last;
        self.corners[k].strayed = strayed;
        self.corners[k].after = d;
        self.corners[d].before = k;
        self.corners[next].gone = true;
        self.left -= 1;
        self.renew(a);
        self.renew(k);
        self.renew(d);
    }

    /// Whether no other corner or side comes into a triangle.
    fn is_clear(&self, triangle: &[Point; 3], but: &[usize]) -> bool {
        let bounds = Bounds::new(triangle[0], triangle[1]).with_point(triangle[2]);
        let [p, q, r] = *triangle;
        let turns = if (q - p).cross(r - q) < 0.0 {
            -1.0
        } else {
            1.0
        };
        let outside = |a: Point, b: Point, c: Point| turns * (b - a).cross(c - a) < 0.0;
        (0..self.corners.len()).all(|k| {
            let corner = &self.corners[k];
            if corner.gone {
                return true;
            }
            let (start, end) = (corner.at, self.at(corner.after));
            if !bounds.intersects(&Bounds::new(start, end)) {
                return true;
            }
            if but.contains(&k) || but.contains(&corner.after) {
                // Sides next to the triangle touch it in its corners; their other ends are looked at with the next ones.
                let other = if but.contains(&k) { end } else { start };
                let other_is_own = but.contains(&k) && but.contains(&corner.after);
                return other_is_own
                    || outside(p, q, other)
                    || outside(q, r, other)
                    || outside(r, p, other);
            }
            // Apart if all of one lies beyond a side of the other.
            let side = |c: Point| (end - start).cross(c - start);
            [(p, q), (q, r), (r, p)]
                .iter()
                .any(|(a, b)| outside(*a, *b, start) && outside(*a, *b, end))
                || triangle.iter().all(|c| side(*c) > 0.0)
                || triangle.iter().all(|c| side(*c) < 0.0)
        })
    }
}
