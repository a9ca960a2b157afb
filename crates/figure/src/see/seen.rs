//! What was seen, and what cannot be looked at.

use heartside_geometry::Point;

/// Something seen in a picture: a proposal, never a fact.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen<T> {
    /// What it is.
    pub what: T,
    /// How sure it is: from 0 (a guess) to 1.
    pub sure: f64,
    /// What speaks for it or against it, in a sentence for the maker.
    pub because: String,
}

/// An oval: a middle, two half lengths and the direction of the greater one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oval {
    /// Its middle, in millimetres of the board's frame.
    pub middle: Point,
    /// Half its greater length, in millimetres.
    pub half_length: f64,
    /// Half its lesser length, in millimetres.
    pub half_width: f64,
    /// The direction of the greater length, in degrees from the board's length.
    pub direction: f64,
}

/// Why a picture cannot be looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CannotLook {
    /// Fewer than 16 working pixels (about a millimetre each) in one direction.
    #[error("the picture is too small to see a board in: take it again from nearer")]
    TooSmall,
    /// Its pixels are not three bytes each, or its scale is not a number above 0.
    #[error("the picture's size or scale makes no sense: straighten it again")]
    NotAPicture,
    /// The outline or the marks do not lie in the picture.
    #[error("the board does not lie in the picture: check the marks, or draw the outline by hand")]
    Elsewhere,
}

/// How far a value has come from `low` (0) to `high` (1).
pub(crate) fn share(value: f64, low: f64, high: f64) -> f64 {
    ((value - low) / (high - low)).clamp(0.0, 1.0)
}
