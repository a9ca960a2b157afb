//! Faces as they will be put together, and how well balanced they are.
//!
//! [`measure()`] says of a face how far it answers what makers look at, each from 0 to 1, and where it is lost; [`worth()`]
//! how well that meets a [`Wish`]. Who measures one face again and again keeps its [`Mosaic`]. A panel's staves, a row of
//! doors and fronts end to end are faces alike: parts that stand side by side stack in y, whatever
//! way they will hang.

mod evenness;
mod lost;
mod middle;
mod mirror;
mod mosaic;
mod painting;
mod run_on;
mod sapwood;
mod wanted;
mod why_not;
mod worth;

pub use mosaic::{CELL, Mosaic};
pub use why_not::{WhyNot, why_not};
pub use worth::{asked, worth};

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
    /// No sapwood.
    Heartwood,
    /// What the maker painted: wanted wood seen, unwanted not.
    Wanted,
}

impl Measure {
    /// All of them, in the order in which they are told.
    pub const ALL: [Measure; 7] = [
        Measure::Mirror,
        Measure::RunOn,
        Measure::Middle,
        Measure::Even,
        Measure::Sapwood,
        Measure::Heartwood,
        Measure::Wanted,
    ];
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

/// A measure is made only where this share of what it looks at is known: of a face seen in part nothing is said.
const ENOUGH: f64 = 0.6;

/// What differs by fewer levels of light than this nobody sees. More, and wood with a quiet figure is alike whatever
/// lies beside it; less, and the noise of a camera is taken for figure.
const PLAIN: f64 = 3.0;

/// A level of sapwood counts as much as this of one of light: sapwood beside heartwood is then a difference of 64
/// levels, about as great as it is seen.
const SAPWOOD_AS_LIGHT: f64 = 0.25;

/// Everything that can be measured of a face, in the order of [`Measure::ALL`].
///
/// O(cells of [`CELL`] millimetres on the face).
pub fn measure(maps: Maps<'_>, face: &Face) -> Vec<Measured> {
    Mosaic::new(maps, face, CELL).measure()
}

impl Mosaic {
    /// All measures, in the order of [`Measure::ALL`].
    pub fn measure(&self) -> Vec<Measured> {
        Measure::ALL.iter().map(|&m| self.measured(m)).collect()
    }

    /// One measure.
    pub fn measured(&self, measure: Measure) -> Measured {
        let (value, lost) = match measure {
            Measure::Mirror => mirror::measure(self),
            Measure::Even => evenness::measure(self),
            Measure::RunOn => run_on::measure(self),
            Measure::Middle => middle::measure(self),
            Measure::Sapwood => sapwood::on_both(self),
            Measure::Heartwood => sapwood::none(self),
            Measure::Wanted => wanted::measure(self),
        };
        Measured {
            measure,
            value: value.filter(|v| v.is_finite()).map(|v| v.clamp(0.0, 1.0)),
            lost,
        }
    }

    /// How well it meets a wish, as [`worth()`] has it of all measures; what the wish does not ask for is not
    /// measured.
    pub fn worth(&self, wish: &Wish) -> f64 {
        worth::of(wish, |measure| self.measured(measure).value)
    }
}
