//! Clear, upright boards: the greatest value from one, proved, and what else their whole
//! measures allow: unlike boards bought by prices (`column_generation`), and by engines from outside
//! short strips.
//!
//! First as if every part could be had any number of times (`table`), then with the copies
//! there are: prices on scarce parts bring the ceiling down (`prices`), and blocks joined
//! side by side and one above the other, the most promising first, go through what is left
//! (`joined`).
//!
//! # What is searched, and why nothing is lost
//! Every size is taken a kerf larger, blanks and board alike, so that kerfs need no thought
//! of their own. A pattern pushed down and to the left has its cuts at sums of blank sizes
//! (Herz 1972), so tables hold those only, and every pattern is a block joined of two, to any
//! depth (Wang 1983). Tools that cannot make every cut are left out of account: the ceilings
//! hold for them too, and the pattern is cut out of the board by the same code as all
//! others, so that only what that managed is offered.

mod column_generation;
mod joined;
mod prices;
mod raster;
mod table;

use heartside_timber::job::Job;
use heartside_timber::plan::{Direction, Layout};

use self::joined::MOST_BLOCKS;
use self::prices::Prices;
use self::raster::Raster;
use super::layouts::layouts_of;
use super::stockroom::Stockroom;
use crate::cuts::cutting::{Cutting, First};
use crate::cuts::position::Edge;
use crate::cuts::side::Side;
use crate::engine::Engine;
use crate::task::Task;

pub(crate) use self::column_generation::ColumnGeneration;
pub use self::joined::Joined;
pub use self::table::Table;

/// Lengths are counted in these (a thousandth of the placement grid of jobs).
const UNIT: f64 = 1e-6;

/// Longest side in common measures of all sizes that sums are listed for.
const MOST_MEASURES: i64 = 200_000;

/// Most rectangles looked at: 4 million take about 50 MB.
const MOST_RECTANGLES: usize = 4_000_000;

/// One way in which a part may lie, in whole measures.
#[derive(Debug, Clone, Copy)]
pub struct Item {
    /// Place in the job's list of parts.
    pub part: usize,
    fit: usize,
    /// A kerf more than the blank's.
    pub width: i64,
    /// A kerf more than the blank's.
    pub height: i64,
}

/// The board and the parts, in whole measures, all a kerf larger than they are.
pub struct Clear {
    room: Stockroom,
    wanted: Vec<Vec<u32>>,
    /// How long a measure is, in millimetres.
    pub measure: f64,
    /// The kerf of crosscuts, in millimetres.
    pub kerf: f64,
    /// The board's length; what is asked may be a shorter one.
    pub length: i64,
    /// The board's height.
    pub height: i64,
    /// All ways in which wanted parts may lie.
    pub items: Vec<Item>,
    /// Of each part of the job its worth.
    pub values: Vec<f64>,
    /// Of each part of the job how many copies there are.
    pub copies: Vec<u32>,
}

/// What a piece of the board is cut into.
pub enum Make<P> {
    /// Nothing is cut out of it.
    Nothing,
    /// The blank with this place among the items.
    Item(usize),
    /// Two pieces, the lower of which has this length along the cut's way.
    Parted(Direction, i64, P, P),
}

impl Clear {
    /// Parts of no value are left out.
    fn by_value(job: &Job, task: Task) -> Option<Clear> {
        Clear::new(job, task, |part| job.parts[part].value > 0.0)
    }

    /// For a task of one clear, upright board, its measures not too many; parts that do not count are left out.
    pub fn new(job: &Job, task: Task, counts: impl Fn(usize) -> bool) -> Option<Clear> {
        if task.stock.len() != 1 || !task.pins.is_empty() {
            return None;
        }
        let room = Stockroom::new(job, &task);
        let shelf = room.shelves.first()?;
        let ground = &room.grounds[*shelf.frames.first()?];
        // What two sawn parts in one rectangle could give is not looked at.
        if !ground.is_clear_rectangle() || !ground.pairs.is_empty() {
            return None;
        }
        let kerf_along = room.saws.least_kerf(job, Direction::Crosscut)?;
        let kerf_across = room.saws.least_kerf(job, Direction::Rip)?;
        let whole = |size: f64| {
            let units = size / UNIT;
            ((units - units.round()).abs() < 1e-3).then_some(units.round() as i64)
        };
        let length = whole(ground.bounds.width() + kerf_along)?;
        let height = whole(ground.bounds.height() + kerf_across)?;
        let mut items = Vec::new();
        for (part, fits) in ground.fits.iter().enumerate() {
            let is_wanted = task.wanted.get(part).is_some_and(|w| !w.is_empty());
            if !is_wanted || !counts(part) {
                continue;
            }
            for (place, fit) in fits.iter().enumerate() {
                let item = Item {
                    part,
                    fit: place,
                    width: whole(fit.width + kerf_along)?,
                    height: whole(fit.height + kerf_across)?,
                };
                if item.width <= length && item.height <= height {
                    items.push(item);
                }
            }
        }
        let gcd = |a: i64, b: i64| {
            let (mut a, mut b) = (a, b);
            while b != 0 {
                (a, b) = (b, a % b);
            }
            a
        };
        let common = items
            .iter()
            .fold(0, |m, item| gcd(gcd(m, item.width), item.height));
        if common == 0 {
            return None;
        }
        for item in &mut items {
            item.width /= common;
            item.height /= common;
        }
        let (length, height) = (length / common, height / common);
        if length.max(height) > MOST_MEASURES {
            return None;
        }
        let clear = Clear {
            measure: common as f64 * UNIT,
            kerf: kerf_along,
            values: job.parts.iter().map(|p| p.value).collect(),
            copies: task.wanted.iter().map(|w| w.len() as u32).collect(),
            wanted: task.wanted,
            room,
            length,
            height,
            items,
        };
        let (along, across) = clear.rasters(Raster::reduced);
        (along.len() * across.len() <= MOST_RECTANGLES).then_some(clear)
    }

    /// The lengths and heights that pieces need to be looked at for.
    fn rasters(&self, raster: fn(i64, &[i64]) -> Raster) -> (Raster, Raster) {
        let sizes = |size: fn(&Item) -> i64| self.items.iter().map(size).collect::<Vec<_>>();
        (
            raster(self.length, &sizes(|i| i.width)),
            raster(self.height, &sizes(|i| i.height)),
        )
    }

    /// The value of so many of each part, none counted oftener than there are copies.
    fn value(&self, counts: &[u32]) -> f64 {
        let of_part =
            |((count, copies), value): ((&u32, &u32), &f64)| f64::from(*count.min(copies)) * value;
        let counted = counts.iter().zip(&self.copies).zip(&self.values);
        counted.map(of_part).sum()
    }

    /// The value of what lies on layouts.
    fn value_of(&self, job: &Job, layouts: &[Layout]) -> f64 {
        let placed = layouts.iter().flat_map(|l| &l.placements);
        placed
            .filter_map(|p| job.part(&p.part))
            .map(|part| part.value)
            .sum()
    }

    /// Cuts a pattern out of the board, as far as the tools and the copies go.
    pub fn cut_out<P>(&self, job: &Job, root: P, make: impl Fn(&P) -> Make<P>) -> Vec<Layout> {
        let Some(shelf) = self.room.shelves.first() else {
            return Vec::new();
        };
        let ground = &self.room.grounds[shelf.frames[0]];
        let mut cutting = Cutting::whole(ground);
        let mut left = self.copies.clone();
        let mut waiting = vec![(0, root)];
        while let Some((leaf, piece)) = waiting.pop() {
            let Some(work) = cutting.works[leaf] else {
                continue;
            };
            match make(&piece) {
                Make::Nothing => {}
                Make::Item(place) => {
                    let item = &self.items[place];
                    if left[item.part] == 0 {
                        continue;
                    }
                    let fit = &ground.fits[item.part][item.fit];
                    let bench = (job, ground, &self.room.saws);
                    let how = (Edge::Low, First::Rips);
                    let freed = cutting.lay(bench, leaf, item.part, fit, how);
                    left[item.part] -= u32::from(freed);
                }
                Make::Parted(direction, length, low, high) => {
                    let kerf = self.room.saws.least_kerf(job, direction).unwrap_or(0.0);
                    let (low_side, _) = Side::pair(direction);
                    let edge = low_side.of(&work.tight) + length as f64 * self.measure - kerf;
                    let side = match direction {
                        Direction::Crosscut => Side::HighX,
                        Direction::Rip => Side::HighY,
                    };
                    let saws = &self.room.saws;
                    let halves = cutting.part_in_two(job, ground, saws, leaf, side, edge);
                    if let Some((low_leaf, high_leaf)) = halves {
                        waiting.push((high_leaf, high));
                        waiting.push((low_leaf, low));
                    }
                }
            }
        }
        let board = [Some((shelf.frames[0], &cutting))];
        layouts_of(job, &self.room, &self.wanted, &board)
    }
}

/// How far the proof has come.
enum Stage {
    Prices(Box<Prices>),
    Joined(Box<Joined>),
    Done,
}

/// The proof as an engine: it offers a plan whenever it comes upon a better pattern.
pub(crate) struct Proof {
    clear: Clear,
    stage: Stage,
    /// Nothing is worth more.
    ceiling: f64,
    /// The greatest value known to be possible, from here or from elsewhere.
    known: f64,
    layouts: Vec<Layout>,
}

impl Proof {
    /// For a task that the proof is for: the greatest value from one clear, upright board.
    pub(crate) fn new(job: &Job, task: Task) -> Option<Proof> {
        let clear = Clear::by_value(job, task)?;
        Some(Proof {
            stage: Stage::Prices(Box::new(Prices::new(&clear))),
            clear,
            ceiling: f64::INFINITY,
            known: 0.0,
            layouts: Vec::new(),
        })
    }

    /// Takes layouts that are worth more than all known; true if they are.
    fn offer(&mut self, job: &Job, layouts: Vec<Layout>) -> bool {
        let value = self.clear.value_of(job, &layouts);
        let is_better = value > self.known + 1e-9 * (1.0 + self.known);
        if is_better {
            self.known = value;
            self.layouts = layouts;
        }
        is_better
    }
}

impl Engine for Proof {
    fn step(&mut self, job: &Job) -> bool {
        let was_finished = self.is_finished();
        let mut better = false;
        match &mut self.stage {
            Stage::Prices(prices) => {
                if !prices.step(&self.clear) {
                    return false;
                }
                // A table is full.
                let counts = prices.counts(&self.clear);
                self.ceiling = self.ceiling.min(prices.ceiling());
                let layouts = if self.clear.value(&counts) > self.known {
                    prices.cut_out(&self.clear, job)
                } else {
                    Vec::new()
                };
                let next = prices.next(&self.clear, &counts, self.known);
                better = self.offer(job, layouts);
                match next {
                    prices::Next::Again => {}
                    prices::Next::Proved => self.stage = Stage::Done,
                    prices::Next::Over => {
                        let Stage::Prices(prices) = std::mem::replace(&mut self.stage, Stage::Done)
                        else {
                            return better;
                        };
                        let (ceiling, best) = (prices.ceiling(), prices.best().to_vec());
                        let joined = prices.last_table().and_then(|table| {
                            Joined::new(&self.clear, best, table, ceiling, MOST_BLOCKS)
                        });
                        if let Some(joined) = joined {
                            self.stage = Stage::Joined(Box::new(joined));
                        }
                    }
                }
            }
            Stage::Joined(joined) => {
                let found = joined.step(&self.clear, self.known);
                self.ceiling = self.ceiling.min(joined.ceiling().max(self.known));
                let is_over = joined.is_over();
                if let Some(root) = found {
                    let layouts = joined.cut_out(&self.clear, job, root);
                    better = self.offer(job, layouts);
                }
                if is_over {
                    self.stage = Stage::Done;
                }
            }
            Stage::Done => {}
        }
        if self.known >= self.ceiling - 1e-9 * (1.0 + self.ceiling.abs()) {
            self.stage = Stage::Done;
        }
        // Much is proved little by little; only what ends the matter is worth being looked at.
        better || (self.is_finished() && !was_finished)
    }

    fn turn_steps(&self) -> u64 {
        50
    }

    fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    fn is_finished(&self) -> bool {
        matches!(self.stage, Stage::Done)
    }

    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool {
        self.known = self.known.max(self.clear.value_of(job, layouts));
        false
    }

    fn limit(&self) -> Option<f64> {
        self.ceiling.is_finite().then_some(self.ceiling)
    }
}
