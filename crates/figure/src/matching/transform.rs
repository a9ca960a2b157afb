//! The discrete Fourier transform of pictures whose sides are powers of two.
//!
//! A small one of our own: libraries choose their paths by the machine, and then the last bits differ between
//! computers and from WebAssembly. Radix 2 (Cooley & Tukey 1965), forwards by decimation in frequency and
//! back by decimation in time (Gentleman & Sande 1966), so that nothing is ever put in order between: the
//! spectrum stays in bit-reversed order and transposed, which products of spectra do not mind.

use core::f64::consts::TAU;

use heartside_geometry::math;

/// Complex numbers, real and imaginary parts apart, so that loops over them go several at a time.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Complex {
    pub(super) re: Vec<f64>,
    pub(super) im: Vec<f64>,
}

impl Complex {
    pub(super) fn zeros(count: usize) -> Complex {
        Complex {
            re: vec![0.0; count],
            im: vec![0.0; count],
        }
    }
}

/// Transforms pictures of one size. O(n log n) for n cells.
#[derive(Debug, Clone)]
pub(super) struct Transform {
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// Cosine and sine of the angles of a whole turn in as many steps as the longer side has.
    turn: Vec<(f64, f64)>,
    /// What is transposed is written here.
    spare: Complex,
}

impl Transform {
    /// For pictures of at least so many columns and rows.
    pub(super) fn at_least(columns: usize, rows: usize) -> Transform {
        let (columns, rows) = (columns.next_power_of_two(), rows.next_power_of_two());
        let steps = columns.max(rows);
        let angle = |k: usize| TAU * k as f64 / steps as f64;
        Transform {
            columns,
            rows,
            turn: (0..steps / 2)
                .map(|k| (math::cos(angle(k)), math::sin(angle(k))))
                .collect(),
            spare: Complex::zeros(columns * rows),
        }
    }

    pub(super) fn cells(&self) -> usize {
        self.columns * self.rows
    }

    /// The spectrum of a picture given row by row, in an order that only [`Transform::back`] knows.
    pub(super) fn forwards(&mut self, picture: &mut Complex) {
        self.apart(picture, self.rows, self.columns);
        self.transpose(picture, self.rows, self.columns);
        self.apart(picture, self.columns, self.rows);
    }

    /// The picture of a spectrum, times the number of its cells.
    pub(super) fn back(&mut self, spectrum: &mut Complex) {
        self.together(spectrum, self.columns, self.rows);
        self.transpose(spectrum, self.columns, self.rows);
        self.together(spectrum, self.rows, self.columns);
    }

    /// Forwards along `count` lines of `width` numbers each, all columns at once.
    fn apart(&self, at: &mut Complex, count: usize, width: usize) {
        let mut half = count / 2;
        while half > 0 {
            let skip = self.turn.len() / half;
            for block in (0..count).step_by(2 * half) {
                for k in 0..half {
                    let (cos, sin) = self.turn[k * skip];
                    let (low, high) = lines(at, block + k, half, width);
                    for ((a, b), (c, d)) in low
                        .0
                        .iter_mut()
                        .zip(low.1)
                        .zip(high.0.iter_mut().zip(high.1))
                    {
                        let (x, y) = (*a - *c, *b - *d);
                        (*a, *b) = (*a + *c, *b + *d);
                        (*c, *d) = (x * cos + y * sin, y * cos - x * sin);
                    }
                }
            }
            half /= 2;
        }
    }

    /// The way back of [`Transform::apart`].
    fn together(&self, at: &mut Complex, count: usize, width: usize) {
        let mut half = 1;
        while half < count {
            let skip = self.turn.len() / half;
            for block in (0..count).step_by(2 * half) {
                for k in 0..half {
                    let (cos, sin) = self.turn[k * skip];
                    let (low, high) = lines(at, block + k, half, width);
                    for ((a, b), (c, d)) in low
                        .0
                        .iter_mut()
                        .zip(low.1)
                        .zip(high.0.iter_mut().zip(high.1))
                    {
                        let (x, y) = (*c * cos - *d * sin, *d * cos + *c * sin);
                        (*c, *d) = (*a - x, *b - y);
                        (*a, *b) = (*a + x, *b + y);
                    }
                }
            }
            half *= 2;
        }
    }

    fn transpose(&mut self, at: &mut Complex, rows: usize, columns: usize) {
        for (from, to) in [(&at.re, &mut self.spare.re), (&at.im, &mut self.spare.im)] {
            for (row, line) in from.chunks_exact(columns).enumerate() {
                for (column, value) in line.iter().enumerate() {
                    to[column * rows + row] = *value;
                }
            }
        }
        core::mem::swap(at, &mut self.spare);
    }
}

type Line<'a> = (&'a mut [f64], &'a mut [f64]);

/// A line and the one `apart` lines after it.
fn lines(at: &mut Complex, line: usize, apart: usize, width: usize) -> (Line<'_>, Line<'_>) {
    let middle = (line + apart) * width;
    let (re, high_re) = at.re.split_at_mut(middle);
    let (im, high_im) = at.im.split_at_mut(middle);
    let from = line * width;
    (
        (&mut re[from..from + width], &mut im[from..from + width]),
        (&mut high_re[..width], &mut high_im[..width]),
    )
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// By the definition, O(n^2).
    fn convolved(a: &[f64], b: &[f64], columns: usize, rows: usize) -> Vec<f64> {
        let mut sums = vec![0.0; a.len()];
        for (j, x) in a.iter().enumerate() {
            for (k, y) in b.iter().enumerate() {
                let column = (j % columns + k % columns) % columns;
                let row = (j / columns + k / columns) % rows;
                sums[row * columns + column] += x * y;
            }
        }
        sums
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]
        #[test]
        fn what_goes_forwards_comes_back_and_products_are_convolutions(
            (columns, rows) in (1usize..20, 1usize..10),
            seed in prop::collection::vec(-1.0..1.0f64, 2 * 32 * 16),
        ) {
            let mut transform = Transform::at_least(columns, rows);
            let cells = transform.cells();
            let picture = |from: usize| Complex { re: seed[from..from + cells].to_vec(), im: vec![0.0; cells] };
            let (first, second) = (picture(0), picture(cells));
            let (mut a, mut b) = (first.clone(), second.clone());
            transform.forwards(&mut a);
            transform.forwards(&mut b);
            let mut product = Complex::zeros(cells);
            for k in 0..cells {
                product.re[k] = a.re[k] * b.re[k] - a.im[k] * b.im[k];
                product.im[k] = a.re[k] * b.im[k] + a.im[k] * b.re[k];
            }
            transform.back(&mut a);
            transform.back(&mut product);
            let wanted = convolved(&first.re, &second.re, transform.columns, transform.rows);
            for (k, wanted) in wanted.iter().enumerate() {
                prop_assert!((a.re[k] / cells as f64 - first.re[k]).abs() < 1e-13);
                prop_assert!((product.re[k] / cells as f64 - wanted).abs() < 1e-11);
                prop_assert!(product.im[k].abs() / (cells as f64) < 1e-11);
            }
        }
    }
}
