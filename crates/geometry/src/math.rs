//! Trigonometry and roots with the same bits on every machine.
//!
//! The standard library hands these functions to the platform, whose last digit differs
//! between systems and WebAssembly; `libm` computes them in Rust alone. `f64::sqrt` is
//! exactly rounded everywhere and needs no wrapper.

use core::f64::consts::PI;

/// The remainder of an angle in degrees by a whole turn: from 0 up to 360.
///
/// The same bits as `rem_euclid(360.0)`, which divides digit by digit: of a search that compares
/// directions all the time it took a quarter. Within a few turns one subtraction gives the same,
/// exactly: a number less one that is at most the double of it and at least its half is not
/// rounded (Sterbenz 1974).
pub fn within_turn(degrees: f64) -> f64 {
    let turns = (degrees / 360.0) as i32;
    let rest = degrees - 360.0 * f64::from(turns);
    // Where the division was rounded to the next whole number the sign is the other one.
    if turns.unsigned_abs() < 1000 && rest * degrees > 0.0 {
        if rest < 0.0 { rest + 360.0 } else { rest }
    } else {
        degrees.rem_euclid(360.0)
    }
}

/// The sine of an angle in radians.
pub fn sin(radians: f64) -> f64 {
    libm::sin(radians)
}

/// The cosine of an angle in radians.
pub fn cos(radians: f64) -> f64 {
    libm::cos(radians)
}

/// The tangent of an angle in radians.
pub fn tan(radians: f64) -> f64 {
    libm::tan(radians)
}

/// The angle in radians whose sine is `value` (between -1 and 1, else NaN).
pub fn asin(value: f64) -> f64 {
    libm::asin(value)
}

/// The angle in radians whose cosine is `value` (between -1 and 1, else NaN).
pub fn acos(value: f64) -> f64 {
    libm::acos(value)
}

/// The angle in radians whose tangent is `value`.
pub fn atan(value: f64) -> f64 {
    libm::atan(value)
}

/// The direction of the vector `(x, y)` in radians, above -pi and at most pi.
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// The length of the vector `(x, y)`, without overflow on the way.
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// `base` to the power `exponent`.
pub fn powf(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// e to the power `value`.
pub fn exp(value: f64) -> f64 {
    libm::exp(value)
}

/// The natural logarithm of `value`.
pub fn ln(value: f64) -> f64 {
    libm::log(value)
}

/// The cube root of `value`.
pub fn cbrt(value: f64) -> f64 {
    libm::cbrt(value)
}

/// Degrees as radians.
pub fn to_radians(degrees: f64) -> f64 {
    degrees * (PI / 180.0)
}

/// Radians as degrees.
pub fn to_degrees(radians: f64) -> f64 {
    radians * (180.0 / PI)
}

/// The angle brought into 0 <= angle < 360, in degrees.
pub fn normalise_deg(degrees: f64) -> f64 {
    let rest = degrees % 360.0;
    let turned = if rest < 0.0 { rest + 360.0 } else { rest };
    // A tiny negative angle rounds up to 360 itself; adding 0 makes -0 into 0.
    if turned >= 360.0 { 0.0 } else { turned + 0.0 }
}

/// Sine and cosine of an angle in degrees: `(sin, cos)`.
///
/// Exactly 0, 1 or -1 at multiples of 90 degrees, so that a part turned by a quarter keeps
/// its measures to the last bit. The remainder modulo 360 is exact in floating point.
pub fn sin_cos_deg(degrees: f64) -> (f64, f64) {
    let angle = normalise_deg(degrees);
    // The angle is split into a quarter turn and a rest within 45 degrees of it, so that
    // opposite and square directions come out as exact mirror images of each other.
    let quarter = (angle / 90.0).round();
    let rest = to_radians(angle - quarter * 90.0);
    let (s, c) = if rest == 0.0 {
        (0.0, 1.0)
    } else {
        (sin(rest), cos(rest))
    };
    match quarter as i64 % 4 {
        0 => (s, c),
        1 => (c, 0.0 - s),
        2 => (0.0 - s, 0.0 - c),
        _ => (0.0 - c, s),
    }
}

/// The direction of the vector `(x, y)` in degrees, above -180 and at most 180; exact along
/// the axes. The zero vector gives 0.
pub fn atan2_deg(y: f64, x: f64) -> f64 {
    if y == 0.0 {
        return if x < 0.0 { 180.0 } else { 0.0 };
    }
    if x == 0.0 {
        return if y > 0.0 { 90.0 } else { -90.0 };
    }
    to_degrees(atan2(y, x))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn a_remainder_of_turns_has_the_bits_of_the_standard_one(
            degrees in prop_oneof![-1500.0..1500.0, -1e9..1e9, any::<f64>()],
            turns in -5i32..6,
            off in -3i64..4,
        ) {
            // Numbers next to whole turns too.
            let whole = 360.0 * f64::from(turns);
            let near = f64::from_bits(whole.to_bits().wrapping_add_signed(off));
            for x in [degrees, whole, near] {
                prop_assert_eq!(within_turn(x).to_bits(), x.rem_euclid(360.0).to_bits());
            }
        }
    }

    #[test]
    fn quarter_turns_are_exact() {
        let wanted = [(0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0)];
        for k in -9_i32..=9 {
            let (s, c) = sin_cos_deg(f64::from(k) * 90.0);
            let (ws, wc) = wanted[k.rem_euclid(4) as usize];
            assert_eq!((s, c), (ws, wc), "quarter {k}");
        }
    }

    #[test]
    fn agrees_with_known_angles() {
        let (s, c) = sin_cos_deg(30.0);
        assert!((s - 0.5).abs() < 1e-15 && (c - 0.75_f64.sqrt()).abs() < 1e-15);
        let (s, c) = sin_cos_deg(225.0);
        assert!((s + 0.5_f64.sqrt()).abs() < 1e-15 && (c + 0.5_f64.sqrt()).abs() < 1e-15);
        let (s, c) = sin_cos_deg(-60.0);
        assert!((s + 0.75_f64.sqrt()).abs() < 1e-15 && (c - 0.5).abs() < 1e-15);
    }

    #[test]
    fn half_turns_mirror_exactly() {
        for k in 0..720 {
            let angle = f64::from(k) * 0.37;
            let (s, c) = sin_cos_deg(angle);
            let (s2, c2) = sin_cos_deg(angle + 180.0);
            assert!((s + s2).abs() < 1e-14 && (c + c2).abs() < 1e-14);
        }
    }

    #[test]
    fn directions_along_the_axes_are_exact() {
        assert_eq!(atan2_deg(0.0, 3.0), 0.0);
        assert_eq!(atan2_deg(2.0, 0.0), 90.0);
        assert_eq!(atan2_deg(0.0, -2.0), 180.0);
        assert_eq!(atan2_deg(-0.1, 0.0), -90.0);
        assert_eq!(normalise_deg(-90.0), 270.0);
        assert_eq!(normalise_deg(-1e-20), 0.0);
    }
}
