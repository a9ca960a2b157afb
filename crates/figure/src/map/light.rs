//! Lightness of the wood, the light of the room taken out.

use super::Layer;
use super::cells::Grid;
use super::fall_off::{FallOff, light_of};

/// One level is this share of the light that the face's middle throws back.
pub const SHARE_OF_A_LEVEL: f64 = 0.01;

/// Levels about 128, the middle of the face.
pub(super) fn light(grid: &Grid, fall_off: &FallOff) -> Layer {
    grid.layer(|at, wood| {
        let more = light_of(wood.colour[0]) - fall_off.at(grid.middle(at));
        128.0 + more / SHARE_OF_A_LEVEL
    })
}
