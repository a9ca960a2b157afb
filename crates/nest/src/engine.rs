//! What both engines offer, and engines from outside.

use std::fmt::Debug;

use heartside_timber::job::Job;
use heartside_timber::plan::Layout;

use crate::sawn::{Floor, Phase, Tools};
use crate::task::Task;

/// A search for layouts of some boards, advanced step by step.
///
/// `Send`, so that native callers may run one search on each thread.
pub trait Engine: Send {
    /// One small unit of work (microseconds to a millisecond). True if the layouts changed for the better, or
    /// something more was proved.
    ///
    /// What happens depends on nothing but the task and the number of steps made.
    fn step(&mut self, job: &Job) -> bool;

    /// Steps that it makes when its turn comes, chosen so that both engines' turns take about as long.
    fn turn_steps(&self) -> u64;

    /// The best layouts so far, one for each board that carries a part, in the order of the stock; from the start at least the pins.
    fn layouts(&self) -> &[Layout];

    /// True when further steps can change nothing.
    fn is_finished(&self) -> bool;

    /// Goes on from layouts made elsewhere for the same task, if the engine can read them; its best is never made worse.
    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool;

    /// From now on it looks for a whole plan in few steps: no attempts that are the same each time, and steps that
    /// go by what lays nothing. Such a step takes about half as long again.
    fn hurry(&mut self) {}

    /// Layouts that it passes by just now: as whole as its best, and dearer by no more than this. None where it
    /// knows of none.
    ///
    /// Asking changes nothing.
    fn passing(&self, job: &Job, dearer: f64) -> Option<Vec<Layout>> {
        let _ = (job, dearer);
        None
    }

    /// What no layouts of this engine's kind can better, where it has proved that: a value or a strip's length, as the job asks.
    fn limit(&self) -> Option<f64> {
        None
    }

    /// The state of its chance, as the number that would be drawn next; 0 where it draws none.
    ///
    /// Only for comparing two runs.
    fn chance_state(&self) -> u64 {
        0
    }
}

/// Engines that come from outside: a search takes them into its portfolio.
///
/// Each is asked once for each task. What makes them must not depend on anything but what it is given.
pub trait Beside: Debug + Sync {
    /// Engines that go other ways about a task of straight cuts, in the order of their turns.
    fn straight(&self, job: &Job, task: &Task) -> Vec<Box<dyn Engine>> {
        let _ = (job, task);
        Vec::new()
    }

    /// What follows the first layout on boards that are sawn by line, if anything.
    fn after_first_layout(&self, tools: &mut Tools<'_>, floor: &Floor) -> Option<Box<dyn Phase>> {
        let _ = (tools, floor);
        None
    }

    /// What takes the place of laying pieces anew on such boards, if anything.
    fn instead_of_repair(&self, tools: &mut Tools<'_>, floor: &Floor) -> Option<Box<dyn Phase>> {
        let _ = (tools, floor);
        None
    }
}

/// No engines from outside.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Nobody;

impl Beside for Nobody {}
