use super::*;

fn unplaced(part: &str, copies: &[u32], reason: UnplacedReason) -> Unplaced {
    Unplaced {
        part: part.into(),
        copies: copies.to_vec(),
        reason,
        least_board: None,
        longest: None,
    }
}

#[test]
fn forgotten_and_listed() {
    let (mut job, mut plan) = sawn_job();
    plan.layouts[0].placements.pop();
    let parts = [part_copy("rail", 2)];
    let finding = assert_only(&job, &plan, Rule::Stock, "forgotten", Some(1.0), &parts);
    assert_eq!(
        finding.message,
        "rail 2 is neither placed nor listed as without a place."
    );
    job.goal = Goal::Value;
    assert_good(&job, &plan);
    job.goal = Goal::Furnish;
    plan.unplaced = vec![unplaced("rail", &[2], UnplacedReason::NoRoom)];
    assert_good(&job, &plan);
    plan.unplaced
        .push(unplaced("rail", &[2], UnplacedReason::NoRoom));
    assert_only(&job, &plan, Rule::Stock, "listed-twice", None, &parts);
    plan.unplaced = vec![unplaced("rail", &[1, 2], UnplacedReason::NoRoom)];
    assert_only(&job, &plan, Rule::Stock, "placed-and-listed", None, &rail());
}

#[test]
fn placed_twice_or_beyond_the_count() {
    let (job, mut plan) = sawn_job();
    plan.layouts[0]
        .placements
        .push(place("rail", 1, 500.0, 20.0));
    assert_only(&job, &plan, Rule::Stock, "placed-twice", Some(1.0), &rail());
    plan.layouts[0].placements[2].copy = 4;
    assert_only(
        &job,
        &plan,
        Rule::Stock,
        "no-such-copy",
        Some(2.0),
        &[part_copy("rail", 4)],
    );
    plan.layouts[0].placements[2].copy = 0;
    assert_only(
        &job,
        &plan,
        Rule::Stock,
        "no-such-copy",
        Some(1.0),
        &[part_copy("rail", 0)],
    );
}

#[test]
fn unknown_parts_and_boards_are_findings() {
    let (job, mut plan) = sawn_job();
    plan.layouts[0]
        .placements
        .push(place("leg", 1, 500.0, 20.0));
    let leg = [part_copy("leg", 1)];
    assert_only(&job, &plan, Rule::Stock, "unknown-part", None, &leg);
    plan.layouts[0].placements.pop();
    plan.unplaced = vec![unplaced("leg", &[1], UnplacedReason::NoRoom)];
    assert_only(&job, &plan, Rule::Stock, "unknown-part", None, &leg);
    // A part that has a problem of its own is not in the sound job.
    plan.unplaced = vec![unplaced("leg", &[1], UnplacedReason::PartNotSound)];
    assert_good(&job, &plan);
    plan.unplaced.clear();
    plan.layouts[0].board.board = "Z".into();
    let finding = assert_only(&job, &plan, Rule::Stock, "unknown-board", None, &[]);
    assert_eq!(
        finding.message,
        "The plan cuts a board “Z” that is not in the job."
    );
}

#[test]
fn boards_beyond_the_count_twice_or_to_be_left() {
    let (mut job, mut plan) = sawn_job();
    plan.layouts[0].board.copy = 3;
    assert_only(&job, &plan, Rule::Stock, "no-such-board", Some(2.0), &[]);
    job.boards[0].count = 3;
    assert_good(&job, &plan);
    let moved = plan.layouts[0].placements.pop().unwrap();
    plan.layouts.push(Layout {
        board: plan.layouts[0].board.clone(),
        ..sawn("A", vec![moved])
    });
    assert_only(&job, &plan, Rule::Stock, "board-used-twice", Some(1.0), &[]);
    plan.layouts[1].board.copy = 2;
    assert_good(&job, &plan);
    let (mut job, plan) = sawn_job();
    job.boards[0].usage = Use::Leave;
    assert_only(&job, &plan, Rule::Stock, "board-to-leave", None, &[]);
}

#[test]
fn species_accepted() {
    let (mut job, plan) = sawn_job();
    job.parts[0].species = vec!["ash".into(), "oak".into()];
    assert_good(&job, &plan);
    job.boards[0].species = "elm".into();
    let found = check(&job, &plan);
    assert_eq!(found.len(), 2);
    assert_eq!(
        (found[0].rule, found[0].cause.as_str()),
        (Rule::Stock, "wrong-species")
    );
    assert_eq!(
        found[0].message,
        "rail 1 lies on board A, which is elm; it may be made of ash or oak."
    );
}

#[test]
fn pins_stay_where_they_are() {
    let (mut job, plan) = sawn_job();
    let at = plan.layouts[0].placements[0].at;
    job.pins = vec![Pin {
        part: part_copy("rail", 1),
        board: board_copy("A"),
        at,
    }];
    assert_good(&job, &plan);
    let pinned = |change: &dyn Fn(&mut Placed)| {
        let mut plan = plan.clone();
        change(first(&mut plan));
        plan
    };
    let moved = pinned(&|p| (p.x, p.y) = (100.3, 20.4));
    assert_only(&job, &moved, Rule::Stock, "pin-moved", Some(0.5), &rail());
    let turned = pinned(&|p| p.turn = 1.25);
    assert_only(
        &job,
        &turned,
        Rule::Stock,
        "pin-turned",
        Some(1.25),
        &rail(),
    );
    let over = pinned(&|p| (p.turned_over, p.y) = (true, 70.0));
    assert_only(&job, &over, Rule::Stock, "pin-turned-over", None, &rail());
    let full_turn = pinned(&|p| p.turn = 360.0);
    assert_good(&job, &full_turn);

    job.boards.push(board("B"));
    let mut other = plan.clone();
    other
        .layouts
        .push(sawn("B", vec![place("rail", 1, 100.0, 20.0)]));
    other.layouts[0].placements.remove(0);
    assert_only(&job, &other, Rule::Stock, "pin-other-board", None, &rail());

    let mut missing = plan.clone();
    missing.layouts[0].placements.remove(0);
    missing.unplaced = vec![unplaced("rail", &[1], UnplacedReason::NoRoom)];
    assert_only(&job, &missing, Rule::Stock, "pin-not-placed", None, &rail());
}
