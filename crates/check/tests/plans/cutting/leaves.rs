use super::*;

#[test]
fn a_cut_into_a_part() {
    let (job, mut plan) = straight_job();
    nodes(&mut plan)[2] = rip(53.5, 3, 4);
    let found = check(&job, &plan);
    assert_eq!(causes(&found), ["cut-into-part", "cut-into-part"]);
    assert_eq!(amount(&found[0]), Some(0.5));
    assert_eq!(
        found[0].message,
        "The cuts of board A run 0.5 mm into rail 1."
    );
}

#[test]
fn a_piece_larger_than_its_blank() {
    let (job, mut plan) = straight_job();
    nodes(&mut plan)[6] = crosscut(434.7, 7, 8);
    assert_only(
        &job,
        &plan,
        Rule::Cuts,
        "piece-too-large",
        Some(0.7),
        &[part_copy("rail", 2)],
    );
    // What a solver keeps extra, and the grid, may be left on.
    nodes(&mut plan)[6] = crosscut(434.003, 7, 8);
    assert_good(&job, &plan);
}

/// Two sawn parts out of one piece of the straight job.
fn region_job() -> (Job, Plan) {
    let (mut job, mut plan) = straight_job();
    job.parts[0].cut = PartCut::Sawn;
    // Rounded blanks reach 1.5 beyond y 0 to 50; the kerf between ends is 1.
    plan.layouts[0].placements = vec![place("rail", 1, 14.0, 2.0), place("rail", 2, 218.0, 2.0)];
    *nodes(&mut plan) = vec![
        crosscut(10.0, 1, 2),
        CutNode::Waste,
        rip(54.0, 3, 4),
        CutNode::Region {
            placements: vec![0, 1],
        },
        CutNode::Offcut,
    ];
    (job, plan)
}

#[test]
fn sawn_parts_come_out_of_regions() {
    let (job, plan) = region_job();
    assert_good(&job, &plan);
}

#[test]
fn in_a_region_the_sawn_kerf_is_kept() {
    let (job, mut plan) = region_job();
    plan.layouts[0].placements[1].at.x = 217.8;
    let parts = [part_copy("rail", 1), part_copy("rail", 2)];
    assert_only(&job, &plan, Rule::Kerf, "too-near-part", Some(0.2), &parts);
}

#[test]
fn a_blank_does_not_leave_its_region() {
    let (job, mut plan) = region_job();
    nodes(&mut plan)[2] = rip(53.2, 3, 4);
    let found = check(&job, &plan);
    assert_eq!(causes(&found), ["cut-into-part", "cut-into-part"]);
    assert!((amount(&found[0]).unwrap() - 0.3).abs() < 1e-9);
}

#[test]
fn a_sawn_part_is_no_straight_blank_and_a_region_holds_something() {
    let (job, mut plan) = region_job();
    nodes(&mut plan)[3] = crosscut(216.0, 5, 6);
    nodes(&mut plan).extend([
        CutNode::Blank { placement: 0 },
        CutNode::Region {
            placements: vec![1],
        },
    ]);
    let found = check(&job, &plan);
    assert!(
        causes(&found).contains(&"sawn-part-as-blank"),
        "{:?}",
        causes(&found)
    );
    let (job, mut plan) = straight_job();
    nodes(&mut plan)[4] = CutNode::Region { placements: vec![] };
    assert_only(&job, &plan, Rule::Cuts, "empty-region", None, &[]);
}
