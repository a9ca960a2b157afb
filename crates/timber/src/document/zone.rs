//! Areas marked on a board, and how their place is written.

use serde::{Deserialize, Serialize};

use super::form::{document_struct, word_enum};
use super::length::Length;

/// The word by which a marked area is known as pith.
pub const PITH: &str = "pith";

word_enum! {
    /// What a zone marks.
    pub enum ZoneKind {
        /// A knot, split, hole, rot, stain: kept out of blanks.
        #[default]
        Defect,
        /// Sapwood: kept off seen faces.
        Sapwood,
        /// A screw, nail, dowel or loose tenon in reclaimed wood: kept away from the saw.
        Fixing,
        /// Wild or fine figure: never forbids.
        Figure,
    }
}

word_enum! {
    /// On which face a zone shows.
    pub enum ZoneFace {
        /// Right through: on both.
        #[default]
        Through,
        /// On the up face.
        Up,
        /// On the down face.
        Down,
    }
}

word_enum! {
    /// What must keep clear of a defect.
    pub enum ClearOf {
        /// The rough blank.
        #[default]
        Blank,
        /// The finished part only.
        Finished,
    }
}

word_enum! {
    /// Which cuts a fixing stops.
    pub enum Stops {
        /// Every cut.
        #[default]
        All,
        /// Cuts along the grain.
        Rips,
        /// Cuts across the grain.
        Crosscuts,
    }
}

word_enum! {
    /// What a fixing is made of.
    pub enum FixingMaterial {
        /// Not known: treated as metal.
        #[default]
        Unknown,
        /// Metal.
        Metal,
        /// Wood: a dowel or loose tenon.
        Wood,
    }
}

document_struct! {
    /// A marked area on a board.
    pub struct Zone {
        /// What it marks.
        pub kind: ZoneKind,
        /// Where it is, drawn as seen from the up face.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub shape: Option<ZoneShape>,
        /// On which face it shows.
        pub face: ZoneFace,
        /// How deep it goes from its face; unknown (as good as through) where missing.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub depth: Option<Length>,
        /// The wood is sound: harmless on a hidden face.
        pub sound: bool,
        /// Distance kept from it; 12 mm for a fixing and none for the others unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub margin: Option<Length>,
        /// How far to every side its true place may be from where it is drawn: "somewhere here".
        #[serde(skip_serializing_if = "Option::is_none")]
        pub uncertain: Option<Length>,
        /// What must keep clear of it.
        pub clear_of: ClearOf,
        /// Which cuts a fixing stops.
        pub stops: Stops,
        /// What a fixing is made of.
        pub material: FixingMaterial,
        /// How far below its face a fixing begins; at the face unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub depth_from: Option<Length>,
        /// How far below its face a fixing ends; unknown unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub depth_to: Option<Length>,
        /// A fixing that will be drawn before the wood is planed; a hole is left.
        pub drawn_before_planing: bool,
        /// How much the figure is wanted: 1 wanted, -1 not wanted.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub weight: Option<f64>,
        /// "knot", "split", "old screw": shown on the picture.
        #[serde(skip_serializing_if = "String::is_empty")]
        pub note: String,
    }
}

impl Zone {
    /// A defect that is called pith.
    pub fn is_pith(&self) -> bool {
        let words = |note: &str| note.to_lowercase().contains(PITH);
        self.kind == ZoneKind::Defect && words(&self.note)
    }
}

/// Where a zone is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(tag = "form", rename_all = "snake_case")]
pub enum ZoneShape {
    /// An oval or a rectangle by tape: its middle from the start end, and from an edge or the chalk line.
    Spot {
        /// True for an oval, false for a rectangle.
        #[serde(default = "yes")]
        oval: bool,
        /// From the start end of the board itself (its least x, wherever corners begin to count) to its middle.
        along: Length,
        /// From [`ZoneFrom`] to its middle.
        across: Length,
        /// Where `across` is measured from.
        #[serde(default)]
        from: ZoneFrom,
        /// Its extent along the board.
        length: Length,
        /// Its extent across the board.
        width: Length,
    },
    /// An oval or a rectangle by tape, from where it begins to where it ends.
    Span {
        /// True for an oval, false for a rectangle.
        #[serde(default = "yes")]
        oval: bool,
        /// The end that `begins` and `ends` are measured from.
        #[serde(default)]
        end: BoardEnd,
        /// From that end of the board itself to where it begins.
        begins: Length,
        /// From the same end to where it ends.
        ends: Length,
        /// Where `near` and `far` are measured from.
        #[serde(default)]
        edge: ZoneFrom,
        /// Across from there to where it begins.
        near: Length,
        /// Across from there to where it ends.
        far: Length,
    },
    /// A strip along the whole of one long edge, such as sapwood.
    Strip {
        /// The edge it follows.
        side: Hand,
        /// Its width, measured across from that edge.
        width: Length,
    },
    /// Corner by corner, in millimetres of the board's frame: as its own corners count, or from the start end and the chalk line.
    Polygon {
        /// Corners.
        points: Vec<[Length; 2]>,
    },
}

fn yes() -> bool {
    true
}

word_enum! {
    /// Left (y up) or right (y down), looking from the start end.
    pub enum Hand {
        /// y up.
        Left,
        /// y down.
        #[default]
        Right,
    }
}

word_enum! {
    /// An end of a board.
    pub enum BoardEnd {
        /// Where the tape was hooked on.
        #[default]
        Start,
        /// The other one.
        Far,
    }
}

word_enum! {
    /// Where the distance across is measured from.
    pub enum ZoneFrom {
        /// The right-hand edge at that place.
        #[default]
        RightEdge,
        /// The left-hand edge at that place.
        LeftEdge,
        /// The chalk line, left positive; on a board entered by corners the line y = 0 of its corners.
        ChalkLine,
    }
}
