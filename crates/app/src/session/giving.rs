//! Sizes that gave way: what they came to, and what is in the way of those preferred.

use heartside_timber::length::write_length;

use super::Session;
use crate::sizes::why_not;

/// Of more sizes it is not told what is in their way: each is a look at the whole plan.
const MOST_TOLD: usize = 6;

impl Session {
    /// A sentence for each size that the plan on the floor has otherwise than preferred, with the reason
    /// against that one.
    pub(super) fn sizes_that_gave(&self) -> Vec<String> {
        let Some(plan) = &self.document.plan else {
            return Vec::new();
        };
        let dimensions = self.job.dimensions.iter();
        let gave = dimensions.filter(|d| d.gives() && d.value.value != d.preferred);
        gave.take(MOST_TOLD)
            .map(|dimension| {
                let show = |mm: f64| write_length(mm, &self.job.units);
                let preferred = show(dimension.preferred);
                let said = format!(
                    "{} is {}, {preferred} preferred",
                    dimension.value.name,
                    show(dimension.value.value)
                );
                match why_not(&self.document, plan, &dimension.value.name) {
                    Some(why) => format!("{said}: {}.", why.text),
                    None => format!("{said}."),
                }
            })
            .collect()
    }
}
