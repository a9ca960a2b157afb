//! How well faces are balanced, and better ones that were found.

use super::to_page;

to_page! {
    /// A place of a face where a measure is lost, in millimetres from the upper left corner of its picture.
    pub struct LostPlace {
        /// From the left.
        pub x: f64,
        /// From above.
        pub y: f64,
        /// To the right.
        pub width: f64,
        /// Downwards.
        pub height: f64,
        /// What of the loss lies there, from 0 to 1.
        pub share: f64,
    }
}

to_page! {
    /// One measure of a face.
    pub struct MeasureRow {
        /// "Halves answer each other".
        pub name: String,
        /// From 0 to 1, the best; null where nothing can be said.
        pub value: Option<f64>,
        /// "0.82".
        pub text: String,
        /// "left end of the lower half"; empty where nothing is lost.
        pub lost_at: String,
        /// Where it is lost, the worst first.
        pub lost: Vec<LostPlace>,
    }
}

to_page! {
    /// How well a face of the plan on the floor is balanced.
    pub struct FaceBalance {
        /// Its key.
        pub key: String,
        /// What is known of it and what is not, in sentences.
        pub notes: Vec<String>,
        /// Its measures.
        pub measures: Vec<MeasureRow>,
        /// Why no better face can be looked for; null where one can.
        pub cannot_look: Option<String>,
    }
}

to_page! {
    /// A face that could be made: a plan of the whole job that was checked.
    pub struct FaceCard {
        /// Its place, by which it is taken.
        pub index: u32,
        /// Its measures.
        pub measures: Vec<MeasureRow>,
        /// How well it meets what was wished, from 0 to 1.
        pub worth: f64,
        /// "14.00 more than the cheapest plan known".
        pub cost: String,
        /// "Stave 1 from A, stave 2 from C, turned over".
        pub lies: String,
        /// What is cut away for it, in sentences.
        pub cut_away: Vec<String>,
    }
}

to_page! {
    /// What is known so far of better faces.
    pub struct FacesFound {
        /// How far it is, or why there is nothing to look for.
        pub sentence: String,
        /// What of the wish no face meets and what can be done about it, in sentences.
        pub contradictions: Vec<String>,
        /// The best first.
        pub cards: Vec<FaceCard>,
        /// How far it is, from 0 to 1.
        pub share: f64,
        /// Nothing more is to come.
        pub done: bool,
    }
}

to_page! {
    /// The pictures of a face that could be made.
    pub struct FacePictures {
        /// As it will look: an `svg` element.
        pub face: String,
        /// Where it lies on the boards: a drawing that stands alone; empty where nothing can be drawn.
        pub boards: String,
    }
}
