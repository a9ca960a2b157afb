//! Where one shape may not lie for another: the no-fit polygons of their convex shells.
//!
//! A convex shell Q moved by d meets a fixed one P exactly where d lies in the Minkowski sum
//! of P and -Q, again a convex polygon; the distance of the two is the distance of d from
//! it. So every question about a pair (how far apart, how deep, which way out, which heights
//! are barred at this x) becomes one about a point and a few convex polygons, worked out once
//! for each pair of forms and kept.

use heartside_geometry::{Bounds, Point, Vector};

use super::buckets::Buckets;
use super::net::Net;
use super::shape::Shell;
use super::span::{Corner, Span, WayOut};

/// The barred places of a moving form, as convex polygons with a distance to keep from each.
#[derive(Debug)]
pub(crate) struct NoFit {
    spans: Vec<Span>,
    corners: Vec<Corner>,
    /// For many polygons: which of them may matter at an x, in slots of equal width.
    buckets: Option<Buckets>,
    /// How often an overlap was measured with it; where that is often it gets a net.
    weighed: u32,
    /// Which polygons and which of their sides may matter in each mesh of a net over all of them.
    net: Option<Net>,
}

/// Measured with so often a no-fit polygon gets a net of wide meshes, a sixth of the work of one of narrow ones.
const OFTEN: u32 = 50;

/// Measured with so often it gets one of narrow meshes, which costs as much as some hundred measurements.
///
/// Parts that are turned freely meet at angles that are soon given up: with a narrow net at
/// once (after 200) making nets took 39 % of their time.
const VERY_OFTEN: u32 = 800;

/// Meshes along each side of these nets, at most about.
const WIDE_MESHES: f64 = 8.0;

const NARROW_MESHES: f64 = 20.0;

/// No-fit polygons of fewer corners are as quick without a net.
const CORNERS_FOR_NET: usize = 10;

/// So many polygons are looked through one by one; more are sorted into slots.
///
/// Below this the scan of boxes is quicker than finding the slot's list.
const FEW: usize = 24;

impl NoFit {
    /// Bars nothing.
    pub(crate) const fn empty() -> NoFit {
        NoFit {
            spans: Vec::new(),
            corners: Vec::new(),
            buckets: None,
            weighed: 0,
            net: None,
        }
    }

    /// Where `moving` may not have its origin, given shells that lie fast, each with the distance that the core must keep from it.
    pub(crate) fn new<'a>(
        moving: &[Shell],
        fixed: impl Iterator<Item = (&'a Shell, f64)> + Clone,
    ) -> NoFit {
        let mut no_fit = NoFit::empty();
        let negated: Vec<Shell> = moving.iter().map(negated).collect();
        let corners = |shell: &Shell| shell.points.len();
        let own: usize = negated.iter().map(corners).sum();
        let (mut spans, mut sides) = (0, 0);
        for (shell, _) in fixed.clone() {
            spans += negated.len();
            sides += negated.len() * corners(shell) + own;
        }
        no_fit.spans.reserve_exact(spans);
        no_fit.corners.reserve_exact(sides);
        for (shell, keep) in fixed {
            for other in &negated {
                no_fit.add(shell, other, keep);
            }
        }
        no_fit.sort_into_buckets();
        no_fit
    }

    /// Corner k of all polygons.
    pub(crate) fn corner(&self, k: usize) -> &Corner {
        &self.corners[k]
    }

    /// How many corners there are in all.
    pub(crate) fn corner_count(&self) -> usize {
        self.corners.len()
    }

    /// True once it has its net.
    #[cfg(test)]
    pub(crate) fn has_net(&self) -> bool {
        self.net.is_some()
    }

    /// Numbers held, as a measure of memory.
    pub(crate) fn weight(&self) -> usize {
        let net = self.net.as_ref().map_or(0, |net| net.weight());
        let slots = self.buckets.as_ref().map_or(0, |b| b.held_count() / 2);
        5 * self.corners.len() + 8 * self.spans.len() + slots + net
    }

    /// The Minkowski sum of two convex shells: their sides in the order of their directions.
    fn add(&mut self, p: &Shell, q: &Shell, keep: f64) {
        let (n, m) = (p.points.len(), q.points.len());
        let (start_p, start_q) = (lowest(&p.points), lowest(&q.points));
        let from = self.corners.len();
        let (mut i, mut j) = (0, 0);
        let mut at = p.points[start_p] + q.points[start_q].to_vector();
        while i < n || j < m {
            let side = |shell: &Shell, start: usize, k: usize| {
                let count = shell.points.len();
                let here = (start + k) % count;
                (
                    shell.points[(here + 1) % count] - shell.points[here],
                    shell.normals[here],
                )
            };
            let take_p = if i == n {
                false
            } else if j == m {
                true
            } else {
                is_before(side(p, start_p, i).1, side(q, start_q, j).1)
            };
            let (step, normal) = if take_p {
                i += 1;
                side(p, start_p, i - 1)
            } else {
                j += 1;
                side(q, start_q, j - 1)
            };
            self.corners.push(Corner {
                at,
                normal,
                height: at.to_vector().dot(normal),
            });
            at += step;
        }
        let (mut low, mut high) = (self.corners[from].at, self.corners[from].at);
        for corner in &self.corners[from..] {
            low = Point::new(low.x.min(corner.at.x), low.y.min(corner.at.y));
            high = Point::new(high.x.max(corner.at.x), high.y.max(corner.at.y));
        }
        self.spans.push(Span {
            low: Point::new(low.x - keep, low.y - keep),
            high: Point::new(high.x + keep, high.y + keep),
            from: from as u32,
            to: self.corners.len() as u32,
            keep,
            width: p.width.min(q.width),
        });
    }

    fn sort_into_buckets(&mut self) {
        if self.spans.len() > FEW {
            let count = (self.spans.len() / 2).clamp(8, 256);
            let extents = self.spans.iter().map(|s| (s.low.x, s.high.x));
            self.buckets = Some(Buckets::of(extents, count));
        }
    }

    /// An overlap is to be measured; makes a net once that was often enough, twice as often for each time that room was too little. Returns what that added to the weight.
    pub(crate) fn is_weighed(&mut self, crowded: u32) -> usize {
        self.weighed = self.weighed.saturating_add(1);
        let meshes = if self.weighed == OFTEN << crowded {
            WIDE_MESHES
        } else if self.weighed == VERY_OFTEN << crowded {
            NARROW_MESHES
        } else {
            return 0;
        };
        if self.corners.len() < CORNERS_FOR_NET {
            return 0;
        }
        let before = self.weight();
        self.net = Net::over(&self.spans, &self.corners, meshes);
        self.weight().saturating_sub(before)
    }

    /// Calls `look` with every polygon whose box holds x (at least those); stops where it says so.
    fn near(&self, x: f64, mut look: impl FnMut(&Span) -> bool) {
        match &self.buckets {
            None => self.spans.iter().all(look),
            Some(buckets) => {
                let mut places = buckets.near(x).iter();
                places.all(|k| look(&self.spans[*k as usize]))
            }
        };
    }

    /// How much of the kept distance is missing at `d`, and which way out; none where more than `keep - slack` is kept.
    fn missing(&self, span: &Span, d: Point, slack: f64) -> Option<WayOut> {
        if d.x <= span.low.x || d.x >= span.high.x || d.y <= span.low.y || d.y >= span.high.y {
            return None;
        }
        let enough = span.keep - slack;
        let corners = span.of(&self.corners);
        let v = d.to_vector();
        let mut gap = f64::NEG_INFINITY;
        let mut direction = Vector::ZERO;
        for corner in corners {
            let g = v.dot(corner.normal) - corner.height;
            if g >= enough {
                return None;
            }
            if g > gap {
                gap = g;
                direction = corner.normal;
            }
        }
        if gap > 0.0 {
            // Between the polygon and its offset: the nearest point may be a corner.
            let (squared, nearest) = self.nearest(corners, d);
            let distance = squared.sqrt();
            if distance >= enough {
                return None;
            }
            if distance > 0.0 {
                direction = (d - nearest) / distance;
                gap = distance;
            }
        }
        Some(WayOut {
            depth: span.keep - gap,
            direction,
        })
    }

    fn nearest(&self, corners: &[Corner], d: Point) -> (f64, Point) {
        let mut best = (f64::INFINITY, d);
        for (k, corner) in corners.iter().enumerate() {
            if d.to_vector().dot(corner.normal) - corner.height <= 0.0 {
                continue;
            }
            let next = corners[if k + 1 == corners.len() { 0 } else { k + 1 }].at;
            let near = d.nearest_on_segment(corner.at, next);
            let squared = d.distance_squared(near);
            if squared < best.0 {
                best = (squared, near);
            }
        }
        best
    }

    /// True where every distance is kept but for `slack`.
    pub(crate) fn is_clear(&self, d: Point, slack: f64) -> bool {
        let mut clear = true;
        self.near(d.x, |span| {
            clear = self.missing(span, d, slack).is_none();
            clear
        });
        clear
    }

    /// A measure of the overlap, 0 where all is clear: about its area in square millimetres, summed over the polygons.
    ///
    /// For each pair of convex pieces the way out times the width of the smaller piece.
    pub(crate) fn overlap(&self, d: Point, slack: f64) -> f64 {
        let mut sum = 0.0;
        if let Some(net) = &self.net {
            let mut list = net.at(d);
            while let [span, count, rest @ ..] = list {
                let (sides, others) = rest.split_at(usize::from(*count));
                let span = &self.spans[usize::from(*span)];
                sum += span.width * self.depth(span, sides, d, slack);
                list = others;
            }
            return sum;
        }
        self.near(d.x, |span| {
            if let Some(out) = self.missing(span, d, slack) {
                sum += span.width * out.depth;
            }
            true
        });
        sum
    }

    /// How much of the kept distance is missing, from the sides that may be the nearest; 0 where nothing is.
    fn depth(&self, span: &Span, sides: &[u16], d: Point, slack: f64) -> f64 {
        if d.x <= span.low.x || d.x >= span.high.x || d.y <= span.low.y || d.y >= span.high.y {
            return 0.0;
        }
        let enough = span.keep - slack;
        let v = d.to_vector();
        let corners = span.of(&self.corners);
        let mut gap = f64::NEG_INFINITY;
        for side in sides {
            let corner = &corners[usize::from(*side)];
            let g = v.dot(corner.normal) - corner.height;
            if g > gap {
                gap = g;
            }
        }
        if gap >= enough {
            return 0.0;
        }
        if gap > 0.0 {
            return self.missing(span, d, slack).map_or(0.0, |out| out.depth);
        }
        span.keep - gap
    }

    /// The way out of the deepest polygon at `d`.
    pub(crate) fn way_out(&self, d: Point, slack: f64) -> Option<WayOut> {
        let mut worst: Option<WayOut> = None;
        self.near(d.x, |span| {
            if let Some(out) = self.missing(span, d, slack)
                && worst.is_none_or(|w| out.depth > w.depth)
            {
                worst = Some(out);
            }
            true
        });
        worst
    }

    /// Adds the barred heights at x, moved by `by`, once all is turned by an angle of this cosine and sine: open intervals.
    pub(crate) fn barred_heights(
        &self,
        x: f64,
        by: Vector,
        (cos, sin): (f64, f64),
        into: &mut Vec<(f64, f64)>,
    ) {
        let own = x - by.x;
        if sin == 0.0 {
            // Upright or half turned: cos is 1 or -1.
            let here = cos * own;
            self.near(here, |span| {
                if here > span.low.x
                    && here < span.high.x
                    && let Some((low, high)) =
                        heights_at(span.of(&self.corners), span.keep, here, (1.0, 0.0))
                {
                    let (low, high) = if cos < 0.0 {
                        (-high, -low)
                    } else {
                        (low, high)
                    };
                    into.push((low + by.y, high + by.y));
                }
                true
            });
            return;
        }
        for span in &self.spans {
            let (least, most) = extent_turned(span, (cos, sin));
            if own > least
                && own < most
                && let Some((low, high)) =
                    heights_at(span.of(&self.corners), span.keep, own, (cos, sin))
            {
                into.push((low + by.y, high + by.y));
            }
        }
    }

    /// The greatest x of every polygon with its distance, moved by `by`, once all is turned.
    pub(crate) fn right_ends(&self, by: f64, (cos, sin): (f64, f64), into: &mut Vec<f64>) {
        let end = |span: &Span| {
            if sin == 0.0 || cos == 0.0 {
                return extent_turned(span, (cos, sin)).1;
            }
            let reach = |corner: &Corner| cos * corner.at.x - sin * corner.at.y;
            let corners = span.of(&self.corners).iter().map(reach);
            corners.fold(f64::NEG_INFINITY, f64::max) + span.keep
        };
        into.extend(self.spans.iter().map(|span| by + end(span)));
    }
}

/// Least and greatest x of a polygon's box once it is turned.
fn extent_turned(span: &Span, (cos, sin): (f64, f64)) -> (f64, f64) {
    let (a, b) = (cos * span.low.x, cos * span.high.x);
    let (c, d) = (-sin * span.low.y, -sin * span.high.y);
    (a.min(b) + c.min(d), a.max(b) + c.max(d))
}

/// Least and greatest y at x of a convex polygon grown by `keep`, turned by an angle of this cosine and sine.
fn heights_at(corners: &[Corner], keep: f64, x: f64, (cos, sin): (f64, f64)) -> Option<(f64, f64)> {
    if (cos, sin) == (1.0, 0.0) {
        return heights_turned(corners, keep, x, |v| v);
    }
    heights_turned(corners, keep, x, |v| {
        Vector::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y)
    })
}

/// The same, turned as a function says.
fn heights_turned(
    corners: &[Corner],
    keep: f64,
    x: f64,
    turned: impl Fn(Vector) -> Vector,
) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut add = |y: f64| {
        low = low.min(y);
        high = high.max(y);
    };
    let last = corners.len() - 1;
    let mut at = turned(corners[0].at.to_vector());
    for (k, corner) in corners.iter().enumerate() {
        let next = turned(corners[if k == last { 0 } else { k + 1 }].at.to_vector());
        if at.x.max(next.x) + keep < x || at.x.min(next.x) - keep > x {
            at = next;
            continue;
        }
        let off = turned(corner.normal) * keep;
        let (a, b) = (at + off, next + off);
        if (a.x <= x && x <= b.x) || (b.x <= x && x <= a.x) {
            let run = b.x - a.x;
            if run == 0.0 {
                add(a.y);
                add(b.y);
            } else {
                add(a.y + (b.y - a.y) * ((x - a.x) / run));
            }
        }
        let dx = x - at.x;
        let rest = keep * keep - dx * dx;
        if rest > 0.0 {
            let rise = rest.sqrt();
            add(at.y + rise);
            add(at.y - rise);
        }
        at = next;
    }
    (low < high).then_some((low, high))
}

/// The shell mirrored in the origin; it still runs counter-clockwise.
fn negated(shell: &Shell) -> Shell {
    let mirrored = |p: &Point| Point::new(-p.x, -p.y);
    Shell {
        points: shell.points.iter().map(mirrored).collect(),
        normals: shell.normals.iter().map(|n| -*n).collect(),
        bounds: Bounds::new(mirrored(&shell.bounds.min), mirrored(&shell.bounds.max)),
        width: shell.width,
        middle: mirrored(&shell.middle),
    }
}

/// The lowest corner, the leftmost of those.
fn lowest(points: &[Point]) -> usize {
    (1..points.len()).fold(0, |best, k| {
        let (p, b) = (points[k], points[best]);
        if p.y < b.y || (p.y == b.y && p.x < b.x) {
            k
        } else {
            best
        }
    })
}

/// True if a side with outward normal `a` comes before one with `b`, counted counter-clockwise
/// from the sides that run to the right (normals straight down).
fn is_before(a: Vector, b: Vector) -> bool {
    // Normals from straight down (0, -1) through the right (1, 0): the first half has x > 0, or points straight down.
    let late = |n: Vector| !(n.x > 0.0 || (n.x == 0.0 && n.y < 0.0));
    match (late(a), late(b)) {
        (false, true) => true,
        (true, false) => false,
        _ => a.cross(b) >= 0.0,
    }
}
