//! How labels lie on a sheet, told by measures alone.

use std::fmt;

use heartside_geometry::{Bounds, Point};
use heartside_timber::length::{DisplayUnits, write_dimension, write_length};
use heartside_timber::words::counted;

use crate::paper::Paper;
use crate::printed::EDGE;

/// Rows and columns of labels on a standing sheet, all lengths in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelGrid {
    /// Width and height of the paper, standing.
    pub paper: (f64, f64),
    /// Labels one below the other.
    pub rows: usize,
    /// Labels side by side.
    pub columns: usize,
    /// Width and height of a label.
    pub label: (f64, f64),
    /// From the left edge of the paper to the first column.
    pub left: f64,
    /// From the top edge of the paper to the first row.
    pub top: f64,
    /// Between two columns.
    pub gap_across: f64,
    /// Between two rows.
    pub gap_down: f64,
}

const A4: (f64, f64) = (210.0, 297.0);
const LETTER: (f64, f64) = (215.9, 279.4);

const fn grid(
    paper: (f64, f64),
    (rows, columns): (usize, usize),
    label: (f64, f64),
    (left, top): (f64, f64),
    gap_across: f64,
) -> LabelGrid {
    LabelGrid {
        paper,
        rows,
        columns,
        label,
        left,
        top,
        gap_across,
        gap_down: 0.0,
    }
}

/// Usual grids: six for A4, the last of them to be cut out of plain paper, then four for Letter, likewise.
///
/// Margins follow from the sizes, the grid lying in the middle of the paper.
pub const COMMON_GRIDS: [LabelGrid; 10] = [
    grid(A4, (7, 3), (63.5, 38.1), (7.25, 15.15), 2.5),
    grid(A4, (8, 3), (70.0, 36.0), (0.0, 4.5), 0.0),
    grid(A4, (7, 2), (99.1, 38.1), (4.65, 15.15), 2.5),
    grid(A4, (4, 2), (99.1, 67.7), (4.65, 13.1), 2.5),
    grid(A4, (13, 5), (38.1, 21.2), (4.75, 10.7), 2.5),
    grid(A4, (6, 2), (95.0, 45.0), (10.0, 13.5), 0.0),
    // 2 5/8 × 1 in, 4 × 1 1/3 in, 4 × 2 in, 3 3/4 × 1 3/4 in.
    grid(LETTER, (10, 3), (66.675, 25.4), (4.7625, 12.7), 3.175),
    grid(LETTER, (7, 2), (101.6, 33.866), (3.96875, 21.169), 4.7625),
    grid(LETTER, (5, 2), (101.6, 50.8), (3.96875, 12.7), 4.7625),
    grid(LETTER, (6, 2), (95.25, 44.45), (12.7, 6.35), 0.0),
];

/// Which of the usual grids are to be cut out.
const TO_CUT_OUT_OF_A4: usize = 5;
const TO_CUT_OUT_OF_LETTER: usize = 9;

/// What keeps labels from being printed, each a sentence that says how to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GridFaults(pub Vec<String>);

impl fmt::Display for GridFaults {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0.join(" "))
    }
}

/// Most rows or columns, and the longest side of paper: beyond it a number was mistyped.
const MOST_IN_A_ROW: usize = 60;
const LONGEST_PAPER: f64 = 2000.0;

/// A label has room for a few words of six points from here on.
const LEAST_ROOM: (f64, f64) = (20.0, 8.0);

/// Kept clear inside each label: sheets are drawn in with some play.
const INSET: f64 = 2.0;

/// So much may a grid run over the paper, from measures that were rounded.
const ROUNDING: f64 = 0.05;

impl LabelGrid {
    /// Labels to be cut out of plain paper of a size, standing; where that is A3, of A4.
    pub fn to_cut_out(paper: Paper) -> LabelGrid {
        let at = match paper {
            Paper::A4 | Paper::A3 => TO_CUT_OUT_OF_A4,
            Paper::Letter => TO_CUT_OUT_OF_LETTER,
        };
        COMMON_GRIDS[at]
    }

    /// How many labels a sheet has.
    pub fn on_a_sheet(&self) -> usize {
        self.rows * self.columns
    }

    /// "7 rows of 3 labels, 63.5 × 38.1 mm".
    pub fn words(&self, units: &DisplayUnits) -> String {
        let (width, height) = self.label;
        format!(
            "{} of {}, {} × {}",
            counted(self.rows, "row", "rows"),
            counted(self.columns, "label", "labels"),
            write_dimension(width, units),
            write_length(height, units)
        )
    }

    /// The paper of a label by its place on the sheet, counted from 0 row by row.
    pub(crate) fn place(&self, at: usize) -> Bounds {
        let (row, column) = (at / self.columns.max(1), at % self.columns.max(1));
        let min = Point {
            x: self.left + column as f64 * (self.label.0 + self.gap_across),
            y: self.top + row as f64 * (self.label.1 + self.gap_down),
        };
        let max = Point {
            x: min.x + self.label.0,
            y: min.y + self.label.1,
        };
        Bounds { min, max }
    }

    /// Where on a label something may be printed: not at its own edges, nor at those of the paper.
    pub(crate) fn room(&self, at: usize) -> Option<Bounds> {
        let reached = Bounds::of_size(self.paper.0, self.paper.1).grown(-EDGE);
        self.place(at).grown(-INSET).intersection(reached)
    }

    /// What is wrong with the measures, in the units that are shown.
    ///
    /// # Errors
    /// Everything at once: numbers that are none, labels that run off the paper, and those that
    /// leave no room for words of six points within the edge that printers leave white.
    pub fn checked(&self, units: &DisplayUnits) -> Result<(), GridFaults> {
        let show = |mm: f64| write_length(mm, units);
        let mut faults = Vec::new();
        if !(1..=MOST_IN_A_ROW).contains(&self.rows) || !(1..=MOST_IN_A_ROW).contains(&self.columns)
        {
            faults.push(format!(
                "A sheet has 1 to {MOST_IN_A_ROW} rows and columns of labels, not {} and {}.",
                self.rows, self.columns
            ));
        }
        let is_size = |mm: f64| mm.is_finite() && mm > 0.0 && mm <= LONGEST_PAPER;
        let is_gap = |mm: f64| mm.is_finite() && (0.0..=LONGEST_PAPER).contains(&mm);
        let sizes = [self.paper.0, self.paper.1, self.label.0, self.label.1];
        if !sizes.into_iter().all(is_size) {
            faults.push(format!(
                "Paper and labels must be larger than nothing and no longer than {}.",
                show(LONGEST_PAPER)
            ));
        }
        if ![self.left, self.top, self.gap_across, self.gap_down]
            .into_iter()
            .all(is_gap)
        {
            faults.push("Margins and gaps must be 0 or more.".to_owned());
        }
        if !faults.is_empty() {
            return Err(GridFaults(faults));
        }
        let last = self.place(self.on_a_sheet() - 1).max;
        let mut off = |words: String, end: f64, paper: f64, way: &str| {
            if end > paper + ROUNDING {
                faults.push(format!(
                    "{words} end {} from the edge, and the paper is only {} {way}: make labels, gaps or the margin smaller.",
                    show(end),
                    show(paper)
                ));
            }
        };
        off(
            counted(self.columns, "column", "columns"),
            last.x,
            self.paper.0,
            "wide",
        );
        off(
            counted(self.rows, "row", "rows"),
            last.y,
            self.paper.1,
            "high",
        );
        if faults.is_empty() {
            let is_small = |at: usize| {
                self.room(at).is_none_or(|room| {
                    room.width() < LEAST_ROOM.0 - 1e-9 || room.height() < LEAST_ROOM.1 - 1e-9
                })
            };
            if (0..self.on_a_sheet()).any(is_small) {
                faults.push(format!(
                    "Labels of {} × {} leave no room for words of 6 points: {} × {} must be left within {} of each label's edge and {} of the paper's.",
                    write_dimension(self.label.0, units),
                    show(self.label.1),
                    write_dimension(LEAST_ROOM.0, units),
                    show(LEAST_ROOM.1),
                    show(INSET),
                    show(EDGE)
                ));
            }
        }
        match faults.is_empty() {
            true => Ok(()),
            false => Err(GridFaults(faults)),
        }
    }
}
