//! Published instances, and the goals, proofs and searches that only they need.
//!
//! - [`instance`]: published cutting and packing instances become a [`Job`], so that the
//!   engines and the checker that serve a maker are the ones that are measured;
//! - [`solution`]: a plan for such an instance in the form in which others can check it;
//! - [`ENGINES`], [`WITH_PRICES`]: the engines that take part in their searches beside nest's own;
//! - [`baseline`]: the plain rules that the search is measured against.
//!
//! [`Job`]: heartside_timber::job::Job

pub mod baseline;
mod first_fit;
pub mod instance;
mod sawn;
pub mod solution;
mod straight;

#[cfg(test)]
#[path = "../../nest/src/samples.rs"]
mod samples;

use heartside_nest::kit::{Beside, Engine, Floor, Phase, Task, Tools};
use heartside_timber::job::Job;

/// The engines for published instances, for a search's settings.
pub const ENGINES: &dyn Beside = &Engines {
    buys_by_prices: false,
};

/// The same and one more that buys unlike clear boards by prices on the parts.
pub const WITH_PRICES: &dyn Beside = &Engines {
    buys_by_prices: true,
};

#[derive(Debug)]
struct Engines {
    buys_by_prices: bool,
}

impl Beside for Engines {
    fn straight(&self, job: &Job, task: &Task) -> Vec<Box<dyn Engine>> {
        straight::engines(job, task, self.buys_by_prices)
    }

    fn after_first_layout(&self, tools: &mut Tools<'_>, floor: &Floor) -> Option<Box<dyn Phase>> {
        sawn::puzzle(tools, floor)
    }

    fn instead_of_repair(&self, tools: &mut Tools<'_>, floor: &Floor) -> Option<Box<dyn Phase>> {
        sawn::squeeze(tools, floor)
    }
}
