//! Maps of figure: what a photograph says of a face on square cells, in whole numbers.
//!
//! They are made once, when a photograph is taken in, and kept with the job; whatever is measured or sought
//! later reads them alone, so that it comes out the same however a machine decodes pictures.

mod cells;
mod fall_off;
mod light;
mod mapping;
mod sapwood;
mod strength;

use heartside_geometry::Point;

pub use light::SHARE_OF_A_LEVEL;
pub use mapping::{CannotMap, Cells, Mapping};
pub use strength::CONTRAST_OF_A_LEVEL;

/// What was measured at each cell of a face, from 1 to 255; 0 where no wood was seen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Layer {
    /// Side of a cell in millimetres.
    pub cell: f64,
    /// The lower left corner of the first cell, in millimetres of the frame of the face.
    pub origin: [f64; 2],
    /// Cells in a row along the board.
    pub columns: usize,
    /// The levels, row by row, the lowest row first.
    pub levels: Vec<u8>,
}

impl Layer {
    /// Rows across the board.
    pub fn rows(&self) -> usize {
        self.levels.len() / self.columns.max(1)
    }

    /// The middle of a cell by its place in the list.
    pub fn middle(&self, at: usize) -> Point {
        let columns = self.columns.max(1);
        Point::new(
            self.origin[0] + ((at % columns) as f64 + 0.5) * self.cell,
            self.origin[1] + ((at / columns) as f64 + 0.5) * self.cell,
        )
    }

    /// The level of the cell that holds a place; 0 where there is none, or nothing is known.
    pub fn in_cell(&self, place: Point) -> u8 {
        let column = (place.x - self.origin[0]) / self.cell;
        let row = (place.y - self.origin[1]) / self.cell;
        if !(column >= 0.0 && row >= 0.0 && column < self.columns as f64) {
            return 0;
        }
        let at = (row as usize).saturating_mul(self.columns);
        let level = self.levels.get(at.saturating_add(column as usize));
        level.copied().unwrap_or(0)
    }

    /// The level between the middles of the four cells about a place; none where one of them is unknown.
    pub fn at(&self, place: Point) -> Option<f64> {
        let x = (place.x - self.origin[0]) / self.cell - 0.5;
        let y = (place.y - self.origin[1]) / self.cell - 0.5;
        let (column, row) = (x.floor(), y.floor());
        let (last, highest) = (self.columns as f64 - 1.0, self.rows() as f64 - 1.0);
        if !((0.0..last).contains(&column) && (0.0..highest).contains(&row)) {
            return None;
        }
        let first = row as usize * self.columns + column as usize;
        let level = |at: usize| {
            self.levels
                .get(at)
                .filter(|l| **l > 0)
                .map(|&l| f64::from(l))
        };
        let (right, up) = (x - column, y - row);
        let low = level(first)? * (1.0 - right) + level(first + 1)? * right;
        let high =
            level(first + self.columns)? * (1.0 - right) + level(first + self.columns + 1)? * right;
        Some(low * (1.0 - up) + high * up)
    }
}

/// What the figure of one face of a board is like. Layers may have cells of different sizes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FigureMap {
    /// Lightness with the slow fall-off of the light taken out: 128 is the face's own middle.
    pub light: Layer,
    /// Colour from heartwood (1) to sapwood (255).
    pub sapwood: Layer,
    /// How strong the figure is at the scale of a hand: 1 plain, 255 wild.
    pub strength: Layer,
    /// Which way it runs: 1 to 255 for above -90 to 90 degrees from the board's length, so that 128 is along it.
    /// Its cells are those of the strength; turns are averaged as doubled angles, never as levels.
    pub direction: Layer,
    /// What the maker wants of it: 128 nothing said, 255 wanted, 1 not wanted.
    pub wanted: Layer,
}
