//! Every rule and cause on a hand-made job.

use heartside_timber::finding::Rule;

use crate::fixtures::*;

#[test]
fn a_good_sawn_plan_has_no_findings() {
    let (job, plan) = sawn_job();
    assert_good(&job, &plan);
}

#[test]
fn a_blank_beyond_a_straight_edge_sticks_out() {
    let (job, mut plan) = sawn_job();
    plan.layouts[0].placements[0].at.y = 1.0;
    let finding = assert_only(
        &job,
        &plan,
        Rule::Inside,
        "outside-board",
        Some(1.0),
        &[part_copy("rail", 1)],
    );
    assert_eq!(finding.message, "rail 1 sticks out of board A by 1 mm.");
}
