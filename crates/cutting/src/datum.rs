//! What a maker measures from: one end and one edge (or chalk line) of a board.

use heartside_geometry::{Point, Region};
use heartside_timber::job::{Board, EdgeKind};
use heartside_timber::length::{DisplayUnits, write_dimension, write_length};
use serde::Serialize;

/// How far a straight side may wander off a line along the board and still count as its edge, in millimetres.
///
/// Tighter, and an edge typed to the tenth would be lost; wider, and a tape hooked on it
/// would mislead by as much.
const TRUE_WITHIN: f64 = 0.2;
/// Share of the board's length that a straight edge must cover to be measured from.
const COVERS: f64 = 0.75;

/// Where distances across a board are measured from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "from", rename_all = "snake_case")]
pub enum Across {
    /// The straight right-hand edge (looking from the start end): distances count to the left, y up.
    RightEdge {
        /// Its y in the board's frame.
        y: f64,
    },
    /// The straight left-hand edge: distances count to the right, y down.
    LeftEdge {
        /// Its y in the board's frame.
        y: f64,
    },
    /// A chalk line along the board: distances count to the left (positive) and to the right (negative).
    ChalkLine {
        /// Its y in the board's frame.
        y: f64,
    },
}

/// The zero of a board's running dimensions.
///
/// Along: the start end, x = its least x. Across: the straight right edge if there is one,
/// else the straight left edge, else a chalk line (the board's own, y = 0, where that lies
/// inside it; otherwise one through the middle of its bounds).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Datum {
    /// The start end's x in the board's frame.
    pub start: f64,
    /// Where distances across count from.
    pub across: Across,
    /// For a chalk line: its distance from the right edge at the start end and at the far end.
    pub chalk_from_right: Option<(f64, f64)>,
}

impl Datum {
    /// The datum of a board. O(sides).
    pub fn of(board: &Board) -> Datum {
        let bounds = board.outline.bounds();
        let start = bounds.min.x;
        let covered = |y: f64| -> f64 {
            board
                .outline
                .outer()
                .edges()
                .zip(&board.sides)
                .filter(|((a, b), side)| {
                    side.kind == EdgeKind::Straight
                        && !side.is_end
                        && (a.y - y).abs() <= TRUE_WITHIN
                        && (b.y - y).abs() <= TRUE_WITHIN
                })
                .map(|((a, b), _)| (b.x - a.x).abs())
                .sum()
        };
        let long_enough = COVERS * bounds.width();
        let across = if covered(bounds.min.y) >= long_enough {
            Across::RightEdge { y: bounds.min.y }
        } else if covered(bounds.max.y) >= long_enough {
            Across::LeftEdge { y: bounds.max.y }
        } else {
            let own = bounds.min.y < -1.0 && bounds.max.y > 1.0;
            Across::ChalkLine {
                y: if own {
                    0.0
                } else {
                    (bounds.min.y + bounds.max.y) / 2.0
                },
            }
        };
        let chalk_from_right = match across {
            Across::ChalkLine { y } => {
                // A hair inside the ends, so that a slanted end does not hide the edge.
                let inset = (bounds.width() / 100.0).min(1.0);
                let below = |x: f64| y - lowest_at(&board.outline, x).unwrap_or(bounds.min.y);
                Some((below(bounds.min.x + inset), below(bounds.max.x - inset)))
            }
            _ => None,
        };
        Datum {
            start,
            across,
            chalk_from_right,
        }
    }

    /// Distance along the board from the start end.
    pub fn along(&self, p: Point) -> f64 {
        p.x - self.start
    }

    /// Distance across the board from the edge or chalk line; negative to the right of a chalk line.
    pub fn across_at(&self, p: Point) -> f64 {
        match self.across {
            Across::RightEdge { y } | Across::ChalkLine { y } => p.y - y,
            Across::LeftEdge { y } => y - p.y,
        }
    }

    /// The y of the line measured from.
    pub fn line_y(&self) -> f64 {
        match self.across {
            Across::RightEdge { y } | Across::LeftEdge { y } | Across::ChalkLine { y } => y,
        }
    }

    /// "the right edge", "the left edge" or "the chalk line".
    pub fn across_words(&self) -> &'static str {
        match self.across {
            Across::RightEdge { .. } => "the right edge",
            Across::LeftEdge { .. } => "the left edge",
            Across::ChalkLine { .. } => "the chalk line",
        }
    }
}

impl Datum {
    /// Where something lies across the board, in words: "12 to 78 mm from the right edge",
    /// "7 to 69 mm to the left of the chalk line", "5 mm to the right to 30 mm to the left of the chalk line".
    pub fn span_words(&self, corners: [Point; 2], units: &DisplayUnits) -> String {
        let [a, b] = corners.map(|p| self.across_at(p));
        let (low, high) = (a.min(b), a.max(b));
        let of = self.across_words();
        if self.chalk_from_right.is_none() {
            return format!(
                "{} to {} from {of}",
                write_dimension(low, units),
                write_length(high, units)
            );
        }
        if low >= 0.0 {
            format!(
                "{} to {} to the left of {of}",
                write_dimension(low, units),
                write_length(high, units)
            )
        } else if high <= 0.0 {
            format!(
                "{} to {} to the right of {of}",
                write_dimension(-high, units),
                write_length(-low, units)
            )
        } else {
            format!(
                "from {} to the right to {} to the left of {of}",
                write_length(-low, units),
                write_length(high, units)
            )
        }
    }
}

/// The lowest y of an outline at one x.
fn lowest_at(region: &Region, x: f64) -> Option<f64> {
    region
        .outer()
        .edges()
        .filter(|(a, b)| (a.x > x) != (b.x > x))
        .map(|(a, b)| a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y))
        .min_by(f64::total_cmp)
}
