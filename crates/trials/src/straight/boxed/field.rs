//! A board as a search over rectangles sees it: sections follow one another along u, rows lie across them along v.

use heartside_geometry::Arrange;
use heartside_geometry::Bounds;
use heartside_nest::kit::cuts::{Fit, Ground, Saws, Side};
use heartside_timber::document::Stops;
use heartside_timber::job::Job;
use heartside_timber::plan::Direction;

use super::block::{Block, Make, add_blocks, add_need};
use super::flaws::{Flaws, Mirror};
use super::inscribed::inscribed;

/// Most ways to lie of all parts on one board; beyond, each node has too many children to get anywhere.
const MOST_BLANKS: usize = 2_000;

/// Most blocks besides, on all boards together: each is tried at every node.
const MOST_BLOCKS: usize = 1_000;

/// Most blocks where places must be looked for past flaws, which takes a hundred times as long.
const MOST_BESIDE_FLAWS: usize = 60;

/// Most places tried for one block past flaws.
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
pub(crate) struct Field {
    /// Which kind of board it is a view of.
    pub(crate) kind: usize,
    /// Place in the stockroom's list of grounds.
    pub(super) ground: usize,
    /// u runs across the frame.
    transposed: bool,
    /// Where blanks may lie.
    pub(crate) usable: Bounds,
    /// The board's bounds.
    pub(crate) whole: Bounds,
    /// Every way in which a wanted part may lie, then blocks of them.
    pub(crate) blocks: Vec<Block>,
    /// The blocks' places, largest area first.
    pub(crate) order: Vec<u16>,
    /// Kerf of cuts square to u, and square to v.
    pub(crate) kerf: (f64, f64),
    /// Narrowest strip that can be taken off along u, and along v.
    pub(super) strip: (f64, f64),
    /// Extents that differ by less are the same.
    pub(crate) bite: f64,
    play: f64,
    noise: f64,
    /// Spacing of the places for blanks past obstacles; 0 where they are free.
    grid: f64,
    /// Some part keeps clear of something on it.
    pub(crate) has_obstacles: bool,
    /// For each class of the ground.
    flaws: Vec<Flaws>,
    /// From which corner it is filled now, and the flaws seen from there.
    mirror: Mirror,
    seen_flaws: Vec<Flaws>,
    /// Fixings, and whether they stop cuts square to u, and square to v.
    fixings: Vec<(Bounds, bool, bool)>,
    seen_fixings: Vec<(Bounds, bool, bool)>,
}

/// Which way places are looked for first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Axis {
    /// Least u.
    U,
    /// Least v.
    V,
}

/// Fixings, and whether they stop cuts square to u, and square to v.
fn fixings_of(
    ground: &Ground,
    (along, across): (Direction, Direction),
    transposed: bool,
) -> Vec<(Bounds, bool, bool)> {
    let swap = |b: Bounds| if transposed { b.transposed() } else { b };
    ground
        .fixings
        .iter()
        .map(|(piece, stops)| {
            let stops = |direction: Direction| match stops {
                Stops::All => true,
                Stops::Rips => direction == Direction::Rip,
                Stops::Crosscuts => direction == Direction::Crosscut,
            };
            let bounds = swap(*ground.pieces[*piece].bounds());
            (bounds, stops(along), stops(across))
        })
        .collect()
}

/// Every way in which a wanted part, or a pair of them, may lie; placements may move by `loose`.
fn single_blocks(
    order: &Order<'_>,
    ground: &Ground,
    (usable, flaws): (&Bounds, &[Flaws]),
    loose: f64,
    transposed: bool,
) -> Vec<Block> {
    let Order {
        job, wanted, marks, ..
    } = *order;
    let mut blocks = Vec::new();
    let is_wanted = |part: usize| wanted.get(part).is_some_and(|n| *n > 0);
    let mut add = |make: Make, fit: &Fit, parts: &[usize]| {
        let mut lie = if transposed { turned(fit) } else { *fit };
        lie.width += loose;
        lie.height += loose;
        let mut needs = Vec::new();
        parts.iter().for_each(|part| add_need(&mut needs, *part, 1));
        let block = Block {
            make,
            lie,
            meets_any: !flaws[fit.class].is_empty(),
            area: fit.width * fit.height,
            value: parts.iter().map(|p| job.parts[*p].value).sum(),
            blanks: parts.len() as u32,
            needs,
            mark: parts.iter().fold(0, |sum, p| marks[*p].wrapping_add(sum)),
        };
        if lie.width <= usable.width() + ground.bite
            && lie.height <= usable.height() + ground.bite
            && block.is_in(wanted)
        {
            blocks.push(block);
        }
    };
    for (part, fits) in ground
        .fits
        .iter()
        .enumerate()
        .filter(|(p, _)| is_wanted(*p))
    {
        for (place, fit) in fits.iter().enumerate() {
            add(Make::Blank { part, fit: place }, fit, &[part]);
        }
    }
    for (place, pair) in ground.pairs.iter().enumerate() {
        if pair.parts.iter().all(|part| is_wanted(*part)) {
            add(Make::Pair(place), &pair.fit, &pair.parts);
        }
    }
    blocks
}

/// A way to lie where u and v are exchanged; for asking about room, not for placing.
fn turned(fit: &Fit) -> Fit {
    let mut turned = *fit;
    (turned.width, turned.height) = (fit.height, fit.width);
    turned.inset = (fit.inset.1, fit.inset.0);
    turned
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
            boards,
            ..
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
        let fixings = fixings_of(ground, (along, across), transposed);
        let grid = ground.grid_step();
        // In a turned frame the grid is not along the cuts, and placements move by up to this.
        let loose = if ground.frame.angle == 0.0 {
            0.0
        } else {
            1.5 * grid
        };
        let kerf = (saws.least_kerf(job, along)?, saws.least_kerf(job, across)?);
        let mut blocks = single_blocks(order, ground, (&usable, &flaws), loose, transposed);
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
        order.arrange_by(|a, b| area(*b).total_cmp(&area(*a)).then(a.cmp(b)));
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
            mirror: Mirror::default(),
            seen_flaws: flaws.clone(),
            flaws,
            seen_fixings: fixings.clone(),
            fixings,
        })
    }

    /// What any blank keeps clear of.
    pub(super) fn flaw_boxes(&self) -> Vec<Bounds> {
        let used = |class: &usize| self.blocks.iter().any(|b| b.lie.class == *class);
        (0..self.flaws.len())
            .filter(used)
            .flat_map(|class| {
                let inset = self.blocks.iter().find(|b| b.lie.class == class);
                let inset = inset.map_or((0.0, 0.0), |b| b.lie.inset);
                self.flaws[class].reduced(inset).collect::<Vec<_>>()
            })
            .collect()
    }

    /// Fixings, which stop cuts.
    pub(super) fn fixing_boxes(&self) -> Vec<Bounds> {
        self.fixings.iter().map(|f| f.0).collect()
    }

    /// Fills the board from another corner from now on.
    pub(crate) fn set_mirror(&mut self, mirror: Mirror) {
        self.whole = self.mirror.of(&self.whole, &self.usable);
        self.whole = mirror.of(&self.whole, &self.usable);
        self.mirror = mirror;
        self.seen_flaws = self
            .flaws
            .iter()
            .map(|f| f.mirrored(mirror, &self.usable))
            .collect();
        self.seen_fixings = self
            .fixings
            .iter()
            .map(|(b, u, v)| (mirror.of(b, &self.usable), *u, *v))
            .collect();
    }

    /// Where a cut square to u can pass at or after a place, over a stretch of v: beyond fixings in its way.
    pub(crate) fn cut_u(&self, at: f64, (from, to): (f64, f64)) -> f64 {
        self.beyond_fixings(at, self.kerf.0, |(b, stops, _)| {
            (*stops && b.min.y < to && b.max.y > from).then_some((b.min.x, b.max.x))
        })
    }

    /// As [`Field::cut_u`], for a cut square to v.
    pub(crate) fn cut_v(&self, at: f64, (from, to): (f64, f64)) -> f64 {
        self.beyond_fixings(at, self.kerf.1, |(b, _, stops)| {
            (*stops && b.min.x < to && b.max.x > from).then_some((b.min.y, b.max.y))
        })
    }

    fn beyond_fixings(
        &self,
        mut at: f64,
        kerf: f64,
        span: impl Fn(&(Bounds, bool, bool)) -> Option<(f64, f64)>,
    ) -> f64 {
        for _ in 0..=self.seen_fixings.len() {
            let mut spans = self.seen_fixings.iter().filter_map(&span);
            let met =
                spans.find(|(low, high)| *low < at + kerf - self.noise && *high > at + self.noise);
            let Some((_, high)) = met else { break };
            at = high;
        }
        at
    }

    /// A box of the frame as the search sees it.
    pub(super) fn seen(&self, b: &Bounds) -> Bounds {
        let b = if self.transposed { b.transposed() } else { *b };
        self.mirror.of(&b, &self.usable)
    }

    /// The side of a workpiece that lies towards greater u or v, and a place there in the frame.
    pub(super) fn side(&self, along_u: bool, at: f64) -> (Side, f64) {
        let (low, high, turns) = if along_u {
            (self.usable.min.x, self.usable.max.x, self.mirror.along_u)
        } else {
            (self.usable.min.y, self.usable.max.y, self.mirror.along_v)
        };
        let side = match (along_u != self.transposed, turns) {
            (true, false) => Side::HighX,
            (true, true) => Side::LowX,
            (false, false) => Side::HighY,
            (false, true) => Side::LowY,
        };
        (side, if turns { low + high - at } else { at })
    }

    /// True where what is left along u is nothing, or enough for a cut.
    pub(crate) fn can_part_u(&self, left: f64) -> bool {
        left <= self.play || left >= self.strip.0
    }

    /// True where what is left along v is nothing, or enough for a cut.
    pub(crate) fn can_part_v(&self, left: f64) -> bool {
        left <= self.play || left >= self.strip.1
    }

    /// The first free place of a block in a rectangle: least u, then least v, or the other
    /// way round. O(tries x flaws).
    pub(crate) fn place(
        &self,
        block: &Block,
        room: &Bounds,
        first: Axis,
        starts: &mut Vec<(f64, f64)>,
    ) -> Option<(f64, f64)> {
        let (width, height) = (block.width(), block.height());
        if width > room.width() + self.bite || height > room.height() + self.bite {
            return None;
        }
        if !block.meets_any {
            return Some((room.min.x, room.min.y));
        }
        let flaws = &self.seen_flaws[block.lie.class];
        // For least v everything is looked at with the axes exchanged.
        let swap = |b: Bounds| if first == Axis::V { b.transposed() } else { b };
        let inset = block.lie.inset;
        let (room, along, across) = match first {
            Axis::U => (*room, width, height),
            Axis::V => (room.transposed(), height, width),
        };
        let last = room.max.x - along + self.bite;
        let mut at = room.min.x;
        for _ in 0..MOST_TRIES {
            if at > last {
                return None;
            }
            starts.clear();
            let mut next = f64::INFINITY;
            for flaw in flaws.reduced(inset).map(swap) {
                let is_met = flaw.min.x < at + along - self.noise && flaw.max.x > at + self.noise;
                if is_met && flaw.max.y > room.min.y && flaw.min.y < room.max.y {
                    starts.push((flaw.min.y - across + self.noise, flaw.max.y - self.noise));
                    next = next.min(flaw.max.x);
                }
            }
            starts.arrange_by(|a, b| a.0.total_cmp(&b.0));
            let mut beside = room.min.y;
            for (from, to) in starts.iter() {
                if *from < beside && beside < *to {
                    beside = self.lifted(*to, room.min.y);
                }
            }
            if beside + across <= room.max.y + self.bite {
                return Some(match first {
                    Axis::U => (at, beside),
                    Axis::V => (beside, at),
                });
            }
            at = self.lifted(next, room.min.x);
            if !at.is_finite() {
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
