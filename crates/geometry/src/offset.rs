//! Outlines further out or in: for drawing, never for decisions.
//!
//! Decisions add radii to exact distances instead; no offset outline is needed for them.

use crate::{Point, Region, Ring, library};

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
    library::buffered(&rings(region), by)
        .into_iter()
        .filter_map(Region::from_sound_points)
        .filter(|piece| piece.outer().signed_area() > least)
        .collect()
}

fn rings(region: &Region) -> Vec<&[Point]> {
    region.rings().map(Ring::points).collect()
}
