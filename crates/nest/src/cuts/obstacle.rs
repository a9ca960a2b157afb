//! Convex obstacles with a margin, asked by upright slabs.
//!
//! For a blank of width w at x the forbidden y are the union over obstacles of the
//! y-range each covers within the slab from x to x + w. Obstacles are cut into convex
//! pieces once; a query then costs a few flops for each side of the pieces in the slab.

use heartside_geometry::{Arrange, Bounds, Point};

/// Of a flaw with many corners no more places are told at which a blank may get past it: an oval has
/// a hundred and more, and each lets the blank by no more than a hair further than the one before.
const MOST_EVENTS: usize = 12;

/// A convex piece and the distance kept from it.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Corners in order; two for a segment.
    points: Vec<Point>,
    radius: f64,
    /// Bounds of everything within the radius.
    bounds: Bounds,
    /// Where along x the lowest and the highest corner lie.
    extremes: (f64, f64),
    /// Where along x the margins of corners end, in order.
    events: Vec<f64>,
}

impl Piece {
    /// A piece; none without points.
    pub(crate) fn new(points: Vec<Point>, radius: f64) -> Option<Piece> {
        let bounds = Bounds::of_points(points.iter().copied())?.grown(radius);
        let lowest = points.iter().min_by(|a, b| a.y.total_cmp(&b.y))?.x;
        let highest = points.iter().max_by(|a, b| a.y.total_cmp(&b.y))?.x;
        let mut events: Vec<f64> = points.iter().map(|p| p.x + radius).collect();
        events.arrange_by(f64::total_cmp);
        events.dedup();
        if events.len() > MOST_EVENTS {
            let least = bounds.width() / MOST_EVENTS as f64;
            let mut last = f64::NEG_INFINITY;
            let end = bounds.max.x;
            events.retain(|x| {
                let is_kept = *x - last >= least || *x >= end;
                if is_kept {
                    last = *x;
                }
                is_kept
            });
        }
        Some(Piece {
            points,
            radius,
            bounds,
            extremes: (lowest, highest),
            events,
        })
    }

    /// The same seen from elsewhere.
    pub(crate) fn seen(&self, from: impl Fn(Point) -> Point) -> Option<Piece> {
        Piece::new(self.points.iter().map(|p| from(*p)).collect(), self.radius)
    }

    /// True for an upright rectangle without a margin: it fills its bounds.
    pub fn is_box(&self) -> bool {
        let (b, n) = (self.bounds, self.points.len());
        let on_corner =
            |p: &Point| (p.x == b.min.x || p.x == b.max.x) && (p.y == b.min.y || p.y == b.max.y);
        self.radius == 0.0 && n == 4 && self.points.iter().all(on_corner)
    }

    /// Bounds of everything within the radius.
    pub fn bounds(&self) -> &Bounds {
        &self.bounds
    }

    /// The range of y over which a point with x strictly within the slab comes nearer than the radius.
    ///
    /// Exact, not by the piece's box: along a side y = m x + c left of the slab by d the
    /// disc reaches up to m x + c + sqrt(r² - d²), greatest at d = r |m| / sqrt(1 + m²).
    pub fn span_y(&self, x0: f64, x1: f64) -> Option<(f64, f64)> {
        if self.bounds.max.x <= x0 || self.bounds.min.x >= x1 {
            return None;
        }
        // What is grown stays convex: over a slab it reaches furthest at its own extreme, or where the slab ends.
        let holds = |x: f64| x >= x0 && x <= x1;
        let (lowest, highest) = self.extremes;
        let mut span = Span {
            low: f64::INFINITY,
            high: f64::NEG_INFINITY,
        };
        if holds(lowest) {
            span.low = self.bounds.min.y;
        }
        if holds(highest) {
            span.high = self.bounds.max.y;
        }
        if holds(lowest) && holds(highest) {
            return Some((span.low, span.high));
        }
        let (r, count) = (self.radius, self.points.len());
        // A segment has one side.
        let sides = if count == 2 { 1 } else { count };
        for k in 0..sides {
            let (a, b) = (
                self.points[k],
                self.points[if k + 1 < count { k + 1 } else { 0 }],
            );
            let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
            let is_near = |end: f64| a.x <= end + r && b.x >= end - r;
            if is_near(x0) || is_near(x1) {
                self.side_in_slab(a, b, x0, x1, &mut span);
            }
        }
        (span.low < span.high || (r == 0.0 && span.low <= span.high))
            .then_some((span.low, span.high))
    }

    fn side_in_slab(&self, a: Point, b: Point, x0: f64, x1: f64, span: &mut Span) {
        let r = self.radius;
        span.take(a.y, self.reach(distance_outside(a.x, x0, x1)));
        span.take(b.y, self.reach(distance_outside(b.x, x0, x1)));
        if (a.x >= x0 && b.x <= x1) || a.x == b.x {
            return;
        }
        let slope = (b.y - a.y) / (b.x - a.x);
        let at = |x: f64| a.y + slope * (x - a.x);
        let mut take = |x: f64| {
            if x >= a.x && x <= b.x {
                span.take(at(x), self.reach(distance_outside(x, x0, x1)));
            }
        };
        take(x0);
        take(x1);
        if r > 0.0 && slope != 0.0 {
            let d = r * slope.abs() / (1.0 + slope * slope).sqrt();
            take(x0 - d);
            take(x1 + d);
        }
    }

    /// How far up and down the disc reaches at a sideways distance; none beyond the radius.
    fn reach(&self, sideways: f64) -> Option<f64> {
        let r = self.radius;
        if sideways == 0.0 {
            Some(r)
        } else if sideways > r {
            None
        } else {
            Some((r * r - sideways * sideways).max(0.0).sqrt())
        }
    }

    /// The next x at which the answer of [`Piece::span_y`] may grow less by more than a hair.
    pub(crate) fn next_event(&self, after: f64) -> f64 {
        let mut events = self.events.iter().copied();
        events.find(|x| *x > after).unwrap_or(f64::INFINITY)
    }

    /// True if some point strictly within the rectangle is nearer than the radius.
    pub fn meets(&self, rect: &Bounds) -> bool {
        self.bounds.min.y < rect.max.y
            && self.bounds.max.y > rect.min.y
            && self
                .span_y(rect.min.x, rect.max.x)
                .is_some_and(|(low, high)| low < rect.max.y && high > rect.min.y)
    }

    /// True if everything within the radius lies in the rectangle.
    pub(crate) fn lies_within(&self, rect: &Bounds) -> bool {
        rect.min.x <= self.bounds.min.x
            && rect.min.y <= self.bounds.min.y
            && rect.max.x >= self.bounds.max.x
            && rect.max.y >= self.bounds.max.y
    }
}

struct Span {
    low: f64,
    high: f64,
}

impl Span {
    fn take(&mut self, y: f64, reach: Option<f64>) {
        if let Some(reach) = reach {
            self.low = self.low.min(y - reach);
            self.high = self.high.max(y + reach);
        }
    }
}

fn distance_outside(x: f64, x0: f64, x1: f64) -> f64 {
    if x < x0 {
        x0 - x
    } else if x > x1 {
        x - x1
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn p(x: f64, y: f64) -> Point {
        Point { x, y }
    }

    #[test]
    fn a_disc_at_the_slab_s_side() {
        let dot = Piece::new(vec![p(0.0, 0.0)], 5.0).unwrap();
        let (low, high) = dot.span_y(3.0, 10.0).unwrap();
        assert!((low + 4.0).abs() < 1e-12 && (high - 4.0).abs() < 1e-12);
        assert!(dot.span_y(5.0, 10.0).is_none());
    }

    #[test]
    fn touching_without_margin_is_free() {
        let square = Piece::new(
            vec![p(0.0, 0.0), p(4.0, 0.0), p(4.0, 4.0), p(0.0, 4.0)],
            0.0,
        )
        .unwrap();
        assert!(square.span_y(4.0, 8.0).is_none());
        assert_eq!(square.span_y(3.0, 8.0), Some((0.0, 4.0)));
        assert!(!square.meets(&Bounds::new(p(0.0, 4.0), p(4.0, 8.0))));
    }

    /// An oval of so many corners round (0, 0), reaching 60 along and 25 across.
    fn oval(corners: usize, radius: f64) -> Piece {
        let at =
            |k: usize| heartside_geometry::math::sin_cos_deg(360.0 * k as f64 / corners as f64);
        let points = (0..corners)
            .map(at)
            .map(|(sin, cos)| p(60.0 * cos, 25.0 * sin));
        Piece::new(points.collect(), radius).unwrap()
    }

    #[test]
    fn an_oval_of_many_corners_is_passed_in_few_places() {
        let oval = oval(180, 4.0);
        let (mut x, mut places) = (-70.0, 0);
        while oval.next_event(x).is_finite() {
            x = oval.next_event(x);
            places += 1;
        }
        assert!(places <= MOST_EVENTS + 1, "{places}");
        assert!(
            (x - 64.0).abs() < 1e-9,
            "the last lies right behind it: {x}"
        );
    }

    proptest! {
        /// What is worked out at the slab's ends is what going over every side in small pieces finds.
        #[test]
        fn span_of_an_oval_is_exact(
            corners in 3..60usize, radius in 0.0..20.0f64, x0 in -90.0..80.0f64, width in 0.5..100.0f64,
        ) {
            let (piece, x1) = (oval(corners, radius), x0 + width);
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for k in 0..corners {
                let (a, b) = (piece.points[k], piece.points[(k + 1) % corners]);
                for t in 0..=2000 {
                    let t = f64::from(t) / 2000.0;
                    let (x, y) = (a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
                    let sideways = distance_outside(x, x0, x1);
                    if sideways <= radius {
                        let reach = (radius * radius - sideways * sideways).sqrt();
                        (low, high) = (low.min(y - reach), high.max(y + reach));
                    }
                }
            }
            match piece.span_y(x0, x1) {
                // Only where no point of a side, but hardly one, comes near.
                None => prop_assert!(low >= high - 4.0, "{low} to {high}"),
                Some(found) => {
                    prop_assert!(found.0 <= low + 1e-9 && found.1 >= high - 1e-9);
                    prop_assert!(found.0 > low - 2.0 && found.1 < high + 2.0, "{found:?}: {low} to {high}");
                }
            }
        }

        /// The span is what sampling the triangle grown by a disc finds, never less.
        #[test]
        fn span_holds_every_near_point(
            corners in proptest::collection::vec((-50.0..50.0f64, -50.0..50.0f64), 3),
            radius in 0.5..20.0f64, x0 in -60.0..60.0f64, width in 0.5..40.0f64, t in 0.0..1.0f64, u in 0.0..1.0f64, k in 0..3usize,
        ) {
            let points: Vec<Point> = corners.iter().map(|c| p(c.0, c.1)).collect();
            let piece = Piece::new(points.clone(), radius).unwrap();
            // A point on the grown outline: from a point of a side outwards by the radius at any angle.
            let (a, b) = (points[k], points[(k + 1) % 3]);
            let on = p(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
            let (sin, cos) = heartside_geometry::math::sin_cos_deg(360.0 * u);
            let out = p(on.x + 0.999 * radius * cos, on.y + 0.999 * radius * sin);
            if out.x > x0 && out.x < x0 + width {
                let (low, high) = piece.span_y(x0, x0 + width).unwrap();
                prop_assert!(low < out.y + 1e-9 && out.y - 1e-9 < high);
            }
        }
    }
}
