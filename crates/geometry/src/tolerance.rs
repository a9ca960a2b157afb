//! One policy for rounding, passed along instead of stray small numbers.

use serde::{Deserialize, Serialize};

/// How much rounding is allowed for, and where coordinates are allowed to lie.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Tolerance {
    /// What a solver adds to every distance that it must keep, in millimetres.
    pub extra: f64,
    /// What a checker forgives in every distance, in millimetres.
    pub slack: f64,
    /// The spacing of the coordinates of placements, in millimetres; none for free ones.
    pub grid: Option<f64>,
}

impl Tolerance {
    /// For real jobs: the solver keeps 2 micrometres more than asked, the checker forgives 1,
    /// and placements lie on whole micrometres, so that writing and reading a plan changes
    /// nothing. Extra must exceed slack, or a plan could be refused for its last digit.
    pub const JOB: Tolerance = Tolerance {
        extra: 0.002,
        slack: 0.001,
        grid: Some(0.001),
    };

    /// For published instances, whose best layouts leave no room at all: nothing extra, a
    /// slack of 1e-7 of the largest coordinate, no grid.
    pub fn instance(largest_coordinate: f64) -> Tolerance {
        Tolerance {
            extra: 0.0,
            slack: 1e-7 * largest_coordinate.abs(),
            grid: None,
        }
    }

    /// The value moved to the nearest grid line; unchanged without a grid.
    ///
    /// A grid that divides one millimetre evenly is divided by, not multiplied with: the
    /// result is then the number nearest to the short decimal (`12.345`), which prints as
    /// such and reads back the same. Snapping twice changes nothing.
    pub fn snap(&self, value: f64) -> f64 {
        match self.grid {
            None => value,
            Some(grid) => {
                let per_millimetre = (1.0 / grid).round();
                let snapped = if (per_millimetre * grid - 1.0).abs() < 1e-12 {
                    (value * per_millimetre).round() / per_millimetre
                } else {
                    (value / grid).round() * grid
                };
                // Never -0, which would print with a sign.
                snapped + 0.0
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn snapped_values_print_short_and_read_back() {
        let job = Tolerance::JOB;
        for k in -20_000_i32..20_000 {
            let value = job.snap(f64::from(k) * 0.777_777_1);
            assert_eq!(job.snap(value), value);
            let whole = value * 1000.0;
            assert!((whole - whole.round()).abs() < 1e-8);
            let printed = format!("{value}");
            assert!(printed.len() <= 10, "{printed}");
            assert_eq!(printed.parse::<f64>().unwrap(), value);
        }
    }

    #[test]
    fn coarse_and_missing_grids() {
        let coarse = Tolerance {
            grid: Some(5.0),
            ..Tolerance::JOB
        };
        assert_eq!(coarse.snap(12.6), 15.0);
        assert_eq!(
            Tolerance::instance(4000.0).snap(0.123_456_789),
            0.123_456_789
        );
        assert!((Tolerance::instance(4000.0).slack - 4e-4).abs() < 1e-18);
        assert!(Tolerance::JOB.snap(-0.0001).is_sign_positive());
    }
}
