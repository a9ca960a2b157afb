//! Which places of which sources answer each other: blocks of one against the whole of others, coarsely.
//!
//! A block is half as long as what is to be matched, so that some block lies wholly within what answers, wherever
//! that begins, and so that a few angles cover all tilts.

use heartside_geometry::{Arrange, Point, Pose, Vector};

use super::correlation::{Correlation, Seen, Whole};
use super::ground::{Ground, about};
use super::halves::{Halves, Relation};
use super::places::Places;
use super::shade::Shade;

/// Places of two sources that look alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Registration {
    /// For which pair, by its place in the list.
    pub(super) halves: usize,
    pub(super) one: usize,
    pub(super) other: usize,
    /// The middle of the block on the first.
    pub(super) at: Point,
    pub(super) relation: Relation,
    pub(super) value: f64,
}

/// The search of one pair of halves and all that are like it.
pub(super) struct Registering {
    halves: usize,
    mirrored: bool,
    /// Length and width of a block in millimetres, and in cells.
    block: [f64; 2],
    cells: [usize; 2],
    correlation: Correlation,
    shades: Vec<Shade>,
    wholes: Vec<Whole>,
    /// Blocks that are still to be compared, the last first: source, middle, relative turn.
    blocks: Vec<(usize, Point, f64)>,
    pub(super) found: Vec<Registration>,
}

/// The greatest turn of one source relative to the other: two tilts of three degrees.
const MOST_TURN: f64 = 6.0;

/// The longest row of cells that is transformed.
const MOST_CELLS: usize = 256;

/// How wide a cell is at most, in millimetres: streaks that are half as wide again still tell where they answer, whatever
/// part of a cell they are shifted by. Wider, and one hidden pair in three is lost among what is alike by chance.
const WIDEST: f64 = 12.0;

/// How many cells a block is wide at least.
const CELLS_ACROSS: f64 = 6.0;

/// How much longer a cell is than wide: figure runs along the board.
const LONG: f64 = 3.0;

/// How far blocks lie apart along and across, in lengths and widths of one. Farther across, and too much of the best block
/// lies beside what answers.
const ALONG: f64 = 0.5;
const ACROSS: f64 = 0.22;

/// How many registrations are kept of one block against one source, and of all.
const PEAKS: usize = 3;
const KEPT: usize = 1500;

/// The share of a block that must be seen.
const LEAST_SEEN: f64 = 0.7;

/// What a registration is worth keeping from: chance reaches it on hundreds of shifts.
const LEAST_VALUE: f64 = 0.25;

impl Registering {
    /// The blocks are those within which something may lie; the pair is given by its place in the list.
    pub(super) fn new(ground: &Ground, places: &Places, halves: usize) -> Registering {
        let pair = &ground.halves[halves];
        let sources = &ground.sought.sources;
        let greatest = |of: fn(&super::Source) -> f64| sources.iter().map(of).fold(1.0, f64::max);
        let extent = [
            greatest(|s| s.extent.width()),
            greatest(|s| s.extent.height()),
        ];
        let whole = [pair.part.width(), pair.part.height()];
        let block = [(0.5 * whole[0]).max(300.0).min(whole[0]), whole[1]];
        // The widest cells that are fine enough and fill a power of two.
        let count = |extent: f64, cell: f64| {
            ((extent / cell).ceil().max(1.0) as usize)
                .next_power_of_two()
                .min(MOST_CELLS)
        };
        let fine = (block[1] / CELLS_ACROSS).clamp(4.0, WIDEST);
        let rows = count(extent[1], fine);
        let across = (extent[1] / rows as f64).max(fine * 0.6);
        let columns = count(extent[0], LONG * across);
        let along = (extent[0] / columns as f64).max(LONG * across * 0.6);
        let shades: Vec<Shade> = (0..sources.len())
            .map(|s| ground.shade_of(s, [along, across]))
            .collect();
        let most = |k: usize| {
            shades
                .iter()
                .map(|s| s.cells()[k])
                .max()
                .unwrap_or(1)
                .max(1)
        };
        let mut correlation = Correlation::within(most(0), most(1));
        let cell = shades.first().map_or([1.0; 2], Shade::cell);
        let cells = [0, 1].map(|k| ((block[k] / cell[k]).round() as usize).max(2));
        let least = LEAST_SEEN * (cells[0] * cells[1]) as f64;
        let wholes = shades
            .iter()
            .map(|s| correlation.whole(&s.seen(pair.mirrored), cells, least))
            .collect();
        let mut registering = Registering {
            halves,
            mirrored: pair.mirrored,
            block,
            cells,
            correlation,
            shades,
            wholes,
            blocks: Vec::new(),
            found: Vec::new(),
        };
        registering.blocks = registering.all_blocks(ground, places, pair);
        registering
    }

    pub(super) fn units(&self) -> usize {
        self.blocks.len()
    }

    /// Every block at every turn, straight ones first.
    fn all_blocks(
        &self,
        ground: &Ground,
        places: &Places,
        pair: &Halves,
    ) -> Vec<(usize, Point, f64)> {
        let tile = ground.sought.tiles[pair.one];
        let other = ground.sought.tiles[pair.other];
        let mut middles = Vec::new();
        for (source, shade) in self.shades.iter().enumerate() {
            let extent = ground.source(source).extent;
            // Where the part that is matched may lie, whichever of the two tiles is taken from here.
            let within: Vec<Point> = [(pair.one, tile), (pair.other, other)]
                .into_iter()
                .flat_map(|(k, _)| places.of[k].iter())
                .filter(|lie| lie.0 == source)
                .map(|lie| lie.1.apply(pair.part.centre()))
                .collect();
            let steps = |room: f64, step: f64| (room.max(0.0) / step).ceil() as usize;
            let room = [
                extent.width() - self.block[0],
                extent.height() - self.block[1],
            ];
            let [along, across] = [
                steps(room[0], ALONG * self.block[0]),
                steps(room[1], ACROSS * self.block[1]),
            ];
            let reach = [
                0.5 * (pair.part.width() - self.block[0]) + 0.3 * self.block[0],
                0.5 * self.block[1],
            ];
            for j in 0..=across {
                for i in 0..=along {
                    let at = |k: usize, n: usize, room: f64| {
                        if n == 0 {
                            0.5 * room
                        } else {
                            room * k as f64 / n as f64
                        }
                    };
                    let middle = Point::new(
                        extent.min.x + 0.5 * self.block[0] + at(i, along, room[0]),
                        extent.min.y + 0.5 * self.block[1] + at(j, across, room[1]),
                    );
                    let is_near = within.iter().any(|p| {
                        (p.x - middle.x).abs() <= reach[0] && (p.y - middle.y).abs() <= reach[1]
                    });
                    if is_near && self.is_seen(shade, middle) {
                        middles.push((source, middle));
                    }
                }
            }
        }
        // A turn by half a step moves the ends of a block by less than its cells are wide.
        let cell = self.shades.first().map_or(1.0, |s| s.cell()[1]);
        let step = heartside_geometry::math::to_degrees(2.4 * cell / self.block[0]).clamp(1.0, 3.0);
        let count = (MOST_TURN / step).ceil() as i32;
        let mut turns: Vec<f64> = (-count..=count)
            .map(|k| MOST_TURN * f64::from(k) / f64::from(count))
            .collect();
        turns.arrange_by(|a, b| b.abs().total_cmp(&a.abs()).then(a.total_cmp(b)));
        turns
            .iter()
            .flat_map(|&turn| {
                middles
                    .iter()
                    .map(move |&(source, middle)| (source, middle, turn))
            })
            .collect()
    }

    fn is_seen(&self, shade: &Shade, middle: Point) -> bool {
        let seen = self.block_of(shade, middle, 0.0);
        let known = seen.values.iter().filter(|v| v.is_some()).count();
        10 * known >= 6 * seen.values.len()
    }

    /// What is seen of a shade in a block that is turned.
    fn block_of(&self, shade: &Shade, middle: Point, turn: f64) -> Seen {
        let [columns, rows] = self.cells;
        let [long, wide] = shade.cell();
        let pose = Pose::new(middle.x, middle.y, turn);
        let step = pose.apply_vector(Vector::new(long, 0.0));
        let mut values = Vec::with_capacity(columns * rows);
        let mut line = vec![0.0; columns];
        for row in 0..rows {
            let from = Point::new(
                -0.5 * (columns - 1) as f64 * long,
                (row as f64 - 0.5 * (rows - 1) as f64) * wide,
            );
            shade.line(pose.apply(from), step, &mut line);
            values.extend(line.iter().map(|v| v.is_finite().then_some(*v)));
        }
        Seen { columns, values }
    }

    /// Compares one block with all sources that come after its own, and with its own. True once none is left.
    pub(super) fn unit(&mut self, ground: &Ground) -> bool {
        let Some((one, middle, turn)) = self.blocks.pop() else {
            return true;
        };
        // Read so that it lies straight on the other source.
        let read = if self.mirrored { turn } else { -turn };
        let block = self.block_of(&self.shades[one], middle, read);
        let block = self.correlation.block(&block);
        let first = if self.mirrored { one } else { 0 };
        for other in first..self.shades.len() {
            let [straight, turned] = self.correlation.alike(&block, &self.wholes[other]);
            self.keep_peaks(ground, &straight, (one, middle, turn), other, false);
            self.keep_peaks(ground, &turned, (one, middle, turn), other, true);
        }
        if self.found.len() > 4 * KEPT {
            self.forget();
        }
        self.blocks.is_empty()
    }

    /// The best of all that were found, best first.
    pub(super) fn forget(&mut self) {
        self.found.arrange_by(|a, b| b.value.total_cmp(&a.value));
        self.found.truncate(KEPT);
    }

    fn keep_peaks(
        &mut self,
        ground: &Ground,
        alike: &[f64],
        (one, middle, turn): (usize, Point, f64),
        other: usize,
        half_turn: bool,
    ) {
        let shade = &self.shades[other];
        let rows = shade.cells()[1];
        let [wide, high] = self.cells;
        let places = self.wholes[other].places;
        let (Some(last_column), Some(last_row)) =
            (places[0].checked_sub(1), places[1].checked_sub(1))
        else {
            return;
        };
        let value = |c: usize, r: usize| alike[r * places[0] + c];
        let mut peaks: Vec<(f64, usize, usize)> = Vec::new();
        for r in 0..=last_row {
            for c in 0..=last_column {
                let v = value(c, r);
                if v < LEAST_VALUE || (peaks.len() == PEAKS && v <= peaks[PEAKS - 1].0) {
                    continue;
                }
                let is_top = (r.saturating_sub(1)..=(r + 1).min(last_row)).all(|y| {
                    (c.saturating_sub(1)..=(c + 1).min(last_column)).all(|x| value(x, y) <= v)
                });
                if is_top {
                    peaks.push((v, c, r));
                    peaks.arrange_by(|a, b| b.0.total_cmp(&a.0));
                    peaks.truncate(PEAKS);
                }
            }
        }
        for (value, c, r) in peaks {
            let column = c as f64 + 0.5 * (wide - 1) as f64;
            let row = r as f64 + 0.5 * (high - 1) as f64;
            // In the mirror the last row comes first.
            let row = if self.mirrored {
                (rows - 1) as f64 - row
            } else {
                row
            };
            let there = shade.middle(column, row);
            let turn = if half_turn { turn + 180.0 } else { turn };
            let registration = Registration {
                halves: self.halves,
                one,
                other,
                at: middle,
                relation: Relation::between(middle, there, turn, self.mirrored),
                value,
            };
            if self.is_elsewhere(ground, &registration, there) {
                self.found.push(registration);
            }
        }
    }

    /// Whether it is not the same wood that answers itself.
    fn is_elsewhere(&self, ground: &Ground, found: &Registration, there: Point) -> bool {
        let (one, other) = (ground.source(found.one), ground.source(found.other));
        if one.board != other.board {
            return true;
        }
        let y = if one.is_down == other.is_down {
            there.y
        } else {
            -there.y
        };
        (there.x - found.at.x).abs() >= self.block[0]
            || (y - found.at.y).abs() >= 0.9 * self.block[1]
    }
}

/// A tile about a place, as it lies when what is matched lies in the middle of a block.
pub(super) fn tile_about(ground: &Ground, pair: &Halves, place: Point, turn: f64) -> Pose {
    let tile = ground.sought.tiles[pair.one];
    let straight = about(tile, Point::new(0.0, 0.0), turn);
    let part = straight.apply(pair.part.centre());
    straight.moved(Vector::new(place.x - part.x, place.y - part.y))
}
