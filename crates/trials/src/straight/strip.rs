//! A strip in whole measures, as the engines that make it short see it.

use heartside_nest::kit::Task;
use heartside_nest::kit::clear::Clear;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Plan};
use heartside_timber::score::strip_length;

/// A clear strip, its measures not too many; every part is worth its area.
pub(super) fn by_area(job: &Job, task: Task) -> Option<Clear> {
    let mut clear = Clear::new(job, task, |_| true)?;
    for item in &clear.items {
        clear.values[item.part] = (item.width * item.height) as f64;
    }
    Some(clear)
}

/// How much of the strip layouts take up, in measures; none where pieces are missing.
pub(super) fn length_of(clear: &Clear, job: &Job, layouts: &[Layout]) -> Option<i64> {
    let laid: usize = layouts.iter().map(|l| l.placements.len()).sum();
    if laid as u64 != job.piece_count() {
        return None;
    }
    let plan = Plan {
        layouts: layouts.to_vec(),
        ..Plan::default()
    };
    let length = strip_length(job, &plan) + clear.kerf;
    Some((length / clear.measure - 1e-6).ceil() as i64)
}
