//! Faces as they will look once parts are put together, and how they change while a blank is in the hand.

use super::{CopyOf, to_page};

to_page! {
    /// One side of a panel, or of parts that are seen together.
    pub struct FaceView {
        /// What tells it from all others of the job.
        pub key: String,
        /// An `svg` element; what moves with the wood of a part is a group with `data-figure`, the part's id, `#`
        /// and its copy. Empty where there is no such face.
        pub svg: String,
        /// A photo shows some of its wood.
        pub photo: bool,
        /// "No photo shows this side of stave 2: that wood is drawn, not seen."; empty where all is shown.
        pub unseen: String,
    }
}

to_page! {
    /// Parts that must look related, as they are seen together.
    pub struct TogetherSheet {
        /// What its faces are asked for by.
        pub key: String,
        /// "Door 1 and Door 2".
        pub title: String,
        /// "Opened like a book, side by side".
        pub facts: String,
        /// Its grain is upright unless it is turned.
        pub stands: bool,
        /// Its parts.
        pub parts: Vec<CopyOf>,
    }
}

to_page! {
    /// How a face changes with the part in the hand.
    pub struct HeldFigure {
        /// The face.
        pub face: String,
        /// The part's id, `#` and its copy, as in `data-figure`.
        pub figure: String,
        /// SVG transform of its group.
        pub transform: String,
        /// What the group holds, where that is other than it was the last time.
        pub pictures: Option<String>,
    }
}
