//! Wood that moves: equilibrium moisture and change of size across the grain.
//!
//! The numbers are for mean wood; a real piece differs by a quarter or more, so results
//! are shown as a band, never as a promise. Along the grain wood is taken not to move.

use heartside_geometry::math;
use thiserror::Error;

/// Why a movement cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum MovementError {
    /// Relative humidity outside 0 to 1.
    #[error("the relative humidity must be from 0 to 100 %")]
    Humidity,
    /// Temperature outside the range that the equation was fitted to.
    #[error("the temperature must be from -20 to 100 \u{b0}C")]
    Temperature,
    /// A moisture content outside the range of the equation.
    #[error("the moisture content is outside the range of this equation")]
    Moisture,
    /// A size or coefficient that is not finite and at least 0.
    #[error("sizes and coefficients must be numbers from 0 up")]
    Size,
}

/// Equilibrium moisture content in percent of oven-dry mass.
///
/// Wood Handbook FPL-GTR-190 (2010), eq. 4-5, metric form (coefficients from memory,
/// confirmed at published points). The historic measurements behind it hold for practical
/// use only, so show it to 0.1 % at most.
///
/// # Units and conventions
/// `humidity` as a fraction from 0 to 1, `celsius` from -20 to 100.
///
/// # Errors
/// A value outside those ranges or not finite.
pub fn equilibrium_moisture(humidity: f64, celsius: f64) -> Result<f64, MovementError> {
    if !(0.0..=1.0).contains(&humidity) {
        return Err(MovementError::Humidity);
    }
    if !(-20.0..=100.0).contains(&celsius) {
        return Err(MovementError::Temperature);
    }
    let (h, t) = (humidity, celsius);
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * h;
    let first = kh / (1.0 - kh);
    let second = (k1 * kh + 2.0 * k1 * k2 * kh * kh) / (1.0 + k1 * kh + k1 * k2 * kh * kh);
    Ok(1800.0 / w * (first + second))
}

/// Change of a size across the grain, in mm, positive for swelling: D C (M_F - M_I).
///
/// Wood Handbook FPL-GTR-190, eq. 13-2. `coefficient` is tangential for the width of a
/// flat-sawn board, radial for a quarter-sawn one.
///
/// # Units and conventions
/// Moistures in percent, both from 6 to 14; the coefficient refers to the size at 10 %.
///
/// # Errors
/// A moisture outside 6 to 14 (see [`change_beyond`]), or a bad size or coefficient.
pub fn change_in_use(
    size: f64,
    coefficient: f64,
    moisture_before: f64,
    moisture_after: f64,
) -> Result<f64, MovementError> {
    check_sizes(size, coefficient)?;
    for moisture in [moisture_before, moisture_after] {
        if !(6.0..=14.0).contains(&moisture) {
            return Err(MovementError::Moisture);
        }
    }
    Ok(size * coefficient * (moisture_after - moisture_before))
}

/// Change of a size across the grain, in mm, where a moisture lies outside 6 to 14 %:
/// D (M_F - M_I) / (30 x 100 / S - 30 + M_I).
///
/// Wood Handbook FPL-GTR-190, eq. 13-3 (formula from memory; it agrees with shrinkage along a
/// straight line from 30 %). `shrinkage` is green to oven-dry, in percent, tangential or radial.
///
/// # Errors
/// A moisture outside 0 to 30, a shrinkage that is not above 0 and under 100, or a bad size.
pub fn change_beyond(
    size: f64,
    shrinkage: f64,
    moisture_before: f64,
    moisture_after: f64,
) -> Result<f64, MovementError> {
    check_sizes(size, shrinkage)?;
    if shrinkage <= 0.0 || shrinkage >= 100.0 {
        return Err(MovementError::Size);
    }
    for moisture in [moisture_before, moisture_after] {
        if !(0.0..=30.0).contains(&moisture) {
            return Err(MovementError::Moisture);
        }
    }
    let divisor = 30.0 * 100.0 / shrinkage - 30.0 + moisture_before;
    Ok(size * (moisture_after - moisture_before) / divisor)
}

fn check_sizes(size: f64, coefficient: f64) -> Result<(), MovementError> {
    let sound = |value: f64| value.is_finite() && value >= 0.0;
    if sound(size) && sound(coefficient) {
        Ok(())
    } else {
        Err(MovementError::Size)
    }
}

/// The coefficient that a total shrinkage stands for: a straight line from the moisture at
/// which shrinkage starts to nothing, per 1 % on the size at 10 %.
///
/// Wood Handbook FPL-GTR-190, footnote to Table 13-5 (formula from memory; it gives the
/// printed coefficients of most species to 0.00003). `starts_at` is 30 % for most woods,
/// 22 % for a few.
pub fn coefficient_from_shrinkage(shrinkage: f64, starts_at: f64) -> f64 {
    let share = shrinkage / 100.0;
    share / starts_at / (1.0 - share * (starts_at - 10.0) / starts_at)
}

/// The coefficient between flat-sawn and quarter-sawn: C_T cos² a + C_R sin² a, where a is
/// the angle in degrees between the face and the growth rings (0 is flat-sawn).
///
/// Mathematics of two perpendicular strains, not a published rule.
pub fn coefficient_at_ring_angle(tangential: f64, radial: f64, degrees: f64) -> f64 {
    let (sine, cosine) = math::sin_cos_deg(degrees);
    tangential * cosine * cosine + radial * sine * sine
}

/// How much a width of mean wood moves between two states of the air at 20 °C, in mm: D C (M_F - M_I) as in
/// [`change_in_use`], with the same coefficient where the moisture leaves 6 to 14 %, which is rougher there.
///
/// # Units and conventions
/// `air` as (driest, dampest), fractions of relative humidity.
///
/// # Errors
/// A humidity out of range or the wrong way round, or a bad size or coefficient.
pub fn over_the_year(width: f64, coefficient: f64, air: (f64, f64)) -> Result<f64, MovementError> {
    const ROOM: f64 = 20.0;
    if air.0 > air.1 {
        return Err(MovementError::Humidity);
    }
    check_sizes(width, coefficient)?;
    let moisture = |humidity| equilibrium_moisture(humidity, ROOM);
    Ok(width * coefficient * (moisture(air.1)? - moisture(air.0)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(value: f64, expected: f64, within: f64) {
        assert!(
            (value - expected).abs() <= within,
            "{value} is not {expected}"
        );
    }

    /// Computed from eq. 4-5 with the coefficients above.
    #[test]
    fn equilibrium_moisture_grid() {
        const HUMIDITIES: [f64; 15] = [
            10., 20., 30., 35., 40., 45., 50., 55., 60., 65., 70., 75., 80., 85., 90.,
        ];
        const GRID: [(f64, [f64; 15]); 14] = [
            (
                -1.1,
                [
                    2.60, 4.61, 6.31, 7.11, 7.89, 8.69, 9.51, 10.39, 11.33, 12.37, 13.55, 14.91,
                    16.53, 18.52, 21.02,
                ],
            ),
            (
                4.4,
                [
                    2.59, 4.62, 6.33, 7.12, 7.91, 8.70, 9.52, 10.38, 11.32, 12.35, 13.52, 14.88,
                    16.49, 18.48, 21.00,
                ],
            ),
            (
                10.0,
                [
                    2.57, 4.60, 6.31, 7.10, 7.87, 8.66, 9.47, 10.32, 11.24, 12.27, 13.43, 14.77,
                    16.38, 18.36, 20.89,
                ],
            ),
            (
                15.6,
                [
                    2.53, 4.56, 6.25, 7.03, 7.80, 8.58, 9.37, 10.21, 11.12, 12.13, 13.28, 14.61,
                    16.21, 18.18, 20.72,
                ],
            ),
            (
                20.0,
                [
                    2.49, 4.51, 6.19, 6.96, 7.72, 8.49, 9.27, 10.10, 11.00, 12.00, 13.13, 14.45,
                    16.04, 18.00, 20.53,
                ],
            ),
            (
                21.1,
                [
                    2.48, 4.49, 6.17, 6.94, 7.70, 8.46, 9.24, 10.07, 10.97, 11.96, 13.09, 14.41,
                    15.99, 17.95, 20.48,
                ],
            ),
            (
                25.0,
                [
                    2.44, 4.43, 6.10, 6.86, 7.61, 8.36, 9.13, 9.95, 10.83, 11.81, 12.93, 14.24,
                    15.81, 17.76, 20.28,
                ],
            ),
            (
                26.7,
                [
                    2.42, 4.41, 6.06, 6.82, 7.56, 8.31, 9.08, 9.89, 10.77, 11.75, 12.86, 14.16,
                    15.72, 17.67, 20.19,
                ],
            ),
            (
                30.0,
                [
                    2.38, 4.35, 5.99, 6.74, 7.47, 8.21, 8.97, 9.77, 10.64, 11.61, 12.71, 13.99,
                    15.55, 17.48, 19.99,
                ],
            ),
            (
                32.2,
                [
                    2.35, 4.30, 5.93, 6.68, 7.41, 8.14, 8.89, 9.69, 10.55, 11.51, 12.60, 13.88,
                    15.42, 17.35, 19.85,
                ],
            ),
            (
                37.8,
                [
                    2.27, 4.18, 5.78, 6.51, 7.22, 7.94, 8.68, 9.46, 10.30, 11.24, 12.31, 13.57,
                    15.09, 17.00, 19.48,
                ],
            ),
            (
                43.3,
                [
                    2.18, 4.05, 5.61, 6.33, 7.03, 7.73, 8.45, 9.21, 10.03, 10.95, 12.01, 13.24,
                    14.74, 16.62, 19.07,
                ],
            ),
            (
                48.9,
                [
                    2.08, 3.90, 5.43, 6.13, 6.81, 7.49, 8.20, 8.94, 9.75, 10.65, 11.68, 12.89,
                    14.36, 16.21, 18.64,
                ],
            ),
            (
                60.0,
                [
                    1.87, 3.57, 5.02, 5.69, 6.34, 6.99, 7.66, 8.37, 9.14, 10.00, 10.99, 12.15,
                    13.56, 15.35, 17.70,
                ],
            ),
        ];
        for (celsius, row) in GRID {
            for (humidity, expected) in HUMIDITIES.iter().zip(row) {
                let moisture = equilibrium_moisture(humidity / 100.0, celsius).unwrap();
                near(moisture, expected, 0.01);
            }
        }
    }

    /// Published: 140 °F (60 °C) and 0.55 give 8.4 % by the equation.
    #[test]
    fn equilibrium_moisture_at_the_published_point() {
        near(equilibrium_moisture(0.55, 60.0).unwrap(), 8.4, 0.05);
    }

    /// Wood Handbook Table 4-2 (from memory), 21.1 °C.
    #[test]
    fn equilibrium_moisture_at_room_temperature() {
        for (humidity, expected) in [
            (10., 2.5),
            (20., 4.5),
            (30., 6.2),
            (40., 7.7),
            (50., 9.2),
            (65., 12.0),
            (80., 16.0),
        ] {
            near(
                equilibrium_moisture(humidity / 100.0, 21.1).unwrap(),
                expected,
                0.1,
            );
        }
    }

    /// Wood Handbook chapter 13, worked example: a 232 mm flat-sawn white fir board from 8
    /// to 11 % becomes 233.7 mm.
    #[test]
    fn the_published_board() {
        near(
            232.0 + change_in_use(232.0, 0.00245, 8.0, 11.0).unwrap(),
            233.7,
            0.05,
        );
    }

    /// Computed from eq. 13-2.
    #[test]
    fn changes_in_use() {
        for (size, coefficient, before, after, expected) in [
            (900.0, 0.00353, 8.0, 12.0, 12.708),
            (900.0, 0.00165, 8.0, 12.0, 5.940),
            (450.0, 0.00248, 6.0, 10.0, 4.464),
            (300.0, 0.00365, 7.0, 11.0, 4.380),
            (300.0, 0.00369, 7.0, 11.0, 4.428),
            (600.0, 0.00274, 12.0, 7.0, -8.220),
            (250.0, 0.00212, 9.0, 13.0, 2.120),
            (1000.0, 0.00274, 6.0, 14.0, 21.920),
            (500.0, 0.00431, 7.72, 11.0, 7.068),
            (38.0, 0.00112, 8.0, 11.0, 0.128),
        ] {
            near(
                change_in_use(size, coefficient, before, after).unwrap(),
                expected,
                0.001,
            );
        }
    }

    /// Computed from eq. 13-3.
    #[test]
    fn changes_beyond_the_usual_range() {
        for (size, shrinkage, before, after, expected) in [
            (300.0, 7.8, 12.0, 7.0, -4.0915),
            (300.0, 7.8, 30.0, 8.0, -17.160),
            (200.0, 9.9, 20.0, 8.0, -8.190),
            (250.0, 8.6, 15.0, 7.0, -5.991),
            (232.0, 7.0, 8.0, 11.0, 1.712),
        ] {
            near(
                change_beyond(size, shrinkage, before, after).unwrap(),
                expected,
                0.001,
            );
        }
    }

    /// From 35 to 65 % of humidity moisture goes from 6.96 to 12.00 %.
    #[test]
    fn a_year_in_a_heated_room() {
        let heated = (0.35, 0.65);
        near(over_the_year(700.0, 0.00353, heated).unwrap(), 12.45, 0.05);
        assert_eq!(over_the_year(700.0, 0.00353, (0.5, 0.5)), Ok(0.0));
        let upside_down = over_the_year(700.0, 0.00353, (0.65, 0.35));
        assert_eq!(upside_down, Err(MovementError::Humidity));
        let endless = over_the_year(f64::NAN, 0.00353, heated);
        assert_eq!(endless, Err(MovementError::Size));
    }

    #[test]
    fn between_flat_and_quarter_sawn() {
        near(
            coefficient_at_ring_angle(0.00353, 0.00165, 45.0),
            0.00259,
            1e-9,
        );
        near(
            coefficient_at_ring_angle(0.00353, 0.00165, 0.0),
            0.00353,
            1e-15,
        );
        near(
            coefficient_at_ring_angle(0.00353, 0.00165, 90.0),
            0.00165,
            1e-15,
        );
    }

    #[test]
    fn values_outside_the_ranges_are_refused() {
        assert_eq!(
            equilibrium_moisture(1.01, 20.0),
            Err(MovementError::Humidity)
        );
        assert_eq!(
            equilibrium_moisture(f64::NAN, 20.0),
            Err(MovementError::Humidity)
        );
        assert_eq!(
            equilibrium_moisture(0.5, 101.0),
            Err(MovementError::Temperature)
        );
        assert_eq!(
            change_in_use(100.0, 0.003, 5.9, 8.0),
            Err(MovementError::Moisture)
        );
        assert_eq!(
            change_in_use(100.0, 0.003, 8.0, 14.1),
            Err(MovementError::Moisture)
        );
        assert_eq!(
            change_in_use(-1.0, 0.003, 8.0, 9.0),
            Err(MovementError::Size)
        );
        assert_eq!(
            change_beyond(100.0, 8.0, 31.0, 8.0),
            Err(MovementError::Moisture)
        );
        assert_eq!(
            change_beyond(100.0, 0.0, 20.0, 8.0),
            Err(MovementError::Size)
        );
    }
}
