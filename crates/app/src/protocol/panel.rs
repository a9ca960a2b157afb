//! Panels as they are glued up, and what a size would cost over its range.

use super::{CopyOf, Line, to_page};

to_page! {
    /// A stave in its place in a panel.
    pub struct StaveRow {
        /// It.
        pub part: CopyOf,
        /// Its number.
        pub number: u32,
        /// "Stave 3".
        pub name: String,
        /// "133 wide, from A, heart side up".
        pub text: String,
    }
}

to_page! {
    /// One copy of a panel as it is glued up.
    pub struct PanelSheet {
        /// The panel.
        pub panel: CopyOf,
        /// "Top".
        pub title: String,
        /// "1500 × 700 × 20 mm, glued up from 6 staves".
        pub facts: String,
        /// What its faces are asked for by. In their pictures each stave is a group with its number in
        /// `data-stave`, each of its pieces one with its own in `data-piece`.
        pub key: String,
        /// What the mark across the joints means.
        pub mark: String,
        /// Its staves as they lie in the picture: the uppermost first.
        pub staves: Vec<StaveRow>,
        /// What is wrong with it as it is glued up.
        pub problems: Vec<String>,
        /// How it moves over the year and what room that needs.
        pub movement: Vec<Line>,
        /// What that rests on, or why it is not known.
        pub movement_because: String,
    }
}

to_page! {
    /// One value of a size.
    pub struct WhatIfPoint {
        /// Its place, by which it is taken.
        pub index: u32,
        /// Millimetres.
        pub value: f64,
        /// "1462 mm".
        pub value_text: String,
        /// Cost of the best plan found, where every part has its place.
        pub cost: Option<f64>,
        /// What it costs, or how many parts have no place; empty while it is not looked at.
        pub text: String,
        /// It is the value now.
        pub is_here: bool,
        /// It is the value preferred.
        pub is_preferred: bool,
        /// A plan that was checked is there to be taken.
        pub may_be_taken: bool,
    }
}

to_page! {
    /// Neighbouring values of a size that have one thing in their way, or none.
    pub struct WhatIfRange {
        /// What is in the way as the parts lie now; may be empty.
        pub why: String,
        /// The values, the least first.
        pub points: Vec<WhatIfPoint>,
    }
}

to_page! {
    /// What one size would cost over its range, as far as it is known.
    pub struct WhatIf {
        /// How far it is, or why there is nothing to look at.
        pub sentence: String,
        /// The value of the best plan found, where that is better than the one on the floor.
        pub better: Option<u32>,
        /// The same in a sentence without its full stop; may be empty.
        pub better_text: String,
        /// The values, the least first.
        pub ranges: Vec<WhatIfRange>,
        /// Nothing more is to come.
        pub done: bool,
    }
}
