//! Everything that the header and the side sheet show.

use super::{
    Bench, BoardRow, CopyOf, FindingRow, KeptRow, Line, PageName, PartRow, PlanSummary, ProblemRow,
    SimpleRow, Thing, to_page,
};

to_page! {
    /// The line under each of the four places.
    pub struct Tabs {
        /// "8 boards".
        pub timber: String,
        /// "25 parts".
        pub piece: String,
        /// "all placed"; short, so that four fit beside each other on a phone.
        pub setting_out: String,
        /// "31 cuts".
        pub bench: String,
    }
}

to_page! {
    /// What is selected, in words.
    pub struct SelectionSheet {
        /// "Leg 2".
        pub title: String,
        /// "on board C", "on the trestle".
        pub subtitle: String,
        /// Its figures.
        pub lines: Vec<Line>,
        /// The form that edits it.
        pub thing: Option<Thing>,
        /// The copy, if a part is selected.
        pub part: Option<CopyOf>,
        /// The copy, if a board is selected.
        pub board: Option<CopyOf>,
        /// It is placed on a board.
        pub placed: bool,
        /// It stays where it is.
        pub pinned: bool,
        /// It may be turned over.
        pub may_turn_over: bool,
        /// It is sawn by line.
        pub sawn: bool,
    }
}

to_page! {
    /// A part that waits on the trestle, with all its copies that do.
    pub struct TrestleRow {
        /// The first copy: the one that is taken in the hand.
        pub part: CopyOf,
        /// All copies that wait, ascending.
        pub copies: Vec<u32>,
        /// "Leg 2"; "Leg" where several wait.
        pub name: String,
        /// "770 x 66 x 36".
        pub blank: String,
        /// Its extent along; the picture is asked for when it is seen (`trestle_picture`).
        pub width: f64,
        /// Its extent across.
        pub height: f64,
        /// Why it is not placed.
        pub reason: Option<String>,
    }
}

to_page! {
    /// Everything that the header and the side sheet show.
    pub struct State {
        /// Which of the four places this is for.
        pub place: PageName,
        /// What the piece is called.
        pub title: String,
        /// `mm` or `in`.
        pub units: String,
        /// Counts the changes that a plan depends on, undone ones included: plans begun at another number are dropped.
        pub revision: u32,
        /// What `undo` would take back, in words that follow "Undo:".
        pub undo: Option<String>,
        /// What `redo` would do again.
        pub redo: Option<String>,
        /// Lines under the four places.
        pub tabs: Tabs,
        /// What is wrong with the job as typed.
        pub problems: Vec<ProblemRow>,
        /// Boards.
        pub boards: Vec<BoardRow>,
        /// Parts.
        pub parts: Vec<PartRow>,
        /// The plan on the floor.
        pub plan: Option<PlanSummary>,
        /// What the checker found in it.
        pub findings: Vec<FindingRow>,
        /// Kept plans.
        pub kept: Vec<KeptRow>,
        /// What waits on the trestle.
        pub trestle: Vec<TrestleRow>,
        /// Tools.
        pub tools: Vec<SimpleRow>,
        /// Named dimensions.
        pub dimensions: Vec<SimpleRow>,
        /// Parts that must look related.
        pub matches: Vec<SimpleRow>,
        /// Species of the maker's own.
        pub species: Vec<SimpleRow>,
        /// What matters most, first to last, in words; only aims that do something.
        pub aims: Vec<String>,
        /// The cuts in order (place `bench` only; empty elsewhere).
        pub bench: Bench,
        /// What is selected.
        pub selection: Option<SelectionSheet>,
        /// The search is on.
        pub setting_out: bool,
        /// A sentence to read aloud, said once.
        pub announce: Option<String>,
    }
}
