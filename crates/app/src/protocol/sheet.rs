//! Drawings for paper and files.

use super::to_page;

to_page! {
    /// Size of the paper.
    pub enum Paper {
        /// 210 x 297 mm.
        #[default]
        A4,
        /// 297 x 420 mm.
        A3,
        /// 8 1/2 x 11 in.
        Letter,
    }
}

impl From<Paper> for heartside_drawing::Paper {
    fn from(paper: Paper) -> heartside_drawing::Paper {
        match paper {
            Paper::A4 => heartside_drawing::Paper::A4,
            Paper::A3 => heartside_drawing::Paper::A3,
            Paper::Letter => heartside_drawing::Paper::Letter,
        }
    }
}

to_page! {
    /// A drawing that stands alone.
    pub struct Sheet {
        /// File name in safe letters.
        pub name: String,
        /// "Board A".
        pub title: String,
        /// A whole SVG document; empty where there is nothing to draw.
        pub svg: String,
        /// Width of the drawing in millimetres.
        pub width_mm: f64,
        /// Height of the drawing in millimetres.
        pub height_mm: f64,
    }
}
