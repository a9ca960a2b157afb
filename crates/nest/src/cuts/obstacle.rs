//! Convex obstacles with a margin, asked by upright slabs.
//!
//! For a blank of width w at x the forbidden y are the union over obstacles of the
//! y-range each covers within the slab from x to x + w. Obstacles are cut into convex
//! pieces once; a query then costs a few flops for each side of the pieces in the slab.

use heartside_geometry::{Bounds, Point};

/// A convex piece and the distance kept from it.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Corners in order; two for a segment.
    points: Vec<Point>,
    radius: f64,
    /// Bounds of everything within the radius.
    bounds: Bounds,
}

impl Piece {
    /// A piece; none without points.
    pub(crate) fn new(points: Vec<Point>, radius: f64) -> Option<Piece> {
        let bounds = Bounds::of_points(points.iter().copied())?.grown(radius);
        Some(Piece {
            points,
            radius,
            bounds,
        })
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
        let mut span = Span {
            low: f64::INFINITY,
            high: f64::NEG_INFINITY,
        };
        let count = self.points.len();
        for k in 0..count {
            let (a, b) = (self.points[k], self.points[(k + 1) % count]);
            let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
            self.side_in_slab(a, b, x0, x1, &mut span);
        }
        (span.low < span.high || (self.radius == 0.0 && span.low <= span.high))
            .then_some((span.low, span.high))
    }

    fn side_in_slab(&self, a: Point, b: Point, x0: f64, x1: f64, span: &mut Span) {
        let r = self.radius;
        if b.x < x0 - r || a.x > x1 + r {
            return;
        }
        if a.x == b.x {
            span.take(a.y, self.reach(distance_outside(a.x, x0, x1)));
            span.take(b.y, self.reach(distance_outside(a.x, x0, x1)));
            return;
        }
        let slope = (b.y - a.y) / (b.x - a.x);
        let at = |x: f64| a.y + slope * (x - a.x);
        let mut take = |x: f64| {
            if x >= a.x && x <= b.x {
                span.take(at(x), self.reach(distance_outside(x, x0, x1)));
            }
        };
        take(a.x);
        take(b.x);
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
        if sideways > r {
            None
        } else {
            Some((r * r - sideways * sideways).max(0.0).sqrt())
        }
    }

    /// The piece's corners and where its margin ends: the x at which the answer of [`Piece::span_y`] may change.
    pub(crate) fn next_event(&self, after: f64) -> f64 {
        let mut next = f64::INFINITY;
        for point in &self.points {
            let x = point.x + self.radius;
            if x > after && x < next {
                next = x;
            }
        }
        next
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

    proptest! {
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
