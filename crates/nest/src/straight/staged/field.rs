//! A board as the staged search sees it: sections follow one another along u, rows lie across them along v.

use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;
use heartside_timber::plan::Direction;

use super::block::{Block, Make, add_blocks};
use super::inscribed::inscribed;
use crate::straight::ground::{Class, Ground};
use crate::straight::saw::Saws;
use crate::straight::workpiece::Side;

/// Most ways to lie of all parts on one board; beyond, each node has too many children to get anywhere.
const MOST_BLANKS: usize = 2_000;

/// Most blocks besides, on all boards together: each is tried at every node.
const MOST_BLOCKS: usize = 1_000;

/// Most blocks where places must be looked for past flaws, which takes a hundred times as long.
const MOST_BESIDE_FLAWS: usize = 60;

/// Most u tried for one blank past obstacles.
const MOST_TRIES: usize = 24;

/// What is to be cut, with what, and out of how many boards.
#[derive(Clone, Copy)]
pub(super) struct Order<'a> {
    pub(super) job: &'a Job,
    pub(super) saws: &'a Saws,
    /// How many of each part.
    pub(super) wanted: &'a [u32],
    /// A random number for each part.
    pub(super) marks: &'a [u64],
    pub(super) boards: usize,
}

/// A board in one frame, sections made by crosscuts or (transposed) by rips.
#[derive(Debug, Clone)]
pub(super) struct Field {
    /// Which kind of board it is a view of.
    pub(super) kind: usize,
    /// Place in the stockroom's list of grounds.
    pub(super) ground: usize,
    /// u runs across the frame.
    pub(super) transposed: bool,
    /// Where blanks may lie.
    pub(super) usable: Bounds,
    /// The board's bounds.
    pub(super) whole: Bounds,
    /// Every way in which a wanted part may lie, then blocks of them.
    pub(super) blocks: Vec<Block>,
    /// The blocks' places, largest area first.
    pub(super) order: Vec<u16>,
    /// Kerf of cuts square to u, and square to v.
    pub(super) kerf: (f64, f64),
    /// Narrowest strip that can be taken off along u, and along v.
    strip: (f64, f64),
    /// Extents that differ by less are the same.
    pub(super) bite: f64,
    play: f64,
    noise: f64,
    /// Spacing of the places for blanks past obstacles; 0 where they are free.
    grid: f64,
    /// Some part keeps clear of something on it.
    pub(super) has_obstacles: bool,
    /// For each class of the ground.
    flaws: Vec<Flaws>,
}

/// What blanks of one class keep clear of, as boxes along u and v: a little more than the
/// flaws themselves, and asked about far more quickly.
#[derive(Debug, Clone, Default)]
struct Flaws {
    blank: Vec<Bounds>,
    finished: Vec<Bounds>,
}

impl Flaws {
    fn of(ground: &Ground, class: &Class, inner: &Bounds, transposed: bool) -> Flaws {
        let boxes = |list: &[usize]| {
            let mut boxes: Vec<Bounds> = Vec::new();
            for piece in list.iter().map(|p| &ground.pieces[*p]) {
                // Only what reaches into the rectangle counts.
                if !piece.meets(&inner.grown(-ground.noise)) {
                    continue;
                }
                let b = *piece.bounds();
                if boxes.iter().all(|other| !other.contains_bounds(&b)) {
                    boxes.retain(|other| !b.contains_bounds(other));
                    boxes.push(b);
                }
            }
            if transposed {
                boxes.iter_mut().for_each(|b| *b = b.transposed());
            }
            boxes
        };
        // What a blank may lie round is kept clear of too: another engine looks for that.
        let blank: Vec<usize> = class.blank.iter().chain(&class.around).copied().collect();
        Flaws {
            blank: boxes(&blank),
            finished: boxes(&class.finished),
        }
    }

    fn is_empty(&self) -> bool {
        self.blank.is_empty() && self.finished.is_empty()
    }

    /// Every flaw, less what a block's edge may lie over it.
    fn reduced(&self, inset: (f64, f64)) -> impl Iterator<Item = Bounds> {
        let finished = self.finished.iter().map(move |b| Bounds {
            min: Point {
                x: b.min.x + inset.0,
                y: b.min.y + inset.1,
            },
            max: Point {
                x: b.max.x - inset.0,
                y: b.max.y - inset.1,
            },
        });
        self.blank.iter().copied().chain(finished)
    }
}

impl Field {
    /// A view of a ground; none where a kind of cut has no tool or no part fits.
    pub(super) fn new(
        order: &Order<'_>,
        ground: &Ground,
        (kind, ground_place): (usize, usize),
        transposed: bool,
    ) -> Option<Field> {
        let Order {
            job,
            saws,
            wanted,
            marks,
            boards,
        } = *order;
        let swap = |b: Bounds| if transposed { b.transposed() } else { b };
        let (along, across) = if transposed {
            (Direction::Rip, Direction::Crosscut)
        } else {
            (Direction::Crosscut, Direction::Rip)
        };
        let inner = inscribed(ground);
        let usable = swap(inner);
        let flaws: Vec<Flaws> = ground
            .classes
            .iter()
            .map(|class| Flaws::of(ground, class, &inner, transposed))
            .collect();
        let grid = ground.grid_step();
        // In a turned frame the grid is not along the cuts, and placements move by up to this.
        let loose = if ground.frame.angle == 0.0 {
            0.0
        } else {
            1.5 * grid
        };
        let kerf = (saws.least_kerf(job, along)?, saws.least_kerf(job, across)?);
        let mut blocks = Vec::new();
        for (part, fits) in ground.fits.iter().enumerate() {
            if wanted.get(part).is_none_or(|n| *n == 0) {
                continue;
            }
            for (place, fit) in fits.iter().enumerate() {
                let mut lie = if transposed { fit.transposed() } else { *fit };
                lie.width += loose;
                lie.height += loose;
                if lie.width <= usable.width() + ground.bite
                    && lie.height <= usable.height() + ground.bite
                {
                    blocks.push(Block {
                        make: Make::Blank { part, fit: place },
                        lie,
                        meets_any: !flaws[fit.class].is_empty(),
                        area: fit.width * fit.height,
                        value: job.parts[part].value,
                        blanks: 1,
                        needs: vec![(part, 1)],
                        mark: marks[part],
                    });
                }
            }
        }
        if blocks.is_empty() || blocks.len() > MOST_BLANKS {
            return None;
        }
        let clear = blocks.iter().all(|b| !b.meets_any);
        let share = if clear {
            MOST_BLOCKS / boards.max(1)
        } else {
            0
        };
        let most = blocks.len() + share.max(MOST_BESIDE_FLAWS);
        add_blocks(&mut blocks, &usable, kerf, ground.bite, wanted, most);
        let mut order: Vec<u16> = (0..blocks.len())
            .filter_map(|b| b.try_into().ok())
            .collect();
        let area = |b: u16| blocks[usize::from(b)].area;
        order.sort_by(|a, b| area(*b).total_cmp(&area(*a)).then(a.cmp(b)));
        let has_obstacles = blocks.iter().any(|b| b.meets_any);
        Some(Field {
            kind,
            ground: ground_place,
            transposed,
            usable,
            whole: swap(ground.bounds),
            blocks,
            order,
            kerf,
            strip: (
                saws.least_strip(job, along, ground.thickness),
                saws.least_strip(job, across, ground.thickness),
            ),
            bite: ground.bite,
            play: ground.leaf_play,
            noise: ground.noise,
            grid: if loose > 0.0 { 0.0 } else { grid },
            has_obstacles,
            flaws,
        })
    }

    /// The side of a workpiece that lies towards greater u.
    pub(super) fn high_u(&self) -> Side {
        if self.transposed {
            Side::HighY
        } else {
            Side::HighX
        }
    }

    /// The side of a workpiece that lies towards greater v.
    pub(super) fn high_v(&self) -> Side {
        if self.transposed {
            Side::HighX
        } else {
            Side::HighY
        }
    }

    /// True where what is left along u is nothing, or enough for a cut.
    pub(super) fn can_part_u(&self, left: f64) -> bool {
        left <= self.play || left >= self.strip.0
    }

    /// True where what is left along v is nothing, or enough for a cut.
    pub(super) fn can_part_v(&self, left: f64) -> bool {
        left <= self.play || left >= self.strip.1
    }

    /// The first free place of a block in a rectangle: least u, then least v. O(tries x obstacles).
    pub(super) fn place(
        &self,
        block: &Block,
        room: &Bounds,
        starts: &mut Vec<(f64, f64)>,
    ) -> Option<(f64, f64)> {
        let (width, height) = (block.width(), block.height());
        if width > room.width() + self.bite || height > room.height() + self.bite {
            return None;
        }
        if !block.meets_any {
            return Some((room.min.x, room.min.y));
        }
        let flaws = &self.flaws[block.lie.class];
        let last = room.max.x - width + self.bite;
        let mut u = room.min.x;
        for _ in 0..MOST_TRIES {
            if u > last {
                return None;
            }
            starts.clear();
            let mut next = f64::INFINITY;
            for flaw in flaws.reduced(block.lie.inset) {
                let is_met = flaw.min.x < u + width - self.noise && flaw.max.x > u + self.noise;
                if is_met && flaw.max.y > room.min.y && flaw.min.y < room.max.y {
                    starts.push((flaw.min.y - height + self.noise, flaw.max.y - self.noise));
                    next = next.min(flaw.max.x);
                }
            }
            starts.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut v = room.min.y;
            for (from, to) in starts.iter() {
                if *from < v && v < *to {
                    v = self.lifted(*to, room.min.y);
                }
            }
            if v + height <= room.max.y + self.bite {
                return Some((u, v));
            }
            u = self.lifted(next, room.min.x);
            if !u.is_finite() {
                return None;
            }
        }
        None
    }

    /// The next place on the grid, unless it is the edge itself.
    fn lifted(&self, at: f64, edge: f64) -> f64 {
        if self.grid == 0.0 || at <= edge {
            return at;
        }
        let near = (at / self.grid).round() * self.grid;
        if near >= at - self.noise {
            near
        } else {
            near + self.grid
        }
    }
}
