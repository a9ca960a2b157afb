//! The best of every rectangle, if each part can be had any number of times at a price.
//!
//! The best of a rectangle is one blank, or the best sum of the two rectangles that a cut
//! leaves (Gilmore & Gomory 1966; Beasley 1985).

use heartside_timber::plan::Direction;

use super::raster::Raster;
use super::{Clear, Make};

/// What the best of a rectangle begins with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Choice {
    Nothing,
    Item(u32),
    /// A crosscut after the raster point with this place.
    Crosscut(u32),
    /// A rip above the raster point with this place.
    Rip(u32),
}

/// The programme, advanced a column of rectangles at a time.
pub struct Table {
    along: Raster,
    across: Raster,
    /// Of each item.
    worth: Vec<f64>,
    /// For each place across and each cut in its lower half: what lies above.
    above: Vec<Vec<u32>>,
    best: Vec<f64>,
    choices: Vec<Choice>,
    /// Columns done.
    done: usize,
}

impl Table {
    /// An empty table for rectangles of these lengths and heights.
    pub(super) fn new((along, across): (Raster, Raster)) -> Table {
        let above = across
            .points
            .iter()
            .map(|whole| {
                let points = across.points.iter().skip(1);
                let lower = points.take_while(|y| 2 * **y <= *whole);
                lower.map(|y| across.down(whole - y) as u32).collect()
            })
            .collect();
        let count = along.len() * across.len();
        Table {
            along,
            across,
            worth: Vec::new(),
            above,
            best: vec![0.0; count],
            choices: vec![Choice::Nothing; count],
            done: 0,
        }
    }

    /// Begins anew with what each part is worth now.
    pub fn begin(&mut self, clear: &Clear, worth: impl Fn(usize) -> f64) {
        self.worth = clear.items.iter().map(|item| worth(item.part)).collect();
        self.best.fill(0.0);
        self.choices.fill(Choice::Nothing);
        self.done = 0;
    }

    /// Every rectangle has its best.
    pub fn is_done(&self) -> bool {
        self.done == self.along.len()
    }

    /// The best of the whole board.
    pub fn whole(&self) -> f64 {
        self.best.last().copied().unwrap_or(0.0)
    }

    /// The lengths and the heights.
    pub(super) fn rasters(&self) -> (&Raster, &Raster) {
        (&self.along, &self.across)
    }

    /// The best of the rectangles as long as a point, by height.
    pub(super) fn column(&self, column: usize) -> &[f64] {
        &self.best[column * self.across.len()..(column + 1) * self.across.len()]
    }

    /// The best of all rectangles as long as the next raster point; gives the sums looked at.
    pub fn fill_column(&mut self, clear: &Clear) -> usize {
        let column = self.done;
        self.done += 1;
        let rows = self.across.len();
        let length = self.along.points[column];
        let (before, here) = self.best.split_at_mut(column * rows);
        let here = &mut here[..rows];
        let choices = &mut self.choices[column * rows..(column + 1) * rows];
        let mut work = rows * (1 + self.worth.len());
        // Crosscuts: both sides are shorter and known.
        for left in 1..column {
            if 2 * self.along.points[left] > length {
                break;
            }
            let right = self.along.down(length - self.along.points[left]);
            let left_best = &before[left * rows..(left + 1) * rows];
            let right_best = &before[right * rows..(right + 1) * rows];
            work += rows;
            for row in 0..rows {
                let sum = left_best[row] + right_best[row];
                if sum > here[row] {
                    here[row] = sum;
                    choices[row] = Choice::Crosscut(left as u32);
                }
            }
        }
        for row in 0..rows {
            let height = self.across.points[row];
            for (place, (item, worth)) in clear.items.iter().zip(&self.worth).enumerate() {
                if item.width <= length && item.height <= height && *worth > here[row] {
                    here[row] = *worth;
                    choices[row] = Choice::Item(place as u32);
                }
            }
            work += self.above[row].len();
            for (low, high) in (1..).zip(&self.above[row]) {
                let sum = here[low] + here[*high as usize];
                if sum > here[row] {
                    here[row] = sum;
                    choices[row] = Choice::Rip(low as u32);
                }
            }
        }
        work
    }

    /// The whole board, for [`Table::make`].
    pub(super) fn root(&self) -> (usize, usize) {
        (self.along.len() - 1, self.across.len() - 1)
    }

    /// What the rectangle in this column and row is cut into.
    pub(super) fn make(&self, (column, row): (usize, usize)) -> Make<(usize, usize)> {
        match self.choices[column * self.across.len() + row] {
            Choice::Nothing => Make::Nothing,
            Choice::Item(place) => Make::Item(place as usize),
            Choice::Crosscut(left) => {
                let (left, points) = (left as usize, &self.along.points);
                let right = self.along.down(points[column] - points[left]);
                Make::Parted(Direction::Crosscut, points[left], (left, row), (right, row))
            }
            Choice::Rip(low) => {
                let (low, points) = (low as usize, &self.across.points);
                let high = self.across.down(points[row] - points[low]);
                Make::Parted(Direction::Rip, points[low], (column, low), (column, high))
            }
        }
    }

    /// How many of each part of the job the best pattern holds.
    pub(super) fn counts(&self, clear: &Clear) -> Vec<u32> {
        let mut counts = vec![0; clear.copies.len()];
        let mut waiting = vec![self.root()];
        while let Some(piece) = waiting.pop() {
            match self.make(piece) {
                Make::Nothing => {}
                Make::Item(place) => counts[clear.items[place].part] += 1,
                Make::Parted(_, _, low, high) => waiting.extend([low, high]),
            }
        }
        counts
    }
}
