//! Sizes that gave way: what they came to, and what is in the way of those preferred.

use heartside_timber::document::Document;
use heartside_timber::job::Job;
use heartside_timber::length::write_length;
use heartside_timber::plan::Plan;

use super::why_not;

/// Of more sizes it is not told what is in their way: each is a look at the whole plan.
const MOST_TOLD: usize = 6;

/// Sentences for each size that a plan has otherwise than preferred, with the reason against that one; `job`
/// is made for what the plan has chosen.
///
/// O([`why_not`]) for each of the first six.
pub fn sizes_that_gave(document: &Document, job: &Job, plan: &Plan) -> Vec<String> {
    let dimensions = job.dimensions.iter();
    let gave = dimensions.filter(|d| d.gives() && d.value.value != d.preferred);
    gave.enumerate()
        .map(|(place, dimension)| {
            let show = |mm: f64| write_length(mm, &job.units);
            let (name, preferred) = (&dimension.value.name, show(dimension.preferred));
            let said = format!(
                "{name} is {}, {preferred} preferred.",
                show(dimension.value.value)
            );
            let is_told = place < MOST_TOLD;
            match is_told.then(|| why_not(document, plan, name)).flatten() {
                Some(why) => format!("{said} {}.", why.text),
                None => said,
            }
        })
        .collect()
}
