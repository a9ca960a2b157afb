use super::*;

fn matched(kind: MatchKind) -> (Job, Plan) {
    let (mut job, plan) = sawn_job();
    job.matches = vec![job::Match {
        kind,
        parts: vec![part_copy("rail", 1), part_copy("rail", 2)],
    }];
    (job, plan)
}

fn both() -> [PartCopy; 2] {
    [part_copy("rail", 1), part_copy("rail", 2)]
}

/// End to end along y = 20, as near as the saw allows: 5 + 1 + 5 between finished ends.
fn end_to_end() -> (Job, Plan) {
    let (job, mut plan) = matched(MatchKind::ContinuousAlong);
    (
        plan.layouts[0].placements[1].at.x,
        plan.layouts[0].placements[1].at.y,
    ) = (311.0, 20.0);
    (job, plan)
}

#[test]
fn parts_from_one_board() {
    let (mut job, mut plan) = matched(MatchKind::SameBoard);
    assert_good(&job, &plan);
    job.boards.push(board("B"));
    let moved = plan.layouts[0].placements.pop().unwrap();
    plan.layouts.push(sawn("B", vec![moved]));
    let parts = [part_copy("rail", 2), part_copy("rail", 1)];
    let finding = assert_only(&job, &plan, Rule::Matches, "not-same-board", None, &parts);
    assert_eq!(
        finding.message,
        "rail 2 comes from board B, but rail 1 from board A: they must come from one board."
    );
    assert_eq!(finding.board, Some(board_copy("B")));
}

#[test]
fn grain_that_runs_on_end_to_end() {
    let (job, mut plan) = end_to_end();
    assert_good(&job, &plan);
    // What a solver keeps extra and what the grid adds is no fault.
    plan.layouts[0].placements[1].at.x += 0.003;
    assert_good(&job, &plan);
    plan.layouts[0].placements[1].at.x = 312.5;
    assert_only(
        &job,
        &plan,
        Rule::Matches,
        "match-too-far",
        Some(1.5),
        &both(),
    );
}

#[test]
fn order_runs_from_start_to_end() {
    let (job, mut plan) = end_to_end();
    plan.layouts[0].placements.swap(0, 1);
    assert_good(&job, &plan);
    for placement in &mut plan.layouts[0].placements {
        placement.copy = 3 - placement.copy;
    }
    assert_only(
        &job,
        &plan,
        Rule::Matches,
        "match-order",
        Some(411.0),
        &both(),
    );
    // Both turned by half, the second lies to the left of the first: its start at the first's end.
    for placement in &mut plan.layouts[0].placements {
        (placement.at.turn, placement.at.x, placement.at.y) =
            (180.0, if placement.copy == 1 { 511.0 } else { 300.0 }, 70.0);
    }
    assert_good(&job, &plan);
}

#[test]
fn out_of_line_other_turn_other_face_other_board() {
    let (job, mut plan) = end_to_end();
    plan.layouts[0].placements[1].at.y = 20.5;
    assert_only(
        &job,
        &plan,
        Rule::Matches,
        "match-out-of-line",
        Some(0.5),
        &both(),
    );

    let (job, mut plan) = end_to_end();
    plan.layouts[0].placements[1].at.turn = 0.3;
    let found = check(&job, &plan);
    let finding = found.iter().find(|f| f.rule == Rule::Matches).unwrap();
    assert_eq!(finding.cause, "match-other-turn");
    assert!((amount(finding).unwrap() - 0.2).abs() < 1e-9);

    let (job, mut plan) = end_to_end();
    (
        plan.layouts[0].placements[1].at.turned_over,
        plan.layouts[0].placements[1].at.y,
    ) = (true, 70.0);
    assert_only(
        &job,
        &plan,
        Rule::Matches,
        "match-other-face",
        None,
        &both(),
    );

    let (mut job, mut plan) = end_to_end();
    job.boards.push(board("B"));
    let moved = plan.layouts[0].placements.pop().unwrap();
    plan.layouts.push(sawn("B", vec![moved]));
    assert_only(
        &job,
        &plan,
        Rule::Matches,
        "match-other-board",
        None,
        &both(),
    );
}

#[test]
fn a_narrower_part_lies_within_the_wider_ones_band() {
    let (mut job, mut plan) = end_to_end();
    job.parts[0].count = 1;
    job.parts.push(heartside_timber::job::Part {
        outline: box_of(0.0, 0.0, 200.0, 30.0),
        ..part("slip", 1)
    });
    job.matches[0].parts[1] = part_copy("slip", 1);
    plan.layouts[0].placements[1] = place("slip", 1, 311.0, 40.0);
    assert_good(&job, &plan);
    plan.layouts[0].placements[1].at.y = 40.4;
    let parts = [part_copy("rail", 1), part_copy("slip", 1)];
    assert_only(
        &job,
        &plan,
        Rule::Matches,
        "match-out-of-line",
        Some(0.4),
        &parts,
    );
}

#[test]
fn grain_that_runs_on_side_by_side_upwards_or_downwards() {
    let (job, mut plan) = matched(MatchKind::ContinuousAcross);
    // 2 + 1 + 2 between finished edges.
    (
        plan.layouts[0].placements[1].at.x,
        plan.layouts[0].placements[1].at.y,
    ) = (100.0, 75.0);
    assert_good(&job, &plan);
    for placement in &mut plan.layouts[0].placements {
        placement.copy = 3 - placement.copy;
    }
    assert_good(&job, &plan);
    plan.layouts[0].placements[1].at.y = 76.0;
    assert_only(
        &job,
        &plan,
        Rule::Matches,
        "match-too-far",
        Some(1.0),
        &both(),
    );
}

#[test]
fn but_not_now_up_and_now_down() {
    let (mut job, mut plan) = matched(MatchKind::ContinuousAcross);
    job.parts[0].count = 3;
    job.matches[0].parts.push(part_copy("rail", 3));
    (
        plan.layouts[0].placements[1].at.x,
        plan.layouts[0].placements[1].at.y,
    ) = (100.0, 130.0);
    plan.layouts[0]
        .placements
        .push(place("rail", 3, 100.0, 75.0));
    let found = check(&job, &plan);
    assert_eq!(
        found.iter().map(|f| f.cause.as_str()).collect::<Vec<_>>(),
        ["match-too-far", "match-order"]
    );
}

#[test]
fn kinds_that_are_not_checked_say_so() {
    let (job, plan) = matched(MatchKind::Balanced);
    let finding = only(&job, &plan);
    assert_eq!(
        (finding.rule, finding.severity),
        (Rule::Matches, Severity::NotChecked)
    );
    assert!(
        finding
            .message
            .starts_with("Not checked: whether rail 1 and rail 2 "),
        "{}",
        finding.message
    );
}

#[test]
fn parts_without_a_place_break_no_match() {
    let (job, mut plan) = end_to_end();
    plan.layouts[0].placements.pop();
    plan.unplaced = vec![Unplaced {
        part: "rail".into(),
        copies: vec![2],
        reason: UnplacedReason::NoRoom,
        least_board: None,
        longest: None,
    }];
    assert_good(&job, &plan);
}
