//! Blocks joined of two, the most promising first, until nothing better can come.
//!
//! A block is a rectangle that blanks and waste fill by straight cuts. Two blocks side by side
//! or one above the other, in the rectangle round both, are a block again, and every pattern is
//! made so (Wang 1983). What may still be added beyond a block that lies in the board's corner
//! has a ceiling of its own, the best sum over all ways of growing the block to the whole
//! board (Viswanathan & Bagchi 1993), here in worths less prices, so that it heeds the copies
//! there are (`prices`). Blocks are taken up by falling ceiling; once that is no more than
//! what is known to be possible, nothing better exists.
//!
//! # What is pruned, and why nothing is lost
//! Blocks whose ceiling is no more than what is known; blocks that hold no more of any part than
//! another block that is no longer and no higher: the other can stand in for it.

use std::cmp::Ordering;
use std::collections::{BinaryHeap, HashMap};

use heartside_timber::job::Job;
use heartside_timber::plan::{Direction, Layout};

use super::table::Table;
use super::{Clear, Make};

/// Most blocks kept, as a rule: about a hundred megabytes.
pub(super) const MOST_BLOCKS: usize = 600_000;
/// Pairs looked at in a step.
const STEP: usize = 20_000;

/// Blanks in a rectangle.
struct Block {
    width: u32,
    height: u32,
    /// What its blanks are worth.
    value: f64,
    /// The same less prices.
    worth: f64,
    make: Made,
}

/// How a block is made.
#[derive(Debug, Clone, Copy)]
enum Made {
    Item(u32),
    Beside(u32, u32),
    Above(u32, u32),
}

/// A block waiting to be joined.
#[derive(PartialEq)]
struct Waiting {
    ceiling: f64,
    block: u32,
}

impl Eq for Waiting {}

impl PartialOrd for Waiting {
    fn partial_cmp(&self, other: &Waiting) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Waiting {
    /// The higher ceiling first, and of equal ones the later block, which holds more.
    fn cmp(&self, other: &Waiting) -> Ordering {
        self.ceiling
            .total_cmp(&other.ceiling)
            .then(self.block.cmp(&other.block))
    }
}

/// The search.
pub struct Joined {
    /// Parts that count: places in the job's list.
    parts: Vec<usize>,
    prices: Vec<f64>,
    /// Prices of all copies there are.
    price_of_all: f64,
    /// What may be added beyond a block of this width and height: `more[x * heights + y]`.
    more: Vec<f64>,
    /// Columns of it still to be found, from the board's end.
    missing: usize,
    table: Table,
    blocks: Vec<Block>,
    /// How many of each part a block holds, one block after the other.
    counts: Vec<u8>,
    /// Blocks by what they hold.
    alike: HashMap<Box<[u8]>, Vec<u32>>,
    waiting: BinaryHeap<Waiting>,
    /// Blocks that have been joined with one another.
    taken: Vec<u32>,
    /// The block that is being joined, and how many of those taken it has met.
    now: Option<(u32, usize)>,
    /// All values are whole numbers.
    is_whole: bool,
    ceiling: f64,
    is_over: bool,
    most_blocks: usize,
}

impl Joined {
    /// The search with these prices and their table for all sums of sizes; nothing is worth more than the ceiling. None where there are too many copies.
    pub fn new(
        clear: &Clear,
        prices: Vec<f64>,
        table: Table,
        ceiling: f64,
        most_blocks: usize,
    ) -> Option<Joined> {
        let mut parts: Vec<usize> = clear.items.iter().map(|item| item.part).collect();
        parts.dedup();
        if parts.iter().any(|p| clear.copies[*p] > u32::from(u8::MAX)) {
            return None;
        }
        let (along, across) = table.rasters();
        Some(Joined {
            price_of_all: clear.price_of_all(&prices),
            prices,
            more: vec![0.0; along.len() * across.len()],
            missing: along.len(),
            table,
            blocks: Vec::new(),
            counts: Vec::new(),
            alike: HashMap::new(),
            waiting: BinaryHeap::new(),
            taken: Vec::new(),
            now: None,
            is_whole: parts.iter().all(|p| clear.values[*p].fract() == 0.0),
            parts,
            ceiling,
            is_over: false,
            most_blocks,
        })
    }

    /// Each blank by itself.
    fn begin(&mut self, clear: &Clear, known: f64) {
        for (place, item) in clear.items.iter().enumerate() {
            if item.width > clear.length {
                continue;
            }
            let counts: Vec<u8> = self
                .parts
                .iter()
                .map(|p| u8::from(*p == item.part))
                .collect();
            let value = clear.values[item.part];
            let block = Block {
                width: item.width as u32,
                height: item.height as u32,
                value,
                worth: value - self.prices[item.part],
                make: Made::Item(place as u32),
            };
            self.add(block, &counts, known);
        }
    }

    /// The most that can be added beyond a block of the next length and of each height. O(heights x (lengths + heights)).
    fn look_beyond(&mut self) {
        self.missing -= 1;
        let x = self.missing;
        let (along, across) = self.table.rasters();
        let rows = across.len();
        let (here, after) = self.more[x * rows..].split_at_mut(rows);
        for (far, more) in (x + 1..).zip(after.chunks_exact(rows)) {
            let strip = along.down(along.points[far] - along.points[x]);
            for ((best, more), strip) in here.iter_mut().zip(more).zip(self.table.column(strip)) {
                *best = best.max(more + strip);
            }
        }
        let layer = self.table.column(x);
        for y in (0..rows).rev() {
            for far in y + 1..rows {
                let added = layer[across.down(across.points[far] - across.points[y])];
                here[y] = here[y].max(here[far] + added);
            }
        }
    }

    /// Nothing is worth more, unless more is known to be possible.
    pub(super) fn ceiling(&self) -> f64 {
        self.ceiling
    }

    /// Whether the limit on blocks ended the search, so that nothing is proved by its end.
    pub fn gave_up(&self) -> bool {
        self.blocks.len() >= self.most_blocks
    }

    /// How long a block is, in measures.
    pub fn length_of(&self, block: u32) -> i64 {
        i64::from(self.blocks[block as usize].width)
    }

    /// Nothing is left to be joined.
    pub fn is_over(&self) -> bool {
        self.is_over
    }

    /// Joins some pairs; a block that is worth more than what is known, if one came of it.
    pub fn step(&mut self, clear: &Clear, known: f64) -> Option<u32> {
        if self.missing > 0 {
            self.look_beyond();
            if self.missing == 0 {
                self.begin(clear, known);
            }
            return None;
        }
        let mut known = known;
        let mut found = None;
        let mut pairs = 0;
        while pairs < STEP && !self.is_over {
            let Some((block, met)) = self.now else {
                self.take_up(known);
                continue;
            };
            let until = self.taken.len().min(met + STEP - pairs);
            for place in met..until {
                for made in self.joins(clear, block, self.taken[place]) {
                    if let Some(value) = self.join(clear, made, known) {
                        known = value;
                        found = Some(self.blocks.len() as u32 - 1);
                    }
                }
            }
            pairs += 1 + until - met;
            self.now = (until < self.taken.len()).then_some((block, until));
            if self.gave_up() {
                self.is_over = true;
            }
        }
        found
    }

    /// Takes up the block with the highest ceiling.
    fn take_up(&mut self, known: f64) {
        let Some(next) = self.waiting.pop() else {
            self.ceiling = known;
            self.is_over = true;
            return;
        };
        self.ceiling = self.ceiling.min(next.ceiling);
        if !self.is_worth_it(next.ceiling, known) {
            self.ceiling = known;
            self.is_over = true;
            return;
        }
        self.taken.push(next.block);
        self.now = Some((next.block, 0));
    }

    /// Whether a ceiling leaves room for something better.
    fn is_worth_it(&self, ceiling: f64, known: f64) -> bool {
        let least = if self.is_whole {
            known.floor() + 1.0
        } else {
            known
        };
        ceiling > least - 1e-7 * (1.0 + least) && ceiling > known + 1e-9 * (1.0 + known)
    }

    /// The ways of joining two blocks that fit on the board.
    fn joins(&self, clear: &Clear, a: u32, b: u32) -> impl Iterator<Item = Made> + use<> {
        let (one, other) = (&self.blocks[a as usize], &self.blocks[b as usize]);
        let beside = i64::from(one.width) + i64::from(other.width) <= clear.length;
        let above = i64::from(one.height) + i64::from(other.height) <= clear.height;
        let beside = beside.then_some(Made::Beside(a, b));
        let above = above.then_some(Made::Above(a, b));
        beside.into_iter().chain(above)
    }

    /// Joins two blocks, if that can lead to something better; the value, where the block itself is.
    fn join(&mut self, clear: &Clear, made: Made, known: f64) -> Option<f64> {
        let (Made::Beside(a, b) | Made::Above(a, b)) = made else {
            return None;
        };
        let (one, other) = (&self.blocks[a as usize], &self.blocks[b as usize]);
        let (width, height) = match made {
            Made::Above(..) => (one.width.max(other.width), one.height + other.height),
            _ => (one.width + other.width, one.height.max(other.height)),
        };
        let block = Block {
            width,
            height,
            value: one.value + other.value,
            worth: one.worth + other.worth,
            make: made,
        };
        if !self.is_worth_it(self.ceiling_of(&block), known) {
            return None;
        }
        let of = |block: u32| {
            let first = block as usize * self.parts.len();
            &self.counts[first..first + self.parts.len()]
        };
        let sums = of(a).iter().zip(of(b)).map(|(x, y)| x.saturating_add(*y));
        let counts: Vec<u8> = sums.collect();
        let copies = |place: usize| clear.copies[self.parts[place]];
        if (counts.iter().enumerate()).any(|(place, n)| u32::from(*n) > copies(place)) {
            return None;
        }
        let value = block.value;
        let is_new = self.add(block, &counts, known);
        (is_new && value > known + 1e-9 * (1.0 + known)).then_some(value)
    }

    /// What a plan that holds the block in its corner is worth at most.
    fn ceiling_of(&self, block: &Block) -> f64 {
        let (along, across) = self.table.rasters();
        let x = along.down(i64::from(block.width));
        let y = across.down(i64::from(block.height));
        self.price_of_all + block.worth + self.more[x * across.len() + y]
    }

    /// Keeps a block, unless one that holds the same is no longer and no higher.
    fn add(&mut self, block: Block, counts: &[u8], known: f64) -> bool {
        let ceiling = self.ceiling_of(&block);
        if !self.is_worth_it(ceiling, known) {
            return false;
        }
        let alike = self.alike.entry(counts.into()).or_default();
        let stands_in = |other: &u32| {
            let other = &self.blocks[*other as usize];
            other.width <= block.width && other.height <= block.height
        };
        if alike.iter().any(stands_in) {
            return false;
        }
        let place = self.blocks.len() as u32;
        alike.push(place);
        self.blocks.push(block);
        self.counts.extend_from_slice(counts);
        self.waiting.push(Waiting {
            ceiling,
            block: place,
        });
        true
    }

    /// A block's pattern, cut out of the board.
    pub fn cut_out(&self, clear: &Clear, job: &Job, root: u32) -> Vec<Layout> {
        clear.cut_out(job, root, |block| match self.blocks[*block as usize].make {
            Made::Item(place) => Make::Item(place as usize),
            Made::Beside(a, b) => {
                let length = i64::from(self.blocks[a as usize].width);
                Make::Parted(Direction::Crosscut, length, a, b)
            }
            Made::Above(a, b) => {
                let length = i64::from(self.blocks[a as usize].height);
                Make::Parted(Direction::Rip, length, a, b)
            }
        })
    }
}
