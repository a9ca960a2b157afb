//! Paper to print on: its sizes, its least type, the title block and the foot of a page.

use heartside_cutting::DEFERENCE;
use heartside_geometry::Point;
use serde::{Deserialize, Serialize};

use crate::pen::{Pen, Words};
use crate::title::{FACT_TYPE, Title, right, title};

/// Paper, lying.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// 297 x 210 mm.
    #[default]
    A4,
    /// 420 x 297 mm.
    A3,
    /// 11 x 8 1/2 in.
    Letter,
}

impl Paper {
    /// Width and height in millimetres, lying.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (297.0, 210.0),
            Paper::A3 => (420.0, 297.0),
            Paper::Letter => (279.4, 215.9),
        }
    }
}

pub(crate) const MARGIN: f64 = 10.0;

/// Nine points, in millimetres: the least type on a printed page, read at a bench at arm's length.
pub(crate) const LEAST_TYPE: f64 = 9.0 * 25.4 / 72.0;

/// So much larger than on a screen everything but the wood is drawn on paper: the smallest
/// type of the drawing, that of dimensions, then has its nine points.
pub(crate) const ENLARGED: f64 = 1.42;

/// Height of the two lines at the foot of a page with the room above them.
pub(crate) const FOOT_HEIGHT: f64 = 8.5;

/// The title block, in type no smaller than a page allows.
pub(crate) fn page_title(pen: &mut Pen, head: &Title, at: Point, width: f64) -> f64 {
    let mut own = Pen::new(LEAST_TYPE / FACT_TYPE);
    let height = title(&mut own, head, at, width);
    pen.out.push_str(&own.out);
    height
}

/// The lines at the foot of a page: where one is, and what is said once a page.
pub(crate) fn foot(pen: &mut Pen, page: &str, last: bool, paper: Paper) {
    let (width, height) = paper.size();
    let y = height - MARGIN + 0.5;
    let more = if last { "" } else { ", continued" };
    right(
        pen,
        &format!("{page}{more}"),
        "hs-quiet",
        width - MARGIN,
        y,
        LEAST_TYPE,
    );
    let kept = "Lengths are to the kept side of the kerf. Measure twice: the wood may have moved.";
    for (line, y) in [(DEFERENCE, y - 4.4), (kept, y)] {
        pen.words(&Words::starting(
            line,
            "hs-quiet",
            Point { x: MARGIN, y },
            LEAST_TYPE,
        ));
    }
}
