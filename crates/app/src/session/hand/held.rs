//! A part in the hand, and what is remembered of where it lay.

use heartside_check::Live;
use heartside_drawing::{BoardOnFloor, FaceSeen};
use heartside_geometry::Pose;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Board, Part};
use heartside_timber::plan::Placement;

/// A part in the hand.
pub(in crate::session) struct Hand {
    pub(in crate::session) part: PartCopy,
    pub(super) live: Live,
    pub(super) boards: Vec<BoardOnFloor>,
    /// Where it was taken from: its board and pose.
    pub(super) from: Option<(BoardCopy, Pose)>,
    /// What is drawn: again only where it is turned.
    pub(super) drawn: Option<(f64, bool)>,
    /// Where it is held now.
    pub(in crate::session) over: Option<(BoardCopy, Pose)>,
    /// Places near there that would do as well, where it snapped: not every place where a part may
    /// lie can be cut, and which can is asked only when it is dropped.
    pub(super) instead: Vec<Pose>,
    /// The faces in which it is seen.
    pub(in crate::session) faces: Vec<Shown>,
    pub(super) turn: f64,
    pub(super) turned_over: bool,
}

/// A face in which the part in the hand is seen.
#[derive(Debug, Clone)]
pub(in crate::session) struct Shown {
    pub(super) face: FaceSeen,
    /// What its group held the last time.
    pub(super) pictures: Option<String>,
}

/// Where a part lay before it was put on the trestle.
#[derive(Debug, Clone)]
pub(in crate::session) struct TakenOff {
    pub(super) board: BoardCopy,
    pub(super) pose: Pose,
    /// What else lay on the board.
    pub(super) others: Vec<Placement>,
    /// What the part and the board were like.
    pub(super) like: (Option<Part>, Option<Board>),
}

impl std::fmt::Debug for Hand {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Hand")
            .field("part", &self.part)
            .field("over", &self.over)
            .finish_non_exhaustive()
    }
}
