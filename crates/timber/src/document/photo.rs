//! Photographs of boards and what was read off them.

use std::collections::BTreeMap;

use heartside_geometry::{Bounds, Point};

use super::form::document_struct;
use super::levels::Levels;
use super::zone::ZoneFace;

/// No board reaches so far, in millimetres.
const MOST: f64 = 1e6;

document_struct! {
    /// A photograph of one face of a board, straightened.
    pub struct Photo {
        /// SHA-256 of the picture's file, in hexadecimal.
        pub hash: String,
        /// The board.
        pub board: String,
        /// The face it shows: the down face where it says so, else the up face.
        pub face: ZoneFace,
        /// Side of a pixel of the straightened picture in millimetres.
        pub pixel: f64,
        /// The picture's lower left corner, in millimetres of the board's frame. Of the down face in that frame
        /// mirrored, y to -y: as it is seen once the board is turned over about its length.
        pub origin: [f64; 2],
        /// Pixels in a row of the straightened picture, and rows.
        pub size: [u32; 2],
        /// The same of the photograph that it was made from.
        pub original: [u32; 2],
        /// Points of the photograph that it was straightened by.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        pub marks: Vec<PhotoMark>,
        /// It is put by: it shows a piece whose cut was taken back. From which x and y to which x and y of the board's
        /// frame that reached; the photograph comes back once such a piece is cut again.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub put_by: Option<[f64; 4]>,
        /// The picture is none of a real board but of an invented log, and can be made again wherever its file is not
        /// at hand.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub rendered: Option<RenderedWood>,
    }
}

document_struct! {
    /// Which board of which invented log a picture shows.
    pub struct RenderedWood {
        /// The log's number.
        pub log: u32,
        /// The board: the first above the pith is 0.
        pub board: u32,
    }
}

impl Photo {
    /// What the picture covers, in millimetres of the frame of the face that it shows. None where its
    /// file or its scale is not told.
    pub fn covers(&self) -> Option<Bounds> {
        let is_hash = self.hash.len() == 64 && self.hash.bytes().all(|b| b.is_ascii_hexdigit());
        let [width, height] = self.size.map(|side| f64::from(side) * self.pixel);
        let [x, y] = self.origin;
        let is_sound = is_hash
            && width > 0.0
            && height > 0.0
            && [x, y, width, height].iter().all(|v| v.abs() < MOST);
        is_sound.then(|| Bounds::new(Point::new(x, y), Point::new(x + width, y + height)))
    }
}

document_struct! {
    /// A point of a photograph whose place on the board is known.
    pub struct PhotoMark {
        /// Where it is in the photograph: pixels from the left and from the top.
        pub pixel: [f64; 2],
        /// Where it is on the board, in millimetres of the board's frame.
        pub at: [f64; 2],
    }
}

document_struct! {
    /// What a photograph says about the figure, on square cells of the face that it shows; whole numbers, so
    /// that plans are the same on every machine however it reads pictures. A photograph may have several, with
    /// cells of different sizes; one without layers says that nothing could be told of its figure.
    pub struct FigureMap {
        /// The photograph's hash.
        pub photo: String,
        /// Side of a cell in millimetres.
        pub cell: f64,
        /// The first cell's lower left corner, in millimetres of the frame of the photograph's face.
        pub origin: [f64; 2],
        /// Cells in a row along the board.
        pub columns: u32,
        /// What was measured, by name: `light`, `sapwood`, `strength`, `direction`; the lowest row first, 0 where no
        /// wood was seen.
        #[cfg_attr(not(target_arch = "wasm32"), schemars(with = "BTreeMap<String, super::levels::LevelsForm>"))]
        #[cfg_attr(feature = "page", tsify(type = "Record<string, string>"))]
        pub layers: BTreeMap<String, Levels>,
    }
}
