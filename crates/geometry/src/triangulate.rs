//! Triangles of an area with holes, by cutting ears.
//!
//! Holes are first joined to the outline by bridges (two sides in one place), which makes one
//! closed line; then corners that see across to their neighbours' neighbour ("ears") are cut
//! off one by one (Meisters 1975; bridges as in Held, "FIST", Algorithmica 30, 2001). All
//! tests are exact for the coordinates as given, so lines that touch themselves in points are
//! no difficulty.

use crate::arrange::Arrange;
use crate::library::orientation;
use crate::{Bounds, Point, Region};

/// The corners of the triangles as indices into the points: outer ring, then holes, as listed
/// by [`Region::rings`]. Every triangle is counter-clockwise with an area above 0.
///
/// Close to O(n log n) for outlines of usual shape, O(n²) at worst.
pub(crate) fn triangles(region: &Region) -> (Vec<Point>, Vec<[u32; 3]>) {
    let mut line = Line::default();
    let mut all: Vec<Point> = Vec::with_capacity(region.point_count());
    let outer = line.add_loop(region.outer().points().iter().copied(), 0);
    all.extend(region.outer().points());
    let mut holes: Vec<usize> = Vec::new();
    for hole in region.holes() {
        // Holes run clockwise, so that the area lies to the left of every side.
        let first = all.len();
        all.extend(hole.points());
        let n = hole.points().len();
        let start = line.nodes.len();
        line.add_loop(hole.points().iter().rev().copied(), first);
        for k in 0..n {
            line.nodes[start + k].id = (first + n - 1 - k) as u32;
        }
        holes.push(line.rightmost(start));
    }
    // Rightmost holes first: whatever lies to the right of one is already joined.
    holes.arrange_by(|&a, &b| {
        let (p, q) = (line.nodes[a].at, line.nodes[b].at);
        q.x.total_cmp(&p.x)
            .then(q.y.total_cmp(&p.y))
            .then(a.cmp(&b))
    });
    for k in 0..holes.len() {
        line.join(outer, holes[k], &holes[k + 1..]);
    }
    let triangles = line.cut_ears(outer);
    (all, triangles)
}

/// A corner of a closed line.
#[derive(Debug, Clone)]
struct Node {
    at: Point,
    /// The index of the point in the region's list; both copies at a bridge have the same.
    id: u32,
    before: usize,
    after: usize,
    /// Whether the inside angle is above 180 degrees.
    reflex: bool,
    cut: bool,
}

/// Closed lines as linked corners.
#[derive(Debug, Default)]
struct Line {
    nodes: Vec<Node>,
}

impl Line {
    /// Adds a closed line; returns its first corner.
    fn add_loop(&mut self, points: impl Iterator<Item = Point>, first_id: usize) -> usize {
        let start = self.nodes.len();
        for (k, at) in points.enumerate() {
            let here = start + k;
            self.nodes.push(Node {
                at,
                id: (first_id + k) as u32,
                before: here.wrapping_sub(1),
                after: here + 1,
                reflex: false,
                cut: false,
            });
        }
        let last = self.nodes.len() - 1;
        self.nodes[start].before = last;
        self.nodes[last].after = start;
        start
    }

    fn corners(&self, start: usize) -> impl Iterator<Item = usize> + '_ {
        let mut here = Some(start);
        core::iter::from_fn(move || {
            let k = here?;
            let after = self.nodes[k].after;
            here = (after != start).then_some(after);
            Some(k)
        })
    }

    fn at(&self, k: usize) -> Point {
        self.nodes[k].at
    }

    fn rightmost(&self, start: usize) -> usize {
        self.corners(start).fold(start, |best, k| {
            let (p, q) = (self.at(k), self.at(best));
            if p.x > q.x || (p.x == q.x && p.y > q.y) {
                k
            } else {
                best
            }
        })
    }

    /// Joins the hole with corner `hole` to the line round it by a bridge. `waiting` are
    /// corners of holes not joined yet, which must not be crossed.
    fn join(&mut self, outer: usize, hole: usize, waiting: &[usize]) {
        let m = self.at(hole);
        // A hole that touches a side from within: the side gets a corner there.
        let touched = self.corners(outer).find(|&k| {
            let (p, q) = (self.at(k), self.at(self.nodes[k].after));
            p != m && q != m && Bounds::new(p, q).contains(m) && orientation(p, q, m) == 0
        });
        if let Some(k) = touched {
            let after = self.nodes[k].after;
            let new = self.nodes.len();
            let id = self.nodes[hole].id;
            self.nodes.push(Node {
                at: m,
                id,
                before: k,
                after,
                reflex: false,
                cut: false,
            });
            self.nodes[k].after = new;
            self.nodes[after].before = new;
        }
        let mut candidates: Vec<usize> = self
            .corners(outer)
            .filter(|&k| self.at(k).x >= m.x)
            .collect();
        candidates.arrange_by(|&a, &b| {
            let (p, q) = (
                self.at(a).distance_squared(m),
                self.at(b).distance_squared(m),
            );
            p.total_cmp(&q).then(a.cmp(&b))
        });
        let seen = candidates
            .iter()
            .copied()
            .find(|&k| self.opens_towards(k, hole) && self.is_clear(outer, hole, k, waiting))
            .or_else(|| {
                candidates
                    .iter()
                    .copied()
                    .find(|&k| self.opens_towards(k, hole))
            })
            .unwrap_or(outer);
        self.bridge(seen, hole);
    }

    /// Whether the direction from corner `k` to the hole's corner points into the area. For a
    /// hole that touches the corner itself, the direction of the hole's sides counts.
    fn opens_towards(&self, k: usize, hole: usize) -> bool {
        let v = self.at(k);
        let m = self.at(hole);
        if v != m {
            return self.in_wedge(k, m);
        }
        let (a, b) = (self.nodes[hole].before, self.nodes[hole].after);
        self.in_wedge(k, self.at(a)) || self.in_wedge(k, self.at(b))
    }

    /// Whether the direction from corner `k` to `p` points strictly into its inside angle.
    fn in_wedge(&self, k: usize, p: Point) -> bool {
        let (a, v, b) = (
            self.at(self.nodes[k].before),
            self.at(k),
            self.at(self.nodes[k].after),
        );
        let (left_in, left_out) = (orientation(a, v, p) > 0, orientation(v, b, p) > 0);
        match orientation(a, v, b) {
            1 => left_in && left_out,
            -1 => left_in || left_out,
            _ if (a - v).dot(b - v) > 0.0 => orientation(a, v, p) != 0 || (a - v).dot(p - v) < 0.0,
            _ => left_in,
        }
    }

    /// Whether the straight line from the hole's corner to corner `k` meets no other side.
    fn is_clear(&self, outer: usize, hole: usize, k: usize, waiting: &[usize]) -> bool {
        let (m, v) = (self.at(hole), self.at(k));
        if m == v {
            return true;
        }
        let span = Bounds::new(m, v);
        [outer, hole].iter().chain(waiting).all(|&start| {
            self.corners(start).all(|c| {
                let (p, q) = (self.at(c), self.at(self.nodes[c].after));
                !Bounds::new(p, q).intersects(&span) || !blocks(m, v, p, q)
            })
        })
    }

    /// Links corner `k` and the hole's corner by two sides in one place.
    fn bridge(&mut self, k: usize, hole: usize) {
        let after = self.nodes[k].after;
        let before = self.nodes[hole].before;
        let back_hole = self.nodes.len();
        let back = back_hole + 1;
        let mut copy = self.nodes[hole].clone();
        copy.before = before;
        copy.after = back;
        self.nodes.push(copy);
        let mut copy = self.nodes[k].clone();
        copy.before = back_hole;
        copy.after = after;
        self.nodes.push(copy);
        self.nodes[before].after = back_hole;
        self.nodes[after].before = back;
        self.nodes[k].after = hole;
        self.nodes[hole].before = k;
    }

    fn turn(&self, k: usize) -> i32 {
        let node = &self.nodes[k];
        orientation(self.at(node.before), node.at, self.at(node.after))
    }

    fn unlink(&mut self, k: usize) {
        let (before, after) = (self.nodes[k].before, self.nodes[k].after);
        self.nodes[before].after = after;
        self.nodes[after].before = before;
        self.nodes[k].cut = true;
        for end in [before, after] {
            self.nodes[end].reflex = self.turn(end) < 0;
        }
    }

    /// Cuts ears until nothing is left.
    fn cut_ears(&mut self, start: usize) -> Vec<[u32; 3]> {
        let loop_: Vec<usize> = self.corners(start).collect();
        for &k in &loop_ {
            self.nodes[k].reflex = self.turn(k) < 0;
        }
        // A corner never becomes reflex by cutting, so this list only shrinks.
        let mut reflex: Vec<usize> = loop_
            .iter()
            .copied()
            .filter(|&k| self.nodes[k].reflex)
            .collect();
        reflex.arrange_by(|&a, &b| self.at(a).x.total_cmp(&self.at(b).x).then(a.cmp(&b)));
        let mut triangles = Vec::with_capacity(loop_.len());
        let mut left = loop_.len();
        let mut purge_at = reflex.len() / 2;
        let mut live_reflex = reflex.len();
        let mut here = start;
        let mut misses = 0;
        let mut care = Care::Clean;
        while left >= 3 {
            let (before, after) = (self.nodes[here].before, self.nodes[here].after);
            let turn = self.turn(here);
            let is_ear = turn > 0 && (care == Care::None || self.is_ear(here, &reflex, care));
            if turn == 0 || is_ear {
                if is_ear {
                    triangles.push([
                        self.nodes[before].id,
                        self.nodes[here].id,
                        self.nodes[after].id,
                    ]);
                }
                let was = [before, here, after]
                    .iter()
                    .filter(|&&k| self.nodes[k].reflex)
                    .count();
                self.unlink(here);
                left -= 1;
                let now = [before, after]
                    .iter()
                    .filter(|&&k| self.nodes[k].reflex)
                    .count();
                live_reflex = (live_reflex + now).saturating_sub(was);
                if live_reflex < purge_at {
                    reflex.retain(|&k| !self.nodes[k].cut && self.nodes[k].reflex);
                    purge_at = live_reflex / 2;
                }
                misses = 0;
                care = Care::Clean;
                // Skipping one corner spreads the cuts, which keeps triangles from thinning.
                here = self.nodes[after].after;
            } else {
                here = after;
                misses += 1;
                if misses > left {
                    misses = 0;
                    care = match care {
                        Care::Clean => Care::Touching,
                        Care::Touching => Care::None,
                        Care::None => break,
                    };
                }
            }
        }
        triangles
    }

    /// Whether the triangle at the convex corner `k` holds no other part of the line. Only
    /// reflex corners need be looked at: of the corners in the triangle the one nearest to the
    /// tip is reflex.
    fn is_ear(&self, k: usize, reflex: &[usize], care: Care) -> bool {
        let (before, after) = (self.nodes[k].before, self.nodes[k].after);
        let (a, v, b) = (self.at(before), self.at(k), self.at(after));
        let bounds = Bounds::new(a, b).with_point(v);
        let first = reflex.partition_point(|&r| self.at(r).x < bounds.min.x);
        for &r in &reflex[first..] {
            let node = &self.nodes[r];
            if node.at.x > bounds.max.x {
                break;
            }
            if !bounds.contains(node.at) || node.cut || !node.reflex {
                continue;
            }
            if r == before || r == k || r == after || node.at == a || node.at == b {
                continue;
            }
            if node.at == v {
                // Another stretch of the line touches the tip: does it come in here?
                let comes_in = |q: Point| orientation(a, v, q) > 0 && orientation(v, b, q) > 0;
                if comes_in(self.at(node.before)) || comes_in(self.at(node.after)) {
                    return false;
                }
                continue;
            }
            let across = orientation(b, a, node.at);
            let within =
                across >= 0 && orientation(a, v, node.at) >= 0 && orientation(v, b, node.at) >= 0;
            if within && (across > 0 || care == Care::Clean) {
                return false;
            }
        }
        true
    }
}

/// What an ear must stay clear of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Care {
    /// Nothing may even touch the cut.
    Clean,
    /// Corners may touch the cut.
    Touching,
    /// Any convex corner will do: only for lines that are not sound.
    None,
}

/// Whether the side from `p` to `q` gets in the way of the straight line from `m` to `v`.
fn blocks(m: Point, v: Point, p: Point, q: Point) -> bool {
    for (s, t) in [(m, v), (v, m)] {
        let other = if p == s {
            q
        } else if q == s {
            p
        } else {
            continue;
        };
        // They share an end: only running along each other is in the way.
        return other != t && orientation(s, t, other) == 0 && (t - s).dot(other - s) > 0.0;
    }
    orientation(m, v, p) * orientation(m, v, q) <= 0
        && orientation(p, q, m) * orientation(p, q, v) <= 0
}
