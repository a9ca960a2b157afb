//! Where a camera sees the places of a board.

use core::f64::consts::TAU;

use heartside_figure::Spot;
use heartside_geometry::{Point, math};

use super::PhotoSettings;
use crate::Chance;

/// A camera that looks at a board: a pinhole, and a lens that may bend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// From the board (x, y, 1) to the picture (x, y, 1) up to a factor, the lens left out.
    pub homography: [[f64; 3]; 3],
    /// How far the lens bends; see [`PhotoSettings::bend`].
    pub bend: f64,
    /// Pixels in a row, and rows.
    pub size: [u32; 2],
}

impl Camera {
    /// A camera in somebody's hand: it shows the whole board and some of the ground, nearly level, from
    /// the side by up to the tilt that is asked for.
    pub(super) fn by_chance(chance: &mut Chance, settings: &PhotoSettings) -> Camera {
        let [columns, rows] = settings.size.map(f64::from);
        // As long as most phones' main lens: the picture's long side under some 65 degrees.
        let focal = chance.between(0.75, 1.0) * columns.max(rows);
        let tilt = math::to_radians(settings.tilt * chance.between(0.3, 1.0));
        let about = chance.between(0.0, TAU);
        let roll = math::to_radians(chance.between(-4.0, 4.0));
        // A board that lies upright in the picture fills an upright picture.
        let roll = if rows > columns {
            roll + 0.25 * TAU
        } else {
            roll
        };
        let turn = product(turned_in_picture(roll), tilted(tilt, about));
        let (length, width) = (settings.length, settings.width);
        let off = Point::new(
            0.5 * length + chance.between(-0.02, 0.02) * length,
            0.5 * width + chance.between(-0.2, 0.2) * width,
        );
        // As near as it shows everything with a margin.
        let mut distance = 0.2 * length.max(width);
        loop {
            let camera = Camera {
                homography: projection(focal, [0.5 * columns, 0.5 * rows], &turn, off, distance),
                bend: settings.bend,
                size: settings.size,
            };
            if camera.shows(length, width) || distance > 1e6 {
                return camera;
            }
            distance *= 1.02;
        }
    }

    /// Whether the board and what lies near it is in the picture, in front of the camera.
    fn shows(&self, length: f64, width: f64) -> bool {
        let beyond = 0.02 * length;
        let corners = [
            (-beyond, -80.0),
            (length + beyond, -80.0),
            (length + beyond, width + 80.0),
            (-beyond, width + 80.0),
        ];
        corners.iter().all(|&(x, y)| {
            let [a, b, w] = self.homography[2];
            let spot = self.spot_of(Point::new(x, y));
            let (across, down) = (
                spot.x / f64::from(self.size[0]),
                spot.y / f64::from(self.size[1]),
            );
            a * x + b * y + w > 0.0
                && (0.01..0.99).contains(&across)
                && (0.01..0.99).contains(&down)
        })
    }

    /// Where a place of the board is seen.
    pub fn spot_of(&self, place: Point) -> Spot {
        let straight = carried(&self.homography, place.x, place.y);
        let (cx, cy) = (0.5 * f64::from(self.size[0]), 0.5 * f64::from(self.size[1]));
        let (x, y) = (straight.0 - cx, straight.1 - cy);
        let by = 1.0 + self.bend * (x * x + y * y) / (cx * cx + cy * cy);
        Spot::new(cx + x * by, cy + y * by)
    }

    /// The place of the board that is seen at a spot.
    pub fn place_of(&self, spot: Spot) -> Point {
        let (cx, cy) = (0.5 * f64::from(self.size[0]), 0.5 * f64::from(self.size[1]));
        let (x, y) = (spot.x - cx, spot.y - cy);
        // The lens undone step by step; each halves what is left several times over.
        let mut by = 1.0;
        for _ in 0..12 {
            by = 1.0 + self.bend * (x * x + y * y) / (by * by) / (cx * cx + cy * cy);
        }
        let back = inverse(&self.homography);
        let (x, y) = carried(&back, cx + x / by, cy + y / by);
        Point::new(x, y)
    }
}

type Matrix = [[f64; 3]; 3];

/// From the board to the picture: the board's middle (`off`) comes before the camera at a distance, turned.
fn projection(focal: f64, centre: [f64; 2], turn: &Matrix, off: Point, distance: f64) -> Matrix {
    // The board's y is up, the picture's down.
    let [u, v] = [0, 1].map(|k| [turn[0][k], turn[1][k], turn[2][k]]);
    let flat = [u, v.map(|c| -c)];
    let shift: Vec<f64> = (0..3)
        .map(|row| {
            -flat[0][row] * off.x - flat[1][row] * off.y + if row == 2 { distance } else { 0.0 }
        })
        .collect();
    let row = |k: usize| [flat[0][k], flat[1][k], shift[k]];
    let depth = row(2);
    let seen = |k: usize| {
        let side = row(k);
        [0, 1, 2].map(|i| focal * side[i] + centre[k] * depth[i])
    };
    [seen(0), seen(1), depth]
}

/// A turn about the direction of view.
fn turned_in_picture(angle: f64) -> Matrix {
    let (s, c) = (math::sin(angle), math::cos(angle));
    [[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]
}

/// A tilt about an axis in the picture (Rodrigues' formula).
fn tilted(angle: f64, about: f64) -> Matrix {
    let (s, c) = (math::sin(angle), math::cos(angle));
    let (x, y) = (math::cos(about), math::sin(about));
    let rest = 1.0 - c;
    [
        [c + x * x * rest, x * y * rest, y * s],
        [x * y * rest, c + y * y * rest, -x * s],
        [-y * s, x * s, c],
    ]
}

fn product(a: Matrix, b: Matrix) -> Matrix {
    let cell = |row: usize, column: usize| (0..3).map(|k| a[row][k] * b[k][column]).sum();
    [0, 1, 2].map(|row| [0, 1, 2].map(|column| cell(row, column)))
}

fn carried(matrix: &Matrix, x: f64, y: f64) -> (f64, f64) {
    let [a, b, c] = matrix.map(|row| row[0] * x + row[1] * y + row[2]);
    (a / c, b / c)
}

/// The inverse up to a factor, by cofactors.
fn inverse(m: &Matrix) -> Matrix {
    let cofactor = |r: usize, c: usize| {
        let (r1, r2, c1, c2) = ((r + 1) % 3, (r + 2) % 3, (c + 1) % 3, (c + 2) % 3);
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    [0, 1, 2].map(|row| [0, 1, 2].map(|column| cofactor(column, row)))
}
