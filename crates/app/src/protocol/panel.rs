//! Panels as they are glued up.

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
        /// Its picture, an `svg` element; each stave is a group with its number in `data-stave`.
        pub svg: String,
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
