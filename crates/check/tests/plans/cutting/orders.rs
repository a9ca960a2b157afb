use super::*;

#[test]
fn a_good_straight_plan_has_no_findings() {
    let (job, plan) = straight_job();
    assert_good(&job, &plan);
}

#[test]
fn without_cuts_the_plan_is_broken_and_the_narrowest_kerf_is_kept() {
    let (job, mut plan) = straight_job();
    plan.layouts[0].cuts = None;
    let finding = assert_only(&job, &plan, Rule::Cuts, "no-cut-order", None, &[]);
    assert_eq!(
        finding.message,
        "No order of straight cuts has been found for board A."
    );
    plan.layouts[0].placements[1].at.x -= 0.5;
    let found = check(&job, &plan);
    assert_eq!(
        told(&found)[0],
        (Rule::Kerf, "too-near-part".into(), Some(0.5))
    );
    plan.layouts[0].placements.clear();
    assert!(!causes(&check(&job, &plan)).contains(&"no-cut-order"));
}

#[test]
fn the_kerf_between_blanks_is_that_of_the_cut_that_parts_them() {
    let (mut job, mut plan) = straight_job();
    // One above the other, parted by a rip of 3 mm.
    plan.layouts[0].placements[1] = place("rail", 2, 17.0, 59.0);
    *nodes(&mut plan) = vec![
        crosscut(10.0, 1, 2),
        CutNode::Waste,
        crosscut(222.0, 3, 4),
        rip(54.0, 5, 6),
        CutNode::Offcut,
        CutNode::Blank { placement: 0 },
        rip(111.0, 7, 8),
        CutNode::Blank { placement: 1 },
        CutNode::Offcut,
    ];
    assert_good(&job, &plan);
    // A wider kerf in the tree asks for a wider gap, too.
    job.workshop.tools[0].kerf = 3.5;
    for node in nodes(&mut plan) {
        if let CutNode::Cut {
            direction: Direction::Rip,
            kerf,
            ..
        } = node
        {
            *kerf = 3.5;
        }
    }
    let found = check(&job, &plan);
    assert_eq!(
        told(&found)[0],
        (Rule::Kerf, "too-near-part".into(), Some(0.5))
    );
    assert_eq!(
        told(&found)[1],
        (Rule::Cuts, "cut-into-part".into(), Some(0.5))
    );
}

#[test]
fn damaged_lists_are_findings() {
    let damaged = |change: &dyn Fn(&mut Vec<CutNode>)| {
        let (job, mut plan) = straight_job();
        change(nodes(&mut plan));
        let found = check(&job, &plan);
        assert!(
            causes(&found).contains(&"cuts-damaged"),
            "{:?}",
            causes(&found)
        );
        found
    };
    damaged(&|n| n.clear());
    damaged(&|n| n[0] = crosscut(10.0, 1, 99));
    damaged(&|n| n[0] = crosscut(10.0, 1, 0));
    damaged(&|n| n[0] = crosscut(10.0, 2, 2));
    damaged(&|n| n.push(CutNode::Waste));
    damaged(&|n| n[8] = CutNode::Blank { placement: 7 });
}

#[test]
fn each_placement_has_one_piece() {
    let (job, mut plan) = straight_job();
    nodes(&mut plan)[7] = CutNode::Offcut;
    assert_only(
        &job,
        &plan,
        Rule::Cuts,
        "part-without-piece",
        None,
        &[part_copy("rail", 2)],
    );
    nodes(&mut plan)[7] = CutNode::Blank { placement: 0 };
    let found = check(&job, &plan);
    assert!(causes(&found).contains(&"part-in-two-pieces"));
    assert!(causes(&found).contains(&"part-without-piece"));
}

#[test]
fn numbers_that_are_none() {
    for (at, kerf) in [
        (f64::NAN, 2.0),
        (10.0, f64::NAN),
        (10.0, -2.0),
        (1e300, 2.0),
    ] {
        let (job, mut plan) = straight_job();
        let tool = "cross saw".into();
        nodes(&mut plan)[0] = CutNode::Cut {
            angle: None,
            direction: Direction::Crosscut,
            tool,
            at,
            kerf,
            low: 1,
            high: 2,
        };
        assert_only(&job, &plan, Rule::Cuts, "cut-not-a-number", None, &[]);
    }
    let (job, mut plan) = straight_job();
    plan.layouts[0].frame.angle = f64::NAN;
    assert_only(&job, &plan, Rule::Cuts, "bad-frame", None, &[]);
}

#[test]
fn the_way_a_board_may_be_cut() {
    let (mut job, plan) = straight_job();
    job.boards[0].cuts = Cuts::Straight;
    assert_good(&job, &plan);
    job.boards[0].cuts = Cuts::Sawn;
    assert_only(&job, &plan, Rule::Cuts, "way-not-allowed", None, &[]);
    let (mut job, mut plan) = sawn_job();
    job.boards[0].cuts = Cuts::Straight;
    assert_only(&job, &plan, Rule::Cuts, "way-not-allowed", None, &[]);
    for either in [Cuts::Any, Cuts::Sawn] {
        job.boards[0].cuts = either;
        plan.layouts[0].cuts = Some(CutTree {
            nodes: vec![crosscut(399.0, 1, 2), region(&[0]), region(&[1])],
        });
        assert_good(&job, &plan);
    }
    job.boards[0].cuts = Cuts::Straight;
    assert_only(&job, &plan, Rule::Cuts, "way-not-allowed", None, &[]);
}

#[test]
fn a_frame_askew_on_the_board_is_as_good() {
    let (mut job, mut plan) = straight_job();
    job.boards[0].outline = box_of(-100.0, -100.0, 1100.0, 300.0);
    let frame = Frame {
        x: 3.0,
        y: 5.0,
        angle: 2.0,
    };
    let pose = frame.pose();
    for placement in &mut plan.layouts[0].placements {
        let moved = pose.apply(point(placement.at.x, placement.at.y));
        (placement.at.x, placement.at.y, placement.at.turn) = (moved.x, moved.y, 2.0);
    }
    plan.layouts[0].frame = frame;
    // The lower edge has to be sawn now.
    let n = nodes(&mut plan);
    n[0] = rip(-3.0, 9, 10);
    n.push(CutNode::Waste);
    n.push(crosscut(10.0, 1, 2));
    assert_good(&job, &plan);
    plan.layouts[0].placements[0].at.turn = 2.5;
    let found = check(&job, &plan);
    let askew = found.iter().find(|f| f.cause == "askew").unwrap();
    assert!((amount(askew).unwrap() - 0.5).abs() < 1e-9);
}
