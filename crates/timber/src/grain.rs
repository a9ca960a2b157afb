//! Direction of the grain over a board.

use heartside_geometry::{Bounds, Point, PreparedRegion, Region, math};

/// Side of the square cells on which a bent field is constant, in millimetres.
///
/// Smaller cells follow the lines more closely and cost more memory; 20 mm is finer
/// than grain can be drawn by hand.
pub const CELL: f64 = 20.0;

/// Direction of the grain over a board, in degrees from its length.
///
/// Straight unless lines were drawn. A bent field is constant on square cells; in each
/// the angle is the mean of the drawn lines' directions, weighted by one over the
/// squared distance from the cell's middle to each drawn segment (times its length) and
/// taken on doubled angles, so that opposite directions agree.
#[derive(Debug, Clone, PartialEq)]
pub struct GrainField {
    angle: f64,
    cells: Option<Cells>,
}

#[derive(Debug, Clone, PartialEq)]
struct Cells {
    origin: Point,
    columns: usize,
    rows: usize,
    /// Degrees within [-90, 90), row by row from the lowest.
    angles: Vec<f64>,
    least: f64,
    most: f64,
}

impl GrainField {
    /// The same direction everywhere.
    pub fn straight(angle: f64) -> GrainField {
        GrainField { angle, cells: None }
    }

    /// A field bent by drawn lines (chains of at least two points) over a board's bounds.
    ///
    /// Without a usable line it is straight at `angle`. O(cells x segments).
    pub fn bent(angle: f64, lines: &[Vec<Point>], bounds: Bounds) -> GrainField {
        let segments: Vec<(Point, Point)> = lines
            .iter()
            .flat_map(|line| line.windows(2).map(|w| (w[0], w[1])))
            .filter(|(a, b)| a.x != b.x || a.y != b.y)
            .collect();
        if segments.is_empty() {
            return GrainField::straight(angle);
        }
        let columns = ((bounds.width() / CELL).ceil() as usize).max(1);
        let rows = ((bounds.height() / CELL).ceil() as usize).max(1);
        let mut angles = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            for column in 0..columns {
                let middle = Point {
                    x: bounds.min.x + (column as f64 + 0.5) * CELL,
                    y: bounds.min.y + (row as f64 + 0.5) * CELL,
                };
                angles.push(mean_direction(&segments, middle));
            }
        }
        let least = angles.iter().copied().fold(f64::INFINITY, f64::min);
        let most = angles.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let cells = Cells {
            origin: bounds.min,
            columns,
            rows,
            angles,
            least,
            most,
        };
        GrainField {
            angle,
            cells: Some(cells),
        }
    }

    /// True when the direction changes over the board.
    pub fn is_bent(&self) -> bool {
        self.cells.is_some()
    }

    /// The direction of a straight field, and of a bent one where nothing else is known.
    pub fn base_angle(&self) -> f64 {
        self.angle
    }

    /// The direction at a point; the nearest cell's outside the field.
    pub fn angle_at(&self, point: Point) -> f64 {
        match &self.cells {
            None => self.angle,
            Some(cells) => {
                let (column, row) = cells.cell_of(point);
                cells.angles[row * cells.columns + column]
            }
        }
    }

    /// Every direction that occurs: least and most, in degrees.
    pub fn range(&self) -> (f64, f64) {
        self.cells
            .as_ref()
            .map_or((self.angle, self.angle), |c| (c.least, c.most))
    }

    /// The directions of the cells whose inside meets the bounds: an upper bound of what a shape in them meets.
    pub fn angles_in_bounds(&self, bounds: &Bounds) -> Vec<f64> {
        match &self.cells {
            None => vec![self.angle],
            Some(cells) => cells
                .within(bounds)
                .map(|(column, row)| cells.angles[row * cells.columns + column])
                .collect(),
        }
    }

    /// A bend that no connected shape of this extent along x escapes, in degrees: wherever it
    /// lies on the board, it meets two directions that are at least so far apart.
    ///
    /// Such a shape meets some cell in each of so many columns side by side; of every
    /// column it is granted the best. 0 where nothing is certain. O(cells).
    pub fn least_bend_over(&self, extent: f64) -> f64 {
        let Some(cells) = self.cells.as_ref().filter(|c| c.most - c.least < 90.0) else {
            return 0.0;
        };
        let ranges: Vec<(f64, f64)> = (0..cells.columns)
            .map(|column| {
                let of_rows = (0..cells.rows).map(|row| cells.angles[row * cells.columns + column]);
                of_rows.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), a| {
                    (low.min(a), high.max(a))
                })
            })
            .collect();
        // A hair more than a whole number of cells is taken for that number.
        let met = ((extent / CELL - 1e-6).ceil().max(1.0) as usize).min(cells.columns);
        ranges
            .windows(met)
            .map(|columns| {
                let highest = columns
                    .iter()
                    .fold(f64::NEG_INFINITY, |most, c| most.max(c.0));
                let lowest = columns
                    .iter()
                    .fold(f64::INFINITY, |least, c| least.min(c.1));
                highest - lowest
            })
            .fold(f64::INFINITY, f64::min)
            .max(0.0)
    }

    /// The greatest angle modulo 180 degrees between a direction and the grain over the
    /// cells that come nearer than `reach` to a region, and where.
    ///
    /// With a `reach` of 0 the cells that the region's inside overlaps.
    pub fn worst_over(&self, direction: f64, region: &PreparedRegion, reach: f64) -> (f64, Point) {
        let bounds = region.bounds().grown(reach);
        match &self.cells {
            None => (difference(direction, self.angle), bounds.centre()),
            Some(cells) => {
                let mut worst = (0.0, bounds.centre());
                for (column, row) in cells.within(&bounds) {
                    let off = difference(direction, cells.angles[row * cells.columns + column]);
                    if off > worst.0 {
                        let cell = cells.bounds_of(column, row);
                        let Some(square) = Region::rectangle(cell) else {
                            continue;
                        };
                        let square = PreparedRegion::new(square);
                        if heartside_geometry::separation(&square, region).amount < reach {
                            worst = (off, cells.middle_of(column, row));
                        }
                    }
                }
                worst
            }
        }
    }
}

impl Cells {
    fn cell_of(&self, point: Point) -> (usize, usize) {
        let place =
            |value: f64, count: usize| ((value / CELL).floor().max(0.0) as usize).min(count - 1);
        (
            place(point.x - self.origin.x, self.columns),
            place(point.y - self.origin.y, self.rows),
        )
    }

    /// Cells whose inside meets the bounds. The outermost cells reach without end.
    fn within(&self, bounds: &Bounds) -> impl Iterator<Item = (usize, usize)> + use<> {
        let (c0, r0) = self.cell_of(bounds.min);
        let (mut c1, mut r1) = self.cell_of(bounds.max);
        // A cell that is only touched at its low side is not met.
        if c1 > c0 && self.origin.x + c1 as f64 * CELL >= bounds.max.x {
            c1 -= 1;
        }
        if r1 > r0 && self.origin.y + r1 as f64 * CELL >= bounds.max.y {
            r1 -= 1;
        }
        (r0..=r1).flat_map(move |row| (c0..=c1).map(move |column| (column, row)))
    }

    fn middle_of(&self, column: usize, row: usize) -> Point {
        Point {
            x: self.origin.x + (column as f64 + 0.5) * CELL,
            y: self.origin.y + (row as f64 + 0.5) * CELL,
        }
    }

    fn bounds_of(&self, column: usize, row: usize) -> Bounds {
        // The outermost cells stand for everything beyond them.
        const FAR: f64 = 1.0e6;
        let min_x = if column == 0 {
            self.origin.x - FAR
        } else {
            self.origin.x + column as f64 * CELL
        };
        let min_y = if row == 0 {
            self.origin.y - FAR
        } else {
            self.origin.y + row as f64 * CELL
        };
        let max_x = if column + 1 == self.columns {
            self.origin.x + FAR
        } else {
            self.origin.x + (column + 1) as f64 * CELL
        };
        let max_y = if row + 1 == self.rows {
            self.origin.y + FAR
        } else {
            self.origin.y + (row + 1) as f64 * CELL
        };
        Bounds {
            min: Point { x: min_x, y: min_y },
            max: Point { x: max_x, y: max_y },
        }
    }
}

/// The angle between two undirected directions, 0 to 90 degrees.
pub fn difference(a: f64, b: f64) -> f64 {
    let off = (a - b).rem_euclid(180.0);
    off.min(180.0 - off)
}

fn mean_direction(segments: &[(Point, Point)], at: Point) -> f64 {
    let (mut sum_x, mut sum_y) = (0.0, 0.0);
    for (a, b) in segments {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let length_squared = dx * dx + dy * dy;
        let t = (((at.x - a.x) * dx + (at.y - a.y) * dy) / length_squared).clamp(0.0, 1.0);
        let (px, py) = (a.x + t * dx - at.x, a.y + t * dy - at.y);
        // One millimetre squared keeps a line through the very middle from weighing without end.
        let weight = length_squared.sqrt() / (px * px + py * py + 1.0);
        // Doubled angle: (cos 2a, sin 2a) from the direction's components.
        sum_x += weight * (dx * dx - dy * dy) / length_squared;
        sum_y += weight * (2.0 * dx * dy) / length_squared;
    }
    math::atan2_deg(sum_y, sum_x) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Slats anywhere on a board whose grain sweeps up: the best direction is off by half the
    /// bend at least, and for a slat as long as the board by not much more.
    #[test]
    fn no_slat_escapes_the_least_bend() {
        let line = [(0.0, 40.0), (300.0, 60.0), (600.0, 130.0), (900.0, 240.0)];
        let line = line.map(|(x, y)| Point { x, y }).to_vec();
        let grain = GrainField::bent(0.0, &[line], Bounds::of_size(900.0, 240.0));
        let off =
            |region: &PreparedRegion, direction: f64| grain.worst_over(direction, region, 0.0).0;
        for length in [30.0, 150.0, 300.0, 600.0, 880.0] {
            let half = 0.5 * grain.least_bend_over(length);
            let slat = Region::rectangle(Bounds::of_size(length, 12.0)).unwrap();
            let slat = PreparedRegion::new(slat);
            let mut best = f64::INFINITY;
            for (x, y, turn) in (0..12)
                .flat_map(|x| (0..6).map(move |y| (x, y)))
                .flat_map(|(x, y)| (0..8).map(move |turn| (x, y, turn)))
            {
                let (x, y, turn) = (f64::from(x), f64::from(y), 4.0 * f64::from(turn));
                let pose =
                    heartside_geometry::Pose::new((900.0 - length) * x / 11.0, 38.0 * y, turn);
                let laid = slat.posed(&pose);
                // Its extent along x is less than its length where it is turned.
                let half = 0.5 * grain.least_bend_over(laid.bounds().width());
                let least = (-20..60).map(|d| off(&laid, f64::from(d)));
                let least = least.fold(f64::INFINITY, f64::min);
                assert!(least >= half, "{length}: {least} < {half}");
                best = best.min(least);
            }
            assert!(
                length < 600.0 || (half > 2.0 && best < 3.0 * half),
                "{half} {best}"
            );
        }
        assert_eq!(GrainField::straight(7.0).least_bend_over(500.0), 0.0);
    }
}
