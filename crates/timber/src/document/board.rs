//! A board as measured.

use serde::{Deserialize, Serialize};

use super::form::{document_struct, is_false, word_enum};
use super::length::Length;

use super::zone::{Hand, Zone};
use crate::plan::Placement;

word_enum! {
    /// Whether a board may be used.
    pub enum Use {
        /// As it suits.
        #[default]
        Freely,
        /// Only where parts would otherwise not fit.
        IfNeeded,
        /// Before the others.
        First,
        /// Not at all.
        Leave,
    }
}

word_enum! {
    /// How a board may be cut.
    pub enum Cuts {
        /// Either way.
        #[default]
        Any,
        /// By straight cuts right across.
        Straight,
        /// By line, broken down by through cuts first where that makes it handier.
        Sawn,
    }
}

word_enum! {
    /// The state of one side of a board.
    pub enum EdgeKind {
        /// As it grew or as it was felled: trimmed before it touches a part.
        #[default]
        Raw,
        /// Straight and true: nothing needs trimming, and it can run along a fence.
        Straight,
        /// Sawn, but not true: nothing needs trimming, but no fence may rely on it.
        Sawn,
    }
}

word_enum! {
    /// The state of a board's faces.
    pub enum Surface {
        /// From the saw.
        #[default]
        Sawn,
        /// Planed.
        Planed,
    }
}

word_enum! {
    /// Which face looked towards the middle of the tree.
    pub enum HeartSide {
        /// Not looked at yet.
        #[default]
        Unknown,
        /// The up face.
        Up,
        /// The down face.
        Down,
    }
}

word_enum! {
    /// Which way the growth rings run, seen on an end.
    pub enum RingRun {
        /// Not looked at yet.
        #[default]
        Unknown,
        /// Along the faces.
        Flat,
        /// Aslant.
        Rift,
        /// Square to the faces.
        Quarter,
        /// All round the pith, which is in the board.
        BoxedHeart,
    }
}

document_struct! {
    /// How the growth rings run in a board.
    pub struct EndRings {
        /// On the end at x = 0.
        pub start: RingRun,
        /// On the other end.
        pub end: RingRun,
        /// The pith may be in parts.
        #[serde(skip_serializing_if = "is_false")]
        pub pith_allowed: bool,
    }
}

impl Board {
    /// Whether the heart is boxed in it and its pith is neither marked as a defect nor allowed in parts.
    pub fn holds_unmarked_pith(&self) -> bool {
        let boxed = |rings: &EndRings| {
            !rings.pith_allowed && [rings.start, rings.end].contains(&RingRun::BoxedHeart)
        };
        self.rings.as_ref().is_some_and(boxed) && !self.zones.iter().any(Zone::is_pith)
    }
}

document_struct! {
    /// A board as it lies there.
    pub struct Board {
        /// Short and unique; cuts, plans and labels refer to it.
        pub id: String,
        /// What the maker calls it.
        #[serde(skip_serializing_if = "String::is_empty")]
        pub name: String,
        /// Its species; empty means unknown.
        #[serde(skip_serializing_if = "String::is_empty")]
        pub species: String,
        /// How many alike; 1 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub count: Option<f64>,
        /// Whether it may be used.
        #[serde(rename = "use")]
        pub usage: Use,
        /// Its outline: where both faces are full.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub outline: Option<BoardOutline>,
        /// Least measured thickness.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub thickness: Option<Length>,
        /// The thickness it was sold as, such as 8/4. Only a price by the board foot goes by it.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub nominal: Option<Length>,
        /// From the saw or planed.
        pub surface: Surface,
        /// Direction of the grain; along the board unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub grain: Option<BoardGrain>,
        /// Which face is the heart side.
        pub heart_side: HeartSide,
        /// How its growth rings run; not looked at unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub rings: Option<EndRings>,
        /// Marked areas. All are drawn as seen from the up face.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub zones: Vec<Zone>,
        /// Measured warp; unknown unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub warp: Option<Warp>,
        /// Moisture content in per cent.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub moisture: Option<f64>,
        /// Its price.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub price: Option<Price>,
        /// How it may be cut.
        pub cuts: Cuts,
        /// Free note.
        #[serde(skip_serializing_if = "String::is_empty")]
        pub note: String,
        /// The done cut that this piece came from.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub from: Option<BoardOrigin>,
        /// The copy of a part whose blank this piece is, and where it lies in it: the copy is in
        /// hand. Such a piece is cut no further.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub holds: Option<Placement>,
        /// The other copies, where its blank is resawn into several leaves: they are in hand with it.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub leaves: Vec<Placement>,
        /// The piece was measured after it was cut: its sizes win over what was planned.
        #[serde(skip_serializing_if = "is_false")]
        pub measured: bool,
    }
}

document_struct! {
    /// Where a piece that was cut from a board came from. It is drawn in that board's coordinates.
    pub struct BoardOrigin {
        /// The id of the done cut.
        pub done: u32,
        /// On which side of its line, looking along it.
        pub side: Hand,
    }
}

/// The outline of a board.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(tag = "form", rename_all = "snake_case")]
pub enum BoardOutline {
    /// Measured by tape from a chalk line snapped along the board (y = 0): at each
    /// station the width to the left (y up) and to the right (y down) of the line,
    /// looking from the start end (x = 0). Between stations edges run straight.
    Tape {
        /// From end to end.
        length: Length,
        /// At least one; widths before the first and after the last stay the same.
        stations: Vec<Station>,
        /// State of the left-hand edge.
        #[serde(default)]
        left: EdgeKind,
        /// State of the right-hand edge.
        #[serde(default)]
        right: EdgeKind,
        /// State of the end at x = 0.
        #[serde(default)]
        start: EdgeKind,
        /// State of the other end.
        #[serde(default)]
        end: EdgeKind,
    },
    /// Corner by corner, closed implicitly.
    Polygon {
        /// Corners.
        points: Vec<[Length; 2]>,
        /// State of the side from each corner to the next; raw where missing.
        #[serde(default)]
        sides: Vec<EdgeKind>,
        /// Holes right through.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        holes: Vec<Vec<[Length; 2]>>,
        /// For each hole the state of the side from each corner to the next; raw where missing.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        hole_sides: Vec<Vec<EdgeKind>>,
    },
}

/// Widths at one place along the chalk line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Station {
    /// Distance from the start end.
    pub at: Length,
    /// Width left of the chalk line.
    pub left: Length,
    /// Width right of the chalk line.
    pub right: Length,
}

document_struct! {
    /// Direction of the grain.
    pub struct BoardGrain {
        /// Degrees from the board's length, counter-clockwise.
        pub angle: f64,
        /// Lines drawn along the grain, each a chain of points in millimetres; they bend the field.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub lines: Vec<Vec<[f64; 2]>>,
    }
}

document_struct! {
    /// Measured warp. A kind that is missing here was found to be nothing.
    pub struct Warp {
        /// Hollow across the width.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub cup: Option<GapOver>,
        /// Hollow along the length, on the face.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub bow: Option<GapOver>,
        /// One corner lifts.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub twist: Option<Twist>,
    }
}

/// A gap under a straight edge and the span over which it was measured.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct GapOver {
    /// Greatest gap.
    pub gap: Length,
    /// Span of the straight edge; the whole board where missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<Length>,
}

/// The lift of one corner and the span over which it was measured.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Twist {
    /// Lift of one corner with the other three down.
    pub lift: Length,
    /// Length over which it was measured; the whole board where missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over_length: Option<Length>,
    /// Width over which it was measured; the whole board where missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over_width: Option<Length>,
}

/// A price.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Price {
    /// In the job's currency.
    pub amount: f64,
    /// What the amount buys.
    #[serde(default)]
    pub per: PricePer,
}

word_enum! {
    /// What a price buys.
    pub enum PricePer {
        /// The whole board.
        #[default]
        Board,
        /// A cubic metre.
        M3,
        /// A square metre of face.
        M2,
        /// A board foot.
        BoardFoot,
        /// A metre of length.
        M,
    }
}
