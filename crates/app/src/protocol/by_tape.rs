//! Boards typed as lines, and what is tapped on their picture.

use super::{Outcome, to_page};

to_page! {
    /// What lines of boards come to. Nothing of it is in the job before it is taken.
    pub struct BoardsRead {
        /// Every line that is a whole board.
        pub boards: Vec<BoardRead>,
        /// What is wrong with lines, or was guessed.
        pub told: Vec<LineTold>,
        /// All that was typed can be taken.
        pub ready: bool,
    }
}

to_page! {
    /// A line read back.
    pub struct BoardRead {
        /// The line, from 1.
        pub line: u32,
        /// The mark that the board will have.
        pub mark: String,
        /// The board in words, as it was understood.
        pub words: String,
        /// Its picture; empty for the later ones of many.
        pub svg: String,
    }
}

to_page! {
    /// A sentence about a place of a line.
    pub struct LineTold {
        /// The line, from 1.
        pub line: u32,
        /// The column, from 1.
        pub column: u32,
        /// What is wrong and how to mend it.
        pub message: String,
        /// The line can be taken all the same.
        pub harmless: bool,
        /// The line just ends too early: whoever types is not there yet.
        pub unfinished: bool,
    }
}

to_page! {
    /// A width that was added where the edge was tapped.
    pub struct EdgeTapped {
        /// What was done.
        pub outcome: Outcome,
        /// The field of the board's form with the width to the tapped edge.
        pub field: Option<String>,
    }
}

to_page! {
    /// What is marked with one tap on a board.
    pub enum MarkKind {
        /// A knot: an oval.
        #[default]
        Knot,
        /// A split or check along the grain.
        Split,
        /// Sapwood from the nearer edge to where it was tapped.
        Sapwood,
        /// A screw, nail or dowel.
        Fixing,
        /// Fine figure.
        Figure,
    }
}
