//! Small systems of equations.

/// As many unknowns as any model has.
pub(crate) const MOST: usize = 8;

/// A square table of which the first rows and columns are used.
pub(crate) type Table = [[f64; MOST]; MOST];

/// Below this share of the largest pivot a system counts as undetermined. Sums of squares lose half of
/// the digits: ten times smaller and noise passes for a direction, much larger and narrow boards fail.
const LEAST_PIVOT: f64 = 1e-13;

/// The inverse of the first `size` rows and columns, by elimination with the largest pivot (Gauss &
/// Jordan); none where they do not determine anything.
pub(crate) fn inverse(table: &Table, size: usize) -> Option<Table> {
    let mut left = *table;
    let mut right: Table = [[0.0; MOST]; MOST];
    for (k, row) in right.iter_mut().enumerate() {
        row[k] = 1.0;
    }
    let largest = (0..size).map(|k| table[k][k].abs()).fold(0.0, f64::max);
    for column in 0..size {
        let pivot = (column..size).reduce(|a, b| {
            if left[b][column].abs() > left[a][column].abs() {
                b
            } else {
                a
            }
        })?;
        // Not a number is refused too.
        let is_large = left[pivot][column].abs() > LEAST_PIVOT * largest;
        if !is_large {
            return None;
        }
        left.swap(column, pivot);
        right.swap(column, pivot);
        let by = 1.0 / left[column][column];
        for k in 0..size {
            left[column][k] *= by;
            right[column][k] *= by;
        }
        for row in (0..size).filter(|&r| r != column) {
            let by = left[row][column];
            for k in 0..size {
                left[row][k] -= by * left[column][k];
                right[row][k] -= by * right[column][k];
            }
        }
    }
    Some(right)
}

/// A table times a column, of the first `size`.
pub(crate) fn times(table: &Table, column: &[f64; MOST], size: usize) -> [f64; MOST] {
    let mut product = [0.0; MOST];
    for (to, row) in product.iter_mut().zip(table).take(size) {
        *to = dot(row, column);
    }
    product
}

/// The scalar product; what is not used is 0.
pub(crate) fn dot(a: &[f64; MOST], b: &[f64; MOST]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
