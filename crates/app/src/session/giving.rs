//! Sizes that gave way: what they came to, and what is in the way of those preferred.

use heartside_timber::finding::{Finding, Rule, Severity};
use heartside_timber::job::Dimension;
use heartside_timber::length::write_length;
use heartside_timber::plan::Plan;

use super::Session;

/// Of more sizes it is not told what is in their way: each is a look at the whole plan.
const MOST_TOLD: usize = 6;

impl Session {
    /// A sentence for each size that the plan on the floor has otherwise than preferred, with what would
    /// be in the way of that one if all else lay as it does.
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
                match self.in_the_way(plan, dimension, dimension.preferred) {
                    Some(why) => format!("{said}. At {preferred}: {}", why.message),
                    None => format!("{said}."),
                }
            })
            .collect()
    }

    /// What breaks a rule first where a size has this value and all else lies as in the plan.
    pub(super) fn in_the_way(
        &self,
        plan: &Plan,
        dimension: &Dimension,
        value: f64,
    ) -> Option<Finding> {
        if !self.judged.as_ref()?.is_sound() {
            return None;
        }
        let mut plan = plan.clone();
        let chosen = self.chosen();
        (plan.dimensions, plan.panels) = (chosen.dimensions, chosen.panels);
        let mut chosen = plan.dimensions.iter_mut();
        chosen.find(|d| d.name == dimension.value.name)?.value = value;
        let found = self.in_its_job(&plan, |checker, _, _| checker.check(&plan));
        // Cuts were made for the sizes as they are; what lies in the way tells more.
        let tells = |f: &Finding| {
            let of_place = matches!(
                f.rule,
                Rule::Inside | Rule::Kerf | Rule::Zones | Rule::Fixings | Rule::Thickness
            );
            of_place && f.severity == Severity::Broken
        };
        found.into_iter().find(tells)
    }
}
