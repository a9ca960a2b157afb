//! The cuts in order.

use super::{BenchPart, CopyOf, DoneBoard, Line, Rectangle, to_page};

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
        /// It can be made now: what it is made in lies there by itself.
        pub ready: bool,
        /// What to look at once it is made: "Look at the sawn ends for checks ...".
        pub look: Option<String>,
        /// The marks to draw on what comes free, a sentence a part.
        pub marks: Vec<String>,
    }
}

to_page! {
    /// The cuts that follow each other at one tool and setting.
    pub struct BenchSetUp {
        /// The board whose cuts begin here, where the list goes board by board: "Board A".
        pub board: Option<String>,
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
        /// They go board by board, and not by set-up across boards.
        pub by_board: bool,
        /// "37 set-ups across boards, 45 board by board: 8 fewer"; none where it makes no difference.
        pub saves: Option<String>,
        /// The tick of the next cut: the first that can be made now.
        pub next: Option<String>,
        /// What is cut already, by the boards as they were bought.
        pub done: Vec<DoneBoard>,
        /// "7 in hand, 16 to saw, 2 waiting".
        pub tally: String,
        /// The parts of the piece, each with the state of its copies.
        pub parts: Vec<BenchPart>,
        /// Why to set out the rest again: "2 parts wait". None where nothing asks for it.
        pub rest: Option<String>,
        /// What the last change at the bench came to, three lines at most.
        pub changed: Vec<String>,
    }
}

to_page! {
    /// The piece of one cut alone, as it lies at the machine.
    pub struct StepPicture {
        /// One SVG `g` element, y down.
        pub svg: String,
        /// What it fills, with room around.
        pub bounds: Rectangle,
        /// The same in words: which way it lies, where the fence is, which side is kept.
        pub description: String,
    }
}
