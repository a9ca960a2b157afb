//! Tables in rows on a page, going on where the last page ended.

use heartside_cutting::Table;
use heartside_geometry::Point;

use crate::pen::{Pen, Words};
use crate::text::{LINE, text_width, wrap};

/// Size of the text in cells, in millimetres.
const CELL: f64 = 2.45;

/// Draws tables below each other from a table and row on, as far as they fit; returns where to go on.
pub(crate) fn draw_tables(
    pen: &mut Pen,
    tables: &[(Table, Vec<f64>)],
    from: (usize, usize),
    at: Point,
    width: f64,
    bottom: f64,
) -> (usize, usize) {
    let mut y = at.y;
    let (mut place, mut row) = from;
    let mut any = false;
    while let Some((table, shares)) = tables.get(place) {
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
        let head = 5.0 + CELL * LINE + 2.0;
        let first = table.rows.get(row).map_or(0.0, |r| row_height(r).0);
        if y + head + first > bottom && any {
            return (place, row);
        }
        pen.words(&Words::starting(
            table.title.clone(),
            "hs-name",
            Point {
                x: at.x,
                y: y + 2.0,
            },
            3.1,
        ));
        y += 5.0;
        let mut x = at.x;
        for (column, share) in table.columns.iter().zip(shares) {
            pen.words(&Words::starting(
                column.title.clone(),
                "hs-italic",
                Point {
                    x,
                    y: y + CELL * LINE / 2.0,
                },
                CELL,
            ));
            x += share * width;
        }
        y += CELL * LINE + 0.8;
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
                return (place, row);
            }
            any = true;
            let mut x = at.x;
            for (cell, share) in lines.iter().zip(shares) {
                for (number, line) in cell.iter().enumerate() {
                    let middle = y + (number as f64 * 1.08 + 0.5) * CELL * LINE;
                    let fitting = if text_width(line, CELL) > share * width - 1.0 {
                        crate::text::shorten(line, CELL, share * width - 1.0)
                    } else {
                        line.clone()
                    };
                    pen.words(&Words::starting(
                        fitting,
                        "hs-name",
                        Point { x, y: middle },
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
    (place, row)
}
