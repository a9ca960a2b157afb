//! Outlines, marked areas and lines along the grain, drawn on the floor.

use super::to_page;

to_page! {
    /// What is to be drawn.
    pub enum DrawWhat {
        /// The outline of a board and its holes.
        #[default]
        Outline,
        /// A marked area: a new one on a board, or the shape of one that is there.
        Area,
        /// Lines along the grain.
        Grain,
    }
}

to_page! {
    /// How the pointer draws.
    pub enum DrawWay {
        /// Point by point.
        #[default]
        Points,
        /// A drag draws the line.
        Freehand,
        /// A drag draws the box round an oval.
        Oval,
        /// A drag draws an oval from its middle.
        FromMiddle,
    }
}

to_page! {
    /// What a pointer does while something is drawn.
    pub enum DrawStep {
        /// It goes by.
        #[default]
        Hover,
        /// It was pressed and is dragged from there.
        Press,
        /// It is dragged.
        Drag,
        /// A drag ends.
        Release,
        /// It was pressed and let go.
        Tap,
        /// A drag is given up.
        GiveUp,
    }
}

to_page! {
    /// What is done to a drawing without a pointer.
    pub enum DrawOrder {
        /// The last step is taken back.
        #[default]
        Back,
        /// The last step taken back is done again.
        Forward,
        /// The line is closed; along the grain it ends.
        Close,
        /// The next point begins another line.
        Another,
        /// The chosen point goes.
        Remove,
        /// The line of the chosen point goes; all lines where none is chosen.
        RemoveLine,
        /// The next point is chosen.
        Next,
        /// The point before is chosen.
        Before,
        /// Points jump to marks of the rule, or do so no more.
        Snap,
    }
}

to_page! {
    /// A drawing as it is seen, in the floor's units: millimetres, y down.
    pub struct Drawing {
        /// What is drawn.
        pub what: DrawWhat,
        /// How the pointer draws.
        pub way: DrawWay,
        /// What is drawn on, such as "board A".
        pub on: String,
        /// The lines and their points.
        pub svg: String,
        /// What to do next, or what is to be known.
        pub sentence: String,
        /// Something is wrong with the lines: they cannot be taken so.
        pub wrong: bool,
        /// What the two numbers that can be typed are.
        pub labels: Vec<String>,
        /// What they are now; empty where they are nothing yet.
        pub now: Vec<String>,
        /// Where the point lies that they are about; nothing before the first one.
        pub at: Option<[f64; 2]>,
        /// A line is begun and not closed.
        pub open: bool,
        /// A point is chosen.
        pub chosen: bool,
        /// A step can be taken back.
        pub back: bool,
        /// One that was taken back can be done again.
        pub forward: bool,
        /// Points jump to marks of the rule.
        pub snaps: bool,
    }
}
