//! Curves replaced by straight sides, on the safe side.
//!
//! Boards are flattened inwards (nothing is promised that is not there), parts and zones
//! outwards (nothing that counts is left out).
//!
//! The sagitta of a chord that spans the angle a of a circle of radius r is
//! r (1 - cos(a/2)) = 2 r sin²(a/4): so far chords lie inside the arc. The corner of two
//! tangents that span a lies r (1/cos(a/2) - 1) outside. Solved for a with `asin`, which keeps
//! its digits for small angles where `acos` of a number near 1 would not.

use core::f64::consts::PI;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::math::{asin, atan, sin_cos_deg, to_degrees, to_radians};
use crate::{Point, Ring, RingFaults, Vector};

/// So far, in millimetres, may straight sides leave a curve: less than a fine pencil line,
/// and a disc of 600 mm takes about 170 sides. Smaller costs time in every search; larger
/// shows on templates.
pub const FLATTEN_TOLERANCE: f64 = 0.05;

/// More sides than this are never made for one arc.
pub const MOST_SIDES: usize = 100_000;

/// On which side of the true shape the straight one lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// The straight shape lies within the true one.
    Inside,
    /// The true shape lies within the straight one.
    Outside,
}

/// Why a curve cannot be flattened.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum FlattenError {
    /// A radius, angle or coordinate is not a finite number, or a radius is not above 0.
    #[error("a curve needs finite measures and a radius above 0")]
    BadCurve,
    /// The tolerance is not a finite number above 0.
    #[error("the tolerance of a curve must be above 0")]
    BadTolerance,
    /// The curve would need more than [`MOST_SIDES`] sides.
    #[error("the curve would need more than {MOST_SIDES} straight sides")]
    TooManySides,
    /// An arc of the outline is more than a full circle or has no chord.
    #[error("side {} is curved but has no length to curve over", .side + 1)]
    NoChord {
        /// Index of the side.
        side: usize,
    },
    /// The straight outline is not sound, mostly because arcs cross.
    #[error("{0}")]
    Unsound(#[from] RingFaults),
}

/// An arc of a circle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Arc {
    /// The centre of the circle, in millimetres.
    pub centre: Point,
    /// The radius in millimetres.
    pub radius: f64,
    /// The direction from the centre to the start, in degrees.
    pub start: f64,
    /// How far the arc goes round, in degrees; positive is counter-clockwise; at most a full
    /// turn either way.
    pub sweep: f64,
}

/// An ellipse, or a disc if both radii are equal.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Ellipse {
    /// The middle, in millimetres.
    pub centre: Point,
    /// Half the extent along its own x axis, in millimetres.
    pub radius_x: f64,
    /// Half the extent along its own y axis, in millimetres.
    pub radius_y: f64,
    /// By how much it is turned counter-clockwise, in degrees.
    pub turn: f64,
}

/// One side of an arc-sided outline: from a corner to the next one, straight or curved.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ArcSide {
    /// The corner where the side starts, in millimetres.
    pub from: Point,
    /// How far the middle of the side lies off the straight line between its corners, in
    /// millimetres: positive where the shape swells out, negative where it is hollow, 0 for a
    /// straight side. Half the chord makes a half circle; more makes more than one.
    pub bulge: f64,
}

/// The points of an arc as straight sides that leave it by at most `tolerance`, from its start
/// to its end, both of them exact.
///
/// `Side::Inside`: chords, all within the circle. `Side::Outside`: tangents, all without; the
/// first and last side touch the arc in its ends.
///
/// # Errors
/// Measures that are not finite, a radius or tolerance not above 0, a sweep beyond 360
/// degrees, or more than [`MOST_SIDES`] sides.
pub fn flatten_arc(arc: &Arc, tolerance: f64, side: Side) -> Result<Vec<Point>, FlattenError> {
    let sound = arc.centre.is_finite()
        && arc.radius.is_finite()
        && arc.radius > 0.0
        && arc.start.is_finite()
        && arc.sweep.abs() <= 360.0;
    if !sound {
        return Err(FlattenError::BadCurve);
    }
    let spans = span_count(arc.radius, arc.sweep.abs(), tolerance, side)?;
    let at = |angle: f64, radius: f64| {
        let (sin, cos) = sin_cos_deg(angle);
        arc.centre + Vector::new(cos, sin) * radius
    };
    let step = |k: f64| arc.start + arc.sweep * k / spans as f64;
    let mut points = Vec::with_capacity(spans + 2);
    points.push(at(arc.start, arc.radius));
    match side {
        Side::Inside => {
            points.extend((1..spans).map(|k| at(step(k as f64), arc.radius)));
        }
        Side::Outside => {
            let corner = corner_radius(arc.radius, arc.sweep / spans as f64);
            points.extend((0..spans).map(|k| at(step(k as f64 + 0.5), corner)));
        }
    }
    points.push(at(arc.start + arc.sweep, arc.radius));
    Ok(points)
}

/// The ellipse (or disc) as a ring that leaves it by at most `tolerance`.
///
/// The circle of the larger radius is flattened and squeezed, which keeps chords inside and
/// tangents outside and only shrinks the error. The number of sides is a multiple of 4 and
/// the ends of both axes are hit exactly, so the ring has the true length and width.
///
/// # Errors
/// As [`flatten_arc`].
pub fn flatten_ellipse(
    ellipse: &Ellipse,
    tolerance: f64,
    side: Side,
) -> Result<Ring, FlattenError> {
    let (rx, ry) = (ellipse.radius_x, ellipse.radius_y);
    let sound = ellipse.centre.is_finite()
        && ellipse.turn.is_finite()
        && rx.is_finite()
        && ry.is_finite()
        && rx > 0.0
        && ry > 0.0;
    if !sound {
        return Err(FlattenError::BadCurve);
    }
    let quarter = span_count(rx.max(ry), 90.0, tolerance, side)?;
    let spans = 4 * quarter;
    let stretch = match side {
        Side::Inside => 1.0,
        Side::Outside => corner_radius(1.0, 360.0 / spans as f64),
    };
    let offset = if side == Side::Outside { 0.5 } else { 0.0 };
    let (turn_sin, turn_cos) = sin_cos_deg(ellipse.turn);
    let mut points = Vec::with_capacity(spans + 1);
    for k in 0..spans {
        let (sin, cos) = sin_cos_deg(360.0 * (k as f64 + offset) / spans as f64);
        let (mut x, mut y) = (cos * stretch * rx, sin * stretch * ry);
        if side == Side::Outside {
            // The tangents at the ends of the axes, to the last bit.
            if k == 0 || k + 1 == spans {
                x = rx;
            } else if k + 1 == 2 * quarter || k == 2 * quarter {
                x = -rx;
            }
            if k + 1 == quarter || k == quarter {
                y = ry;
            } else if k + 1 == 3 * quarter || k == 3 * quarter {
                y = -ry;
            }
        }
        let turned = Vector::new(x * turn_cos - y * turn_sin, x * turn_sin + y * turn_cos);
        points.push(ellipse.centre + turned);
    }
    Ok(Ring::new(points)?)
}

/// A disc as a ring that leaves it by at most `tolerance`: see [`flatten_ellipse`].
///
/// # Errors
/// As [`flatten_arc`].
pub fn flatten_disc(
    centre: Point,
    radius: f64,
    tolerance: f64,
    side: Side,
) -> Result<Ring, FlattenError> {
    let disc = Ellipse {
        centre,
        radius_x: radius,
        radius_y: radius,
        turn: 0.0,
    };
    flatten_ellipse(&disc, tolerance, side)
}

/// An outline of straight and curved sides as a ring that leaves it by at most `tolerance`.
///
/// For `Side::Outside`, swelling sides become tangents and hollow ones chords, so that the
/// true shape lies within the result; for `Side::Inside` the other way round. A side with
/// chord c and bulge b has the radius (c²/4 + b²) / 2|b| and goes round by 4 atan(2|b|/c).
/// Corners are kept exactly. The outline may run in either direction.
///
/// # Errors
/// As [`flatten_arc`]; a curved side between equal corners; and the faults of the straight
/// ring, mostly arcs that cross.
pub fn flatten_arc_sided(
    sides: &[ArcSide],
    tolerance: f64,
    side: Side,
) -> Result<Ring, FlattenError> {
    if sides
        .iter()
        .any(|s| !s.from.is_finite() || !s.bulge.is_finite())
    {
        return Err(FlattenError::BadCurve);
    }
    let corners: Vec<Point> = sides.iter().map(|s| s.from).collect();
    // Outwards is to the right of the direction of travel if that is counter-clockwise.
    let outwards = if crate::ring::signed_area(&corners) < 0.0 {
        -1.0
    } else {
        1.0
    };
    let mut points = Vec::new();
    for (k, arc) in sides.iter().enumerate() {
        let to = corners[(k + 1) % corners.len()];
        points.push(arc.from);
        if arc.bulge == 0.0 {
            continue;
        }
        if to == arc.from {
            return Err(FlattenError::NoChord { side: k });
        }
        let swelling = arc.bulge > 0.0;
        let curve_side = if swelling == (side == Side::Outside) {
            Side::Outside
        } else {
            Side::Inside
        };
        points.extend(flatten_between(
            arc.from,
            to,
            arc.bulge * outwards,
            tolerance,
            curve_side,
        )?);
    }
    Ok(Ring::new(points)?)
}

/// The points strictly between the ends of the arc from `a` to `b` whose middle lies `bulge`
/// to the right of the chord, as [`flatten_arc`] gives them.
///
/// # Errors
/// As [`flatten_arc`]; of a bulge of 0 or equal ends no arc can be made.
pub fn flatten_between(
    a: Point,
    b: Point,
    bulge: f64,
    tolerance: f64,
    side: Side,
) -> Result<Vec<Point>, FlattenError> {
    let chord = (b - a).length();
    let height = bulge.abs();
    let radius = (0.25 * chord * chord + height * height) / (2.0 * height);
    let right = ((b - a) / chord).turned_right() * bulge.signum();
    let centre = a.midpoint(b) + right * (height - radius);
    let sweep = to_degrees(4.0 * atan(2.0 * height / chord)) * bulge.signum();
    let start = (a - centre).angle_deg();
    let arc = Arc {
        centre,
        radius,
        start,
        sweep,
    };
    let mut points = flatten_arc(&arc, tolerance, side)?;
    points.pop();
    points.remove(0);
    Ok(points)
}

/// How many spans an arc of `sweep` degrees needs.
fn span_count(radius: f64, sweep: f64, tolerance: f64, side: Side) -> Result<usize, FlattenError> {
    if !(tolerance > 0.0 && tolerance.is_finite()) {
        return Err(FlattenError::BadTolerance);
    }
    // Half-angle h with 2 r sin²(h/2) = t for chords, and 1 - cos h = t / (r + t) for tangents.
    let share = match side {
        Side::Inside => tolerance / (2.0 * radius),
        Side::Outside => tolerance / (2.0 * (radius + tolerance)),
    };
    let half = 2.0 * asin(share.sqrt().min(1.0));
    // Never more than a third of a turn in one span: tangents must meet, and an arc must not
    // shrink to its chord.
    let span = (2.0 * half).min(2.0 * PI / 3.0);
    // A hair more spans than computed: rounding must not exceed the tolerance.
    let count = (to_radians(sweep) / span * (1.0 + 1e-12)).ceil().max(1.0);
    if count > MOST_SIDES as f64 {
        Err(FlattenError::TooManySides)
    } else {
        Ok(count as usize)
    }
}

/// The distance from the centre of the corner of two tangents that span `step` degrees.
fn corner_radius(radius: f64, step: f64) -> f64 {
    let (_, cos) = sin_cos_deg(0.5 * step);
    radius / cos
}
