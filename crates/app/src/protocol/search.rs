//! What a worker is told and what it tells.

use super::{from_page, to_page};

to_page! {
    /// How boards may be cut in this search.
    pub enum WayAsked {
        /// As each board and part says.
        #[default]
        AsJob,
        /// By straight cuts only.
        Straight,
        /// By line only.
        Sawn,
    }
}

from_page! {
    /// Settings of one worker's search. The same settings and job give the same plan.
    pub struct SearchSettings {
        /// Seed of the generator.
        pub seed: u32,
        /// Which worker this is, from 0.
        pub worker: u32,
        /// How many workers there are.
        pub workers: u32,
        /// How boards may be cut.
        #[serde(default)]
        pub way: WayAsked,
    }
}

to_page! {
    /// Where a search is.
    pub struct SearchStatus {
        /// Steps made in all.
        pub steps: f64,
        /// The best plan became better in this call.
        pub improved: bool,
        /// There is nothing left to try.
        pub finished: bool,
    }
}

to_page! {
    /// Figures of a search's best plan.
    pub struct SearchFigures {
        /// Its cost as a number.
        pub cost: f64,
        /// Its cost in words.
        pub cost_text: String,
        /// The bound as a number.
        pub bound: Option<f64>,
        /// The bound in words.
        pub bound_text: Option<String>,
        /// Copies placed.
        pub placed: u32,
        /// Copies wanted.
        pub wanted: u32,
    }
}

to_page! {
    /// What came of some work on the floor under the cost.
    pub struct FloorWork {
        /// It rose: the plan's summary says something new.
        pub rose: bool,
        /// More work may raise it.
        pub goes_on: bool,
    }
}
