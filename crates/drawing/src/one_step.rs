//! The picture of one step alone: what it is, and its type.

use heartside_geometry::Bounds;

/// Size of the measure on the paper of such a picture, in millimetres, and of the names.
pub(crate) const MEASURE: f64 = 6.0;
pub(crate) const NAME: f64 = 4.4;

/// The piece of a step alone.
#[derive(Debug, Clone, PartialEq)]
pub struct AtMachine {
    /// One SVG `g` element, y down.
    pub svg: String,
    /// What it fills, with room around.
    pub bounds: Bounds,
    /// The same in words.
    pub description: String,
}
