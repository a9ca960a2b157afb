//! Where a camera sees the places of a plane.

use heartside_geometry::{Point, Vector};

use crate::Spot;

/// A matrix by rows.
pub(crate) type Matrix = [[f64; 3]; 3];

/// The places of a board's plane in a picture: a plane seen through a pinhole is a homography (Hartley &
/// Zisserman 2004, section 2.3 and table 2.2).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// From (x, y, 1) in millimetres to (x, y, 1) in pixels, up to a factor that is above 0 before the
    /// camera.
    to_picture: Matrix,
    to_board: Matrix,
}

impl View {
    /// The view of a matrix whose third row is above 0 for what lies before the camera; none where the plane
    /// is seen from its edge, as a line.
    pub(crate) fn new(to_picture: Matrix) -> Option<View> {
        let m = &to_picture;
        // The inverse up to a factor, by cofactors.
        let cofactor = |r: usize, c: usize| {
            let (r1, r2, c1, c2) = ((r + 1) % 3, (r + 2) % 3, (c + 1) % 3, (c + 2) % 3);
            m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
        };
        let determinant: f64 = (0..3).map(|c| m[0][c] * cofactor(0, c)).sum();
        if !determinant.is_normal() {
            return None;
        }
        // The factor keeps the third row above 0 for what is seen before the camera.
        let to_board = [0, 1, 2].map(|r| [0, 1, 2].map(|c| cofactor(c, r) / determinant));
        let is_finite = to_board.iter().flatten().all(|v| v.is_finite());
        is_finite.then_some(View {
            to_picture,
            to_board,
        })
    }

    /// Where a place is seen; none behind the camera.
    pub fn spot_of(&self, place: Point) -> Option<Spot> {
        carried(&self.to_picture, place.x, place.y).map(|(x, y)| Spot::new(x, y))
    }

    /// The place that is seen at a spot; none at the horizon and above.
    pub fn place_of(&self, spot: Spot) -> Option<Point> {
        carried(&self.to_board, spot.x, spot.y).map(|(x, y)| Point::new(x, y))
    }

    /// How far the spot moves as the place moves by a millimetre along the board, and across it, in pixels.
    pub(crate) fn change_at(&self, place: Point) -> Option<[Vector; 2]> {
        let [h, k, w] = self.to_picture;
        let depth = w[0] * place.x + w[1] * place.y + w[2];
        let spot = self.spot_of(place)?;
        // The quotient rule.
        let by = |c: usize| Vector::new(h[c] - spot.x * w[c], k[c] - spot.y * w[c]) / depth;
        Some([by(0), by(1)])
    }
}

fn carried(matrix: &Matrix, x: f64, y: f64) -> Option<(f64, f64)> {
    let [a, b, depth] = matrix.map(|row| row[0] * x + row[1] * y + row[2]);
    let (x, y) = (a / depth, b / depth);
    (depth > 0.0 && x.is_finite() && y.is_finite()).then_some((x, y))
}
