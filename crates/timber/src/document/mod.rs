//! The job as a person typed it: it may be wrong, it may be half done, and it keeps what we do not know.
//!
//! Every field may be missing. Nothing here is judged: [`crate::prepare()`] reads a
//! [`Document`] and says what is wrong, where, and how to mend it. Fields that this
//! version does not know are kept in `unknown` and written back on saving; so are known
//! fields whose value has the wrong form (see [`crate::keep`]).

mod board;
pub(crate) mod copies;
mod decided;
pub(crate) mod form;
mod length;
mod levels;
mod part;
mod photo;
mod wish;
mod workshop;
mod zone;

pub use board::{
    Board, BoardGrain, BoardOrigin, BoardOutline, Cuts, EdgeKind, EndRings, GapOver, HeartSide,
    Price, PricePer, RingRun, Station, Surface, Twist, Use, Warp,
};
pub use copies::{BoardCopy, Match, MatchKind, PartCopy};
pub use decided::{DoneCut, KeptPlan, OnFloor, Pin};
pub use form::Unknown;
pub use length::Length;
pub use levels::Levels;
pub use part::{
    Allowances, Faces, GrainAxis, Hearts, Panel, Part, PartCut, PartGrain, Rings, Shape, Tenon,
};
pub use photo::{FigureMap, Photo, PhotoMark, RenderedWood};
pub use wish::{Answer, SapwoodSeen, Spread, Wish};
pub use workshop::{CutKind, FallbackKerf, Guide, MinOffcut, Tool, Trim, Workshop};
pub use zone::{
    BoardEnd, ClearOf, FixingMaterial, Hand, PITH, Stops, Zone, ZoneFace, ZoneFrom, ZoneKind,
    ZoneShape,
};

use crate::length::Unit;
use crate::plan::Plan;
use form::{document_struct, word_enum};

/// The value of `format` in every job file.
pub const FORMAT: &str = "heartside-job";
/// The version of the form written by this program.
pub const VERSION: u32 = 3;

document_struct! {
    /// One job: boards, parts and everything decided about them.
    pub struct Document {
        /// Always [`FORMAT`].
        pub format: String,
        /// The version of the form, [`VERSION`] when written here.
        pub version: u32,
        /// What the piece is called.
        pub title: String,
        /// How lengths are read without a unit, and shown.
        pub units: Units,
        /// Currency sign or code shown with prices.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub currency: Option<String>,
        /// Price of a cubic metre for boards without a price.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub timber_rate: Option<f64>,
        /// What a cubic metre of kept offcuts is worth; 0 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub offcut_value: Option<f64>,
        /// What faces of the best figure may cost more than those of the worst; 0 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub figure_worth: Option<f64>,
        /// Machines, kerfs, trims and limits of the workshop.
        pub workshop: Workshop,
        /// Extra wood on every blank unless a part says otherwise.
        pub allowances: Allowances,
        /// What matters most, first to last; the usual order when empty.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub objective: Vec<Aim>,
        /// Named dimensions used in expressions.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub dimensions: Vec<Dimension>,
        /// Species that the built-in table lacks or that the maker wants to change.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub species: Vec<Species>,
        /// The boards.
        pub boards: Vec<Board>,
        /// The parts of the piece.
        pub parts: Vec<Part>,
        /// Parts that must look related.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub matches: Vec<Match>,
        /// Parts glued up from staves.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub panels: Vec<Panel>,
        /// Parts that stay where the person put them.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub pins: Vec<Pin>,
        /// The plan on the floor now. Its cost and bound are claims, worked out again on opening.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub plan: Option<Plan>,
        /// Plans that were kept.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub plans: Vec<KeptPlan>,
        /// Cuts that were made, in the order in which they were made.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub done: Vec<DoneCut>,
        /// Photographs of boards. The pictures themselves are files beside the document.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub photos: Vec<Photo>,
        /// What was read off the photographs, once, when they were taken in.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub figure_maps: Vec<FigureMap>,
        /// Where boards were dragged to on the floor; the others lie in a row of their own.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub floor: Vec<OnFloor>,
        /// Counts the edits that change what a plan depends on.
        pub revision: u64,
    }
}

impl Document {
    /// True for a copy of a board that was cut: its pieces are there in its stead.
    pub fn is_gone(&self, board: &str, copy: u32) -> bool {
        let mut cuts = self.done.iter();
        cuts.any(|cut| cut.board == board && cut.board_copy == copy)
    }
}

document_struct! {
    /// How lengths are read and shown.
    pub struct Units {
        /// The unit of a bare number.
        pub length: Unit,
        /// Smallest fraction of an inch shown: 16, 32 or 64.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub fraction: Option<u32>,
    }
}

word_enum! {
    /// What a maker may put first when plans are compared.
    pub enum Aim {
        /// Least timber cost.
        #[default]
        Timber,
        /// Sizes that may give as near as can be to those preferred.
        Sizes,
        /// Best figure and match.
        Figure,
        /// Least labour: cuts, set-ups, metres sawn.
        Labour,
        /// Most useful offcuts.
        Offcuts,
    }
}

document_struct! {
    /// A named dimension; only these have ranges.
    pub struct Dimension {
        /// The name used in expressions.
        pub name: String,
        /// Its value if nothing stands in the way.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub preferred: Option<Length>,
        /// Smallest acceptable value.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub least: Option<Length>,
        /// Largest acceptable value.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub most: Option<Length>,
        /// Only values this far apart, counted from the preferred one; any unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub step: Option<Length>,
    }
}

document_struct! {
    /// A species of the maker's own.
    pub struct Species {
        /// The name boards and parts use.
        pub name: String,
        /// Kilograms per cubic metre at the moisture of use.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub density: Option<f64>,
        /// Change of width per per cent of moisture, tangential.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub tangential: Option<f64>,
        /// Change of width per per cent of moisture, radial.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub radial: Option<f64>,
        /// Price of a cubic metre for boards of it without a price.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub price_m3: Option<f64>,
    }
}
