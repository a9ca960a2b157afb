//! Why a text is not a length, and how to mend it.

use thiserror::Error;

use super::write_decimal;
use crate::measure::UsualThickness;

/// Why a text is not a length.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum LengthError {
    /// Nothing but space.
    #[error("there is no length here")]
    Empty,
    /// A text that is no length at all.
    #[error("\u{201c}{text}\u{201d} is not a length")]
    NotALength {
        /// What was typed, shortened.
        text: String,
    },
    /// A word where a unit was expected.
    #[error("\u{201c}{word}\u{201d} is not a unit of length")]
    UnknownUnit {
        /// The word.
        word: String,
    },
    /// A comma, or in millimetres a point, that may part decimals or thousands.
    #[error("\u{201c}{text}\u{201d} can be read as {decimal} or as {thousands}")]
    TwoReadings {
        /// The number as typed.
        text: String,
        /// With the sign taken as decimal sign.
        decimal: String,
        /// With the sign taken as thousands sign.
        thousands: String,
    },
    /// A minus sign before the length.
    #[error("a length cannot be less than nothing")]
    Negative,
    /// More than [`super::MAX_LENGTH_MM`].
    #[error("{} is longer than any board", in_metres(*.mm))]
    TooLong {
        /// The length read.
        mm: f64,
    },
    /// A fraction over nought.
    #[error("a fraction cannot have 0 below the line")]
    OverNought,
    /// A whole number followed by a fraction that is not below one.
    #[error("the fraction after a whole number must be less than one")]
    FractionNotBelowOne,
    /// A top-heavy fraction without a unit, where no sawn thickness is meant.
    #[error("\u{201c}{text}\u{201d} is written like a sawn thickness, but this is not a thickness")]
    QuartersElsewhere {
        /// The fraction.
        text: String,
    },
    /// Sawn quarters where a measured or finished thickness is wanted.
    #[error(
        "\u{201c}{text}\u{201d} is a nominal size, by which rough boards are sold, and not a thickness"
    )]
    Nominal {
        /// The quarters as typed.
        text: String,
        /// The nominal size in mm.
        mm: f64,
        /// Whether a finished thickness is wanted, not one measured on a board.
        finished: bool,
    },
    /// Twelve inches or more after feet.
    #[error("after feet, the inches must be fewer than 12")]
    TooManyInches,
}

/// What to write in place of sawn quarters: the usual sizes, in inches and in millimetres.
fn nominal_hint(nominal_mm: f64, finished: bool) -> String {
    let both = |mm: f64| {
        let inches = super::DisplayUnits::inches(super::InchFraction::ThirtySeconds);
        format!(
            "{} ({} mm)",
            super::write_length(mm, &inches),
            write_decimal(mm, 0)
        )
    };
    let usual = UsualThickness::of_nominal(nominal_mm);
    match (finished, usual.planed) {
        (true, Some(planed)) => format!(
            "write the thickness of the finished part; planed on both faces such a board is usually {}",
            both(planed)
        ),
        (true, None) => "write the thickness of the finished part".into(),
        (false, Some(planed)) => format!(
            "measure the board where it is thinnest; usual are {} from the saw and {} planed",
            both(usual.rough),
            both(planed)
        ),
        (false, None) => format!(
            "measure the board where it is thinnest; usual is {} from the saw",
            both(usual.rough)
        ),
    }
}

fn in_metres(mm: f64) -> String {
    if mm.is_finite() && mm < 1.0e9 {
        format!("{} m", write_decimal(mm / 1000.0, 1))
    } else {
        "this".into()
    }
}

impl LengthError {
    /// A stable name of the kind of fault.
    pub fn code(&self) -> &'static str {
        match self {
            LengthError::Empty => "length-empty",
            LengthError::NotALength { .. } => "length-not-readable",
            LengthError::UnknownUnit { .. } => "length-unknown-unit",
            LengthError::TwoReadings { .. } => "length-two-readings",
            LengthError::Negative => "length-negative",
            LengthError::TooLong { .. } => "length-too-long",
            LengthError::OverNought => "length-over-nought",
            LengthError::FractionNotBelowOne => "length-fraction",
            LengthError::QuartersElsewhere { .. } => "length-quarters",
            LengthError::Nominal { .. } => "length-nominal",
            LengthError::TooManyInches => "length-too-many-inches",
        }
    }

    /// How to mend it, in plain words.
    pub fn hint(&self) -> String {
        match self {
            LengthError::Empty | LengthError::NotALength { .. } => {
                "write it like 1400, 1.4 m, 55\", 16 1/4\" or 5' 3 1/2\"".into()
            }
            LengthError::UnknownUnit { .. } => "use mm, cm, m, in (\") or ft (')".into(),
            LengthError::TwoReadings {
                decimal, thousands, ..
            } => {
                // Three decimals would be refused again without a unit.
                let again = super::digits::may_part_thousands(decimal);
                let with = if again { " with its unit" } else { "" };
                format!("write {decimal} or {thousands}{with}, whichever you mean")
            }
            LengthError::Negative => "leave out the minus sign".into(),
            LengthError::TooLong { .. } => "check the unit: at most 100 m is taken".into(),
            LengthError::OverNought => "write a number above 0 below the line".into(),
            LengthError::FractionNotBelowOne => "write it like 16 1/4".into(),
            LengthError::QuartersElsewhere { text } => {
                format!("write {text}\" if inches are meant, or the number worked out")
            }
            LengthError::Nominal { mm, finished, .. } => nominal_hint(*mm, *finished),
            LengthError::TooManyInches => "carry 12 inches over as one foot".into(),
        }
    }
}
