//! A part as wanted.

use serde::{Deserialize, Serialize};

use super::form::{document_struct, is_false, word_enum};
use super::length::Length;
use super::wish::Wish;

document_struct! {
    /// Extra wood round the finished part.
    pub struct Allowances {
        /// At each end of a straight-cut part; 6 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub end: Option<Length>,
        /// At each edge of a straight-cut part; 3 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub edge: Option<Length>,
        /// All round a sawn part; 3 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub sawn: Option<Length>,
        /// Planed off each face of a board whose warp is unknown; 2.5 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub planing: Option<Length>,
        /// Planed off each face once measured warp is gone; 0.8 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub clean_up: Option<Length>,
    }
}

word_enum! {
    /// Which faces of a part are seen.
    pub enum Faces {
        /// Both.
        Both,
        /// One: the part's own up face.
        #[default]
        One,
        /// None.
        #[serde(rename = "none")]
        Hidden,
        /// Painted.
        Painted,
    }
}

word_enum! {
    /// Direction of the grain in a part.
    pub enum GrainAxis {
        /// Along the part's length.
        #[default]
        Along,
        /// Across it.
        Across,
        /// It does not matter.
        Any,
    }
}

document_struct! {
    /// Direction of the grain in a part.
    pub struct PartGrain {
        /// Along or across.
        pub axis: GrainAxis,
        /// Degrees by which it may be off; 3 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub tolerance: Option<f64>,
    }
}

word_enum! {
    /// Which way the staves of a panel face.
    pub enum Hearts {
        /// As it comes.
        #[default]
        Any,
        /// Heart side up, heart side down, in turn.
        Alternate,
        /// Heart side the same way in all.
        Same,
    }
}

word_enum! {
    /// How the growth rings lie in a board.
    pub enum Rings {
        /// Not said: mixed or unknown.
        #[default]
        Mixed,
        /// Along the face, as in most boards.
        Flat,
        /// Upright in the board.
        Quarter,
    }
}

word_enum! {
    /// How a part is cut from its board.
    pub enum PartCut {
        /// By straight cuts, as a rectangle.
        #[default]
        Straight,
        /// By line, following its outline.
        Sawn,
    }
}

document_struct! {
    /// A finished member of the piece.
    pub struct Part {
        /// Short and unique.
        pub id: String,
        /// What the maker calls it.
        pub name: String,
        /// How many; 1 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub count: Option<f64>,
        /// Species it may be made of; empty means any.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub species: Vec<String>,
        /// Its finished outline.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub shape: Option<Shape>,
        /// Finished thickness.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub thickness: Option<Length>,
        /// Direction of the grain.
        pub grain: PartGrain,
        /// Allowed turns in degrees instead of a grain rule.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub turns: Option<Vec<f64>>,
        /// Which faces are seen.
        pub faces: Faces,
        /// It may be cut with its up face on the board's down face; yes unless refused.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub may_turn_over: Option<bool>,
        /// Left and right hands differ, so a turned-over copy is another part; turning over is refused.
        pub handed: bool,
        /// Extra wood instead of the job's.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub allowances: Option<Allowances>,
        /// Extra length for tenons at either end; part of the finished outline.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub tenon: Option<Tenon>,
        /// An old fixing may stay inside.
        pub fixing_ok: bool,
        /// How it is cut.
        pub cut: PartCut,
        /// 1 is placed first; larger numbers later; 1 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub priority: Option<f64>,
        /// Worth, where the aim is the greatest value on given boards.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub value: Option<f64>,
        /// Free note.
        #[serde(skip_serializing_if = "String::is_empty")]
        pub note: String,
    }
}

document_struct! {
    /// Extra length for tenons.
    pub struct Tenon {
        /// At the end x = 0.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub start: Option<Length>,
        /// At the other end.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub end: Option<Length>,
    }
}

/// A finished outline.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(tag = "form", rename_all = "snake_case")]
pub enum Shape {
    /// Four square corners.
    Rectangle {
        /// Along the part.
        length: Length,
        /// Across the part.
        width: Length,
    },
    /// Narrower at one end.
    Taper {
        /// Along the part.
        length: Length,
        /// Width at x = 0.
        start_width: Length,
        /// Width at the other end.
        end_width: Length,
        /// True where both edges slope alike, false where the lower edge stays straight.
        #[serde(default)]
        both_sides: bool,
    },
    /// Round.
    Disc {
        /// Across the middle.
        diameter: Length,
    },
    /// An ellipse.
    Ellipse {
        /// Along the part.
        length: Length,
        /// Across the part.
        width: Length,
    },
    /// Corners joined by arcs.
    ArcSided {
        /// Corners.
        points: Vec<[Length; 2]>,
        /// For the side after each corner: how far its middle swells outwards (negative: inwards); straight where missing.
        #[serde(default)]
        swells: Vec<Length>,
        /// Holes, corner by corner.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        holes: Vec<Vec<[Length; 2]>>,
    },
    /// Corner by corner, closed implicitly.
    Polygon {
        /// Corners.
        points: Vec<[Length; 2]>,
        /// Holes.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        holes: Vec<Vec<[Length; 2]>>,
    },
}

document_struct! {
    /// A part glued up from staves.
    pub struct Panel {
        /// The part's id.
        pub part: String,
        /// Narrowest stave.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub min_width: Option<Length>,
        /// Widest stave.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_width: Option<Length>,
        /// Most staves.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_count: Option<u32>,
        /// All of one width.
        pub equal: bool,
        /// Which way the staves face.
        pub hearts: Hearts,
        /// How its face is to look.
        #[serde(skip_serializing_if = "Wish::is_empty")]
        pub wish: Wish,
        /// What each joint takes of the width; nothing unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub joint: Option<Length>,
        /// Taken off each face when the glued panel is flattened; 0.5 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub flatten: Option<Length>,
        /// Staves may be made of pieces that are joined end to end; not unless set.
        #[serde(skip_serializing_if = "is_false")]
        pub end_to_end: bool,
        /// Shortest piece of such a stave; 300 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub min_piece: Option<Length>,
        /// How far end joints of neighbouring staves stand apart at least; 150 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub ends_apart: Option<Length>,
        /// What each end joint takes of the length, as fingers or a scarf do; nothing unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub end_joint: Option<Length>,
        /// How its growth rings lie, for its movement.
        pub rings: Rings,
        /// Driest air in its place, per cent; 35 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub driest: Option<f64>,
        /// Dampest air in its place, per cent; 65 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub dampest: Option<f64>,
    }
}
