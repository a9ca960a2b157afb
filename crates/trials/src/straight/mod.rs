//! Engines for boards that are cut straight, beside nest's own.

mod boxed;
mod sets;
mod short_strip;
mod slicing;
mod staged;
mod strip;

use heartside_nest::kit::{Engine, Task, cheapest_boards, greatest_value};
use heartside_timber::job::Job;

use self::sets::Sets;
use self::short_strip::Shorter;
use self::slicing::Slicing;
use self::staged::ByStages;

/// The engines that a task has, in the order of their turns.
pub(crate) fn engines(job: &Job, task: &Task, buys_by_prices: bool) -> Vec<Box<dyn Engine>> {
    fn boxed(engine: Option<impl Engine + 'static>) -> Option<Box<dyn Engine>> {
        Some(Box::new(engine?))
    }
    let prices = buys_by_prices.then(|| cheapest_boards(job, task.clone()));
    [
        boxed(ByStages::new(job, task.clone())),
        greatest_value(job, task.clone()),
        boxed(Sets::new(job, task.clone())),
        boxed(Shorter::new(job, task.clone())),
        boxed(Slicing::new(job, task.clone())),
        prices.flatten(),
    ]
    .into_iter()
    .flatten()
    .collect()
}
