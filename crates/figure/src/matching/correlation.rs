//! How alike a block is to every place of a picture, by Fourier transforms, wood that was not seen left out.
//!
//! Normalised cross-correlation (Lewis 1995) of pictures whose slow changes are taken out beforehand, so that no mean is
//! left to be taken out at each shift: what was not seen counts as 0, and the energy of the picture under the block is a
//! difference of running sums. One transform answers for the block both ways round.

use super::transform::{Complex, Transform};

/// What was seen on a rectangle of cells, row by row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Seen {
    pub(super) columns: usize,
    /// The value of each cell, about 1 at most; none where it was not seen.
    pub(super) values: Vec<Option<f64>>,
}

impl Seen {
    pub(super) fn rows(&self) -> usize {
        self.values.len() / self.columns.max(1)
    }
}

/// A block that is looked for.
#[derive(Debug, Clone)]
pub(super) struct Block {
    spectrum: Complex,
    /// One over the root of its energy; 0 where it is plain.
    scale: f64,
}

/// A picture in which blocks of one size are looked for.
#[derive(Debug, Clone)]
pub(super) struct Whole {
    spectrum: Complex,
    /// How many columns and rows of places a block has in it.
    pub(super) places: [usize; 2],
    /// The size of a block.
    block: [usize; 2],
    /// At each place one over the root of the energy under the block, times the root of the share that was seen; 0 where
    /// too little was seen or it is plain.
    scale: Vec<f64>,
}

/// Correlates pictures within one size.
#[derive(Debug, Clone)]
pub(super) struct Correlation {
    transform: Transform,
    sums: Complex,
}

/// The mean square of values of about 1 below which they count as all the same: rounding alone comes to a
/// millionth of it, noise of a camera to ten times as much.
const LEAST_SPREAD: f64 = 1e-6;

impl Correlation {
    /// For pictures of at most so many columns and rows.
    pub(super) fn within(columns: usize, rows: usize) -> Correlation {
        let transform = Transform::at_least(columns.max(1), rows.max(1));
        Correlation {
            sums: Complex::zeros(transform.cells()),
            transform,
        }
    }

    fn spectrum(&mut self, seen: &Seen) -> Complex {
        let mut picture = Complex::zeros(self.transform.cells());
        for (row, line) in seen.values.chunks(seen.columns.max(1)).enumerate() {
            let from = row * self.transform.columns;
            for (to, cell) in picture.re[from..].iter_mut().zip(line) {
                *to = cell.unwrap_or(0.0);
            }
        }
        self.transform.forwards(&mut picture);
        picture
    }

    pub(super) fn block(&mut self, seen: &Seen) -> Block {
        let values = || seen.values.iter().flatten();
        let energy: f64 = values().map(|v| v * v).sum();
        let is_lively = energy > LEAST_SPREAD * values().count() as f64;
        Block {
            spectrum: self.spectrum(seen),
            scale: if is_lively { 1.0 / energy.sqrt() } else { 0.0 },
        }
    }

    /// A picture for blocks of some columns and rows; places with fewer than `least` cells seen under the block
    /// count 0.
    pub(super) fn whole(&mut self, seen: &Seen, block: [usize; 2], least: f64) -> Whole {
        let size = [seen.columns, seen.rows()];
        let places = [0, 1].map(|k| (size[k] + 1).saturating_sub(block[k]));
        let known = |v: &Option<f64>| [v.map_or(0.0, |v| v * v), f64::from(u8::from(v.is_some()))];
        // Sums of all that lies before and below a corner.
        let wide = size[0] + 1;
        let mut sums = vec![[0.0; 2]; wide * (size[1] + 1)];
        for row in 0..size[1] {
            let mut line = [0.0; 2];
            for column in 0..size[0] {
                let cell = known(&seen.values[row * size[0] + column]);
                let below = sums[row * wide + column + 1];
                line = [line[0] + cell[0], line[1] + cell[1]];
                sums[(row + 1) * wide + column + 1] = [below[0] + line[0], below[1] + line[1]];
            }
        }
        let all = (block[0] * block[1]) as f64;
        let mut scale = Vec::new();
        if places[0] > 0 {
            for row in 0..places[1] {
                for column in 0..places[0] {
                    let under = |k: usize| {
                        let at = |r: usize, c: usize| sums[(row + r) * wide + column + c][k];
                        at(block[1], block[0]) - at(block[1], 0) - at(0, block[0]) + at(0, 0)
                    };
                    let (energy, count) = (under(0), under(1));
                    let counts = count >= least.max(1.0) && energy > LEAST_SPREAD * count;
                    scale.push(if counts {
                        (count / (all * energy)).sqrt()
                    } else {
                        0.0
                    });
                }
            }
        }
        Whole {
            spectrum: self.spectrum(seen),
            places,
            block,
            scale,
        }
    }

    /// How alike a block is to each place of a picture, row by row, from -1 to 1: as it is, and turned by half a turn.
    pub(super) fn alike(&mut self, block: &Block, whole: &Whole) -> [Vec<f64>; 2] {
        // A correlation conjugates the first spectrum; that of a block turned is the conjugate one. The first comes out in the
        // real part, the second, times i, in the imaginary one.
        let (small, large) = (&block.spectrum, &whole.spectrum);
        for k in 0..self.sums.re.len() {
            let (a, b, c, d) = (small.re[k], small.im[k], large.re[k], large.im[k]);
            self.sums.re[k] = a * c + b * d - (a * d + b * c);
            self.sums.im[k] = a * d - b * c + a * c - b * d;
        }
        self.transform.back(&mut self.sums);
        let scale = block.scale / self.transform.cells() as f64;
        let read = |sums: &[f64], from: [usize; 2]| {
            let mut values = Vec::with_capacity(whole.scale.len());
            for (row, scales) in whole.scale.chunks(whole.places[0].max(1)).enumerate() {
                let line = &sums[(row + from[1]) * self.transform.columns + from[0]..];
                values.extend(line.iter().zip(scales).map(|(s, by)| s * by * scale));
            }
            values
        };
        // Turned it lies before the place of its first cell.
        [
            read(&self.sums.re, [0, 0]),
            read(&self.sums.im, whole.block.map(|b| b.saturating_sub(1))),
        ]
    }
}
