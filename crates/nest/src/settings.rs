//! What a search is made with.

use crate::engine::{Beside, Nobody};

/// How boards that may be cut either way are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WayWanted {
    /// As each board says; boards that say "any" are cut whichever way gives the better plan.
    #[default]
    AsJob,
    /// By straight cuts.
    Straight,
    /// By line.
    Sawn,
}

/// What a search is made with.
#[derive(Debug, Clone, Copy)]
pub struct Settings {
    /// Seed of the generator.
    pub seed: u32,
    /// Which of the workers this is, from 0.
    pub worker: u32,
    /// How many workers share the job.
    pub workers: u32,
    /// How boards are cut.
    pub way: WayWanted,
    /// Beside its steps it proves a floor under the cost, once it has a whole plan: some percent more time. Plans are
    /// the same without.
    pub floor: bool,
    /// Engines besides its own. The page has none, so where the same plan is wanted here and there
    /// none are given.
    pub beside: &'static dyn Beside,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            seed: 1,
            worker: 0,
            workers: 1,
            way: WayWanted::AsJob,
            floor: false,
            beside: &Nobody,
        }
    }
}
