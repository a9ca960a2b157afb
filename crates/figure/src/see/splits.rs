//! Splits: long thin dark lines that run in from an end along the grain.
//!
//! A pixel is in one if it is darker than the wood some millimetres above it and below it, the shape of a
//! valley across the board (Haralick 1983); neighbours make a line, and lines are kept by their shape.

use heartside_geometry::Point;

use super::areas::Mask;
use super::colours::Colours;
use super::ribbon::{Ribbon, simpler};
use super::seen::{Seen, share};

/// Half the width of the widest split, and some more, in millimetres.
const BESIDE: f64 = 4.0;
/// How much darker than the wood beside it, in CIELAB's lightness: grain lines are up to 10.
const DARKER: f32 = 13.0;
/// The shortest split in millimetres: shorter ones go when the end is trimmed.
const SHORTEST: f64 = 25.0;
/// Lines less long for their height are rims of knots.
const SLENDER: usize = 5;
/// A split begins this near an end, in millimetres.
const NEAR_END: f64 = 25.0;

/// A line of dark pixels: its highest and lowest row in each column from `left` on.
struct Line {
    left: usize,
    rows: Vec<Option<(usize, usize)>>,
    area: usize,
}

/// Outlines of splits, counter-clockwise in the board's frame.
pub(crate) fn splits(colours: &Colours, ribbon: &Ribbon) -> Vec<Seen<Vec<Point>>> {
    let Some((first, last)) = ribbon.columns() else {
        return Vec::new();
    };
    let dark = valleys(colours, ribbon);
    // Dust and a pixel's breadth at its thin end break a split.
    let mask = Mask {
        width: colours.width,
        counts: dark.iter().map(|value| *value >= DARKER).collect(),
    };
    let mask = mask.closed(2);
    let mut found = Vec::new();
    for line in lines(&mask) {
        let length = line.rows.len();
        let top = line.rows.iter().flatten().map(|rows| rows.0).min();
        let bottom = line.rows.iter().flatten().map(|rows| rows.1).max();
        let (Some(top), Some(bottom)) = (top, bottom) else {
            continue;
        };
        let right = line.left + length - 1;
        let thick = line.area as f64 / length as f64 * colours.pixel;
        if (length as f64) * colours.pixel < SHORTEST
            || (bottom - top + 1) * SLENDER > length
            || thick > 2.0 * BESIDE
        {
            continue;
        }
        let (mut sum, mut count) = (0.0, 0.0);
        for (at, rows) in line.rows.iter().enumerate() {
            if let Some((from, to)) = rows {
                let deepest = (*from..=*to)
                    .map(|r| dark[r * colours.width + line.left + at])
                    .fold(0.0, f32::max);
                sum += f64::from(deepest);
                count += 1.0;
            }
        }
        let darker = sum / f64::max(count, 1.0);
        let near = colours.pixels(NEAR_END);
        let at_end = line.left <= first + near || right + near >= last;
        let millimetres = length as f64 * colours.pixel;
        let (sure, because) = if at_end {
            (
                0.4 + 0.6 * share(darker, 12.0, 25.0),
                format!("A thin dark line runs {millimetres:.0} mm into the board from its end."),
            )
        } else {
            // Away from the ends it may be dirt, a pencil line, or a dark ring.
            (
                0.5 * share(darker, 12.0, 30.0),
                format!(
                    "A thin dark line {millimetres:.0} mm long, away from the ends: a check, or only dark grain."
                ),
            )
        };
        if sure >= 0.25 {
            found.push(Seen {
                what: outline(&line, colours),
                sure,
                because,
            });
        }
    }
    found
}

/// How much darker each pixel is than those beside it across the board; nothing near the edges.
fn valleys(colours: &Colours, ribbon: &Ribbon) -> Vec<f32> {
    let (width, beside) = (colours.width, colours.pixels(BESIDE));
    let lightness = colours.lightness();
    let mut dark = vec![0.0; lightness.len()];
    for column in 0..width {
        let (from, to) = ribbon.rows(column, 2.0 * beside as f32);
        for row in from..to.min(colours.height.saturating_sub(beside)) {
            let at = row * width + column;
            let (above, below) = (
                lightness[at - beside * width],
                lightness[at + beside * width],
            );
            dark[at] = above.min(below) - lightness[at];
        }
    }
    dark
}

fn lines(mask: &Mask) -> Vec<Line> {
    let line = |area: Vec<(usize, usize)>| {
        let left = area.iter().map(|pixel| pixel.0).min()?;
        let right = area.iter().map(|pixel| pixel.0).max()?;
        let mut rows = vec![None; right + 1 - left];
        for (column, row) in &area {
            let rows = rows[column - left].get_or_insert((*row, *row));
            *rows = (rows.0.min(*row), rows.1.max(*row));
        }
        Some(Line {
            left,
            rows,
            area: area.len(),
        })
    };
    mask.areas(true).into_iter().filter_map(line).collect()
}

fn outline(line: &Line, colours: &Colours) -> Vec<Point> {
    let side = |below: bool| -> Vec<Point> {
        line.rows
            .iter()
            .enumerate()
            .filter_map(|(at, rows)| {
                let (top, bottom) = (*rows)?;
                let row = if below {
                    bottom as f64 + 1.0
                } else {
                    top as f64
                };
                Some(colours.place((line.left + at) as f64 + 0.5, row))
            })
            .collect()
    };
    let mut upper = side(false);
    upper.reverse();
    [simpler(&side(true), 0.5), simpler(&upper, 0.5)].concat()
}
