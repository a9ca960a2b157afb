//! What is asked at the bench: a piece measured, a cut of one's own, a part that was spoiled.

use super::{CopyOf, from_page, to_page};

to_page! {
    /// What is asked.
    pub enum AskKind {
        /// The sizes of a board or piece as they are.
        #[default]
        Measure,
        /// A cut that the plan does not hold.
        Cut,
        /// A part in hand that was spoiled.
        Spoil,
    }
}

from_page! {
    /// A straight line over the floor, in its drawing units: millimetres, y down.
    pub struct FloorLine {
        /// One end.
        pub x1: f64,
        /// One end.
        pub y1: f64,
        /// The other end.
        pub x2: f64,
        /// The other end.
        pub y2: f64,
    }
}

from_page! {
    /// A text typed into a field that was asked for.
    pub struct Answer {
        /// The field's name.
        pub name: String,
        /// What was typed.
        pub text: String,
    }
}

from_page! {
    /// A question at the bench with what was answered so far. Nothing is changed until all is
    /// handed to `answer`: then it is one step.
    pub struct Ask {
        /// What is asked.
        pub kind: AskKind,
        /// The board or piece; for a cut the one that the line runs over, unless named.
        #[serde(default)]
        pub board: Option<CopyOf>,
        /// The part, for one that was spoiled.
        #[serde(default)]
        pub part: Option<CopyOf>,
        /// The line of a cut that was drawn over the floor, as `hold_line` gave it back.
        #[serde(default)]
        pub line: Option<FloorLine>,
        /// What was typed.
        #[serde(default)]
        pub answers: Vec<Answer>,
    }
}

to_page! {
    /// A line of a cut while it is drawn over the floor.
    pub struct HeldLine {
        /// The board or piece that it runs over; none where it misses all of them.
        pub board: Option<CopyOf>,
        /// One end, where the line leaves the wood, on the floor.
        pub x1: f64,
        /// One end.
        pub y1: f64,
        /// The other end.
        pub x2: f64,
        /// The other end.
        pub y2: f64,
        /// It jumped to a mark or was turned square.
        pub snapped: bool,
        /// "across A2, 640 mm from the start end", or why it cannot be cut there.
        pub sentence: String,
        /// It can be cut.
        pub fits: bool,
    }
}

to_page! {
    /// The offcuts worth keeping as the boards of a new job.
    pub struct OffcutsHome {
        /// The file of that job; empty where there is no offcut worth keeping.
        pub job: String,
        /// How many they are.
        pub count: u32,
        /// "3 offcuts as boards of a new job", or why there are none.
        pub sentence: String,
    }
}
