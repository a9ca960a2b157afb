//! Where the parts of a match lie, for whatever judges them together.

use heartside_timber::document::{BoardCopy, PartCopy};

use crate::index::Piece;

/// The turns of parts between which the grain runs on may differ by so many degrees.
pub(crate) const EQUAL_TURN: f64 = 0.1;

/// A part of a match as it lies, or as it lay in its blank in hand: its board, and itself. Pieces of
/// one board share its coordinates, and count as that board.
pub(crate) struct Lying<'a> {
    pub(crate) board: &'a BoardCopy,
    pub(crate) piece: &'a Piece,
}

/// What finds pieces, and the kerf between two of them.
pub(crate) trait Layouts {
    /// Where a copy lies; none if it has no place on a board of the job.
    fn lying(&self, copy: &PartCopy) -> Option<Lying<'_>>;
    /// The kerf between two copies that lie on one board.
    fn kerf_between(&self, a: &PartCopy, b: &PartCopy) -> f64;
}
