//! Rows of the side sheet: problems, boards, parts, the workshop.

use heartside_timber::diagnostic::Level;
use heartside_timber::finding::Severity;

use super::{CopyOf, Thing, to_page};

to_page! {
    /// Something wrong with the job as typed.
    pub struct ProblemRow {
        /// Stable name of the problem.
        pub code: String,
        /// How serious.
        pub level: Level,
        /// Where, in words: "Board A, widths by tape, row 3".
        pub place: String,
        /// What is wrong.
        pub message: String,
        /// How to mend it.
        pub hint: Option<String>,
        /// The form to open.
        pub thing: Option<Thing>,
        /// The field in it.
        pub field: Option<String>,
    }
}

to_page! {
    /// Something that the checker found in the plan.
    pub struct FindingRow {
        /// Names its note on the floor.
        pub id: String,
        /// Number of the rule, 1 to 12.
        pub rule: u32,
        /// How serious.
        pub severity: Severity,
        /// The sentence.
        pub message: String,
        /// The board.
        pub board: Option<CopyOf>,
        /// The parts.
        pub parts: Vec<CopyOf>,
        /// Where on the floor, if it has a place: x.
        pub x: Option<f64>,
        /// Where on the floor, if it has a place: y.
        pub y: Option<f64>,
    }
}

to_page! {
    /// A label and a value.
    pub struct Line {
        /// Label.
        pub label: String,
        /// Value.
        pub value: String,
    }
}

to_page! {
    /// A board in the table.
    pub struct BoardRow {
        /// It.
        pub thing: Thing,
        /// Its id.
        pub id: String,
        /// What it is called.
        pub name: String,
        /// How many alike.
        pub count: u32,
        /// "2380 x 240", or a dash where it cannot be read.
        pub size: String,
        /// Least measured thickness.
        pub thickness: String,
        /// Species.
        pub species: String,
        /// Price with what it buys.
        pub price: String,
        /// In words.
        pub use_word: String,
        /// How many problems it has as typed.
        pub problems: u32,
        /// It takes part in setting out.
        pub sound: bool,
        /// "9 parts, 81 % in parts", or empty.
        pub used: String,
        /// How many findings of the plan concern it.
        pub findings: u32,
        /// "cut up", "1 of 3 cut up", "piece of A", "waste of A", "Leg 2, in hand"; empty for a whole board.
        pub state: String,
        /// It is there no more: all of it was cut.
        pub gone: bool,
        /// It was cut from another.
        pub is_piece: bool,
    }
}

to_page! {
    /// What boards of one thickness and warp give a part.
    pub struct ThicknessClass {
        /// "A, C".
        pub boards: String,
        /// "27".
        pub thickness: String,
        /// Greatest finished thickness there.
        pub gives: String,
        /// It is enough for this part.
        pub enough: bool,
        /// "27 finishes at most 23.4 here".
        pub sentence: String,
    }
}

to_page! {
    /// One copy of a part.
    pub struct CopyRow {
        /// Which.
        pub part: CopyOf,
        /// "Leg 2", "Top, stave 3".
        pub name: String,
        /// "133 wide", of a stave; else empty.
        pub size: String,
        /// "on A", "on the trestle".
        pub place: String,
        /// The board it lies on.
        pub board: Option<CopyOf>,
        /// It stays where it is.
        pub pinned: bool,
    }
}

to_page! {
    /// A part in the table.
    pub struct PartRow {
        /// It.
        pub thing: Thing,
        /// Its id.
        pub id: String,
        /// What it is called.
        pub name: String,
        /// How many.
        pub count: u32,
        /// "742 x 56 to 32 x 32".
        pub finished: String,
        /// "770 x 66 x 36".
        pub blank: String,
        /// "along, within 3°".
        pub grain: String,
        /// "one face seen".
        pub faces: String,
        /// "straight cuts" or "sawn by line".
        pub cut: String,
        /// The thickness sentence of the board that does best: "27 finishes at most 23.4 here".
        pub thickest: Option<String>,
        /// The same for each class of boards.
        pub classes: Vec<ThicknessClass>,
        /// "2 on A, 1 on C, 1 on the trestle".
        pub placed: String,
        /// How many copies are placed.
        pub placed_count: u32,
        /// How many copies are pinned.
        pub pinned_count: u32,
        /// How it is glued up: "3 staves, 133 wide each"; empty for a part in one piece.
        pub glued: String,
        /// Copy by copy; of a panel stave by stave, as they are glued.
        pub copies: Vec<CopyRow>,
        /// How many problems it has as typed.
        pub problems: u32,
        /// It takes part in setting out.
        pub sound: bool,
    }
}

to_page! {
    /// A tool, named dimension, species or match in its table.
    pub struct SimpleRow {
        /// It.
        pub thing: Thing,
        /// What it is called.
        pub name: String,
        /// The rest in words.
        pub text: String,
        /// How many problems it has as typed.
        pub problems: u32,
    }
}
