//! The search for staves and parts that answer each other: where on which board, which way round, tilted how far.

use heartside_geometry::{Bounds, Pose};

use crate::balance::Measured;

/// Where one tile of a face could be taken from: a face of a copy of a board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// Its map, by its place in the list of maps.
    pub map: usize,
    /// The board's place in a list of the caller's, copies apart: tiles of one board must lie apart on it.
    pub board: usize,
    /// It is the down face: its frame is that of the board mirrored, y to -y.
    pub is_down: bool,
    /// Where the board lies in the frame of the face, seen or not: nothing is sought beyond.
    pub extent: Bounds,
}

/// What the caller knows of boards and parts. Poses take the part's frame (its lower left corner at (0, 0), as it is
/// seen from the face) into the frame of the map, and never mirror.
pub trait Room {
    /// Whether a tile may lie there by every rule: on sound wood within the outline, the grain within its tolerance.
    fn may_lie(&self, tile: usize, source: usize, at: Pose) -> bool;
    /// Whether two tiles that both may lie on one board can be parted there: a kerf apart along a straight line.
    fn are_apart(&self, one: (usize, usize, Pose), other: (usize, usize, Pose)) -> bool;
}

/// A face that could be made.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// For each tile its source, by its place in the list, and where it lies there.
    pub lies: Vec<(usize, Pose)>,
    /// How it measures.
    pub measured: Vec<Measured>,
    /// How well it meets the wish, from 0 to 1.
    pub worth: f64,
}
