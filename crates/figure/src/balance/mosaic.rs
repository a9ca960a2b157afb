//! A face sampled once on small cells, tile by tile, so that one tile can be changed and measured again cheaply.

use core::ops::Range;

use heartside_geometry::{Bounds, Point, math};

use super::painting::painted;
use super::{Face, Maps, Tile};
use crate::map::{FigureMap, Layer};

/// Side of a cell in millimetres, about: twice that of a map of light, and still a quarter of what a hand covers.
pub const CELL: f64 = 8.0;

/// No more cells than this along or across, however long a face is said to be.
const MOST_CELLS: f64 = 1024.0;

/// Light on coarser cells than this says nothing of a joint or of a streak: taken as not seen.
const COARSEST_LIGHT: f64 = 16.0;

/// A face on cells of its own: what each layer of the maps says at the middle of each cell, 0 where it is unknown.
///
/// The cells divide the face evenly, so that the lower half of them mirrors the upper half. Sampling costs
/// far more than measuring, so a face of which one tile moves is sampled in that tile alone.
#[derive(Debug, Clone)]
pub struct Mosaic {
    /// Length and width in millimetres.
    pub(super) size: [f64; 2],
    /// Length and width of a cell in millimetres.
    pub(super) cell: [f64; 2],
    pub(super) columns: usize,
    pub(super) rows: usize,
    pub(super) tiles: Vec<Tile>,
    pub(super) cells: Vec<Cell>,
    /// Square millimetres that the maker wants in all maps, and that the maker does not want.
    pub(super) painted: [f64; 2],
    /// Sine and cosine of twice the direction of each level.
    directions: Vec<[f32; 2]>,
}

/// What is known of a cell; levels as in the maps, 0 where unknown.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Cell {
    pub(super) light: f32,
    pub(super) sapwood: f32,
    pub(super) strength: f32,
    pub(super) wanted: f32,
    /// Cosine and sine of twice the angle between the figure and the face's length, so that directions half a turn
    /// apart are one (Mardia & Jupp 2000, axial data); both 0 where unknown.
    pub(super) direction: [f32; 2],
}

/// Some cells of a face: columns and rows.
#[derive(Debug, Clone)]
pub(super) struct Window {
    pub(super) columns: Range<usize>,
    pub(super) rows: Range<usize>,
}

impl Mosaic {
    /// Samples a face on cells of about `cell` millimetres; [`CELL`] is fine enough for every measure. An empty one
    /// where the face has no sound size.
    pub fn new(maps: Maps<'_>, face: &Face, cell: f64) -> Mosaic {
        let count = |size: f64| {
            if size > 0.0 && size.is_finite() && cell > 0.0 {
                (size / cell).round().clamp(1.0, MOST_CELLS) as usize
            } else {
                0
            }
        };
        let (columns, rows) = (count(face.size[0]), count(face.size[1]));
        let sound = columns > 0 && rows > 0;
        let (columns, rows) = if sound { (columns, rows) } else { (0, 0) };
        let mut mosaic = Mosaic {
            size: face.size,
            cell: [
                face.size[0] / columns.max(1) as f64,
                face.size[1] / rows.max(1) as f64,
            ],
            columns,
            rows,
            tiles: face.tiles.clone(),
            cells: vec![Cell::default(); columns * rows],
            painted: painted(maps),
            directions: directions(),
        };
        for at in 0..mosaic.tiles.len() {
            mosaic.sample(maps, at);
        }
        mosaic
    }

    /// Puts another tile in the place of one, to be seen at the same place. Nothing happens where there is no such tile.
    pub fn put(&mut self, maps: Maps<'_>, at: usize, tile: Tile) {
        if let Some(place) = self.tiles.get_mut(at) {
            *place = tile;
            self.sample(maps, at);
        }
    }

    /// The tiles it shows.
    pub fn tiles(&self) -> &[Tile] {
        &self.tiles
    }

    /// The cell at a column and row.
    pub(super) fn at(&self, column: usize, row: usize) -> &Cell {
        &self.cells[row * self.columns + column]
    }

    /// The columns and rows whose middles lie within a rectangle.
    pub(super) fn within(&self, seen: &Bounds) -> Window {
        let first = |at: f64, cell: f64, count: usize| {
            (at / cell - 0.5).ceil().clamp(0.0, count as f64) as usize
        };
        let columns = |x: f64| first(x, self.cell[0], self.columns);
        let rows = |y: f64| first(y, self.cell[1], self.rows);
        Window {
            columns: columns(seen.min.x)..columns(seen.max.x),
            rows: rows(seen.min.y)..rows(seen.max.y),
        }
    }

    /// Where a window lies on the face.
    pub(super) fn place(&self, window: &Window) -> Bounds {
        let corner = |column: usize, row: usize| {
            Point::new(column as f64 * self.cell[0], row as f64 * self.cell[1])
        };
        Bounds::new(
            corner(window.columns.start, window.rows.start),
            corner(window.columns.end, window.rows.end),
        )
    }

    /// Some cells cut evenly into windows of about so many millimetres along and across, row by row.
    pub(super) fn windows(&self, within: &Window, along: f64, across: f64) -> Vec<Window> {
        let columns = parts(&within.columns, along / self.cell[0]);
        let rows = parts(&within.rows, across / self.cell[1]);
        let window = |rows: &Range<usize>, columns: &Range<usize>| Window {
            columns: columns.clone(),
            rows: rows.clone(),
        };
        rows.iter()
            .flat_map(|r| columns.iter().map(move |c| window(r, c)))
            .collect()
    }

    /// All of it.
    pub(super) fn whole(&self) -> Window {
        Window {
            columns: 0..self.columns,
            rows: 0..self.rows,
        }
    }

    fn sample(&mut self, maps: Maps<'_>, at: usize) {
        let tile = self.tiles[at];
        let window = self.within(&tile.seen);
        let map = tile.map.and_then(|m| maps.get(m));
        // Directions of the map are turned back into those of the face.
        let (sin, cos) = math::sin_cos_deg(-2.0 * tile.to_map.turn);
        let turn = [cos as f32, sin as f32];
        let transform = tile.to_map.transform();
        for row in window.rows {
            for column in window.columns.clone() {
                let cell = map.map_or_else(Cell::default, |map| {
                    let middle = Point::new(
                        (column as f64 + 0.5) * self.cell[0],
                        (row as f64 + 0.5) * self.cell[1],
                    );
                    let quarter = [-0.25, 0.25].map(|q| [q * self.cell[0], q * self.cell[1]]);
                    let near = [(0, 0), (1, 0), (0, 1), (1, 1)].map(|(i, j): (usize, usize)| {
                        let place = Point::new(middle.x + quarter[i][0], middle.y + quarter[j][1]);
                        transform.apply(place)
                    });
                    self.cell_of(map, transform.apply(middle), near, turn)
                });
                self.cells[row * self.columns + column] = cell;
            }
        }
    }

    /// Fine layers are read at four places of a cell, the others at its middle.
    fn cell_of(&self, map: &FigureMap, middle: Point, near: [Point; 4], turn: [f32; 2]) -> Cell {
        let mean = |layer: &Layer| {
            let levels = near.map(|p| level(layer, p));
            let known = levels.iter().filter(|l| **l > 0.0).count() as f32;
            if known > 0.0 {
                levels.iter().sum::<f32>() / known
            } else {
                0.0
            }
        };
        let light = if map.light.cell <= COARSEST_LIGHT {
            mean(&map.light)
        } else {
            0.0
        };
        let [mut cos, mut sin] = [0.0, 0.0];
        weigh(&map.direction, middle, |level, weight| {
            let [c, s] = self.directions[usize::from(level)];
            cos += weight * c;
            sin += weight * s;
        });
        Cell {
            light,
            sapwood: mean(&map.sapwood),
            strength: level(&map.strength, middle),
            wanted: level(&map.wanted, middle),
            direction: [cos * turn[0] - sin * turn[1], sin * turn[0] + cos * turn[1]],
        }
    }
}

/// A range cut evenly into parts of about so many.
fn parts(range: &Range<usize>, of: f64) -> Vec<Range<usize>> {
    let count = range.len();
    if count == 0 {
        return Vec::new();
    }
    let parts = ((count as f64 / of.max(1.0)).round() as usize).clamp(1, count);
    (0..parts)
        .map(|k| range.start + k * count / parts..range.start + (k + 1) * count / parts)
        .collect()
}

/// Cosine and sine of twice the direction that each level stands for.
fn directions() -> Vec<[f32; 2]> {
    (0..256)
        .map(|level| {
            // 1 to 255 for above -90 to 90 degrees.
            let angle = 180.0 * f64::from(level) / 255.0 - 90.0;
            let (sin, cos) = math::sin_cos_deg(2.0 * angle);
            [cos as f32, sin as f32]
        })
        .collect()
}

/// The level of a layer at a place, between the middles of those of the four cells about it that are known; 0 where
/// none is that has a quarter of the weight. So a layer reaches to its border, and not beyond.
fn level(layer: &Layer, place: Point) -> f32 {
    let (mut sum, mut known) = (0.0, 0.0);
    weigh(layer, place, |level, weight| {
        sum += weight * f32::from(level);
        known += weight;
    });
    if known >= 0.24 { sum / known } else { 0.0 }
}

/// Shows the known levels of the four cells about a place, each with its weight between their middles.
fn weigh(layer: &Layer, place: Point, mut show: impl FnMut(u8, f32)) {
    let x = (place.x - layer.origin[0]) / layer.cell - 0.5;
    let y = (place.y - layer.origin[1]) / layer.cell - 0.5;
    let (columns, rows) = (layer.columns as f64, layer.rows() as f64);
    // Also what is not a number ends here.
    if !(x >= -0.5 && y >= -0.5 && x <= columns - 0.5 && y <= rows - 0.5) {
        return;
    }
    let (left, low) = (x.floor(), y.floor());
    let (right, up) = ((x - left) as f32, (y - low) as f32);
    for (dy, wy) in [(0.0, 1.0 - up), (1.0, up)] {
        for (dx, wx) in [(0.0, 1.0 - right), (1.0, right)] {
            let (column, row) = (left + dx, low + dy);
            if column < 0.0 || row < 0.0 || column >= columns || row >= rows {
                continue;
            }
            let level = layer.levels[row as usize * layer.columns + column as usize];
            if level > 0 {
                show(level, wx * wy);
            }
        }
    }
}
