//! One copy of a part or board, and parts that must look related.

use serde::{Deserialize, Serialize};

use super::form::one;
use super::wish::Wish;

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
    /// Put together as a frame, only to be seen so: the two stiles, left and right, then rails and panels from the top down.
    Frame,
}

impl MatchKind {
    /// Where one of the parts lies says nothing of where the others may lie: they are only seen together, or taken from one
    /// board.
    pub fn leaves_places_free(self) -> bool {
        matches!(self, MatchKind::SameBoard | MatchKind::Frame)
    }

    /// No cut of one part depends on where another lies, though both may be of one length or mirror each other.
    pub fn leaves_cuts_free(self) -> bool {
        self.leaves_places_free() || self == MatchKind::Balanced
    }
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
    /// How they are to look together; how they answer each other the kind says already.
    #[serde(default, skip_serializing_if = "Wish::is_empty")]
    pub wish: Wish,
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
