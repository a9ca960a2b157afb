//! Where each tile may lie at all: a coarse table, asked once.

use heartside_geometry::Point;

use super::ground::{Ground, Lie, about};

/// Places for each tile, those of the sources in turn.
#[derive(Default)]
pub(super) struct Places {
    pub(super) of: Vec<Vec<Lie>>,
    next: usize,
}

/// The most places along and across a face at which a tile is tried, at first and where it is nowhere.
const TRIED: [[usize; 2]; 2] = [[15, 6], [30, 25]];

/// Enough places for a tile that has few.
const ENOUGH: usize = 12;

impl Places {
    /// How many units it takes.
    pub(super) fn units(ground: &Ground) -> usize {
        ground.sought.tiles.len() * ground.sought.sources.len()
    }

    /// Asks for one tile on one source, both ways round. True once all are known.
    pub(super) fn unit(&mut self, ground: &Ground) -> bool {
        let (tiles, sources) = (ground.sought.tiles.len(), ground.sought.sources.len());
        self.of.resize(tiles, Vec::new());
        if self.next < tiles * sources {
            let (tile, source) = (self.next % tiles, self.next / tiles);
            self.next += 1;
            let mut found = tried(ground, tile, source, TRIED[0]);
            if found.is_empty() {
                found = tried(ground, tile, source, TRIED[1]);
                // Spread over what there is.
                let skip = found.len().div_ceil(ENOUGH).max(1);
                found = found.into_iter().step_by(skip).collect();
            }
            self.of[tile].extend(found);
        }
        self.next >= tiles * sources
    }
}

fn tried(ground: &Ground, tile: usize, source: usize, most: [usize; 2]) -> Vec<Lie> {
    let bounds = ground.sought.tiles[tile];
    let extent = ground.source(source).extent;
    let room = [
        extent.width() - bounds.width(),
        extent.height() - bounds.height(),
    ];
    if !(room[0] >= 0.0 && room[1] >= 0.0) {
        return Vec::new();
    }
    let steps = |room: f64, wide: f64, most: usize| ((room / wide).ceil() as usize).min(most);
    let along = steps(room[0], 0.1 * bounds.width().max(10.0), most[0]);
    let across = steps(room[1], 0.2 * bounds.height().max(5.0), most[1]);
    // Wane and trim leave a little less than the extent: a tile that just fits is tried a little inwards too.
    let at = |k: usize, steps: usize, low: f64, room: f64| {
        if steps == 0 {
            low + 0.5 * room
        } else {
            low + room * k as f64 / steps as f64
        }
    };
    let mut found = Vec::new();
    for j in 0..=across {
        for i in 0..=along {
            let middle = Point::new(
                at(i, along, extent.min.x, room[0]) + 0.5 * bounds.width(),
                at(j, across, extent.min.y, room[1]) + 0.5 * bounds.height(),
            );
            for turn in [0.0, 180.0] {
                let lie = (source, about(bounds, middle, turn));
                if ground.may_lie(tile, lie) {
                    found.push(lie);
                }
            }
        }
    }
    found
}
