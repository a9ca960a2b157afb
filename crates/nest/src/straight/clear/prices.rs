//! Prices on scarce parts: the ceiling of the table brought down to the copies there are.
//!
//! With a price of at least nought on each part, take it off the part's worth and add the
//! price of all copies there are: no pattern that keeps to the copies is worth more
//! (Lagrangian relaxation; Geoffrion 1974). Prices move by subgradients, up where the best
//! pattern uses too many copies and down where too few, in steps of Polyak (1969).

use heartside_timber::job::Job;
use heartside_timber::plan::Layout;

use super::raster::Raster;
use super::table::Table;
use super::{Clear, MOST_RECTANGLES};

/// Sums looked at in a step.
const STEP: usize = 100_000;
/// Most tables, and most sums looked at for them all.
const MOST_TABLES: u32 = 400;
const MOST_SUMS: usize = 4_000_000_000;
/// Most sums for the table of all sums of sizes.
const MOST_LAST_SUMS: usize = 3_000_000_000;
/// Tables without a lower ceiling after which steps are halved.
const PATIENCE: u32 = 12;

/// What follows a full table.
pub(super) enum Next {
    /// Another table, with other prices.
    Again,
    /// The table's pattern keeps to the copies and is the best there is.
    Proved,
    /// Prices bring it down no further.
    Over,
}

/// Tables, one after the other.
pub(super) struct Prices {
    table: Table,
    /// Of each part of the job, and those that gave the lowest ceiling.
    prices: Vec<f64>,
    best_prices: Vec<f64>,
    ceiling: f64,
    stride: f64,
    waited: u32,
    tables: u32,
    sums: usize,
    /// The last table is made again with the best prices, for all sums of sizes.
    is_last: bool,
}

impl Prices {
    pub(super) fn new(clear: &Clear) -> Prices {
        let mut table = Table::new(clear.rasters(Raster::reduced));
        table.begin(clear, |part| clear.values[part]);
        Prices {
            table,
            prices: vec![0.0; clear.values.len()],
            best_prices: vec![0.0; clear.values.len()],
            ceiling: f64::INFINITY,
            stride: 1.0,
            waited: 0,
            tables: 0,
            sums: 0,
            is_last: false,
        }
    }

    /// No pattern that keeps to the copies is worth more.
    pub(super) fn ceiling(&self) -> f64 {
        self.ceiling
    }

    /// The prices of the lowest ceiling.
    pub(super) fn best(&self) -> &[f64] {
        &self.best_prices
    }

    /// The table of the best prices for all sums of sizes, where it could be afforded.
    pub(super) fn last_table(self) -> Option<Table> {
        self.is_last.then_some(self.table)
    }

    /// Fills some columns; true when the table is full.
    pub(super) fn step(&mut self, clear: &Clear) -> bool {
        let mut work = 0;
        while work < STEP && !self.table.is_done() {
            work += self.table.fill_column(clear);
        }
        self.sums += work;
        if !self.table.is_done() {
            return false;
        }
        self.tables += 1;
        let ceiling = self.table.whole() + clear.price_of_all(&self.prices);
        if ceiling < self.ceiling - 1e-9 * (1.0 + ceiling.abs()) {
            self.ceiling = ceiling;
            self.best_prices.clone_from(&self.prices);
            self.waited = 0;
        } else {
            self.waited += 1;
        }
        true
    }

    /// How many of each part the table's pattern holds.
    pub(super) fn counts(&self, clear: &Clear) -> Vec<u32> {
        self.table.counts(clear)
    }

    /// The table's pattern, cut out of the board as far as copies go.
    pub(super) fn cut_out(&self, clear: &Clear, job: &Job) -> Vec<Layout> {
        let make = |piece: &(usize, usize)| self.table.make(*piece);
        clear.cut_out(job, self.table.root(), make)
    }

    /// Moves the prices, after a full table.
    pub(super) fn next(&mut self, clear: &Clear, counts: &[u32], known: f64) -> Next {
        let known = known.max(clear.value(counts));
        let keeps = counts.iter().zip(&clear.copies).all(|(n, most)| n <= most);
        if keeps && clear.value(counts) >= self.ceiling * (1.0 - 1e-12) {
            return Next::Proved;
        }
        if self.is_last {
            return Next::Over;
        }
        let over = |part: usize| f64::from(counts[part]) - f64::from(clear.copies[part]);
        let moves = |part: &usize| over(*part) > 0.0 || self.prices[*part] > 0.0;
        let square: f64 = (0..counts.len())
            .filter(moves)
            .map(|part| over(part) * over(part))
            .sum();
        if self.waited >= PATIENCE {
            self.waited = 0;
            self.stride /= 2.0;
            self.prices.clone_from(&self.best_prices);
        }
        let gap = self.ceiling - known;
        if square == 0.0
            || self.stride < 0.01
            || gap <= 0.0
            || self.tables >= MOST_TABLES
            || self.sums >= MOST_SUMS
        {
            let Some(table) = clear.full_table() else {
                return Next::Over;
            };
            self.is_last = true;
            self.table = table;
            self.prices.clone_from(&self.best_prices);
        } else {
            let now = self.table.whole() + clear.price_of_all(&self.prices);
            let stride = self.stride * (now - known).max(gap) / square;
            for part in 0..counts.len() {
                self.prices[part] = (self.prices[part] + stride * over(part)).max(0.0);
            }
        }
        let prices = &self.prices;
        self.table
            .begin(clear, |part| clear.values[part] - prices[part]);
        Next::Again
    }
}

impl Clear {
    /// An empty table for all sums of sizes; none where it, and what is made of it, would take too long.
    pub fn full_table(&self) -> Option<Table> {
        let (along, across) = self.rasters(Raster::sums);
        let (lengths, heights) = (along.len(), across.len());
        let is_affordable = lengths * heights <= MOST_RECTANGLES
            && lengths * heights * (lengths + heights) <= MOST_LAST_SUMS;
        is_affordable.then(|| Table::new((along, across)))
    }

    /// The price of all copies there are.
    pub(super) fn price_of_all(&self, prices: &[f64]) -> f64 {
        let pairs = prices.iter().zip(&self.copies);
        pairs
            .map(|(price, copies)| price * f64::from(*copies))
            .sum()
    }
}
