//! Photographs of boards and what was read off them.

use std::collections::BTreeMap;

use super::form::document_struct;
use super::zone::ZoneFace;

document_struct! {
    /// A photograph of one face of a board.
    pub struct Photo {
        /// SHA-256 of the picture's file, in hexadecimal.
        pub hash: String,
        /// The board.
        pub board: String,
        /// The face it shows.
        pub face: ZoneFace,
        /// Points of the picture whose place on the board is known.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub marks: Vec<PhotoMark>,
    }
}

document_struct! {
    /// A point of a photograph whose place on the board is known.
    pub struct PhotoMark {
        /// Where it is in the picture: pixels from the left and from the top.
        pub pixel: [f64; 2],
        /// Where it is on the board, in millimetres of the board's frame.
        pub at: [f64; 2],
    }
}

document_struct! {
    /// What a photograph says about the figure, on square cells of the board; whole numbers, so
    /// that plans are the same on every machine however it reads pictures.
    pub struct FigureMap {
        /// The photograph's hash.
        pub photo: String,
        /// Side of a cell in millimetres.
        pub cell: f64,
        /// The first cell's corner, in millimetres of the board's frame.
        pub origin: [f64; 2],
        /// Cells in a row along the board.
        pub columns: u32,
        /// What was measured, by name; each row by row across the board.
        pub layers: BTreeMap<String, Vec<i32>>,
    }
}
