//! What all stages of the search read: the layers at several finenesses, the tiles, and what a face is worth.

use heartside_geometry::{Bounds, Point, Pose};

use super::halves::Halves;
use super::shade::Shade;
use super::{Sought, Source};
use crate::balance::{Answer, Wish};
use crate::map::{FigureMap, Layer};

/// A tile's source, by its place in the list, and where it lies there.
pub(super) type Lie = (usize, Pose);

pub(super) struct Ground {
    pub(super) sought: Sought,
    pub(super) halves: Vec<Halves>,
    /// For each map the finest shade first.
    shades: Vec<[Shade; 2]>,
}

/// Side of a cell of the finer and of the coarser shade in millimetres.
pub(super) const FINE: usize = 0;
pub(super) const COARSE: usize = 1;
const CELLS: [[f64; 2]; 2] = [[20.0, 4.0], [32.0, 8.0]];

impl Ground {
    pub(super) fn new(sought: Sought) -> Ground {
        // Where nothing is chosen halves that mirror each other please as well.
        let answer = if sought.wish == Wish::default() {
            Answer::Mirror
        } else {
            sought.wish.answer
        };
        let halves = Halves::of(&sought.tiles, sought.size, answer);
        let shades = sought.maps.iter().map(|map| {
            let shade = Shade::of(compared(map));
            CELLS.map(|cell| shade.coarser(cell))
        });
        Ground {
            shades: shades.collect(),
            halves,
            sought,
        }
    }

    pub(super) fn source(&self, source: usize) -> &Source {
        &self.sought.sources[source]
    }

    /// The layer by which sources are compared, over cells of at least a size.
    pub(super) fn shade_of(&self, source: usize, least: [f64; 2]) -> Shade {
        let map = self.sought.maps.get(self.source(source).map);
        map.map_or_else(
            || Shade::of(&Layer::default()),
            |map| Shade::of(compared(map)).coarser(least),
        )
    }

    pub(super) fn shade(&self, source: usize, fineness: usize) -> Option<&Shade> {
        self.shades
            .get(self.source(source).map)
            .map(|s| &s[fineness])
    }

    /// How alike a pair is where it lies so, from -1 to 1; where little of it was seen it counts little.
    pub(super) fn alike(&self, halves: &Halves, one: Lie, other: Lie, fineness: usize) -> f64 {
        let (Some(a), Some(b)) = (self.shade(one.0, fineness), self.shade(other.0, fineness))
        else {
            return 0.0;
        };
        let (value, seen) = halves.alike((a, one.1), (b, other.1), APART[fineness]);
        value * seen.sqrt()
    }

    /// How far apart places are read along and across.
    pub(super) fn apart(&self, fineness: usize) -> [f64; 2] {
        APART[fineness]
    }

    pub(super) fn may_lie(&self, tile: usize, lie: Lie) -> bool {
        self.sought.room.may_lie(tile, lie.0, lie.1)
    }

    /// Whether two tiles can be taken at once.
    pub(super) fn are_apart(&self, one: (usize, Lie), other: (usize, Lie)) -> bool {
        let ((a, (s, p)), (b, (t, q))) = (one, other);
        self.source(s).board != self.source(t).board
            || self.sought.room.are_apart((a, s, p), (b, t, q))
    }

    /// The share of a tile's wood that was seen where it lies so.
    pub(super) fn seen(&self, tile: usize, lie: Lie) -> f64 {
        let Some(shade) = self.shade(lie.0, COARSE) else {
            return 0.0;
        };
        let bounds = self.sought.tiles[tile];
        let (columns, rows) = (24, 6);
        let mut seen = 0;
        for k in 0..columns * rows {
            let place = Point::new(
                bounds.width() * (f64::from(k % columns) + 0.5) / f64::from(columns),
                bounds.height() * (f64::from(k / columns) + 0.5) / f64::from(rows),
            );
            seen += u32::from(shade.at(lie.1.apply(place)).is_finite());
        }
        f64::from(seen) / f64::from(columns * rows)
    }
}

/// How far apart places are read along and across, by fineness.
const APART: [[f64; 2]; 2] = [[12.0, 4.0], [20.0, 8.0]];

/// The layer by which halves are compared: lightness, or what was marked as sapwood where no photograph was taken.
fn compared(map: &FigureMap) -> &Layer {
    if map.light.levels.iter().any(|l| *l > 0) {
        &map.light
    } else {
        &map.sapwood
    }
}

/// A tile with its middle at a place, turned.
pub(super) fn about(tile: Bounds, middle: Point, turn: f64) -> Pose {
    let half = Point::new(0.5 * tile.width(), 0.5 * tile.height());
    let to = Pose::new(0.0, 0.0, turn).apply(half);
    Pose::new(middle.x - to.x, middle.y - to.y, turn)
}

/// The middle of a tile that lies so.
pub(super) fn middle(tile: Bounds, at: Pose) -> Point {
    at.apply(Point::new(0.5 * tile.width(), 0.5 * tile.height()))
}

/// How far a turn is from the nearer of the two ways round, in degrees, from -90 to 90.
pub(super) fn tilt(turn: f64) -> f64 {
    let rest = (turn + 90.0).rem_euclid(180.0);
    rest - 90.0
}
