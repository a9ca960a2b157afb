//! Faces for these tests: two halves, or one piece.

use heartside_figure::balance::{Face, Tile};
use heartside_figure::map::{FigureMap, Layer};
use heartside_geometry::{Bounds, Point, Pose};
use heartside_testkit::{Ground, RealBoard, plain_map, straight_photo};

pub const LENGTH: f64 = 1200.0;
pub const HALF: f64 = 230.0;

pub fn piece(x: f64, y: f64, length: f64, width: f64) -> Bounds {
    Bounds::new(Point::new(x, y), Point::new(x + length, y + width))
}

/// A face of two halves, each read from its map from the lower left corner on.
pub fn halves(lower: FigureMap, upper: FigureMap, pose: Pose) -> (Vec<FigureMap>, Face) {
    let tiles = vec![
        Tile {
            seen: piece(0.0, 0.0, LENGTH, HALF),
            map: Some(0),
            to_map: Pose::IDENTITY,
        },
        Tile {
            seen: piece(0.0, HALF, LENGTH, HALF),
            map: Some(1),
            to_map: pose,
        },
    ];
    let face = Face {
        size: [LENGTH, 2.0 * HALF],
        tiles,
    };
    (vec![lower, upper], face)
}

pub const UP: Pose = Pose::new(0.0, -HALF, 0.0);
pub const END_FOR_END: Pose = Pose::new(LENGTH, 2.0 * HALF, 180.0);

pub fn shifted(by: f64) -> Pose {
    Pose::new(by, -HALF, 0.0)
}

/// A face of one piece.
pub fn single(map: FigureMap) -> (Vec<FigureMap>, Face) {
    let tile = Tile {
        seen: piece(0.0, 0.0, LENGTH, 2.0 * HALF),
        map: Some(0),
        to_map: Pose::IDENTITY,
    };
    let face = Face {
        size: [LENGTH, 2.0 * HALF],
        tiles: vec![tile],
    };
    (vec![map], face)
}

pub type Side = (Vec<FigureMap>, Face);

/// The map of a rendered board, about a lightness that is the same for all.
pub fn rendered(board: &RealBoard, seed: u32) -> FigureMap {
    plain_map(
        &straight_photo(seed, Ground::Concrete, board, 2.0, 8.0),
        board,
        4.0,
        140.0,
    )
}

/// The map of a board of some width as if it were seen from below and the figure went right through.
pub fn over(map: &FigureMap, width: f64) -> FigureMap {
    let layer = |layer: &Layer| Layer {
        origin: [
            layer.origin[0],
            width - layer.origin[1] - layer.cell * layer.rows() as f64,
        ],
        levels: layer
            .levels
            .chunks(layer.columns.max(1))
            .rev()
            .flatten()
            .copied()
            .collect(),
        ..layer.clone()
    };
    let mut direction = layer(&map.direction);
    for level in direction.levels.iter_mut().filter(|l| **l > 0) {
        // From a to -a; 255 and the level that is not there are both upright.
        *level = if *level == 255 { 255 } else { 255 - *level };
    }
    FigureMap {
        light: layer(&map.light),
        sapwood: layer(&map.sapwood),
        strength: layer(&map.strength),
        direction,
        wanted: layer(&map.wanted),
    }
}
