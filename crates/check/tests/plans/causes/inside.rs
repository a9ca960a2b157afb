use super::*;

#[test]
fn a_good_plan_has_no_findings() {
    let (job, plan) = sawn_job();
    assert_good(&job, &plan);
}

#[test]
fn touching_a_straight_edge_and_the_trim_is_allowed() {
    let (job, mut plan) = sawn_job();
    (first(&mut plan).x, first(&mut plan).y) = (15.0, 2.0);
    assert_good(&job, &plan);
}

#[test]
fn beyond_a_straight_edge() {
    let (job, mut plan) = sawn_job();
    first(&mut plan).y = 1.0;
    let finding = assert_only(
        &job,
        &plan,
        Rule::Inside,
        "outside-board",
        Some(1.0),
        &rail(),
    );
    assert_eq!(finding.message, "rail 1 sticks out of board A by 1 mm.");
    assert!(finding.at.unwrap().y.abs() < 1.1);
}

#[test]
fn too_near_a_raw_end() {
    let (job, mut plan) = sawn_job();
    first(&mut plan).x = 13.6;
    let finding = assert_only(
        &job,
        &plan,
        Rule::Inside,
        "too-near-raw-end",
        Some(1.4),
        &rail(),
    );
    assert_eq!(
        finding.message,
        "rail 1 is 1.4 mm too near the raw end of board A, where 10 mm is trimmed off."
    );
}

#[test]
fn beyond_a_raw_end_the_trim_counts_in() {
    let (job, mut plan) = sawn_job();
    first(&mut plan).x = 2.0;
    assert_only(
        &job,
        &plan,
        Rule::Inside,
        "outside-board",
        Some(13.0),
        &rail(),
    );
}

#[test]
fn too_near_a_raw_edge() {
    let (mut job, mut plan) = sawn_job();
    job.boards[0].sides = sides_of(&job.boards[0].outline, EdgeKind::Raw, EdgeKind::Raw);
    first(&mut plan).y = 5.0;
    assert_only(
        &job,
        &plan,
        Rule::Inside,
        "too-near-raw-edge",
        Some(1.0),
        &rail(),
    );
}

#[test]
fn a_slanted_raw_edge_is_measured_square_to_it() {
    let (mut job, mut plan) = sawn_job();
    first(&mut plan).y = 30.0;
    // The lower left corner is cut off from (0, 60) to (80, 0); that side alone is raw.
    let outline = polygon(&[
        (80.0, 0.0),
        (1000.0, 0.0),
        (1000.0, 200.0),
        (0.0, 200.0),
        (0.0, 60.0),
    ]);
    job.boards[0].sides = sides_of(&outline, EdgeKind::Straight, EdgeKind::Straight);
    job.boards[0].sides[4].kind = EdgeKind::Raw;
    job.boards[0].outline = outline;
    // The blank's corner (95, 28) lies (3 * 95 + 4 * 28 - 240) / 5 = 31.4 from that line.
    job.workshop.trim_edge = 31.4;
    assert_good(&job, &plan);
    job.workshop.trim_edge = 32.0;
    assert_only(
        &job,
        &plan,
        Rule::Inside,
        "too-near-raw-edge",
        Some(0.6),
        &rail(),
    );
}

#[test]
fn over_a_hole_in_the_board() {
    let (mut job, plan) = sawn_job();
    let hole = box_of(200.0, 69.0, 210.0, 90.0).outer().clone();
    job.boards[0].outline = Region::new(job.boards[0].outline.outer().clone(), vec![hole]).unwrap();
    assert_only(
        &job,
        &plan,
        Rule::Inside,
        "outside-board",
        Some(3.0),
        &rail(),
    );
}

#[test]
fn a_sawn_part_keeps_its_allowance_too() {
    let (mut job, mut plan) = sawn_job();
    job.parts[0].cut = PartCut::Sawn;
    first(&mut plan).x = 11.0;
    assert_only(
        &job,
        &plan,
        Rule::Inside,
        "too-near-raw-end",
        Some(0.5),
        &rail(),
    );
}

#[test]
fn no_number_and_no_place() {
    for bad in [f64::NAN, f64::INFINITY, 1e300] {
        let (job, mut plan) = sawn_job();
        first(&mut plan).x = bad;
        assert_only(&job, &plan, Rule::Inside, "no-place", None, &rail());
        first(&mut plan).x = 100.0;
        first(&mut plan).turn = bad;
        assert_only(&job, &plan, Rule::Inside, "no-place", None, &rail());
    }
}
