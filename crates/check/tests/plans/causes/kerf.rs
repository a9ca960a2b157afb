use super::*;

fn both() -> [PartCopy; 2] {
    [part_copy("rail", 1), part_copy("rail", 2)]
}

#[test]
fn nearer_than_the_sawn_kerf() {
    let (job, mut plan) = sawn_job();
    (first(&mut plan).x, first(&mut plan).y) = (500.0, 65.4);
    let finding = assert_only(&job, &plan, Rule::Kerf, "too-near-part", Some(0.4), &both());
    assert_eq!(
        finding.message,
        "rail 1 and rail 2 are 0.4 mm too near each other on board A: the saw takes 1 mm between them."
    );
}

#[test]
fn corners_are_measured_in_a_straight_line() {
    let (job, mut plan) = sawn_job();
    // 0.3 and 0.4 from the other blank's corner: 0.5 apart.
    (first(&mut plan).x, first(&mut plan).y) = (500.0 - 210.0 - 0.3, 120.0 - 54.0 - 0.4);
    assert_only(&job, &plan, Rule::Kerf, "too-near-part", Some(0.5), &both());
}

#[test]
fn lying_over_each_other() {
    let (job, mut plan) = sawn_job();
    (first(&mut plan).x, first(&mut plan).y) = (500.0, 76.0);
    let finding = assert_only(
        &job,
        &plan,
        Rule::Kerf,
        "too-near-part",
        Some(11.0),
        &both(),
    );
    assert!(
        finding.message.contains("overlap on"),
        "{}",
        finding.message
    );
}

#[test]
fn sawn_parts_keep_both_allowances_and_a_kerf() {
    let (mut job, mut plan) = sawn_job();
    job.parts[0].cut = PartCut::Sawn;
    (first(&mut plan).x, first(&mut plan).y) = (500.0, 120.0 - 50.0 - 3.5);
    assert_only(&job, &plan, Rule::Kerf, "too-near-part", Some(0.5), &both());
}
