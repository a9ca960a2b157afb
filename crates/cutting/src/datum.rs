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
/// else the straight left edge, else a chalk line (the board's own, y = 0, where that lies on the
/// wood; otherwise one through the middle of the wood that the whole length has in common).
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
            Across::ChalkLine {
                y: chalk_line(&board.outline),
            }
        };
        let chalk_from_right = match across {
            Across::ChalkLine { y } => Some(from_right(&board.outline, y)),
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

/// The wood across at one x, least and greatest y.
fn wood_at(region: &Region, x: f64) -> Option<(f64, f64)> {
    let heights = region
        .outer()
        .edges()
        .filter(|(a, b)| (a.x > x) != (b.x > x))
        .map(|(a, b)| a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y));
    heights.fold(None, |found: Option<(f64, f64)>, y| {
        Some(found.map_or((y, y), |(low, high)| (low.min(y), high.max(y))))
    })
}

/// Where a line along the board can be snapped: the board's own, y = 0, if that lies on the wood
/// at both ends; else one that lies on it from end to end, else at both ends, else at the start.
fn chalk_line(outline: &Region) -> f64 {
    let (first, last) = within(outline, SLANT * outline.bounds().width());
    let mut places: Vec<f64> = outline.outer().points().iter().map(|p| p.x).collect();
    // Beside each corner: an outline with steps has two heights there.
    places = places.iter().flat_map(|x| [x - 1e-6, x + 1e-6]).collect();
    places.retain(|x| (first..=last).contains(x));
    places.extend([first, last]);
    let common = |places: &[f64]| {
        let spans = places.iter().filter_map(|x| wood_at(outline, *x));
        spans.reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
    };
    let at_ends = common(&[first, last]);
    let holds = |span: &(f64, f64)| span.0 + LEAST_BESIDE < span.1 - LEAST_BESIDE;
    if at_ends.is_some_and(|(low, high)| low + 1.0 < 0.0 && 1.0 < high) {
        return 0.0;
    }
    let whole = common(&places).filter(&holds);
    let (low, high) = whole
        .or_else(|| at_ends.filter(&holds))
        .or_else(|| wood_at(outline, first))
        .unwrap_or((outline.bounds().min.y, outline.bounds().max.y));
    // To whole millimetres, where the wood is wide enough for that.
    let middle = (low + high) / 2.0;
    if high - low > 4.0 {
        middle.round()
    } else {
        middle
    }
}

/// A chalk line nearer to an edge, in millimetres, is off the wood as soon as it is snapped.
const LEAST_BESIDE: f64 = 1.0;

/// Ends may slant over this share of the length; what lies beyond is no place for a line.
const SLANT: f64 = 0.05;

/// The ends of a board, and so much inside them.
fn within(outline: &Region, inset: f64) -> (f64, f64) {
    let bounds = outline.bounds();
    (bounds.min.x + inset, bounds.max.x - inset)
}

/// How far a chalk line lies from the right edge, as near to the start end and to the far end as
/// it lies on the wood.
fn from_right(outline: &Region, y: f64) -> (f64, f64) {
    // A hair inside, so that an upright end hides no edge.
    let (first, last) = within(outline, (outline.bounds().width() / 100.0).min(1.0));
    let above = |x: f64| {
        wood_at(outline, x)
            .filter(|(low, high)| (*low..=*high).contains(&y))
            .map(|(low, _)| y - low)
    };
    let step = (last - first) / 200.0;
    let walk = |from: f64, by: f64| (0..=200).find_map(|k| above(from + by * f64::from(k)));
    (
        walk(first, step).unwrap_or(0.0),
        walk(last, -step).unwrap_or(0.0),
    )
}

#[cfg(test)]
mod tests {
    use heartside_geometry::Ring;
    use proptest::prelude::*;

    use super::*;

    fn outline(points: &[(f64, f64)]) -> Region {
        let points = points.iter().map(|(x, y)| Point { x: *x, y: *y }).collect();
        Region::from_ring(Ring::new(points).expect("an outline"))
    }

    #[test]
    fn the_line_is_the_boards_own_where_that_lies_on_the_wood() {
        let own = outline(&[(0.0, -90.0), (900.0, -60.0), (900.0, 50.0), (0.0, 80.0)]);
        assert_eq!(chalk_line(&own), 0.0);
        assert_eq!(from_right(&own, 0.0).0.round(), 90.0);
        // It tapers off beside y = 0: a line there would leave the wood.
        let beside = outline(&[(0.0, -10.0), (900.0, 60.0), (900.0, 200.0), (0.0, 180.0)]);
        let y = chalk_line(&beside);
        assert!(y > 60.0 && y < 180.0, "{y}");
        // Ends that slant leave a sliver at the very end.
        let slab = [
            (300.0, 40.0),
            (1100.0, 90.0),
            (2300.0, 160.0),
            (2320.0, 520.0),
            (1300.0, 470.0),
            (320.0, 380.0),
        ];
        let slab = outline(&slab);
        let y = chalk_line(&slab);
        assert!(y > 160.0 && y < 380.0, "{y}");
        let (start, far) = from_right(&slab, y);
        assert!(
            start > 150.0 && start < 300.0 && far > 80.0 && far < 180.0,
            "{start} {far}"
        );
    }

    proptest! {
        #[test]
        fn a_chalk_line_lies_on_the_wood_where_it_is_named(
            ends in prop::collection::vec((-300.0..300.0_f64, 40.0..300.0_f64), 2..6),
        ) {
            let low = ends.iter().enumerate().map(|(k, (y, _))| (400.0 * k as f64, *y));
            let high = ends.iter().enumerate().rev().map(|(k, (y, w))| (400.0 * k as f64, y + w));
            let points: Vec<(f64, f64)> = low.chain(high).collect();
            let outline = outline(&points);
            let y = chalk_line(&outline);
            let (first, last) = within(&outline, SLANT * outline.bounds().width());
            let (low, high) = wood_at(&outline, first).expect("wood");
            prop_assert!(y > low && y < high, "{y} is not within {low} to {high}");
            let (start, far) = from_right(&outline, y);
            prop_assert!(start >= 0.0 && far >= 0.0);
            // Where both ends have wood at one height, the line lies on both.
            let (far_low, far_high) = wood_at(&outline, last).expect("wood");
            if low.max(far_low) + 3.0 < high.min(far_high) {
                prop_assert!(y > far_low && y < far_high);
            }
        }
    }
}
