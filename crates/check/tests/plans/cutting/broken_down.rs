//! Sawn boards that through cuts break down first. The first rail's blank covers x 95 to 305,
//! y 18 to 72, the second's x 495 to 705, y 118 to 172.

use super::*;

fn broken_down(nodes: Vec<CutNode>) -> (Job, Plan) {
    let (job, mut plan) = sawn_job();
    plan.layouts[0].cuts = Some(CutTree { nodes });
    (job, plan)
}

fn by_crosscut(at: f64) -> (Job, Plan) {
    broken_down(vec![crosscut(at, 1, 2), region(&[0]), region(&[1])])
}

#[test]
fn a_through_cut_between_the_parts_is_good_up_to_the_very_blanks() {
    for at in [305.0, 399.0, 493.0] {
        let (job, plan) = by_crosscut(at);
        assert_good(&job, &plan);
    }
    let cuts = vec![rip(72.0, 1, 2), region(&[0]), region(&[1])];
    let (job, plan) = broken_down(cuts);
    assert_good(&job, &plan);
    // The waste beyond the parts may be taken off, and kept.
    let cuts = vec![
        crosscut(399.0, 1, 2),
        region(&[0]),
        crosscut(720.0, 3, 4),
        region(&[1]),
        CutNode::Offcut,
    ];
    let (job, plan) = broken_down(cuts);
    assert_good(&job, &plan);
}

#[test]
fn a_through_cut_nearer_than_its_kerf() {
    let rail = |copy| [part_copy("rail", copy)];
    let (job, plan) = by_crosscut(493.02);
    let cause = "cut-into-part";
    let finding = assert_only(&job, &plan, Rule::Cuts, cause, Some(0.02), &rail(2));
    assert_eq!(
        finding.message,
        "The cuts of board A run 0.02 mm into rail 2."
    );
    let (job, plan) = by_crosscut(304.98);
    assert_only(&job, &plan, Rule::Cuts, cause, Some(0.02), &rail(1));
}

#[test]
fn a_through_cut_that_runs_through_a_part() {
    let (job, plan) = by_crosscut(600.0);
    let found = check(&job, &plan);
    assert_eq!(causes(&found), ["cut-into-part"]);
    assert_eq!(amount(&found[0]), Some(107.0));
    assert_eq!(found[0].parts, [part_copy("rail", 2)]);
}

#[test]
fn a_region_holds_its_parts_and_every_part_has_its_region() {
    let cuts = vec![crosscut(399.0, 1, 2), region(&[1]), region(&[0])];
    let (job, plan) = broken_down(cuts);
    let found = check(&job, &plan);
    assert_eq!(causes(&found), ["cut-into-part", "cut-into-part"]);
    let cuts = vec![crosscut(399.0, 1, 2), region(&[0]), CutNode::Waste];
    let (job, plan) = broken_down(cuts);
    let lost = [part_copy("rail", 2)];
    assert_only(&job, &plan, Rule::Cuts, "part-without-piece", None, &lost);
    let cuts = vec![crosscut(399.0, 1, 2), region(&[0, 1]), region(&[])];
    let (job, plan) = broken_down(cuts);
    let found = check(&job, &plan);
    assert_eq!(causes(&found), ["empty-region", "cut-into-part"]);
}

#[test]
fn tools_and_fixings_stop_a_through_cut_as_any_other() {
    let (mut job, plan) = by_crosscut(399.0);
    job.workshop.tools[1].max_length = 150.0;
    assert_only(&job, &plan, Rule::Cuts, "piece-too-long", Some(50.0), &[]);
    let (mut job, plan) = by_crosscut(399.0);
    job.boards[0].zones = vec![zone(ZoneKind::Fixing, box_of(398.0, 90.0, 404.0, 96.0))];
    let found = check(&job, &plan);
    assert_eq!(found[0].rule, Rule::Fixings, "{:?}", found[0].message);
    assert_eq!(found.len(), 1);
}

#[test]
fn parts_of_two_regions_keep_the_kerf_of_the_cut_and_those_of_one_that_of_the_line() {
    let nodes = vec![crosscut(305.0, 1, 2), region(&[0]), region(&[1])];
    let (job, mut plan) = broken_down(nodes);
    // 2 mm between the blanks: just the cross saw's kerf.
    plan.layouts[0].placements[1] = place("rail", 2, 312.0, 20.0);
    assert_good(&job, &plan);
    plan.layouts[0].placements[1].at.x -= 0.5;
    let found = check(&job, &plan);
    assert_eq!(
        told(&found)[0],
        (Rule::Kerf, "too-near-part".into(), Some(0.5))
    );
    // Sawn whole, the frame saw's 1 mm is enough.
    plan.layouts[0].cuts = None;
    assert_good(&job, &plan);
}
