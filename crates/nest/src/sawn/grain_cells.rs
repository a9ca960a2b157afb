//! The grain of a bent board, cell by cell.

use heartside_geometry::{Bounds, Point};
use heartside_timber::grain::{CELL, difference};
use heartside_timber::job::Board;

/// Directions of the cells of a bent board, row by row.

#[derive(Debug)]
pub(super) struct Cells {
    columns: usize,
    rows: usize,
    angles: Vec<f64>,
}

impl Cells {
    pub(super) fn of(board: &Board, frame: &Bounds) -> Cells {
        let count = |extent: f64| ((extent / CELL).ceil() as usize).max(1);
        let (columns, rows) = (count(frame.width()), count(frame.height()));
        let mut angles = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            for column in 0..columns {
                angles.push(board.grain.angle_at(Point::new(
                    frame.min.x + (column as f64 + 0.5) * CELL,
                    frame.min.y + (row as f64 + 0.5) * CELL,
                )));
            }
        }
        Cells {
            columns,
            rows,
            angles,
        }
    }

    /// The greatest angle between a direction and the grain of the cells that a box meets.
    pub(super) fn worst(&self, origin: Point, bounds: &Bounds, direction: f64) -> f64 {
        let place =
            |value: f64, count: usize| ((value / CELL).floor().max(0.0) as usize).min(count - 1);
        let columns = place(bounds.min.x - origin.x, self.columns)
            ..=place(bounds.max.x - origin.x, self.columns);
        let rows =
            place(bounds.min.y - origin.y, self.rows)..=place(bounds.max.y - origin.y, self.rows);
        let mut worst = 0.0f64;
        for row in rows {
            for angle in &self.angles[row * self.columns..][columns.clone()] {
                worst = worst.max(difference(direction, *angle));
            }
        }
        worst
    }
}
