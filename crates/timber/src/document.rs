//! The job as a person typed it: it may be wrong, it may be half done, and it keeps what we do not know.
//!
//! Every field may be missing. Nothing here is judged: [`crate::prepare()`] reads a
//! [`Document`] and says what is wrong, where, and how to mend it. Fields that this
//! version does not know are kept in `unknown` and written back on saving; so are known
//! fields whose value has the wrong form (see [`crate::keep`]).

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::length::Unit;
use crate::plan::{Placed, Plan};

/// The value of `format` in every job file.
pub const FORMAT: &str = "heartside-job";
/// The version of the form written by this program.
pub const VERSION: u32 = 2;

/// Fields of a file that have no place in the type; kept so that saving loses nothing.
pub type Unknown = BTreeMap<String, serde_json::Value>;

/// A length as it stands in a file.
///
/// `1400` is millimetres; `{"mm": 1400, "typed": "1.4 m"}` remembers what the person
/// wrote (the writing is read again on opening and wins over `mm`), and a bare text
/// (`"1.4 m"`) is taken for that too;
/// `{"expr": "top_length - 2 * overhang"}` is worked out from the named dimensions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(untagged, from = "LengthForm")]
pub enum Length {
    /// Millimetres.
    Mm(f64),
    /// What the person wrote, and its value when it could be read.
    Typed {
        /// Millimetres, if the writing could be read.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mm: Option<f64>,
        /// The writing, to the letter.
        typed: String,
    },
    /// An expression over the named dimensions.
    Expr {
        /// The expression.
        expr: String,
    },
}

/// The forms in which a file may give a length.
#[derive(Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(untagged)]
#[cfg_attr(not(target_arch = "wasm32"), schemars(rename = "Length"))]
enum LengthForm {
    /// Millimetres.
    Mm(f64),
    /// What the person wrote, and its value when it could be read.
    Typed {
        /// Millimetres, if the writing could be read.
        #[serde(default)]
        mm: Option<f64>,
        /// The writing, to the letter.
        typed: String,
    },
    /// An expression over the named dimensions.
    Expr {
        /// The expression.
        expr: String,
    },
    /// What the person wrote.
    Text(String),
}

impl From<LengthForm> for Length {
    fn from(form: LengthForm) -> Length {
        match form {
            LengthForm::Mm(mm) => Length::Mm(mm),
            LengthForm::Typed { mm, typed } => Length::Typed { mm, typed },
            LengthForm::Expr { expr } => Length::Expr { expr },
            LengthForm::Text(typed) => Length::Typed { mm: None, typed },
        }
    }
}

macro_rules! document_struct {
    ($(#[$meta:meta])* pub struct $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
        #[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
        #[cfg_attr(feature = "page", derive(tsify::Tsify))]
        #[serde(default)]
        pub struct $name {
            $($body)*
            /// Fields that this version does not know; kept and written back.
            #[serde(flatten)]
            #[cfg_attr(feature = "page", tsify(type = "Record<string, unknown>"))]
            pub unknown: Unknown,
        }
    };
}

macro_rules! word_enum {
    ($(#[$meta:meta])* pub enum $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
        #[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
        #[cfg_attr(feature = "page", derive(tsify::Tsify))]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($body)* }
    };
}
pub(crate) use word_enum;

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
        /// Best figure and match.
        Figure,
        /// Least labour: cuts, set-ups, metres sawn.
        Labour,
        /// Most useful offcuts.
        Offcuts,
    }
}

document_struct! {
    /// The workshop.
    pub struct Workshop {
        /// Machines and hand tools that cut.
        pub tools: Vec<Tool>,
        /// Kerfs where no tool is named.
        pub fallback_kerf: FallbackKerf,
        /// What is cut off raw ends and raw edges.
        pub trim: Trim,
        /// Smallest offcut worth keeping, both of length and width.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub min_offcut: Option<MinOffcut>,
        /// What one person lifts, in kilograms; 25 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_lift_kg: Option<f64>,
    }
}

document_struct! {
    /// Smallest offcut worth keeping.
    pub struct MinOffcut {
        /// Along the board; 250 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub length: Option<Length>,
        /// Across the board; 60 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub width: Option<Length>,
    }
}

document_struct! {
    /// Kerfs where no tool is named.
    pub struct FallbackKerf {
        /// Along the grain; 3.2 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub rip: Option<Length>,
        /// Across the grain; 3.2 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub crosscut: Option<Length>,
        /// By line, with a bandsaw, jigsaw or router; 2 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub sawn: Option<Length>,
    }
}

document_struct! {
    /// What is cut off raw ends and raw edges.
    pub struct Trim {
        /// From every raw end; 15 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub end: Option<Length>,
        /// From every raw edge; 4 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub edge: Option<Length>,
    }
}

word_enum! {
    /// A kind of cut.
    pub enum CutKind {
        /// Along the grain.
        #[default]
        Rip,
        /// Across the grain.
        Crosscut,
        /// Following a line.
        Sawn,
        /// Through the thickness, so that a thick blank becomes leaves.
        Resaw,
        /// Planing an edge straight and true: takes off up to the tool's depth and parts nothing.
        TrueEdge,
    }
}

word_enum! {
    /// What guides a cut.
    pub enum Guide {
        /// Nothing but the hand and the eye.
        #[default]
        None,
        /// Something that runs along the cut: a rip fence where the work moves, a rail on the clamped board where it stays.
        Along,
        /// A fence square to the cut, against which the piece is held, as on a mitre saw.
        Square,
    }
}

document_struct! {
    /// A tool that cuts.
    pub struct Tool {
        /// What it is called in the workshop; cuts refer to it by this name.
        pub name: String,
        /// The kinds of cut it makes.
        pub does: Vec<CutKind>,
        /// Width of wood that it turns to dust; for a planer the most that it takes off an edge in truing it.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub kerf: Option<Length>,
        /// Longest workpiece for a rip, longest cut for a crosscut: the largest extent along the cut.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_length: Option<Length>,
        /// Widest piece between blade and rip fence, or largest extent square to the cut where there is none.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_width: Option<Length>,
        /// Thickest workpiece.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_depth: Option<Length>,
        /// Least length by which a piece can be held safely: along a guide that runs along the
        /// cut, against a fence square to it. 300 mm for hand-fed circular saws unless set, none for others.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub min_piece: Option<Length>,
        /// What guides the cut.
        pub guide: Guide,
        /// The work is moved over the machine rather than the tool over the work. Unless set:
        /// with a guide along the cut, and for planers and saws that both rip and follow lines.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub work_moves: Option<bool>,
        /// The edge it leaves can run against a fence. Unless set: where the cut is guided and
        /// the tool follows no lines, and for planers.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub leaves_true_edge: Option<bool>,
        /// It can take off less than its own kerf.
        pub can_skim: bool,
        /// Smallest inside radius that it follows.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub least_radius: Option<Length>,
    }
}

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
        /// Straight and sawn: nothing needs trimming.
        Straight,
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

document_struct! {
    /// A cut that was made: its board (that copy of it) is no longer there, its pieces are.
    pub struct DoneCut {
        /// Unique among the done cuts; pieces refer to it.
        pub id: u32,
        /// The board that was cut.
        pub board: String,
        /// Which copy of it.
        #[serde(default = "one")]
        pub board_copy: u32,
        /// The line, from point to point in millimetres of that board's frame: the middle of the kerf.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub line: Vec<[f64; 2]>,
        /// Width of the kerf in millimetres.
        pub kerf: f64,
        /// The tool's name.
        #[serde(skip_serializing_if = "String::is_empty")]
        pub tool: String,
    }
}

document_struct! {
    /// A photograph of one face of a board.
    pub struct Photo {
        /// SHA-256 of the picture's file, in hexadecimal.
        pub hash: String,
        /// The board.
        pub board: String,
        /// The face it shows.
        pub face: ZoneFace,
        /// Points of the picture whose place on the board is known.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub marks: Vec<PhotoMark>,
    }
}

document_struct! {
    /// A point of a photograph whose place on the board is known.
    pub struct PhotoMark {
        /// Where it is in the picture: pixels from the left and from the top.
        pub pixel: [f64; 2],
        /// Where it is on the board, in millimetres of the board's frame.
        pub at: [f64; 2],
    }
}

document_struct! {
    /// What a photograph says about the figure, on square cells of the board; whole numbers, so
    /// that plans are the same on every machine however it reads pictures.
    pub struct FigureMap {
        /// The photograph's hash.
        pub photo: String,
        /// Side of a cell in millimetres.
        pub cell: f64,
        /// The first cell's corner, in millimetres of the board's frame.
        pub origin: [f64; 2],
        /// Cells in a row along the board.
        pub columns: u32,
        /// What was measured, by name; each row by row across the board.
        pub layers: BTreeMap<String, Vec<i32>>,
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
        /// How much the figure is worth, 0 to 1.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub weight: Option<f64>,
        /// "knot", "split", "old screw": shown on the picture.
        #[serde(skip_serializing_if = "String::is_empty")]
        pub note: String,
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

/// How parts must look related.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum MatchKind {
    /// Cut from one board.
    SameBoard,
    /// Grain runs on from one to the next, end to end.
    ContinuousAlong,
    /// Grain runs on from one to the next, side by side.
    ContinuousAcross,
    /// Slipped, as veneers are.
    Slip,
    /// Opened like a book.
    Book,
    /// Mirror-symmetric figure.
    Balanced,
}

/// Parts that must look related.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Match {
    /// What is asked.
    pub kind: MatchKind,
    /// Copies of parts, in order.
    pub parts: Vec<PartCopy>,
}

/// One copy of a part.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct PartCopy {
    /// The part's id.
    pub part: String,
    /// 1, 2, ... up to the part's count.
    #[serde(default = "one")]
    pub copy: u32,
}

/// One copy of a board.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct BoardCopy {
    /// The board's id.
    pub board: String,
    /// 1, 2, ... up to the board's count.
    #[serde(default = "one")]
    pub copy: u32,
}

pub(crate) fn one() -> u32 {
    1
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
    }
}

/// A part that stays where the person put it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Pin {
    /// Which copy.
    #[serde(flatten)]
    pub part: PartCopy,
    /// On which board; copy 1 unless set.
    pub board: String,
    /// On which copy of the board.
    #[serde(default = "one")]
    pub board_copy: u32,
    /// Where on the board.
    #[serde(flatten)]
    pub at: Placed,
}

document_struct! {
    /// A plan that was kept.
    pub struct KeptPlan {
        /// What it is called.
        pub name: String,
        /// The plan. Its cost and bound are claims, worked out again on opening.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub plan: Option<Plan>,
        /// What was pinned when it was kept; none in files of before that was kept too.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub pins: Option<Vec<Pin>>,
    }
}

/// Where a board lies on the floor.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct OnFloor {
    /// Which copy of which board.
    #[serde(flatten)]
    pub board: BoardCopy,
    /// Millimetres from the floor's left.
    pub x: f64,
    /// Millimetres up from the floor's origin.
    pub y: f64,
}
