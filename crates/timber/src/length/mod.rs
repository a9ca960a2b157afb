//! Lengths as people write them, read to millimetres and written back.
//!
//! Metric and inch forms are equals: every length field takes both, whatever the job's
//! setting. The setting only decides what a number without a unit means, and how
//! lengths are shown.

mod digits;
mod error;
mod number;
mod read;
mod write;

pub use crate::measure::{MM_PER_FOOT, MM_PER_INCH};
pub(crate) use digits::all_digits;
pub use error::LengthError;
pub(crate) use number::{Measure, UnitWord, decimal_text, doubtful_point};
pub use number::{doubt_kept, is_unit, push_plain};
pub use read::{LengthContext, MAX_LENGTH_MM, read_length, read_signed_length};
pub use write::{
    write_angle, write_area, write_decimal, write_dimension, write_gap, write_length, write_money,
    write_percent, write_volume, write_weight,
};

use serde::{Deserialize, Serialize};

/// What a number without a unit means.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, Serialize, Deserialize,
)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub enum Unit {
    /// A bare number is millimetres.
    #[default]
    #[serde(rename = "mm")]
    Millimetres,
    /// A bare number is inches.
    #[serde(rename = "in")]
    Inches,
}

impl Unit {
    /// Millimetres in one of this unit, exactly.
    pub fn millimetres(self) -> f64 {
        match self {
            Unit::Millimetres => 1.0,
            Unit::Inches => MM_PER_INCH,
        }
    }
}

/// The finest inch fraction that is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub enum InchFraction {
    /// To the nearest 1/16.
    #[serde(rename = "1/16")]
    Sixteenths,
    /// To the nearest 1/32: the usual one. Common practice, no source: a kerf, an allowance and
    /// the step of a rule at the bench are finer than 1/16.
    #[default]
    #[serde(rename = "1/32")]
    ThirtySeconds,
    /// To the nearest 1/64.
    #[serde(rename = "1/64")]
    SixtyFourths,
}

impl InchFraction {
    /// The denominator: 16, 32 or 64.
    pub fn denominator(self) -> u32 {
        match self {
            InchFraction::Sixteenths => 16,
            InchFraction::ThirtySeconds => 32,
            InchFraction::SixtyFourths => 64,
        }
    }
}

/// How measurements are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(default)]
pub struct DisplayUnits {
    /// Millimetres or inches.
    pub unit: Unit,
    /// The finest fraction of an inch; unused for millimetres.
    pub fraction: InchFraction,
    /// Decimal places of a millimetre, at most 3; unused for inches.
    pub decimals: u8,
    /// Whether a foot and more is written as feet and inches.
    pub feet: bool,
}

impl Default for DisplayUnits {
    fn default() -> Self {
        DisplayUnits {
            unit: Unit::Millimetres,
            fraction: InchFraction::default(),
            decimals: 1,
            feet: false,
        }
    }
}

impl DisplayUnits {
    /// Millimetres to a tenth.
    pub fn metric() -> Self {
        DisplayUnits::default()
    }

    /// Inches to the given fraction, without feet.
    pub fn inches(fraction: InchFraction) -> Self {
        DisplayUnits {
            unit: Unit::Inches,
            fraction,
            ..DisplayUnits::default()
        }
    }
}

#[cfg(test)]
mod tests;
