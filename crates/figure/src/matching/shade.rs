//! A layer of a map averaged over larger cells, quick to read along lines.

use heartside_geometry::{Point, Vector};

use super::correlation::Seen;
use crate::map::Layer;

/// Levels about 0, from -1 to 1, between the middles of cells; NaN where a cell was not seen.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shade {
    /// Length and width of a cell in millimetres.
    cell: [f64; 2],
    origin: [f64; 2],
    columns: usize,
    rows: usize,
    values: Vec<f32>,
}

/// How far the mean that is taken out reaches to either side, along and across, in millimetres.
const SLOW: [f64; 2] = [200.0, 30.0];

/// How many deviations count at most.
const MOST: f64 = 2.5;

/// A place, and the ways to the next one along a line and to the next line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Raster {
    pub(super) from: Point,
    pub(super) along: Vector,
    pub(super) across: Vector,
}

impl Shade {
    /// A layer as it is compared: the mean about each place taken out, and what stands out far held back, so that streaks
    /// count, and neither a tone that changes slowly nor one knot outdoes them. O(cells).
    ///
    /// Correlation of what is left after a mean is taken out finds its place among far fewer that are alike by chance:
    /// slow changes are alike in many places (whitening before matching: Pratt 1974, "Correlation techniques of image
    /// registration").
    pub(super) fn of(layer: &Layer) -> Shade {
        let is_sound = layer.cell > 0.0
            && layer.cell.is_finite()
            && layer.origin.iter().all(|o| o.is_finite())
            && layer.columns > 0;
        let (columns, rows) = if is_sound {
            (layer.columns, layer.rows())
        } else {
            (0, 0)
        };
        let mut shade = Shade {
            cell: [if is_sound { layer.cell } else { 1.0 }; 2],
            origin: if is_sound { layer.origin } else { [0.0; 2] },
            columns,
            rows,
            values: Vec::new(),
        };
        let known = |level: &u8| {
            if *level > 0 {
                f32::from(*level) - 128.0
            } else {
                f32::NAN
            }
        };
        shade.values = layer.levels[..columns * rows].iter().map(known).collect();
        shade.even();
        shade
    }

    fn even(&mut self) {
        let reach = [0, 1].map(|k| (SLOW[k] / self.cell[k]).round() as usize);
        // Sums of all that lies left of and below a corner: of values, and of how many are known.
        let width = self.columns + 1;
        let mut sums = vec![(0.0_f64, 0.0_f64); width * (self.rows + 1)];
        for row in 0..self.rows {
            let (mut sum, mut count) = (0.0, 0.0);
            for column in 0..self.columns {
                let value = self.values[row * self.columns + column];
                if value.is_finite() {
                    sum += f64::from(value);
                    count += 1.0;
                }
                let below = sums[row * width + column + 1];
                sums[(row + 1) * width + column + 1] = (below.0 + sum, below.1 + count);
            }
        }
        let mut squares = 0.0;
        let mut known = 0.0;
        for row in 0..self.rows {
            let rows = [
                row.saturating_sub(reach[1]),
                (row + reach[1] + 1).min(self.rows),
            ];
            for column in 0..self.columns {
                let columns = [
                    column.saturating_sub(reach[0]),
                    (column + reach[0] + 1).min(self.columns),
                ];
                let at = |r: usize, c: usize| sums[rows[r] * width + columns[c]];
                let sum = at(1, 1).0 - at(1, 0).0 - at(0, 1).0 + at(0, 0).0;
                let count = at(1, 1).1 - at(1, 0).1 - at(0, 1).1 + at(0, 0).1;
                let value = &mut self.values[row * self.columns + column];
                if value.is_finite() {
                    *value -= (sum / count) as f32;
                    squares += f64::from(*value * *value);
                    known += 1.0;
                }
            }
        }
        let most = (MOST * (squares / f64::max(known, 1.0)).sqrt()).max(1.0) as f32;
        for value in &mut self.values {
            *value = (*value / most).clamp(-1.0, 1.0);
        }
    }

    /// The same with cells of at least a size. Where fewer than half of what makes a cell was seen it counts as not
    /// seen.
    pub(super) fn coarser(&self, least: [f64; 2]) -> Shade {
        let times =
            [0, 1].map(|k| ((least[k] / self.cell[k] - 1e-6).ceil() as usize).clamp(1, 4096));
        let columns = self.columns.div_ceil(times[0]);
        let rows = self.rows.div_ceil(times[1]);
        let mut sums = vec![(0.0_f32, 0.0_f32); columns * rows];
        for (row, line) in self.values.chunks_exact(self.columns.max(1)).enumerate() {
            let sums = &mut sums[row / times[1] * columns..][..columns];
            for (part, sum) in line.chunks(times[0]).zip(sums) {
                for &value in part.iter().filter(|v| v.is_finite()) {
                    sum.0 += value;
                    sum.1 += 1.0;
                }
            }
        }
        let half = 0.5 * (times[0] * times[1]) as f32;
        let value = |(sum, count): (f32, f32)| if count >= half { sum / count } else { f32::NAN };
        Shade {
            cell: [0, 1].map(|k| self.cell[k] * times[k] as f64),
            origin: self.origin,
            columns,
            rows,
            values: sums.into_iter().map(value).collect(),
        }
    }

    pub(super) fn cell(&self) -> [f64; 2] {
        self.cell
    }

    /// Its cells, and how many lie in a row.
    pub(super) fn cells(&self) -> [usize; 2] {
        [self.columns, self.rows]
    }

    /// The middle of a cell.
    pub(super) fn middle(&self, column: f64, row: f64) -> Point {
        Point::new(
            self.origin[0] + (column + 0.5) * self.cell[0],
            self.origin[1] + (row + 0.5) * self.cell[1],
        )
    }

    /// All of it as it is, or seen in a mirror: its rows in the opposite order.
    pub(super) fn seen(&self, mirrored: bool) -> Seen {
        let known = |v: &f32| v.is_finite().then_some(f64::from(*v));
        let lines = self.values.chunks_exact(self.columns.max(1));
        let values = if mirrored {
            lines.rev().flat_map(|l| l.iter().map(known)).collect()
        } else {
            lines.flat_map(|l| l.iter().map(known)).collect()
        };
        Seen {
            columns: self.columns,
            values,
        }
    }

    /// The value at a place; NaN where one of the four cells about it was not seen.
    pub(super) fn at(&self, place: Point) -> f64 {
        let x = (place.x - self.origin[0]) / self.cell[0] - 0.5;
        let y = (place.y - self.origin[1]) / self.cell[1] - 0.5;
        let is_inside =
            x >= 0.0 && y >= 0.0 && x + 1.0 < self.columns as f64 && y + 1.0 < self.rows as f64;
        if !is_inside {
            return f64::NAN;
        }
        self.between(x, y)
    }

    /// The value at a place that is told in cells and lies inside.
    fn between(&self, x: f64, y: f64) -> f64 {
        let (column, row) = (x as u32 as usize, y as u32 as usize);
        let (right, up) = (x - column as f64, y - row as f64);
        let at = row * self.columns + column;
        let (Some(low), Some(high)) = (
            self.values.get(at..at + 2),
            self.values.get(at + self.columns..at + self.columns + 2),
        ) else {
            return f64::NAN;
        };
        let low = f64::from(low[0]) * (1.0 - right) + f64::from(low[1]) * right;
        let high = f64::from(high[0]) * (1.0 - right) + f64::from(high[1]) * right;
        low * (1.0 - up) + high * up
    }

    /// The values along a line.
    pub(super) fn line(&self, from: Point, step: Vector, to: &mut [f64]) {
        let scale = [1.0 / self.cell[0], 1.0 / self.cell[1]];
        let x = (from.x - self.origin[0]) * scale[0] - 0.5;
        let y = (from.y - self.origin[1]) * scale[1] - 0.5;
        let (dx, dy) = (step.x * scale[0], step.y * scale[1]);
        let (right, up) = (self.columns as f64 - 1.0, self.rows as f64 - 1.0);
        for (k, value) in to.iter_mut().enumerate() {
            let (x, y) = (x + k as f64 * dx, y + k as f64 * dy);
            *value = if x >= 0.0 && y >= 0.0 && x < right && y < up {
                self.between(x, y)
            } else {
                f64::NAN
            };
        }
    }
}

/// How alike two shades are along rasters of `columns` x `rows` places: Pearson's correlation of what both have
/// seen, and which share of the places that is.
pub(super) fn alike(
    one: (&Shade, Raster),
    other: (&Shade, Raster),
    columns: usize,
    rows: usize,
) -> (f64, f64) {
    let (mut a, mut b) = (vec![0.0; columns], vec![0.0; columns]);
    let (mut count, mut sums, mut squares, mut product) = (0.0, [0.0; 2], [0.0; 2], 0.0);
    for row in 0..rows {
        let from = |r: Raster| r.from + r.across * row as f64;
        one.0.line(from(one.1), one.1.along, &mut a);
        other.0.line(from(other.1), other.1.along, &mut b);
        for (a, b) in a.iter().zip(&b) {
            if (a + b).is_finite() {
                count += 1.0;
                sums[0] += a;
                sums[1] += b;
                squares[0] += a * a;
                squares[1] += b * b;
                product += a * b;
            }
        }
    }
    let places = (columns * rows) as f64;
    if count < 2.0 {
        return (0.0, 0.0);
    }
    let spread = [0, 1].map(|k: usize| squares[k] - sums[k] * sums[k] / count);
    let least = 1e-6 * count;
    if spread[0] <= least || spread[1] <= least {
        return (0.0, count / places);
    }
    let covariance = product - sums[0] * sums[1] / count;
    let value = covariance / (spread[0] * spread[1]).sqrt();
    (value.clamp(-1.0, 1.0), count / places)
}
