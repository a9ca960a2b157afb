//! The floor as drawn, in fragments.

use super::{CopyOf, FindingRow, from_page, to_page};

to_page! {
    /// The four places, in the order of the work.
    pub enum PageName {
        /// Boards.
        #[default]
        Timber,
        /// Parts.
        Piece,
        /// The plan.
        SettingOut,
        /// The cuts.
        Bench,
    }
}

from_page! {
    /// What is to be drawn.
    pub struct View {
        /// Which of the four places.
        pub place: PageName,
        /// Send everything, also what has not changed.
        #[serde(default)]
        pub reset: bool,
        /// Screen pixels of one millimetre: labels keep their size on the screen.
        #[serde(default)]
        pub pixels_per_mm: Option<f64>,
        /// Width over height of the window: boards are laid in columns to suit.
        #[serde(default)]
        pub aspect: Option<f64>,
        /// Parts to draw as selected.
        #[serde(default)]
        pub selected_parts: Vec<CopyOf>,
        /// The board to draw as selected.
        #[serde(default)]
        pub selected_board: Option<CopyOf>,
        /// The cut to pick out, by its number.
        #[serde(default)]
        pub chosen_cut: Option<u32>,
    }
}

to_page! {
    /// A rectangle of the floor in its drawing units: millimetres, y down.
    pub struct Rectangle {
        /// Left.
        pub x: f64,
        /// Top.
        pub y: f64,
        /// Width.
        pub width: f64,
        /// Height.
        pub height: f64,
    }
}

to_page! {
    /// One group of the drawing.
    pub struct Fragment {
        /// `board-A-1`, `part-leg-2`, `note-3`, `cuts-A-1`, `ruler`...
        pub id: String,
        /// SVG text: one `g` element with that id.
        pub svg: String,
        /// Drawn in the order of layers, then of ids.
        pub layer: u32,
        /// The board it shows or lies on.
        pub board: Option<CopyOf>,
        /// The part it shows.
        pub part: Option<CopyOf>,
    }
}

to_page! {
    /// What changed on the floor.
    pub struct Scene {
        /// All that is drawn.
        pub bounds: Rectangle,
        /// Fragments whose text is new.
        pub fragments: Vec<Fragment>,
        /// Ids of fragments that are gone.
        pub removed: Vec<String>,
        /// Where the boards lie: the trestle is not among them.
        pub boards: Vec<BoardPlace>,
        /// The words of the drawing for those who cannot see it.
        pub description: String,
    }
}

to_page! {
    /// Where a board lies on the floor.
    pub struct BoardPlace {
        /// Which.
        pub board: CopyOf,
        /// Its bounding box.
        pub bounds: Rectangle,
    }
}

to_page! {
    /// A part in the hand.
    pub struct Held {
        /// There is one; false where it could not be picked up (see `problem`).
        pub held: bool,
        /// Why not.
        pub problem: Option<String>,
        /// The middle of its blank on the floor: x.
        pub x: f64,
        /// The middle of its blank on the floor: y.
        pub y: f64,
        /// Degrees, counter-clockwise as seen.
        pub turn: f64,
        /// Its up face lies down.
        pub turned_over: bool,
        /// Fragment to move; it is drawn once and then moved by `transform`.
        pub fragment: Option<Fragment>,
        /// SVG transform of the fragment.
        pub transform: String,
        /// The board under it.
        pub board: Option<CopyOf>,
        /// It jumped to a neighbour, edge or grain.
        pub snapped: bool,
        /// It could be dropped here with every rule kept.
        pub fits: bool,
        /// What is wrong here.
        pub findings: Vec<FindingRow>,
        /// In one sentence.
        pub sentence: String,
    }
}

to_page! {
    /// A mark of the ruler along the top of the floor.
    pub struct RulerMark {
        /// Where it stands, in the floor's millimetres.
        pub at: f64,
        /// The number at it, in the job's units.
        pub label: Option<String>,
    }
}
