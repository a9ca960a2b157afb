//! Tables in rows on a page, going on where the last page ended.

use heartside_cutting::Table;
use heartside_geometry::Point;

use crate::fitting::around;
use crate::paper::LEAST_TYPE;
use crate::pen::{Pen, Words};
use crate::text::{LINE, shorten, wrap};

/// Size of the text in cells, in millimetres.
const CELL: f64 = LEAST_TYPE;

/// Side of a box to tick, in millimetres.
const BOX: f64 = 3.4;

/// A table as it stands on a page.
#[derive(Debug, Clone)]
pub(crate) struct Listed {
    pub(crate) table: Table,
    /// Widths of the columns as shares of the whole.
    pub(crate) shares: Vec<f64>,
    /// Each row begins with a box to tick.
    pub(crate) boxes: bool,
}

impl Listed {
    /// A table without boxes.
    pub(crate) fn new(table: Table, shares: &[f64]) -> Listed {
        Listed {
            table,
            shares: shares.to_vec(),
            boxes: false,
        }
    }
}

/// Draws tables below each other from a table and row on, as far as they fit; returns
/// where to go on, and how far down it came.
pub(crate) fn draw_tables(
    pen: &mut Pen,
    tables: &[Listed],
    from: (usize, usize),
    at: Point,
    width: f64,
    (bottom, must): (f64, bool),
) -> ((usize, usize), f64) {
    let mut y = at.y;
    let (mut place, mut row) = from;
    // One row is drawn in any case where it must, so that every page gets on.
    let mut any = !must;
    while let Some(Listed {
        table,
        shares,
        boxes,
    }) = tables.get(place)
    {
        let row_height = |cells: &[String]| -> (f64, Vec<Vec<String>>) {
            let lines: Vec<Vec<String>> = cells
                .iter()
                .zip(shares)
                .map(|(cell, share)| {
                    let wide = (share * width - 2.0).max(6.0);
                    cell.lines()
                        .flat_map(|line| wrap(line, CELL, wide))
                        .collect()
                })
                .collect();
            let most = lines.iter().map(Vec::len).max().unwrap_or(1).max(1);
            (most as f64 * CELL * LINE * 1.08 + 1.3, lines)
        };
        let headings: Vec<String> = table.columns.iter().map(|c| c.title.clone()).collect();
        // Figures that need no headings have none.
        let (heading_height, headings) = match headings.iter().all(String::is_empty) {
            true => (1.0, Vec::new()),
            false => row_height(&headings),
        };
        let head = 6.0 + heading_height + 1.0;
        let first = table.rows.get(row).map_or(0.0, |r| row_height(r).0);
        if y + head + first > bottom && any {
            return ((place, row), y);
        }
        pen.words(&Words::starting(
            table.title.clone(),
            "hs-name",
            Point {
                x: at.x,
                y: y + 2.4,
            },
            4.0,
        ));
        y += 6.0;
        let mut x = at.x;
        for (heading, share) in headings.iter().zip(shares) {
            for (number, line) in heading.iter().enumerate() {
                let y = y + (number as f64 * 1.08 + 0.5) * CELL * LINE;
                pen.words(&Words::starting(
                    shorten(line, CELL, share * width - 1.0),
                    "hs-italic",
                    Point { x, y },
                    CELL,
                ));
            }
            x += share * width;
        }
        y += heading_height - 0.5;
        pen.line(
            "hs-pencil",
            Point { x: at.x, y },
            Point { x: at.x + width, y },
            0.18,
        );
        y += 0.8;
        while let Some(cells) = table.rows.get(row) {
            let (high, lines) = row_height(cells);
            if y + high > bottom && any {
                return ((place, row), y);
            }
            any = true;
            let mut x = at.x;
            let mut behind = 0.0;
            if *boxes {
                let middle = Point {
                    x: at.x + BOX / 2.0,
                    y: y + 0.5 * CELL * LINE,
                };
                pen.rect("hs-ink hs-tick", around(middle, BOX, BOX), 0.0, 0.25);
                behind = BOX + 1.6;
            }
            for (cell, share) in lines.iter().zip(shares) {
                for (number, line) in cell.iter().enumerate() {
                    let middle = y + (number as f64 * 1.08 + 0.5) * CELL * LINE;
                    let fitting = shorten(line, CELL, share * width - 1.0);
                    pen.words(&Words::starting(
                        fitting,
                        "hs-name",
                        Point {
                            x: x + std::mem::take(&mut behind),
                            y: middle,
                        },
                        CELL,
                    ));
                }
                x += share * width;
            }
            y += high - 0.5;
            pen.line(
                "hs-rule",
                Point { x: at.x, y },
                Point { x: at.x + width, y },
                0.12,
            );
            y += 0.5;
            row += 1;
        }
        y += 4.0;
        place += 1;
        row = 0;
    }
    ((place, row), y)
}
