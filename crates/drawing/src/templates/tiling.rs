//! How a drawing at full size is parted into sheets that overlap.

use std::fmt;

use heartside_geometry::{Bounds, Point};

use crate::paper::Paper;
use crate::printed::EDGE;
use crate::svg::number;

/// Why a template is not printed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum TemplateError {
    /// The overlap is no length, or leaves too little of a sheet, or no room for the marks.
    Overlap {
        /// What was asked for, in millimetres.
        asked: f64,
    },
    /// So many sheets that something must be wrong.
    TooManySheets {
        /// What is drawn.
        title: String,
        /// How many it would be.
        sheets: u64,
    },
}

impl fmt::Display for TemplateError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (least, most) = OVERLAPS;
        match self {
            TemplateError::Overlap { asked } => write!(
                out,
                "Sheets cannot overlap by {} mm: choose {least} to {most} mm.",
                number(*asked)
            ),
            TemplateError::TooManySheets { title, sheets } => write!(
                out,
                "The template of {title} would take {sheets} sheets, more than {MOST_SHEETS}: check its size, or choose larger paper."
            ),
        }
    }
}

/// Smallest and largest overlap: below it the marks find no room, above it most paper goes to waste.
const OVERLAPS: (f64, f64) = (6.0, 40.0);
/// A board of 6 x 1 m is 140 sheets of A4; who has more to glue has mistyped a size.
const MOST_SHEETS: u64 = 400;
/// Height of what stands below the drawing on each sheet.
pub(crate) const FOOT: f64 = 20.0;
/// Kept free round a drawing for the width of its lines.
const ROUND: f64 = 0.5;

/// Sheets in rows and columns, the first at the top left. All places y down.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tiling {
    /// Width and height of a sheet.
    pub(crate) paper: (f64, f64),
    /// Where on a sheet the drawing lies.
    pub(crate) window: Bounds,
    pub(crate) overlap: f64,
    /// What of the drawing comes to the upper left corner of the first sheet's window.
    origin: Point,
    pub(crate) rows: usize,
    pub(crate) columns: usize,
}

impl Tiling {
    /// The fewest sheets that cover a box, lying or standing; the drawing begins at the upper left of the first.
    pub(crate) fn of(
        extent: Bounds,
        paper: Paper,
        overlap: f64,
        title: &str,
    ) -> Result<Tiling, TemplateError> {
        if !(OVERLAPS.0..=OVERLAPS.1).contains(&overlap) {
            return Err(TemplateError::Overlap { asked: overlap });
        }
        let extent = extent.grown(ROUND);
        let (long, short) = paper.size();
        let lying = (long, short, needed(extent, (long, short), overlap));
        let standing = (short, long, needed(extent, (short, long), overlap));
        let sheets = |(_, _, (rows, columns)): (f64, f64, (u64, u64))| rows.saturating_mul(columns);
        let best = match sheets(standing) < sheets(lying) {
            true => standing,
            false => lying,
        };
        if sheets(best) > MOST_SHEETS {
            return Err(TemplateError::TooManySheets {
                title: title.to_owned(),
                sheets: sheets(best),
            });
        }
        let (width, height, (rows, columns)) = best;
        Ok(Tiling {
            paper: (width, height),
            window: window((width, height)),
            overlap,
            origin: extent.min,
            rows: rows as usize,
            columns: columns as usize,
        })
    }

    /// What of the drawing a sheet shows.
    pub(crate) fn sees(&self, (row, column): (usize, usize)) -> Bounds {
        let step = |count: usize, window: f64| count as f64 * (window - self.overlap);
        let min = Point {
            x: self.origin.x + step(column, self.window.width()),
            y: self.origin.y + step(row, self.window.height()),
        };
        let max = Point {
            x: min.x + self.window.width(),
            y: min.y + self.window.height(),
        };
        Bounds { min, max }
    }

    /// What of the drawing a sheet is alone for: up to the middle of each overlap.
    pub(crate) fn cell(&self, (row, column): (usize, usize)) -> Bounds {
        let mut cell = self.sees((row, column));
        let half = self.overlap / 2.0;
        if column > 0 {
            cell.min.x += half;
        }
        if column + 1 < self.columns {
            cell.max.x -= half;
        }
        if row > 0 {
            cell.min.y += half;
        }
        if row + 1 < self.rows {
            cell.max.y -= half;
        }
        cell
    }

    /// A place of the drawing on a sheet.
    pub(crate) fn on_sheet(&self, tile: (usize, usize), p: Point) -> Point {
        let sees = self.sees(tile);
        Point {
            x: p.x - sees.min.x + self.window.min.x,
            y: p.y - sees.min.y + self.window.min.y,
        }
    }

    /// All sheets, row by row.
    pub(crate) fn tiles(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        (0..self.rows).flat_map(|row| (0..self.columns).map(move |column| (row, column)))
    }
}

/// Where on paper of a size the drawing lies.
fn window((width, height): (f64, f64)) -> Bounds {
    let max = Point {
        x: width - EDGE,
        y: height - EDGE - FOOT,
    };
    Bounds::new(Point { x: EDGE, y: EDGE }, max)
}

/// Rows and columns that cover an extent.
fn needed(extent: Bounds, paper: (f64, f64), overlap: f64) -> (u64, u64) {
    let window = window(paper);
    let count = |long: f64, window: f64| {
        let more = ((long - window) / (window - overlap)).max(0.0);
        // A hair over is a rounding of sums.
        (more - 1e-9).ceil().max(0.0) as u64 + 1
    };
    (
        count(extent.height(), window.height()),
        count(extent.width(), window.width()),
    )
}

/// "A1": the letter of the row, the number of the column.
pub(crate) fn tile_name((row, column): (usize, usize)) -> String {
    let mut letters = String::new();
    let mut left = row + 1;
    while left > 0 {
        let letter = b'A' + ((left - 1) % 26) as u8;
        letters.insert(0, char::from(letter));
        left = (left - 1) / 26;
    }
    format!("{letters}{}", column + 1)
}
