//! What was decided about a job: pins, kept plans, cuts that are done, boards on the floor.

use serde::{Deserialize, Serialize};

use super::copies::{BoardCopy, PartCopy};
use super::form::{document_struct, is_false, one};
use crate::plan::{Layout, Placed, Plan};

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
        /// A thick blank was resawn: its pieces are the leaves, one below the other. The line is then the middle of
        /// the blank, lengthwise, and the kerf that between two leaves.
        #[serde(skip_serializing_if = "is_false")]
        pub resawn: bool,
        /// The tool's name.
        #[serde(skip_serializing_if = "String::is_empty")]
        pub tool: String,
        /// What its fence or stop was set to, in millimetres; none for a mark or a drawn line. The
        /// list goes on with what the same setting serves.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub set_to: Option<f64>,
        /// What the plan had on the board when it was cut; none where it had nothing there. With
        /// it a cut is taken back to the letter.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub layout: Option<Layout>,
        /// The place of that layout in the plan's list.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub place: Option<usize>,
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
