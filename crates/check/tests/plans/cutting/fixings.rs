use super::*;

fn screw(x: f64, y: f64, stops: Stops) -> Zone {
    Zone {
        margin: 4.0,
        stops,
        ..zone(ZoneKind::Fixing, box_of(x, y, x + 2.0, y + 2.0))
    }
}

#[test]
fn a_rip_past_a_fixing_that_stops_rips() {
    for (stops, stopped) in [
        (Stops::All, true),
        (Stops::Rips, true),
        (Stops::Crosscuts, false),
    ] {
        let (mut job, plan) = straight_job();
        // 3 above the dust of the rip, beyond the last crosscut.
        mark(&mut job, screw(700.0, 60.0, stops));
        if stopped {
            let finding = assert_only(&job, &plan, Rule::Fixings, "cut-at-fixing", Some(1.0), &[]);
            assert_eq!(
                finding.message,
                "The rip at 54 mm on board A comes 1 mm too near the old fixing."
            );
            assert_eq!(finding.zone, Some(0));
        } else {
            assert_good(&job, &plan);
        }
    }
}

#[test]
fn a_crosscut_ends_where_its_piece_ends() {
    let (mut job, plan) = straight_job();
    // In line with the crosscut at 222, but 6 above the strip it cuts; the rip stops no one here.
    mark(&mut job, screw(222.0, 60.0, Stops::Crosscuts));
    assert_good(&job, &plan);
    job.boards[0].zones[0].margin = 7.0;
    assert_only(&job, &plan, Rule::Fixings, "cut-at-fixing", Some(1.0), &[]);
}

#[test]
fn the_saw_runs_on_across_a_gap_in_its_piece() {
    let (mut job, plan) = straight_job();
    // A notch from the right end swallows the line of the rip between x 600 and 1000; the saw
    // leaves its piece at 600.
    let whole = [
        (0.0, 0.0),
        (1000.0, 0.0),
        (1000.0, 40.0),
        (600.0, 40.0),
        (600.0, 70.0),
        (1000.0, 70.0),
        (1000.0, 200.0),
        (0.0, 200.0),
    ];
    job.boards[0].outline = polygon(&whole);
    job.boards[0].sides = sides_of(
        &job.boards[0].outline,
        EdgeKind::Straight,
        EdgeKind::Straight,
    );
    mark(&mut job, screw(604.0, 71.0, Stops::Rips));
    assert_good(&job, &plan);
    // A hole instead: the saw comes out of it again and runs on to the end.
    let hole = box_of(600.0, 40.0, 900.0, 70.0).outer().clone();
    job.boards[0].outline =
        Region::new(box_of(0.0, 0.0, 1000.0, 200.0).outer().clone(), vec![hole]).unwrap();
    job.boards[0].sides = sides_of(
        &job.boards[0].outline,
        EdgeKind::Straight,
        EdgeKind::Straight,
    );
    job.boards[0].zones[0].margin = 20.0;
    assert_only(&job, &plan, Rule::Fixings, "cut-at-fixing", Some(6.0), &[]);
}

#[test]
fn a_kerf_without_width_is_stopped_too() {
    let (mut job, mut plan) = straight_job();
    job.workshop.tools[0].kerf = 0.0;
    let tool = "ripsaw".into();
    nodes(&mut plan)[2] = CutNode::Cut {
        angle: None,
        direction: Direction::Rip,
        tool,
        at: 54.0,
        kerf: 0.0,
        low: 3,
        high: 4,
    };
    assert_good(&job, &plan);
    mark(&mut job, screw(700.0, 57.0, Stops::Rips));
    assert_only(&job, &plan, Rule::Fixings, "cut-at-fixing", Some(1.0), &[]);
}
