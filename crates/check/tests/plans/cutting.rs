//! Rule 9: trees of cuts, tools, fences, leaves.

use heartside_timber::finding::Rule;
use heartside_timber::plan::*;

use crate::fixtures::*;

#[test]
fn a_good_straight_plan_has_no_findings() {
    let (job, plan) = straight_job();
    assert_good(&job, &plan);
}

#[test]
fn a_straight_plan_without_cuts_is_broken_and_keeps_the_narrowest_kerf() {
    let (job, mut plan) = straight_job();
    plan.layouts[0].cuts = None;
    let finding = assert_only(&job, &plan, Rule::Cuts, "no-cut-order", None, &[]);
    assert_eq!(
        finding.message,
        "No order of straight cuts has been found for board A."
    );
}
