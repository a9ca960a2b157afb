//! The cuts in order.

use super::{CopyOf, to_page};

to_page! {
    /// One cut.
    pub struct BenchStep {
        /// Number on the picture.
        pub number: u32,
        /// The board.
        pub board: CopyOf,
        /// "Crosscut at 1148 from the start end".
        pub title: String,
        /// The rest: which workpiece, which tool, what it yields, what is left.
        pub lines: Vec<String>,
        /// Cautions of this step.
        pub cautions: Vec<String>,
        /// Fragment of the floor that shows it.
        pub fragment: Option<String>,
    }
}

to_page! {
    /// The cuts of one board.
    pub struct BenchBoard {
        /// The board.
        pub board: CopyOf,
        /// "Board A, 27 thick".
        pub title: String,
        /// The cuts.
        pub steps: Vec<BenchStep>,
    }
}
