use super::*;

fn screw(x0: f64, x1: f64) -> Zone {
    Zone {
        margin: 4.0,
        note: "old screw".into(),
        drawn_before_planing: true,
        ..zone(ZoneKind::Fixing, box_of(x0, 40.0, x1, 44.0))
    }
}

#[test]
fn a_blank_holds_none_unless_it_may() {
    let (mut job, plan) = sawn_job();
    mark(&mut job, screw(200.0, 204.0));
    // Out by its nearer long edge: from y = 18 up to 44.
    let finding = assert_only(
        &job,
        &plan,
        Rule::Fixings,
        "fixing-in-blank",
        Some(26.0),
        &rail(),
    );
    assert_eq!(
        finding.message,
        "rail 1 reaches 26 mm over the old screw on board A, and it may not hold one."
    );
    job.parts[0].fixing_ok = true;
    assert_good(&job, &plan);
}

#[test]
fn a_held_fixing_keeps_its_margin_from_every_edge() {
    let (mut job, plan) = sawn_job();
    mark(&mut job, screw(299.0, 303.0));
    job.parts[0].fixing_ok = true;
    // 2 from the blank's end at 305, 4 wanted.
    let finding = assert_only(
        &job,
        &plan,
        Rule::Fixings,
        "fixing-near-edge",
        Some(2.0),
        &rail(),
    );
    assert_eq!(
        finding.message,
        "The old screw of board A lies 2 mm too near the edge of rail 1: it must stay wholly inside, 4 mm from every edge."
    );
}

#[test]
fn a_fixing_that_is_hardly_reached_asks_to_move_off_it() {
    let (mut job, plan) = sawn_job();
    job.parts[0].fixing_ok = true;
    mark(
        &mut job,
        Zone {
            margin: 20.0,
            ..screw(304.5, 310.0)
        },
    );
    assert_only(
        &job,
        &plan,
        Rule::Fixings,
        "fixing-near-edge",
        Some(0.5),
        &rail(),
    );
}

/// A blank that holds a screw, in a flat planed board of 30 mm: the part is 25 thick.
fn held(change: impl FnOnce(&mut Zone)) -> (Job, Plan) {
    let (mut job, plan) = sawn_job();
    job.parts[0].fixing_ok = true;
    let mut zone = Zone {
        drawn_before_planing: false,
        ..screw(200.0, 204.0)
    };
    change(&mut zone);
    mark(&mut job, zone);
    (job, plan)
}

#[test]
fn metal_or_unknown_is_refused_where_the_board_is_thicker_than_the_part() {
    for material in [FixingMaterial::Metal, FixingMaterial::Unknown] {
        let (mut job, plan) = held(|z| z.material = material);
        let finding = assert_only(
            &job,
            &plan,
            Rule::Fixings,
            "fixing-planed",
            Some(26.0),
            &rail(),
        );
        assert_eq!(
            finding.message,
            "The old screw of board A lies in rail 1, which is planed from 30 mm to 25 mm: it may be metal and would ruin the knives. Draw it before planing, or say how deep it lies."
        );
        // Not planed at all, drawn before, or of wood.
        job.parts[0].thickness = 30.0;
        assert_good(&job, &plan);
        let (job, plan) = held(|z| (z.material, z.drawn_before_planing) = (material, true));
        assert_good(&job, &plan);
    }
    let (job, plan) = held(|z| z.material = FixingMaterial::Wood);
    assert_good(&job, &plan);
}

#[test]
fn buried_deeper_than_all_that_comes_off_either_face() {
    for (depths, by) in [
        ((5.0, 25.0), None),
        ((4.0, 25.0), Some(1.0)),
        ((5.0, 27.0), Some(2.0)),
        ((0.0, 12.0), Some(5.0)),
        // Nobody knows how deep it ends.
        ((6.0, f64::INFINITY), Some(26.0)),
    ] {
        let (job, plan) = held(|z| z.buried = Some(depths));
        match by {
            None => assert_good(&job, &plan),
            Some(by) => {
                let cause = match depths.1.is_finite() {
                    true => "fixing-too-shallow",
                    false => "fixing-planed",
                };
                assert_only(&job, &plan, Rule::Fixings, cause, Some(by), &rail());
            }
        }
    }
}

#[test]
fn the_line_round_a_part_keeps_the_margin_whatever_the_fixing_stops() {
    for stops in [Stops::All, Stops::Rips, Stops::Crosscuts] {
        let (mut job, plan) = sawn_job();
        // 4.5 from the blank: 1 of kerf, 4 of margin.
        mark(
            &mut job,
            Zone {
                stops,
                ..screw(309.5, 312.0)
            },
        );
        let finding = assert_only(
            &job,
            &plan,
            Rule::Fixings,
            "saw-at-fixing",
            Some(0.5),
            &rail(),
        );
        assert_eq!(
            finding.message,
            "The saw going round rail 1 comes 0.5 mm too near the old screw on board A."
        );
    }
}
