//! The lengths that pieces need to be looked at for.

/// Lengths along one side of the board, rising, the first of them nought.
#[derive(Debug)]
pub(super) struct Raster {
    pub(super) points: Vec<i64>,
    /// For every length up to the side's: the place of the greatest point up to it.
    down: Vec<u32>,
}

impl Raster {
    /// All sums of sizes up to a length: pushed down and to the left, pieces are as long as these (Herz 1972). O(length x sizes).
    pub(super) fn sums(length: i64, sizes: &[i64]) -> Raster {
        let end = usize::try_from(length).unwrap_or(0);
        let mut is_sum = vec![false; end + 1];
        is_sum[0] = true;
        for at in 0..=end {
            if is_sum[at] {
                for size in sizes.iter().filter_map(|s| usize::try_from(*s).ok()) {
                    if size > 0 && at + size <= end {
                        is_sum[at + size] = true;
                    }
                }
            }
        }
        let points = (0..=end).filter(|at| is_sum[*at]).map(|at| at as i64);
        Raster::of(points.collect(), end)
    }

    /// Reduced raster points (Terno, Lindemann & Scheithauer 1987): with r(x) the greatest sum up to x, these are r(L - s) for the sums s. Enough for the best of the whole length.
    pub(super) fn reduced(length: i64, sizes: &[i64]) -> Raster {
        let sums = Raster::sums(length, sizes);
        let from_end = |s: &i64| sums.points[sums.down(length - s)];
        let mut points: Vec<i64> = sums.points.iter().map(from_end).collect();
        points.sort_unstable();
        points.dedup();
        Raster::of(points, sums.down.len() - 1)
    }

    fn of(points: Vec<i64>, end: usize) -> Raster {
        let mut down = Vec::with_capacity(end + 1);
        let mut place = 0;
        for at in 0..=end as i64 {
            if points.get(place + 1).is_some_and(|next| *next <= at) {
                place += 1;
            }
            down.push(place as u32);
        }
        Raster { points, down }
    }

    /// The place of the greatest point up to a length between nought and the side's.
    pub(super) fn down(&self, length: i64) -> usize {
        self.down[length as usize] as usize
    }

    pub(super) fn len(&self) -> usize {
        self.points.len()
    }
}
