//! What a face is worth while its tiles are moved about.

use heartside_geometry::{Point, Pose};

use super::ground::{Ground, Lie};
use crate::balance::{CELL, Face, Measured, Mosaic, Tile};

/// A face and what it is worth.
#[derive(Debug, Clone)]
pub(super) struct Judge(Mosaic);

/// Side of a cell in millimetres while the steps are long: a quarter of the time of [`CELL`].
const COARSE_CELL: f64 = 16.0;

impl Judge {
    pub(super) fn new(ground: &Ground, lies: &[Lie], is_fine: bool) -> Judge {
        let tiles = lies
            .iter()
            .enumerate()
            .map(|(tile, lie)| laid(ground, tile, *lie));
        let face = Face {
            size: ground.sought.size,
            tiles: tiles.collect(),
        };
        let cell = if is_fine { CELL } else { COARSE_CELL };
        Judge(Mosaic::new(&ground.sought.maps, &face, cell))
    }

    /// Lays one of its tiles elsewhere.
    pub(super) fn put(&mut self, ground: &Ground, tile: usize, lie: Lie) {
        self.0
            .put(&ground.sought.maps, tile, laid(ground, tile, lie));
    }

    /// How well it meets the wish, from 0 to 1.
    pub(super) fn worth(&self, ground: &Ground) -> f64 {
        self.0.worth(&ground.sought.wish)
    }

    pub(super) fn measured(&self) -> Vec<Measured> {
        self.0.measure()
    }
}

/// A tile of the face as it is seen where it lies.
fn laid(ground: &Ground, tile: usize, (source, at): Lie) -> Tile {
    let seen = ground.sought.tiles[tile];
    let to = at.apply(Point::new(-seen.min.x, -seen.min.y));
    Tile {
        seen,
        map: Some(ground.source(source).map),
        to_map: Pose {
            x: to.x,
            y: to.y,
            ..at
        },
    }
}
