//! The search for staves and parts that answer each other: where on which board, which way round, tilted how far.
//!
//! [`Matching`] takes what is sought stage by stage: where tiles may lie at all, which places of the boards look
//! alike (blocks against whole boards, by correlation), both tiles laid there and made exact, pairs put together into
//! faces, and each face climbed by what it is worth.

mod aligning;
mod climbing;
mod correlation;
mod differing;
mod fitting;
mod ground;
mod halves;
mod joining;
mod judge;
mod places;
mod registering;
mod search;
mod shade;
mod transform;

use std::rc::Rc;

use heartside_geometry::{Bounds, Pose};

use crate::balance::{Measured, Wish};
use crate::map::FigureMap;
use correlation::{Correlation, Seen};
pub use search::Matching;

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

/// How alike a small picture and a large one are at every shift at which the small one lies within the large one, as the
/// search finds it, as it is and turned by half a turn: the cosine of the angle between both, what was not seen counted as 0, times the
/// root of the share of the large one that was seen; row by row, 0 where fewer than `least` cells were seen of the
/// large one. Pictures are given row by row with their columns; cells that were not seen are none.
pub fn correlated(
    small: (&[Option<f64>], usize),
    large: (&[Option<f64>], usize),
    least: f64,
) -> [Vec<f64>; 2] {
    let seen = |(values, columns): (&[Option<f64>], usize)| Seen {
        columns: columns.max(1),
        values: values.to_vec(),
    };
    let (small, large) = (seen(small), seen(large));
    let mut correlation = Correlation::within(large.columns, large.rows());
    let whole = correlation.whole(&large, [small.columns, small.rows()], least);
    if whole.places.contains(&0) {
        return [Vec::new(), Vec::new()];
    }
    let block = correlation.block(&small);
    correlation.alike(&block, &whole)
}

/// What is sought: a face, of what it may be made, and what counts.
#[derive(Clone)]
pub struct Sought {
    /// What is known of each face of a board.
    pub maps: Rc<[FigureMap]>,
    /// Where tiles may be taken from.
    pub sources: Vec<Source>,
    /// Where each tile is seen on the face.
    pub tiles: Vec<Bounds>,
    /// Length and width of the face in millimetres.
    pub size: [f64; 2],
    /// What counts.
    pub wish: Wish,
    /// What may be.
    pub room: Rc<dyn Room>,
    /// Chance is drawn from it.
    pub seed: u32,
    /// Where the tiles lie now: it is taken as one face among others, if it may be.
    pub start: Option<Vec<(usize, Pose)>>,
}

/// Why nothing is proposed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lacking {
    /// There is no tile, or no source, or a size that is none.
    Nothing,
    /// No source gives this tile.
    Room {
        /// The tile's place in the list.
        tile: usize,
    },
    /// Every tile has its place, but no places were found for all of them at once.
    RoomForAll,
    /// Nothing was ever seen of any face.
    Seen,
    /// What was seen is too coarse to say where it answers.
    Fineness,
}
