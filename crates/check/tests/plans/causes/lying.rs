use super::*;

#[test]
fn grain_out_of_tolerance() {
    let (job, mut plan) = sawn_job();
    first(&mut plan).turn = 3.0;
    assert_good(&job, &plan);
    first(&mut plan).turn = 3.5;
    let finding = assert_only(&job, &plan, Rule::Grain, "grain-off", Some(0.5), &rail());
    assert_eq!(
        finding.message,
        "The grain runs 0.5° too far off in rail 1 on board A: at most 3° is allowed."
    );
}

#[test]
fn grain_counts_modulo_half_a_turn_and_from_the_boards_grain() {
    let (mut job, mut plan) = sawn_job();
    job.boards[0].grain = GrainField::straight(-2.0);
    (
        first(&mut plan).turn,
        first(&mut plan).x,
        first(&mut plan).y,
    ) = (180.0, 310.0, 80.0);
    assert_good(&job, &plan);
    first(&mut plan).turn = 182.0;
    assert_only(&job, &plan, Rule::Grain, "grain-off", Some(1.0), &rail());
}

#[test]
fn grain_across_the_part_turns_it_by_a_quarter() {
    let (mut job, mut plan) = sawn_job();
    job.parts[0].grain = GrainRule::Axis {
        across: true,
        tolerance: 3.0,
    };
    plan.layouts[0].placements.truncate(1);
    plan.unplaced = vec![Unplaced {
        part: "rail".into(),
        copies: vec![2],
        reason: UnplacedReason::NoRoom,
        least_board: None,
        longest: None,
    }];
    assert_only(&job, &plan, Rule::Grain, "grain-off", Some(87.0), &rail());
    job.boards[0].outline = box_of(0.0, 0.0, 1000.0, 400.0);
    (first(&mut plan).turn, first(&mut plan).x) = (90.0, 300.0);
    assert_good(&job, &plan);
}

#[test]
fn bent_grain_is_worst_over_the_blank() {
    let (mut job, mut plan) = sawn_job();
    plan.layouts[0].placements[1].at.y = 122.0;
    let line = |angle: f64, x: f64| {
        let (s, c) = heartside_geometry::math::sin_cos_deg(angle);
        vec![point(x, 50.0), point(x + 50.0 * c, 50.0 + 50.0 * s)]
    };
    let bounds = job.boards[0].outline.bounds();
    job.boards[0].grain = GrainField::bent(0.0, &[line(0.0, 600.0), line(9.0, 130.0)], bounds);
    let found = check(&job, &plan);
    let grain: Vec<_> = found
        .iter()
        .filter(|f| f.rule == Rule::Grain && f.parts == rail())
        .collect();
    let by = amount(grain[0]).unwrap();
    assert!(by > 5.0 && by <= 6.0, "{by}");
    assert!(grain[0].at.unwrap().x < 320.0);
}

#[test]
fn only_the_turns_named() {
    let (mut job, mut plan) = sawn_job();
    job.parts[0].grain = GrainRule::Turns(vec![0.0, 90.0]);
    first(&mut plan).turn = 360.0;
    assert_good(&job, &plan);
    (
        first(&mut plan).turn,
        first(&mut plan).x,
        first(&mut plan).y,
    ) = (180.0, 310.0, 80.0);
    assert_only(
        &job,
        &plan,
        Rule::Grain,
        "turn-not-allowed",
        Some(90.0),
        &rail(),
    );
    job.parts[0].grain = GrainRule::Any;
    assert_good(&job, &plan);
}

fn rails() -> Vec<PartCopy> {
    vec![part_copy("rail", 1), part_copy("rail", 2)]
}

#[test]
fn a_board_too_thin() {
    let (mut job, plan) = sawn_job();
    job.boards[0].thickness = 24.0;
    let found = check(&job, &plan);
    assert_eq!(found.len(), 2);
    assert_eq!(
        found
            .iter()
            .flat_map(|f| f.parts.clone())
            .collect::<Vec<_>>(),
        rails()
    );
    assert_eq!(
        told(&found)[0],
        (Rule::Thickness, "too-thin".into(), Some(1.0))
    );
    assert_eq!(
        found[0].message,
        "rail 1 comes out 1 mm too thin from board A: 25 mm is wanted once it is flat."
    );
}

#[test]
fn warp_costs_by_the_blanks_own_extents() {
    let (mut job, plan) = sawn_job();
    // Cup 4 over 108: 54 keeps a quarter of it, 1. Bow 8 over 420: 210 keeps 2. Twist 8 over
    // 420 by 108: half of 8 (1/2)(1/2) is 1. With 2 x 0.8 of clean-up: 30 - 4 - 1.6 = 24.4.
    job.boards[0].warp = Warp::Measured {
        cup: (4.0, 108.0),
        bow: (8.0, 420.0),
        twist: (8.0, 420.0, 108.0),
    };
    assert!((amount(&check(&job, &plan)[0]).unwrap() - 0.6).abs() < 1e-9);
    job.parts[0].thickness = 24.4;
    assert_good(&job, &plan);
    // Unknown warp: 30 - 2 x 2.5.
    job.boards[0].warp = Warp::Unknown;
    job.parts[0].thickness = 25.0;
    assert_good(&job, &plan);
    job.parts[0].thickness = 25.01;
    assert!((amount(&check(&job, &plan)[0]).unwrap() - 0.01).abs() < 1e-9);
}

#[test]
fn turned_over_only_where_allowed() {
    let (mut job, mut plan) = sawn_job();
    (first(&mut plan).turned_over, first(&mut plan).y) = (true, 70.0);
    assert_good(&job, &plan);
    job.parts[0].may_turn_over = false;
    let finding = assert_only(
        &job,
        &plan,
        Rule::TurnedOver,
        "may-not-turn-over",
        None,
        &rail(),
    );
    assert_eq!(
        finding.message,
        "rail 1 may not be turned over, but is on board A."
    );
}

#[test]
fn turning_over_mirrors_the_outline() {
    let (mut job, mut plan) = sawn_job();
    job.parts[0].cut = PartCut::Sawn;
    job.parts[0].outline = polygon(&[(0.0, 0.0), (200.0, 0.0), (200.0, 10.0), (0.0, 50.0)]);
    // The wide end (x = 0) reaches up to y = 70 at x = 100; a knot above the narrow end is free.
    mark(
        &mut job,
        zone(ZoneKind::Defect, box_of(280.0, 60.0, 295.0, 68.0)),
    );
    assert_good(&job, &plan);
    // Turned over the straight edge lies above, at y = 70.
    (first(&mut plan).turned_over, first(&mut plan).y) = (true, 70.0);
    assert!(check(&job, &plan).iter().any(|f| f.rule == Rule::Zones));
}
