//! Rule 11: the plan stores the value of every named dimension, each within its range, and
//! the parts are those that these values give.

use heartside_timber::finding::{Finding, Rule};
use heartside_timber::plan::Plan;

use crate::index::JobIndex;
use crate::report::{About, broken};

/// Everything rule 11 has to say.
///
/// The job handed to the checker must have been worked out with the plan's own values; where
/// it was not, its parts are not those of the plan, and that is said.
pub(crate) fn dimensions(index: &JobIndex<'_>, plan: &Plan) -> Vec<Finding> {
    let (words, slack) = (index.words(), index.slack());
    let job = index.job();
    let report = |cause: &str, message: String| broken(Rule::Dimensions, cause, message);
    let mut found = Vec::new();
    for dimension in &job.dimensions {
        let name = &dimension.value.name;
        let mut stored = plan.dimensions.iter().filter(|d| d.name == *name);
        let Some(value) = stored.next().map(|d| d.value) else {
            found.push(report("dimension-missing", words.dimension_missing(name)));
            continue;
        };
        if stored.next().is_some() {
            found.push(report("dimension-twice", words.dimension_twice(name)));
        }
        if !value.is_finite() {
            found.push(report(
                "dimension-not-a-number",
                words.dimension_not_a_number(name),
            ));
            continue;
        }
        let (below, above) = (dimension.least - value, value - dimension.most);
        let by = below.max(above);
        if by > slack {
            let message = words.dimension_out_of_range(name, value, by, below > above);
            found.push(report("dimension-out-of-range", message).mm(by));
        }
        if by <= slack && dimension.gives() && dimension.step > 0.0 && !dimension.may_be(value) {
            let steps = (value - dimension.preferred) / dimension.step;
            let by = (steps - steps.round()).abs() * dimension.step;
            let message = words.dimension_off_step(name, value, by);
            found.push(report("dimension-off-step", message).mm(by));
        }
        let off = (value - dimension.value.value).abs();
        if off > slack {
            let message = words.dimension_not_applied(name, value, dimension.value.value);
            found.push(report("dimension-not-applied", message).mm(off));
        }
    }
    for (place, stored) in plan.dimensions.iter().enumerate() {
        let known = job.dimensions.iter().any(|d| d.value.name == stored.name);
        let told = plan.dimensions[..place]
            .iter()
            .any(|d| d.name == stored.name);
        if !known && !told {
            found.push(report(
                "dimension-unknown",
                words.dimension_unknown(&stored.name),
            ));
        }
    }
    found
}
