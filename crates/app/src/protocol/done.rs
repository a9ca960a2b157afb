//! What was cut, what came of it, and what is left to do.

use super::{CopyOf, Thing, to_page};

to_page! {
    /// A piece that a cut left.
    pub struct PieceLeft {
        /// It; none where it is there no more.
        pub board: Option<CopyOf>,
        /// Its chalk name, or the part it is the blank of: "C3", "Leg 2".
        pub name: String,
        /// "in hand", "cut again", "310 \u{d7} 96".
        pub state: String,
        /// It was measured after it was cut.
        pub measured: bool,
    }
}

to_page! {
    /// A cut that was made.
    pub struct DoneRow {
        /// Names it: the argument of `not_cut`.
        pub id: u32,
        /// 1, 2, ... in the order in which cuts were made.
        pub number: u32,
        /// "C into C3 and Leg 2".
        pub text: String,
        /// "mitre saw, kerf 3 mm".
        pub how: String,
        /// What it left, but for waste.
        pub pieces: Vec<PieceLeft>,
        /// Why it cannot be taken back by itself: "first take back the cut of A1". None where it can.
        pub stays_because: Option<String>,
    }
}

to_page! {
    /// A board that is cut, with its cuts.
    pub struct DoneBoard {
        /// The board as it was bought.
        pub board: CopyOf,
        /// "Board A".
        pub name: String,
        /// Its cuts and those of its pieces, in their order.
        pub cuts: Vec<DoneRow>,
    }
}

to_page! {
    /// How far a copy of a part is.
    pub enum PartState {
        /// It has a place and is still to be sawn.
        #[default]
        ToSaw,
        /// It has no place.
        Waiting,
        /// Its blank is sawn.
        InHand,
    }
}

to_page! {
    /// One copy of a part at the bench.
    pub struct BenchCopy {
        /// Which.
        pub part: CopyOf,
        /// "Leg 2".
        pub name: String,
        /// How far it is.
        pub state: PartState,
        /// "piece C4", "on A1, free after cut 14", "No room was found ...".
        pub text: String,
        /// Why its blank does not do any more, where it is in hand and was measured.
        pub broken: Option<String>,
        /// The board that it lies on, or the piece that it is.
        pub board: Option<CopyOf>,
        /// The tick of the cut that frees it.
        pub tick: Option<String>,
    }
}

to_page! {
    /// A part of the piece at the bench.
    pub struct BenchPart {
        /// It.
        pub thing: Thing,
        /// "Leg".
        pub name: String,
        /// "2 in hand, 1 to saw, 1 waiting".
        pub text: String,
        /// Copy by copy.
        pub copies: Vec<BenchCopy>,
        /// From the blank to its finished size, in order: what to do, and the size to set.
        pub work: Vec<String>,
    }
}
