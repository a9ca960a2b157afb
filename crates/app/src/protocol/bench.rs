//! The cuts in order.

use super::{CopyOf, Line, to_page};

to_page! {
    /// One cut.
    pub struct BenchStep {
        /// Number on the picture.
        pub number: u32,
        /// The board.
        pub board: CopyOf,
        /// Names the cut as long as its board is cut in the same way, wherever its number goes.
        pub tick: String,
        /// "Crosscut C at 1148 from start end": enough under the heading of its set-up.
        pub brief: String,
        /// What comes off by name, without waste: "Leg 2", "C3, offcut C4".
        pub gives: String,
        /// Cautions that stand on the line itself, in short words: "raw edge".
        pub grave: Vec<String>,
        /// The short words of the others, to be marked on the line.
        pub care: Vec<String>,
        /// The whole of it: title, workpiece, setting, what it yields, what is left.
        pub lines: Vec<String>,
        /// Its cautions in full.
        pub cautions: Vec<String>,
    }
}

to_page! {
    /// The cuts that follow each other at one tool and setting.
    pub struct BenchSetUp {
        /// "Mitre saw, stop at 1220 mm".
        pub heading: String,
        /// The cuts.
        pub steps: Vec<BenchStep>,
    }
}

to_page! {
    /// All that the bench shows.
    pub struct Bench {
        /// "50 cuts, 37 set-ups"; empty where there is no plan.
        pub heading: String,
        /// Why some boards or all have no cuts here, a sentence each: "Board A has no cuts: ...".
        pub wrong: Vec<String>,
        /// Each caution once: its short words, and the whole of it with the cuts it concerns.
        pub cautions: Vec<Line>,
        /// The cuts in order.
        pub set_ups: Vec<BenchSetUp>,
    }
}

to_page! {
    /// A board on which cuts are ticked.
    pub struct Ticked {
        /// The board.
        pub board: CopyOf,
        /// "board A".
        pub name: String,
        /// How many of its cuts are ticked.
        pub cuts: u32,
        /// The parts that lie on it.
        pub parts: Vec<CopyOf>,
    }
}
