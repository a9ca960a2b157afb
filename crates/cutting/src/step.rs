//! One numbered step at the bench, ready to be read, drawn and ticked.

use heartside_geometry::Point;
use heartside_timber::document::{BoardCopy, PartCopy};
use serde::Serialize;

/// What is done in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Action {
    /// A straight cut along the grain.
    Rip,
    /// A straight cut across the grain.
    Crosscut,
    /// A straight cut that only takes waste off.
    Trim,
    /// An edge planed true; nothing is parted.
    TrueEdge,
    /// A cut that follows a drawn line.
    SawByLine,
    /// A thick blank is sawn through its thickness into leaves.
    Resaw,
}

impl Action {
    /// "Rip", "Crosscut", "Trim", "True an edge", "Saw by line", "Resaw".
    pub fn words(self) -> &'static str {
        match self {
            Action::Rip => "Rip",
            Action::Crosscut => "Crosscut",
            Action::Trim => "Trim",
            Action::TrueEdge => "True an edge",
            Action::SawByLine => "Saw by line",
            Action::Resaw => "Resaw",
        }
    }
}

/// What a piece that comes off is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Becomes {
    /// It is cut further.
    Piece,
    /// It is the blank of a part.
    Blank {
        /// Which.
        part: PartCopy,
    },
    /// It is a thick blank that a later step resaws into these, from the board's up face down.
    Leaves {
        /// Which.
        parts: Vec<PartCopy>,
    },
    /// Parts are sawn out of it by line.
    Region {
        /// Which.
        parts: Vec<PartCopy>,
    },
    /// It is worth keeping.
    Offcut,
    /// It is not.
    Waste,
}

impl Becomes {
    /// The copy whose blank it is; none where it is cut further or kept.
    pub fn blank_of(&self) -> Option<&PartCopy> {
        match self {
            Becomes::Blank { part } => Some(part),
            _ => None,
        }
    }
}

/// One piece that a step leaves.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Yielded {
    /// What it becomes.
    pub becomes: Becomes,
    /// The node of the layout's tree; none for sawn parts.
    pub node: Option<usize>,
    /// "piece C2", "Leg 2", "offcut C5", "waste".
    pub name: String,
    /// "770 × 66", in the job's units.
    pub size: String,
    /// Kilograms; none where the density is not known.
    pub weight_kg: Option<f64>,
    /// What an offcut holds that whoever uses it must know of: "old screw", "knot".
    pub holds: Vec<String>,
    /// The whole clause: "Leg 2, blank 770 × 66, 1.3 kg".
    pub words: String,
}

/// Something buried near a kerf.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Near {
    /// Its name and what it is made of: what is called alike is one caution.
    pub thing: String,
    /// From the kerf, in millimetres.
    pub gap: f64,
}

/// Something to take care of, with where it comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Caution {
    /// Stable name, such as `short-piece`.
    pub code: String,
    /// The sentence a maker reads; it defers to the machine's manual and local rules.
    pub text: String,
    /// Its short name, enough where the sentence was read before: "push stick".
    pub short: String,
    /// Where the figure comes from, in a few words; "common practice" where no rule is published.
    pub source: String,
    /// No earlier step has said it.
    pub first: bool,
    /// What is near the kerf, where the caution is about that.
    pub near: Option<Near>,
}

/// The measurement a cut is set by.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Setting {
    /// In millimetres. By fence or stop: from it to the near side of the kerf, whatever lies
    /// between. Else from the named side to the kept side of the kerf; at the first end of the line
    /// where it differs.
    pub distance: f64,
    /// The same at the other end of the line where it differs.
    pub distance_far: Option<f64>,
    /// The distance as tape or scale is set to it: moved by less than a millimetre into the waste
    /// where waste lies beside the cut and no blank, else the same.
    pub scale: f64,
    /// That in the job's units, ready to read.
    pub shown: String,
    /// What it is measured from: "its left edge", or, for another piece, "the left edge of board C".
    pub from: String,
    /// Where the kept side begins: "62 mm from its left edge".
    pub words: String,
    /// The same in as few words as do: "62 from left edge"; along a fence or against a stop without
    /// the distance, which the heading of its set-up has: "from left edge".
    pub brief: String,
    /// Where that lies, seen from the cut: a unit vector of the board's frame.
    #[cfg_attr(feature = "page", tsify(type = "{ x: number; y: number }"))]
    pub towards: Point,
    /// Where the kerf falls, seen from the mark: "towards the far end".
    pub kerf_side: String,
    /// A fence runs along the named side.
    pub by_fence: bool,
    /// The named side touches a stop, which serves more than this cut.
    pub by_stop: bool,
    /// Where waste lies between fence and blade: how far from the named side the kept side
    /// begins, a kerf further on than the fence is set.
    pub kept_from: Option<f64>,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Step {
    /// 1, 2, ... over the whole job.
    pub number: u32,
    /// The board.
    pub board: BoardCopy,
    /// The layout's place in the plan; past its end for a blank in hand, which the plan holds no more.
    pub layout: usize,
    /// The node of the layout's tree that is cut; none for parts sawn straight out of a board.
    pub node: Option<usize>,
    /// For parts sawn by line, and what is resawn of them: the placement's place in the layout.
    pub placement: Option<usize>,
    /// What is done.
    pub action: Action,
    /// The tool's name; empty where the job names none.
    pub tool: String,
    /// True where tool and setting are those of the step before.
    pub same_setting: bool,
    /// What is cut: "board C", "piece C2".
    pub workpiece: String,
    /// Its size in the job's units.
    pub workpiece_size: String,
    /// Its weight in kilograms before the cut; none where the density is not known.
    pub workpiece_kg: Option<f64>,
    /// How the cut is set; none for sawn lines. Of what is resawn, the first of its cuts.
    pub setting: Option<Setting>,
    /// The line to mark, on the kept side of the kerf, in the board's frame; two equal points for sawn lines and for what is resawn.
    #[cfg_attr(
        feature = "page",
        tsify(type = "[{ x: number; y: number }, { x: number; y: number }]")
    )]
    pub line: [Point; 2],
    /// The kerf's corners in the board's frame; empty for sawn lines and for what is resawn.
    #[cfg_attr(feature = "page", tsify(type = "{ x: number; y: number }[]"))]
    pub band: Vec<Point>,
    /// Length of the cut in millimetres; of all cuts of what is resawn.
    pub sawn_length: f64,
    /// What comes off and what is left, kept side first.
    pub yields: Vec<Yielded>,
    /// Cautions that belong to this step.
    pub cautions: Vec<Caution>,
    /// One line: "Rip board C 62 mm from the right edge".
    pub title: String,
    /// The same in as few words as do, to stand under the heading of its set-up: "Rip C from right
    /// edge", "Trim C1, 15 from start end".
    pub brief: String,
    /// The sentences of the step, in order.
    pub text: Vec<String>,
}

impl Step {
    /// It can be made now: its workpiece is a board or piece of its own.
    pub fn is_ready(&self) -> bool {
        match self.action {
            Action::Resaw => self.placement.is_none() && self.node == Some(0),
            _ => self.node.is_none_or(|node| node == 0),
        }
    }

    /// What the fence or stop is set to, in millimetres; none for a mark or a drawn line.
    pub(crate) fn set_to(&self) -> Option<f64> {
        let set = self.setting.as_ref().filter(|s| s.by_fence || s.by_stop);
        set.map(|s| s.distance)
    }
}
