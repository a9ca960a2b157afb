//! The rules that hold without any cut: 1 to 8 and 10, on a whole plan.

use heartside_timber::document::Hearts;
use heartside_timber::finding::Finding;
use heartside_timber::plan::Plan;

use crate::floor::{Floor, Laid};
use crate::index::JobIndex;
use crate::{matches, panels, stock};

/// Rules 1 to 8 and 10, unsorted.
pub(crate) fn all_but_cuts_and_dimensions(
    index: &JobIndex<'_>,
    laid: &[Laid],
    plan: &Plan,
) -> Vec<Finding> {
    let mut found: Vec<Finding> = laid.iter().flat_map(|l| l.lying()).cloned().collect();
    let has_hearts = index.job().panels.iter().any(|p| p.hearts != Hearts::Any);
    if has_hearts || !index.job().matches.is_empty() {
        let floor = Floor::new(index, laid);
        found.extend(panels::hearts(index, plan, &floor));
        found.extend(
            index
                .job()
                .matches
                .iter()
                .flat_map(|m| matches::check(index, m, &floor)),
        );
    }
    found.extend(panels::staves(index, plan));
    found.extend(stock::boards(index, plan));
    found.extend(stock::counts(index, plan));
    found
}
