//! The one form that every side of a drawing has while it is read, and how it becomes straight.
//!
//! A rational Bézier curve with positive weights holds lines, arcs of circles and ellipses, and
//! pieces of splines exactly, stays what it is when it is moved, stretched or sheared, and lies
//! within the hull of its control points (Farin 2002, Curves and Surfaces for CAGD, ch. 12 and 13).
//! Where the control points turn one way only, the chord lies on the inner side of the curve and
//! the two tangents on the outer one: so it is known on which side the straight lines lie.

use heartside_geometry::math::{sin_cos_deg, to_radians};
use heartside_geometry::{Point, Vector};

/// Straight enough to be a line, in millimetres: far below any tolerance, far above rounding.
const FLAT: f64 = 1e-5;
/// More corners than this are no outline of a board.
pub(super) const MOST_POINTS: usize = 20_000;

/// On which side of the curve the straight lines lie, looking along it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lean {
    Left,
    Right,
}

/// An affine map: x' = a x + c y + e, y' = b x + d y + f.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Affine {
    pub(super) a: f64,
    pub(super) b: f64,
    pub(super) c: f64,
    pub(super) d: f64,
    pub(super) e: f64,
    pub(super) f: f64,
}

impl Affine {
    pub(super) const SAME: Affine = Affine::stretch(1.0, 1.0);

    pub(super) const fn stretch(x: f64, y: f64) -> Affine {
        Affine {
            a: x,
            b: 0.0,
            c: 0.0,
            d: y,
            e: 0.0,
            f: 0.0,
        }
    }

    pub(super) const fn shift(x: f64, y: f64) -> Affine {
        Affine {
            e: x,
            f: y,
            ..Affine::SAME
        }
    }

    pub(super) fn turn(degrees: f64) -> Affine {
        let (sin, cos) = sin_cos_deg(degrees);
        Affine {
            a: cos,
            b: sin,
            c: -sin,
            d: cos,
            ..Affine::SAME
        }
    }

    /// First `inner`, then this.
    pub(super) fn after(&self, inner: &Affine) -> Affine {
        let [a, b, _] = self.apply([inner.a, inner.b, 0.0]);
        let [c, d, _] = self.apply([inner.c, inner.d, 0.0]);
        let [e, f, _] = self.apply([inner.e, inner.f, 1.0]);
        Affine { a, b, c, d, e, f }
    }

    fn apply(&self, [x, y, w]: [f64; 3]) -> [f64; 3] {
        [
            self.a * x + self.c * y + self.e * w,
            self.b * x + self.d * y + self.f * w,
            w,
        ]
    }
}

/// A rational Bézier curve of degree 3 by its control points times their weights, and the weights,
/// which are positive. Curves of lower degree are curves of this one too.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Curve([[f64; 3]; 4]);

impl Curve {
    pub(super) fn line(a: Point, b: Point) -> Curve {
        let third = (b - a) * (1.0 / 3.0);
        Curve::cubic([a, a + third, b - third, b])
    }

    /// By control points, all of one weight.
    pub(super) fn cubic([a, b, c, d]: [Point; 4]) -> Curve {
        Curve([plain(a), plain(b), plain(c), plain(d)])
    }

    /// By control points times weights, and weights, of degree 2.
    fn conic(a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> Curve {
        Curve([a, mixed(a, b, 2.0 / 3.0), mixed(c, b, 2.0 / 3.0), c])
    }

    /// By control points of degree 2, all of one weight.
    pub(super) fn quadratic([a, b, c]: [Point; 3]) -> Curve {
        Curve::conic(plain(a), plain(b), plain(c))
    }

    pub(super) fn start(&self) -> Point {
        flat(self.0[0])
    }

    pub(super) fn end(&self) -> Point {
        flat(self.0[3])
    }

    /// Moves its start by a rounding error.
    pub(super) fn begin_at(&mut self, point: Point) {
        let w = self.0[0][2];
        self.0[0] = [point.x * w, point.y * w, w];
    }

    /// Moves its end by a rounding error.
    pub(super) fn end_at(&mut self, point: Point) {
        let w = self.0[3][2];
        self.0[3] = [point.x * w, point.y * w, w];
    }

    /// The control points without their weights.
    pub(super) fn hull(&self) -> [Point; 4] {
        let [a, b, c, d] = self.0;
        [flat(a), flat(b), flat(c), flat(d)]
    }

    pub(super) fn reverse(&mut self) {
        self.0.reverse();
    }

    pub(super) fn map(&mut self, by: &Affine) {
        for control in &mut self.0 {
            *control = by.apply(*control);
        }
    }

    /// Straight lines that lie on the side `lean` of the curve and leave it by at most `tolerance`
    /// millimetres: the points after its start, up to its end. False where they would be too many.
    ///
    /// Where a curve turns neither way for a stretch that strays less than a hundred-thousandth of a
    /// millimetre from its chord, the chord is taken on either side.
    pub(super) fn straighten(&self, lean: Lean, tolerance: f64, out: &mut Vec<Point>) -> bool {
        self.halve(lean, tolerance, 50, out)
    }

    fn halve(&self, lean: Lean, tolerance: f64, depth: u32, out: &mut Vec<Point>) -> bool {
        if out.len() > MOST_POINTS {
            return false;
        }
        let (start, end) = (self.start(), self.end());
        let [_, a, b, _] = self.hull();
        let strays = a.distance_to_segment(start, end);
        let strays = strays.max(b.distance_to_segment(start, end));
        if strays <= FLAT || depth == 0 {
            out.push(end);
            return true;
        }
        if strays <= tolerance
            && let Some((way, corner)) = self.one_way()
        {
            if way == lean {
                out.push(end);
                return true;
            }
            if corner.distance_to_segment(start, end) <= tolerance {
                out.extend([corner, end]);
                return true;
            }
        }
        let (first, second) = self.halves();
        first.halve(lean, tolerance, depth - 1, out)
            && second.halve(lean, tolerance, depth - 1, out)
    }

    /// Which way the control points turn, if only one way and by less than half a turn, and where the
    /// tangents of the two ends meet.
    fn one_way(&self) -> Option<(Lean, Point)> {
        let [a, b, c, d] = self.hull();
        let mut legs = [b - a, c - b, d - c];
        // Points that lie in one place have no direction of their own: that of the next leg counts.
        for (k, other) in [(0, 1), (2, 1), (1, 0)] {
            if legs[k].length_squared() == 0.0 {
                legs[k] = legs[other];
            }
        }
        let [first, middle, last] = legs;
        let turns = [first.cross(middle), middle.cross(last)];
        let way = if turns.iter().all(|turn| *turn >= 0.0) {
            Lean::Left
        } else if turns.iter().all(|turn| *turn <= 0.0) {
            Lean::Right
        } else {
            return None;
        };
        let chord = d - a;
        let onwards = legs.iter().all(|leg| leg.dot(chord) > 0.0);
        let along = chord.cross(last) / first.cross(last);
        (onwards && along > 0.0 && along.is_finite()).then(|| (way, a + first * along))
    }

    /// Both halves, by de Casteljau's construction.
    fn halves(&self) -> (Curve, Curve) {
        let middle = |a, b| mixed(a, b, 0.5);
        let [a, b, c, d] = self.0;
        let (ab, bc, cd) = (middle(a, b), middle(b, c), middle(c, d));
        let (abc, bcd) = (middle(ab, bc), middle(bc, cd));
        let half = middle(abc, bcd);
        (Curve([a, ab, abc, half]), Curve([half, bcd, cd, d]))
    }
}

fn plain(point: Point) -> [f64; 3] {
    [point.x, point.y, 1.0]
}

fn flat([x, y, w]: [f64; 3]) -> Point {
    Point::new(x / w, y / w)
}

/// Between two control points.
pub(super) fn mixed(a: [f64; 3], b: [f64; 3], t: f64) -> [f64; 3] {
    let at = |k: usize| a[k] + (b[k] - a[k]) * t;
    [at(0), at(1), at(2)]
}

/// An arc of an ellipse with half axes `x` and `y` (not necessarily square to each other), from
/// `start` degrees on by `sweep` degrees, counted from `x` towards `y`: exact, in pieces of at
/// most a quarter turn.
pub(super) fn oval(centre: Point, x: Vector, y: Vector, start: f64, sweep: f64) -> Vec<Curve> {
    let sweep = sweep.clamp(-360.0, 360.0);
    let pieces = (sweep.abs() / 90.0 - 1e-9).ceil().max(1.0);
    let step = sweep / pieces;
    let (_, weight) = sin_cos_deg(0.5 * step);
    let at = |angle: f64| {
        let (sin, cos) = sin_cos_deg(angle);
        x * cos + y * sin
    };
    let mut curves = Vec::new();
    for k in 0..pieces as usize {
        let from = start + step * k as f64;
        let (a, c) = (centre + at(from), centre + at(from + step));
        // The tangents meet in the direction of the middle, 1 / weight times as far out.
        let b = at(from + 0.5 * step);
        let b = [centre.x * weight + b.x, centre.y * weight + b.y, weight];
        curves.push(Curve::conic(plain(a), b, plain(c)));
    }
    curves
}

/// The arc of a circle from `a` to `b` that goes round by `sweep` degrees (positive is
/// counter-clockwise, less than a full turn); a straight line where it does not bend.
pub(super) fn arc_between(a: Point, b: Point, sweep: f64) -> Vec<Curve> {
    let chord = b - a;
    let half = to_radians(0.5 * sweep);
    let tangent = heartside_geometry::math::tan(half);
    if sweep.abs() < 1e-9 || chord.length_squared() == 0.0 {
        return vec![Curve::line(a, b)];
    }
    // tan of half a half turn has no bound, and then the centre is the middle of the chord.
    let centre = a.midpoint(b) + chord.turned_left() * (0.5 / tangent);
    let arm = a - centre;
    let mut arc = oval(centre, arm, arm.turned_left(), 0.0, sweep);
    // The ends as they were given, to the last bit.
    let last = arc.len() - 1;
    arc[0].begin_at(a);
    arc[last].end_at(b);
    arc
}

/// More degrees of a spline than this are refused: hardly anybody draws with them.
pub(super) const MOST_DEGREE: usize = 3;

/// A spline as Bézier curves, one for each span of its knots, by polar forms (Farin 2002, ch. 8).
///
/// `control` holds control points times weights, and weights. None where the numbers of knots and
/// points do not fit the degree, knots run backwards, or a weight is not positive.
pub(super) fn spline(degree: usize, knots: &[f64], control: &[[f64; 3]]) -> Option<Vec<Curve>> {
    let sound = (1..=MOST_DEGREE).contains(&degree)
        && control.len() > degree
        && knots.len() == control.len() + degree + 1
        && knots.iter().all(|k| k.is_finite())
        && knots.windows(2).all(|pair| pair[0] <= pair[1]);
    if !sound {
        return None;
    }
    let mut curves = Vec::new();
    for span in degree..control.len() {
        let (from, to) = (knots[span], knots[span + 1]);
        if from == to {
            continue;
        }
        // The polar form at as many ends as `ends` says and else beginnings.
        let polar = |ends: usize| {
            let mut row = [[0.0; 3]; MOST_DEGREE + 1];
            row[..=degree].copy_from_slice(&control[span - degree..=span]);
            for level in 1..=degree {
                let t = if level <= ends { to } else { from };
                for k in (level..=degree).rev() {
                    let (low, high) = (knots[span - degree + k], knots[span + 1 + k - level]);
                    row[k] = mixed(row[k - 1], row[k], (t - low) / (high - low));
                }
            }
            row[degree]
        };
        let points = [polar(0), polar(1), polar(2), polar(3)];
        if points.iter().any(|point| point[2] <= 0.0) {
            return None;
        }
        curves.push(match degree {
            1 => Curve::line(flat(points[0]), flat(points[1])),
            2 => Curve::conic(points[0], points[1], points[2]),
            _ => Curve(points),
        });
    }
    (!curves.is_empty()).then_some(curves)
}
