//! A photograph: how its marks are laid and how well they fit, and what is taken of it into the job.

use heartside_timber::document::{ZoneFace, ZoneKind};

use super::{Thing, from_page, to_page};

to_page! {
    /// How the marks of a photograph are laid.
    pub enum PhotoLaid {
        /// The board's own four corners, with its length and the width of each end.
        #[default]
        Corners,
        /// Four marks in a rectangle: chalked beside the board, or the ends of two rules laid across or along
        /// it.
        Rectangle,
        /// The two ends of one rule or any other length, photographed square on.
        Rule,
        /// Marks anywhere, each with its place.
        Places,
    }
}

from_page! {
    /// A place in the photograph: pixels from the left and from the top.
    pub struct PhotoSpot {
        /// From the left.
        pub x: f64,
        /// From the top.
        pub y: f64,
    }
}

from_page! {
    /// A mark: where it is seen, and what was typed of its place.
    pub struct PhotoMarkAsked {
        /// Where it is seen.
        pub seen: PhotoSpot,
        /// Millimetres along and across; not asked of the marks that the way they are laid tells of.
        #[serde(default)]
        pub place: Option<[f64; 2]>,
    }
}

from_page! {
    /// A length that is known between two places of the photograph, to check the marks by.
    pub struct PhotoCheck {
        /// Where it begins.
        pub from: PhotoSpot,
        /// Where it ends.
        pub to: PhotoSpot,
        /// How long it is in truth, in millimetres.
        pub length: f64,
    }
}

from_page! {
    /// Marks of a photograph, in the order in which they were tapped.
    pub struct PhotoAsked {
        /// How the first of them are laid: four of corners and rectangles, two of a rule. Those may be tapped in
        /// any order.
        pub laid: PhotoLaid,
        /// The board's length, the rectangle's, the rule's; in millimetres.
        pub length: f64,
        /// The width of the board's left end, or of the rectangle.
        pub width: f64,
        /// The width of the board's right end; as the left one unless given.
        #[serde(default)]
        pub right_width: Option<f64>,
        /// The rule lies across the board.
        #[serde(default)]
        pub across: bool,
        /// So many quarters of a turn further round than they were taken to lie.
        #[serde(default)]
        pub turned: u32,
        /// The marks.
        pub marks: Vec<PhotoMarkAsked>,
        /// Lengths to check them by.
        #[serde(default)]
        pub checks: Vec<PhotoCheck>,
    }
}

to_page! {
    /// How far a straightened photograph may be off.
    pub struct PhotoError {
        /// In millimetres, at the left end and at the right end.
        pub ends: [f64; 2],
        /// The same as a sentence.
        pub told: String,
    }
}

to_page! {
    /// Something to know about the marks, as a sentence.
    pub struct PhotoRemark {
        /// What it is, and how to mend it.
        pub text: String,
        /// The marks it is about, from 0.
        pub marks: Vec<u32>,
        /// Nothing can be straightened before it is mended.
        pub in_the_way: bool,
    }
}

to_page! {
    /// What a mark was taken for.
    pub struct PhotoMarkTaken {
        /// Which corner or end it is; null of marks with a place of their own.
        pub name: Option<String>,
        /// Millimetres along and across; null while too few marks are set.
        pub place: Option<[f64; 2]>,
    }
}

to_page! {
    /// How well the marks of a photograph fit.
    pub struct PhotoFit {
        /// Null while nothing can be straightened; the remarks say why.
        pub error: Option<PhotoError>,
        /// How far marks and lengths that are to spare are off, as a sentence.
        pub misfit: Option<String>,
        /// What to know, and what to mend.
        pub remarks: Vec<PhotoRemark>,
        /// Where the corners of what was measured are seen, from the lower left one counter-clockwise; none while
        /// nothing can be straightened.
        pub corners: Vec<PhotoSpot>,
        /// What each mark was taken for.
        pub marks: Vec<PhotoMarkTaken>,
        /// What is shown unless told otherwise: x and y from, x and y to, in millimetres of the board's frame.
        pub shown: [f64; 4],
    }
}

to_page! {
    /// A photograph at true scale, as it is about to be made.
    pub struct PhotoTrue {
        /// Why it cannot be made.
        pub problem: Option<String>,
        /// Pixels in a row, and rows.
        pub size: [u32; 2],
        /// Side of a pixel in millimetres.
        pub pixel: f64,
        /// The lower left corner, in millimetres of the board's frame.
        pub origin: [f64; 2],
    }
}

to_page! {
    /// What an area looks like.
    pub enum PhotoSeenKind {
        /// A knot.
        #[default]
        Knot,
        /// A split.
        Split,
        /// Bark along an edge.
        Bark,
        /// Sapwood along an edge.
        Sapwood,
    }
}

to_page! {
    /// An area that was seen: a proposal, used by nothing until it is accepted.
    pub struct PhotoSeenArea {
        /// What it looks like.
        pub kind: PhotoSeenKind,
        /// An oval in the box of its corners; otherwise corner by corner.
        pub oval: bool,
        /// Its corners, in millimetres of the frame of the straightened picture.
        pub corners: Vec<[f64; 2]>,
        /// From 0 (a guess) to 1.
        pub sure: f64,
        /// What speaks for it, as a sentence.
        pub because: String,
    }
}

to_page! {
    /// Lines that were seen, proposed like areas.
    pub struct PhotoSeenLines {
        /// The lines, in millimetres of the frame of the straightened picture.
        pub lines: Vec<Vec<[f64; 2]>>,
        /// From 0 (a guess) to 1; of outlines that are 0.7 sure or more 95 in 100 are right within 3 % of the area.
        pub sure: f64,
        /// What speaks for it, as a sentence.
        pub because: String,
    }
}

to_page! {
    /// What was seen in a straightened picture.
    pub struct PhotoSeen {
        /// Why nothing can be seen in it.
        pub problem: Option<String>,
        /// The board's outline, one line without its first point again at the end; null where it was given or no
        /// board was seen.
        pub outline: Option<PhotoSeenLines>,
        /// Knots, splits, bark and sapwood, the surest of each kind first.
        pub areas: Vec<PhotoSeenArea>,
        /// Lines along the grain.
        pub grain: Option<PhotoSeenLines>,
    }
}

from_page! {
    /// An area seen on a photograph.
    pub struct PhotoZone {
        /// What it marks.
        pub kind: ZoneKind,
        /// "knot", "split": shown on the picture.
        #[serde(default)]
        pub note: String,
        /// An oval in the box of its corners; otherwise corner by corner.
        #[serde(default)]
        pub oval: bool,
        /// Its corners, in millimetres of the frame of the straightened picture.
        pub corners: Vec<[f64; 2]>,
    }
}

from_page! {
    /// What is taken of a straightened photograph, all in millimetres of the frame of its picture.
    pub struct PhotoTaken {
        /// The board whose face it shows; a new one where null.
        #[serde(default)]
        pub board: Option<Thing>,
        /// The face: the down face where it says so, else the up face.
        pub face: ZoneFace,
        /// SHA-256 of the picture's file, in hexadecimal; empty where only what was traced over it is taken.
        pub hash: String,
        /// Side of a pixel in millimetres.
        pub pixel: f64,
        /// The picture's lower left corner.
        pub origin: [f64; 2],
        /// Pixels in a row, and rows.
        pub size: [u32; 2],
        /// The same of the photograph.
        pub original: [u32; 2],
        /// The marks, each with its place.
        pub marks: Vec<PhotoMarkAsked>,
        /// The board's outline as it was measured or seen.
        pub outline: Vec<[f64; 2]>,
        /// A board that is there already gets this outline. Otherwise it keeps its own.
        #[serde(default)]
        pub new_outline: bool,
        /// It shows a part of a board that is there, in the board's own frame: its marks were measured along all of
        /// it. An outline then joins the board's own.
        #[serde(default)]
        pub part: bool,
        /// It is taken as it is, though it looks as if it lay otherwise.
        #[serde(default)]
        pub sure: bool,
        /// Marked areas.
        pub zones: Vec<PhotoZone>,
        /// Lines along the grain; none where the board's grain stays as it is.
        pub grain: Vec<Vec<[f64; 2]>>,
        /// Thickness of a new board as it was typed; as the last one bought where empty.
        #[serde(default)]
        pub thickness: String,
        /// The map of its figure as a worker made it; empty where none was made.
        #[serde(default)]
        pub figure: String,
        /// Species of a new board; as the last one bought where empty.
        #[serde(default)]
        pub species: String,
    }
}

to_page! {
    /// What a photograph says of the figure.
    pub struct PhotoFigure {
        /// The map, as the session takes it; empty where none could be made.
        pub map: String,
        /// Why it tells nothing, as a sentence.
        pub problem: Option<String>,
    }
}

to_page! {
    /// A photograph of the job of which no map of figure was made yet.
    pub struct PhotoToMap {
        /// SHA-256 of its file.
        pub hash: String,
        /// Side of a pixel in millimetres.
        pub pixel: f64,
        /// The picture's lower left corner, in millimetres of the frame of the face.
        pub origin: [f64; 2],
        /// Its board's outline in that frame: x and y of its points in turn.
        pub outline: Vec<f64>,
    }
}

to_page! {
    /// A photograph of an invented log whose picture is not at hand and can be made.
    pub struct PhotoToRender {
        /// Its row among the job's photographs.
        pub row: u32,
        /// The log's number.
        pub log: u32,
        /// Which of its boards.
        pub board: u32,
        /// It shows the down face.
        pub is_down: bool,
        /// Pixels in a row, and rows.
        pub size: [u32; 2],
        /// How large they are, where they lie, and its board's outline; of the hash that it had, if any.
        pub place: PhotoToMap,
    }
}

to_page! {
    /// A photograph of the job.
    pub struct PhotoRow {
        /// SHA-256 of its file.
        pub hash: String,
        /// Its board; null where that is not there.
        pub board: Option<Thing>,
        /// "board A, up face".
        pub title: String,
    }
}
