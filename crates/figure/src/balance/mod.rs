//! Faces as they will be put together, and how well balanced they are.

use heartside_geometry::{Bounds, Pose};

use crate::map::FigureMap;

/// One piece of a face that is put together: where it is seen, and what is seen there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tile {
    /// Where it is seen, in millimetres of the face: x along the grain, y across, the lower left corner at (0, 0).
    pub seen: Bounds,
    /// Which map its figure is read from, by its place in the list; none where its wood was never seen.
    pub map: Option<usize>,
    /// Takes places of the face into the frame of the map. It never mirrors: a part that is turned over shows the
    /// down face, whose map is in the frame of the board turned over.
    pub to_map: Pose,
}

/// A face that is put together: a panel, doors in a row, the fronts of drawers.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Face {
    /// Its length and width in millimetres.
    pub size: [f64; 2],
    /// What it is made of, the lowest first, side by side; those at one height from the left on.
    pub tiles: Vec<Tile>,
}

/// How the parts of a face are to answer each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Answer {
    /// It does not matter.
    #[default]
    Any,
    /// The halves mirror each other about the middle line along the grain.
    Mirror,
    /// The figure runs on across the joints, as if it were one board.
    RunOn,
}

/// Where the figure is to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Spread {
    /// It does not matter.
    #[default]
    Any,
    /// The liveliest of it towards the middle.
    Middle,
    /// Alike from end to end.
    Even,
}

/// What is to be seen of sapwood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sapwood {
    /// It does not matter.
    #[default]
    Any,
    /// As much on one long edge as on the other.
    Both,
    /// None.
    None,
}

/// What counts in a face: chosen among pictures of extremes, never by weights.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Wish {
    /// How the parts answer each other.
    pub answer: Answer,
    /// Where the figure is.
    pub spread: Spread,
    /// What is seen of sapwood.
    pub sapwood: Sapwood,
}

/// What is measured of a face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Mirror about the middle line along the grain.
    Mirror,
    /// Evenness from end to end.
    Even,
    /// Run-on across the joints.
    RunOn,
    /// Figure towards the middle.
    Middle,
    /// Sapwood on both long edges or on neither.
    Sapwood,
    /// What the maker painted: wanted wood seen, unwanted not.
    Wanted,
}

/// One measure: 1 is best, 0 worst.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// What was measured.
    pub measure: Measure,
    /// From 0 to 1; none where nothing is known of it, or too little was seen to say.
    pub value: Option<f64>,
    /// Where it is lost, the worst first, with the share of the loss that lies there.
    pub lost: Vec<(Bounds, f64)>,
}

/// The maps that tiles name by their place.
pub type Maps<'a> = &'a [FigureMap];
