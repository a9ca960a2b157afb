//! How alike a picture and a smaller one are at every shift, wood that was not seen left out.
//!
//! Masked normalised cross-correlation: at each shift Pearson's correlation of what both have seen, every sum
//! of it a correlation by Fourier transforms (Lewis 1995; with masks Padfield 2012, "Masked object
//! registration in the Fourier domain").

use super::transform::{Complex, Transform};

/// What was seen on a rectangle of cells, row by row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Seen {
    pub(super) columns: usize,
    /// The value of each cell; none where it was not seen.
    pub(super) values: Vec<Option<f64>>,
}

/// The spectra of a picture: of its values, of where it was seen, and of its squared values.
#[derive(Debug, Clone)]
pub(super) struct Spectra {
    values: Complex,
    mask: Complex,
    squares: Complex,
}

/// How alike two pictures are at each shift of the first over the second; shifts wrap round.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Alike {
    /// Shifts in a row.
    pub(super) columns: usize,
    /// From -1 to 1; 0 where too little is seen of both, or one is all of one value.
    pub(super) value: Vec<f64>,
    /// How many cells both have seen.
    pub(super) common: Vec<f64>,
}

/// Correlates pictures within one size. Values should be about 1 at most: rounding grows with their squares.
#[derive(Debug, Clone)]
pub(super) struct Correlation {
    transform: Transform,
    sums: [Complex; 3],
}

impl Correlation {
    /// For pictures of at most so many columns and rows. Shifts that move the smaller one beyond the larger
    /// come out wrong unless there is room for both.
    pub(super) fn within(columns: usize, rows: usize) -> Correlation {
        let transform = Transform::at_least(columns.max(1), rows.max(1));
        let zeros = Complex::zeros(transform.cells());
        Correlation {
            sums: [zeros.clone(), zeros.clone(), zeros],
            transform,
        }
    }

    pub(super) fn spectra(&mut self, seen: &Seen) -> Spectra {
        let mut of = |value: fn(f64) -> f64| {
            let mut picture = Complex::zeros(self.transform.cells());
            for (row, line) in seen.values.chunks(seen.columns.max(1)).enumerate() {
                let from = row * self.transform.columns;
                for (to, cell) in picture.re[from..].iter_mut().zip(line) {
                    *to = cell.map_or(0.0, value);
                }
            }
            self.transform.forwards(&mut picture);
            picture
        };
        Spectra {
            values: of(|v| v),
            mask: of(|_| 1.0),
            squares: of(|v| v * v),
        }
    }

    /// How alike the small picture is to the large one at every shift: its cell k lies on the cell k + shift;
    /// on shift - k if it is `turned` by half a turn. Shifts with fewer than `least` cells in common count 0.
    pub(super) fn alike(
        &mut self,
        small: &Spectra,
        large: &Spectra,
        turned: bool,
        least: f64,
    ) -> Alike {
        // The spectrum of a picture turned is the conjugate one, and a correlation conjugates the first.
        let sign = if turned { 1.0 } else { -1.0 };
        let [first, second, third] = &mut self.sums;
        // Two real correlations at a time, one in the real part, the other in the imaginary one.
        combined(
            first,
            sign,
            [(&small.values, &large.values), (&small.values, &large.mask)],
        );
        combined(
            second,
            sign,
            [(&small.mask, &large.values), (&small.mask, &large.mask)],
        );
        combined(
            third,
            sign,
            [(&small.squares, &large.mask), (&small.mask, &large.squares)],
        );
        for sums in &mut self.sums {
            self.transform.back(sums);
        }
        let share = 1.0 / self.transform.cells() as f64;
        let [first, second, third] = &self.sums;
        let cells = self.transform.cells();
        let mut alike = Alike {
            columns: self.transform.columns,
            value: vec![0.0; cells],
            common: vec![0.0; cells],
        };
        for k in 0..cells {
            let count = (second.im[k] * share).round();
            alike.common[k] = count;
            if count < least.max(1.0) {
                continue;
            }
            let (sum, other) = (first.im[k] * share, second.re[k] * share);
            let spread = third.re[k] * share - sum * sum / count;
            let spread_of_other = third.im[k] * share - other * other / count;
            let least_spread = LEAST_SPREAD * count;
            if spread > least_spread && spread_of_other > least_spread {
                let covariance = first.re[k] * share - sum * other / count;
                let value = covariance / (spread * spread_of_other).sqrt();
                alike.value[k] = value.clamp(-1.0, 1.0);
            }
        }
        alike
    }
}

/// The variance of values of about 1 below which they count as all the same: rounding alone comes to a
/// millionth of it, noise of a camera to ten times as much.
const LEAST_SPREAD: f64 = 1e-6;

/// The products of two pairs of spectra, the second times i; the first of each pair is conjugated where
/// `sign` is -1.
fn combined(to: &mut Complex, sign: f64, pairs: [(&Complex, &Complex); 2]) {
    let [(a, b), (c, d)] = pairs;
    let (a, b, c, d) = (parts(a), parts(b), parts(c), parts(d));
    for (k, (re, im)) in to.re.iter_mut().zip(&mut to.im).enumerate() {
        let (ai, ci) = (sign * a.1[k], sign * c.1[k]);
        let one = (a.0[k] * b.0[k] - ai * b.1[k], a.0[k] * b.1[k] + ai * b.0[k]);
        let two = (c.0[k] * d.0[k] - ci * d.1[k], c.0[k] * d.1[k] + ci * d.0[k]);
        (*re, *im) = (one.0 - two.1, one.1 + two.0);
    }
}

fn parts(of: &Complex) -> (&[f64], &[f64]) {
    (&of.re, &of.im)
}
