//! A view from marks by least squares, and how it moves when the marks do.
//!
//! Places and spots are first brought to about -1 to 1 (Hartley 1997), separately along and across the
//! board, for boards are long. A homography then starts from the direct linear transformation (Hartley &
//! Zisserman 2004, section 4.1) with the last element 1: with the marks' middle at 0 it is not 0, since
//! the middle lies before the camera. Distances in the picture are then made least by Gauss' and
//! Newton's method (there, appendix 6), which fits the same number of marks as unknowns exactly.

use heartside_geometry::{Point, Vector, math};

use crate::solve::{MOST, Table, dot, inverse, times};
use crate::view::View;
use crate::{Mark, Spot};

/// Half a pixel: how far each mark may be off, right or left and up or down.
const OFF: f64 = 0.5;

/// Directions in which the farthest is sought, over half a turn; the farthest is missed by 0.5 % at most.
const DIRECTIONS: u32 = 16;

/// Steps of Gauss' and Newton's method; from the linear solution three are enough unless marks are wrong.
const STEPS: usize = 20;

/// What a view may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Model {
    /// Turn, scale and move: a camera that looks square at the board.
    SquareOn,
    /// Any homography.
    Any,
}

impl Model {
    /// How many numbers it has; each mark gives two.
    pub(crate) fn unknowns(self) -> usize {
        match self {
            Model::SquareOn => 4,
            Model::Any => MOST,
        }
    }
}

/// A view fitted to marks.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    pub(crate) view: View,
    model: Model,
    frame: Frame,
    values: [f64; MOST],
    /// The inverse of the sums of squares of `rows`.
    inverse: Table,
    /// How each mark's spot changes with each value: right, down.
    rows: Vec<[[f64; MOST]; 2]>,
}

/// What brings places and spots to about -1 to 1.
#[derive(Debug, Clone, Copy)]
struct Frame {
    place: Point,
    /// Millimetres of a unit, along and across.
    units: [f64; 2],
    spot: Spot,
    /// Pixels of a unit.
    pixels: f64,
}

impl Frame {
    fn of(model: Model, marks: &[Mark]) -> Frame {
        let share = 1.0 / marks.len() as f64;
        let mean = |of: &dyn Fn(&Mark) -> f64| marks.iter().map(|m| of(m) * share).sum::<f64>();
        let place = Point::new(mean(&|m| m.place.x), mean(&|m| m.place.y));
        let spot = Spot::new(mean(&|m| m.seen.x), mean(&|m| m.seen.y));
        let along = mean(&|m| (m.place.x - place.x).abs());
        let across = mean(&|m| (m.place.y - place.y).abs());
        let units = match model {
            Model::SquareOn => [along + across; 2],
            Model::Any => [along, across],
        };
        // All at one place: any unit will do, what is undetermined is found out later.
        let sound = |unit: f64| if unit > 0.0 { unit } else { 1.0 };
        Frame {
            place,
            units: units.map(sound),
            spot,
            pixels: sound(mean(&|m| m.seen.distance(spot))),
        }
    }

    fn place(&self, place: Point) -> [f64; 2] {
        [
            (place.x - self.place.x) / self.units[0],
            (place.y - self.place.y) / self.units[1],
        ]
    }

    fn spot(&self, spot: Spot) -> [f64; 2] {
        [
            (spot.x - self.spot.x) / self.pixels,
            (spot.y - self.spot.y) / self.pixels,
        ]
    }

    /// The matrix in millimetres and pixels.
    fn undone(&self, matrix: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
        let [ux, uy] = self.units;
        let rows = matrix.map(|[a, b, c]| {
            let (a, b) = (a / ux, b / uy);
            [a, b, c - a * self.place.x - b * self.place.y]
        });
        let [h, k, w] = rows;
        let seen = |row: [f64; 3], at: f64| [0, 1, 2].map(|i| self.pixels * row[i] + at * w[i]);
        [seen(h, self.spot.x), seen(k, self.spot.y), w]
    }
}

/// The matrix of a model's values.
fn matrix(model: Model, v: &[f64; MOST]) -> [[f64; 3]; 3] {
    match model {
        // The picture's y runs down, the board's up: turned and never mirrored.
        Model::SquareOn => [[v[0], v[1], v[2]], [v[1], -v[0], v[3]], [0.0, 0.0, 1.0]],
        Model::Any => [[v[0], v[1], v[2]], [v[3], v[4], v[5]], [v[6], v[7], 1.0]],
    }
}

/// Where a place is seen, and how that changes with each value, right and down; none behind the camera.
fn seen(model: Model, v: &[f64; MOST], [x, y]: [f64; 2]) -> Option<([f64; 2], [[f64; MOST]; 2])> {
    let [h, k, w] = matrix(model, v).map(|row| row[0] * x + row[1] * y + row[2]);
    let spot = [h / w, k / w];
    let rows = match model {
        Model::SquareOn => [
            [x, y, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0],
            [-y, x, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0],
        ],
        Model::Any => {
            let (x, y, one) = (x / w, y / w, 1.0 / w);
            let [a, b] = spot;
            [
                [x, y, one, 0.0, 0.0, 0.0, -a * x, -a * y],
                [0.0, 0.0, 0.0, x, y, one, -b * x, -b * y],
            ]
        }
    };
    (w > 0.0 && spot.iter().all(|c| c.is_finite())).then_some((spot, rows))
}

/// Sums of squares and of products with what is left over.
#[derive(Clone)]
struct Sums {
    table: Table,
    column: [f64; MOST],
}

impl Sums {
    fn new() -> Sums {
        Sums {
            table: [[0.0; MOST]; MOST],
            column: [0.0; MOST],
        }
    }

    fn add(&mut self, row: &[f64; MOST], left: f64) {
        for (i, a) in row.iter().enumerate() {
            self.column[i] += a * left;
            for (to, b) in self.table[i].iter_mut().zip(row) {
                *to += a * b;
            }
        }
    }
}

impl Fit {
    /// The view that fits the marks best; none where they do not determine one, as when they lie in one
    /// line. At most 20 steps of O(n) for n marks.
    pub(crate) fn of(model: Model, marks: &[Mark]) -> Option<Fit> {
        if 2 * marks.len() < model.unknowns() {
            return None;
        }
        let frame = Frame::of(model, marks);
        let pairs: Vec<([f64; 2], [f64; 2])> = marks
            .iter()
            .map(|m| (frame.place(m.place), frame.spot(m.seen)))
            .collect();
        let size = model.unknowns();
        let mut values = match model {
            Model::SquareOn => [0.0; MOST],
            Model::Any => linear(&pairs)?,
        };
        let mut best = measured(model, &values, &pairs)?;
        for _ in 0..STEPS {
            let step = times(&inverse(&best.0.table, size)?, &best.0.column, size);
            let mut next = values;
            for (value, by) in next.iter_mut().zip(step) {
                *value += by;
            }
            // At the best it can be, rounding decides, and the sum falls no more.
            let Some(sums) = measured(model, &next, &pairs) else {
                break;
            };
            if sums.1 >= best.1 {
                break;
            }
            (values, best) = (next, sums);
        }
        let rows = pairs
            .iter()
            .map(|(place, _)| Some(seen(model, &values, *place)?.1))
            .collect::<Option<Vec<_>>>()?;
        Some(Fit {
            view: View::new(frame.undone(matrix(model, &values)))?,
            model,
            frame,
            values,
            inverse: inverse(&best.0.table, size)?,
            rows,
        })
    }

    /// How far a place may be off where each mark is off by half a pixel right or left and up or down, all
    /// in the worst way, in millimetres: linearised (Hartley & Zisserman 2004, section 5.2, there with
    /// covariances). Without bound at the horizon.
    pub(crate) fn carried(&self, place: Point) -> f64 {
        self.moves(place)
            .map_or(f64::INFINITY, |moves| farthest(&moves))
    }

    /// How far the place seen at a spot moves in millimetres with half a pixel of each mark.
    fn moves(&self, place: Point) -> Option<Vec<Vector>> {
        let [along, across] = self.view.change_at(place)?;
        let determinant = along.cross(across);
        let (_, at) = seen(self.model, &self.values, self.frame.place(place))?;
        let size = self.model.unknowns();
        let back = at.map(|row| times(&self.inverse, &row, size));
        let moves = self.rows.iter().flatten().map(|row| {
            // In units of the picture the mark moves the spot by this for each unit; so in pixels too.
            let right = dot(&back[0], row) * OFF;
            let down = dot(&back[1], row) * OFF;
            // The place that is then seen at the spot, by Cramer's rule; the sign does not matter.
            Vector::new(
                (right * across.y - down * across.x) / determinant,
                (down * along.x - right * along.y) / determinant,
            )
        });
        let moves: Vec<Vector> = moves.collect();
        moves
            .iter()
            .all(|m| m.x.is_finite() && m.y.is_finite())
            .then_some(moves)
    }

    /// By how much more than half a pixel marks are off, as what is left beside the view has it: its deviation
    /// over that of even chance within half a pixel. With two numbers to spare it is twice that,
    /// for then it is little known (Student's t: 9.9 in place of 4.6 for 99 in 100).
    pub(crate) fn spread(&self, marks: &[Mark]) -> f64 {
        let squares: f64 = marks
            .iter()
            .filter_map(|m| Some(self.view.spot_of(m.place)?.distance(m.seen)))
            .map(|d| d * d)
            .sum();
        let spare = (2 * marks.len()).saturating_sub(self.model.unknowns());
        let deviation = (squares / spare.max(1) as f64).sqrt();
        let little = if spare <= 2 { 2.0 } else { 1.0 };
        little * deviation / (2.0 * OFF / 12.0_f64.sqrt())
    }

    /// How far mark `number` may be left beside the view where each mark is off by half a pixel, in pixels.
    pub(crate) fn explained(&self, number: usize) -> f64 {
        let size = self.model.unknowns();
        let back = self.rows[number].map(|row| times(&self.inverse, &row, size));
        let own = |k: usize, axis: usize| {
            if k == number && axis == 0 {
                Vector::new(1.0, 0.0)
            } else if k == number {
                Vector::new(0.0, 1.0)
            } else {
                Vector::ZERO
            }
        };
        let moves: Vec<Vector> = self
            .rows
            .iter()
            .enumerate()
            .flat_map(|(k, rows)| [(k, 0, rows[0]), (k, 1, rows[1])])
            .map(|(k, axis, row)| {
                (own(k, axis) - Vector::new(dot(&back[0], &row), dot(&back[1], &row))) * OFF
            })
            .collect();
        farthest(&moves)
    }
}

/// How far moves that add up, each one way or the other, lead at most.
fn farthest(moves: &[Vector]) -> f64 {
    (0..DIRECTIONS)
        .map(|k| {
            let (s, c) = math::sin_cos_deg(180.0 * f64::from(k) / f64::from(DIRECTIONS));
            moves.iter().map(|m| (m.x * c + m.y * s).abs()).sum::<f64>()
        })
        .fold(0.0, f64::max)
}

/// The direct linear transformation.
fn linear(pairs: &[([f64; 2], [f64; 2])]) -> Option<[f64; MOST]> {
    let mut sums = Sums::new();
    for &([x, y], [a, b]) in pairs {
        sums.add(&[x, y, 1.0, 0.0, 0.0, 0.0, -a * x, -a * y], a);
        sums.add(&[0.0, 0.0, 0.0, x, y, 1.0, -b * x, -b * y], b);
    }
    Some(times(&inverse(&sums.table, MOST)?, &sums.column, MOST))
}

/// The sums at some values, and the sum of squares of what is left over; none where a mark is behind the
/// camera.
fn measured(
    model: Model,
    values: &[f64; MOST],
    pairs: &[([f64; 2], [f64; 2])],
) -> Option<(Sums, f64)> {
    let mut sums = Sums::new();
    let mut squares = 0.0;
    for (place, spot) in pairs {
        let (at, rows) = seen(model, values, *place)?;
        for axis in 0..2 {
            let left = spot[axis] - at[axis];
            sums.add(&rows[axis], left);
            squares += left * left;
        }
    }
    Some((sums, squares))
}
