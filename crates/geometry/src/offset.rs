//! Outlines further out or in: for drawing and for search shapes, never for decisions.
//!
//! Decisions add radii to exact distances instead; no offset outline is needed for them.

use crate::flatten::{FLATTEN_TOLERANCE, Side, flatten_disc};
use crate::{Convex, Point, Region, convex_pieces, library};

/// The region `by` millimetres further out, corners rounded; further in if negative. It may
/// fall apart or vanish.
///
/// For drawing only: points are snapped to a fine grid inside the library, and the last digits
/// of rounded corners may differ between machines. `tolerance` is the least size of pieces and
/// holes that are kept: thinner ones than this are dropped.
pub fn offset(region: &Region, by: f64, tolerance: f64) -> Vec<Region> {
    if by == 0.0 || !by.is_finite() {
        return vec![region.clone()];
    }
    let least = tolerance * tolerance;
    library::buffered(region, by)
        .into_iter()
        .filter(|piece| piece.outer().signed_area() > least)
        .collect()
}

/// A region that surely holds everything within `by` millimetres (at least 0) of this one, and
/// nothing further away than `by` + 2 `tolerance` + a micrometre.
///
/// Made from our own rounded shapes round each convex piece; only their union comes from the
/// library, which snaps to a grid far below the micrometre that is added. Same result on every
/// machine. Holes shrink and vanish when they are filled.
pub fn offset_outer_safe(region: &Region, by: f64, tolerance: f64) -> Vec<Region> {
    if !(by >= 0.0 && by.is_finite()) {
        return vec![region.clone()];
    }
    let tolerance = if tolerance > 0.0 {
        tolerance
    } else {
        FLATTEN_TOLERANCE
    };
    let radius = by + 0.001;
    let Ok(disc) = flatten_disc(Point::ORIGIN, radius, tolerance, Side::Outside) else {
        return vec![region.clone()];
    };
    let rounded: Vec<Vec<Point>> = convex_pieces(region)
        .iter()
        .map(|piece| swept(piece, disc.points()))
        .collect();
    library::union(&rounded)
}

/// The convex piece swept round by a convex shape about the origin.
fn swept(piece: &Convex, shape: &[Point]) -> Vec<Point> {
    let mut cloud = Vec::with_capacity(piece.points().len() * shape.len());
    for &p in piece.points() {
        cloud.extend(shape.iter().map(|q| p + q.to_vector()));
    }
    library::convex_hull(&cloud)
}
