use super::*;

fn knot(margin: f64) -> Zone {
    // 5 to the right of the first blank.
    Zone {
        margin,
        note: "knot".into(),
        ..zone(ZoneKind::Defect, box_of(310.0, 30.0, 330.0, 50.0))
    }
}

#[test]
fn a_defect_keeps_its_margin_from_the_blank() {
    let (mut job, plan) = sawn_job();
    mark(&mut job, knot(5.0));
    assert_good(&job, &plan);
    job.boards[0].zones[0].margin = 6.4;
    let finding = assert_only(
        &job,
        &plan,
        Rule::Zones,
        "zone-too-near",
        Some(1.4),
        &rail(),
    );
    assert_eq!(
        finding.message,
        "rail 1 is 1.4 mm too near the knot on board A."
    );
    assert_eq!(finding.zone, Some(0));
}

#[test]
fn or_from_the_finished_outline_only() {
    let (mut job, plan) = sawn_job();
    let finished = Zone {
        clear_of: ClearOf::Finished,
        ..knot(10.0)
    };
    mark(&mut job, finished);
    assert_good(&job, &plan);
    job.boards[0].zones[0].margin = 12.0;
    assert_only(
        &job,
        &plan,
        Rule::Zones,
        "zone-too-near",
        Some(2.0),
        &rail(),
    );
}

#[test]
fn in_the_allowance_only_where_it_is_sound() {
    let (mut job, plan) = sawn_job();
    // Over the blank by 4, 1 from the finished outline.
    let shape = box_of(301.0, 30.0, 330.0, 50.0);
    let allowed = Zone {
        clear_of: ClearOf::Finished,
        sound: true,
        ..zone(ZoneKind::Defect, shape)
    };
    mark(&mut job, allowed);
    assert_good(&job, &plan);
    job.boards[0].zones[0].sound = false;
    assert_only(
        &job,
        &plan,
        Rule::Zones,
        "zone-too-near",
        Some(4.0),
        &rail(),
    );
}

#[test]
fn lying_over_a_defect() {
    let (mut job, plan) = sawn_job();
    mark(
        &mut job,
        zone(ZoneKind::Defect, box_of(300.0, 30.0, 330.0, 50.0)),
    );
    let finding = assert_only(
        &job,
        &plan,
        Rule::Zones,
        "zone-too-near",
        Some(5.0),
        &rail(),
    );
    assert_eq!(
        finding.message,
        "rail 1 overlaps the marked defect on board A: it reaches 5 mm too far."
    );
}

/// On the up face, 6 deep, over the finished outline by 3 (over the blank by 8).
fn shallow() -> Zone {
    Zone {
        face: ZoneFace::Up,
        depth: 6.0,
        sound: true,
        ..zone(ZoneKind::Defect, box_of(297.0, 30.0, 330.0, 50.0))
    }
}

fn shallow_job(faces: Faces) -> (Job, Plan) {
    let (mut job, plan) = sawn_job();
    mark(&mut job, shallow());
    job.parts[0].faces = faces;
    (job, plan)
}

#[test]
fn a_defect_on_one_face_matters_where_that_face_is_seen_or_painted() {
    for faces in [Faces::One, Faces::Both, Faces::Painted] {
        let (job, plan) = shallow_job(faces);
        assert_only(
            &job,
            &plan,
            Rule::Zones,
            "defect-on-face",
            Some(3.0),
            &rail(),
        );
    }
    let (job, plan) = shallow_job(Faces::Hidden);
    assert_good(&job, &plan);
}

#[test]
fn turned_over_the_seen_face_lies_on_the_down_face() {
    let (mut job, mut plan) = shallow_job(Faces::One);
    // Turned over about its own x axis the outline lies from y = 20 down to y = -30.
    (first(&mut plan).turned_over, first(&mut plan).y) = (true, 70.0);
    assert_good(&job, &plan);
    job.boards[0].zones[0].face = ZoneFace::Down;
    assert_only(
        &job,
        &plan,
        Rule::Zones,
        "defect-on-face",
        Some(3.0),
        &rail(),
    );
}

#[test]
fn what_is_planed_off_does_not_matter() {
    let (mut job, plan) = shallow_job(Faces::One);
    job.boards[0].surface = Surface::Sawn;
    job.boards[0].warp = Warp::Unknown;
    job.parts[0].allowances.planing = 2.4;
    job.boards[0].zones[0].depth = 2.4;
    assert_good(&job, &plan);
    job.boards[0].zones[0].depth = 2.5;
    assert_only(
        &job,
        &plan,
        Rule::Zones,
        "defect-on-face",
        Some(3.0),
        &rail(),
    );
}

#[test]
fn an_unsound_zone_lies_in_no_blank() {
    let (mut job, plan) = shallow_job(Faces::Hidden);
    job.boards[0].zones[0].sound = false;
    assert_only(
        &job,
        &plan,
        Rule::Zones,
        "zone-too-near",
        Some(8.0),
        &rail(),
    );
}

#[test]
fn as_deep_as_the_board_or_of_unknown_depth_is_through() {
    for depth in [30.0, f64::INFINITY] {
        let (mut job, plan) = shallow_job(Faces::Hidden);
        job.boards[0].zones[0].depth = depth;
        assert_only(
            &job,
            &plan,
            Rule::Zones,
            "zone-too-near",
            Some(8.0),
            &rail(),
        );
    }
}

/// The table of rule 3: face, depth, sound, clear of, faces of the part; then what is told.
#[test]
fn every_case_of_the_table() {
    use ClearOf::{Blank, Finished};
    use ZoneFace::{Down, Through, Up};
    let near = Some("zone-too-near");
    let shows = Some("defect-on-face");
    // The defect overlaps the finished part by 3 and the blank by 8; its margin is 1. The
    // seen face lies up; 0.8 is planed off each face of a board 30 thick.
    let (blank, bare, finished) = (9.0, 8.0, 4.0);
    let rows = [
        (Through, 0.0, true, Blank, Faces::Hidden, near, blank),
        (Through, 0.0, true, Finished, Faces::Hidden, near, finished),
        (Through, 0.0, false, Blank, Faces::Both, near, blank),
        (Through, 0.0, false, Finished, Faces::Both, near, bare),
        (Up, 3.0, true, Blank, Faces::One, shows, finished),
        (Up, 3.0, true, Finished, Faces::One, shows, finished),
        (Down, 3.0, true, Blank, Faces::One, None, 0.0),
        (Down, 3.0, true, Blank, Faces::Both, shows, finished),
        (Up, 3.0, true, Blank, Faces::Painted, shows, finished),
        (Down, 3.0, true, Finished, Faces::Painted, shows, finished),
        (Up, 3.0, true, Blank, Faces::Hidden, None, 0.0),
        (Up, 0.8, true, Blank, Faces::One, None, 0.0),
        (Up, 0.81, true, Blank, Faces::One, shows, finished),
        (Up, 29.99, true, Blank, Faces::Hidden, None, 0.0),
        (Up, 30.0, true, Blank, Faces::Hidden, near, blank),
        (Up, f64::INFINITY, true, Blank, Faces::Hidden, near, blank),
        (Down, 30.0, true, Finished, Faces::One, near, finished),
        (Up, 3.0, false, Blank, Faces::One, near, blank),
        (Down, 3.0, false, Blank, Faces::One, near, blank),
        (Down, 3.0, false, Blank, Faces::Hidden, near, blank),
        (Down, 0.5, false, Blank, Faces::Hidden, near, blank),
        (Down, 3.0, false, Finished, Faces::Hidden, near, bare),
    ];
    for row in rows {
        let (face, depth, sound, clear_of, faces, cause, by) = row;
        let (mut job, plan) = shallow_job(faces);
        job.boards[0].warp = Warp::Measured {
            cup: (0.0, 0.0),
            bow: (0.0, 0.0),
            twist: (0.0, 0.0, 0.0),
        };
        job.boards[0].zones[0] = Zone {
            face,
            depth,
            sound,
            clear_of,
            margin: 1.0,
            ..shallow()
        };
        match cause {
            Some(cause) => {
                assert_only(&job, &plan, Rule::Zones, cause, Some(by), &rail());
            }
            None => assert_good(&job, &plan),
        }
    }
}

#[test]
fn sapwood_matters_on_seen_faces_of_the_finished_outline() {
    for (faces, seen) in [
        (Faces::One, true),
        (Faces::Both, true),
        (Faces::Painted, false),
        (Faces::Hidden, false),
    ] {
        let (mut job, plan) = sawn_job();
        mark(
            &mut job,
            zone(ZoneKind::Sapwood, box_of(0.0, 0.0, 1000.0, 21.5)),
        );
        job.parts[0].faces = faces;
        if seen {
            assert_only(&job, &plan, Rule::Zones, "sapwood-seen", Some(1.5), &rail());
        } else {
            assert_good(&job, &plan);
        }
    }
}

#[test]
fn sapwood_in_the_allowance_or_on_the_other_face_is_free() {
    let (mut job, plan) = sawn_job();
    mark(
        &mut job,
        zone(ZoneKind::Sapwood, box_of(0.0, 0.0, 1000.0, 20.0)),
    );
    let deep = Zone {
        face: ZoneFace::Down,
        depth: 5.0,
        ..zone(ZoneKind::Sapwood, box_of(0.0, 0.0, 1000.0, 60.0))
    };
    mark(&mut job, deep);
    assert_good(&job, &plan);
}

#[test]
fn figure_never_forbids() {
    let (mut job, plan) = sawn_job();
    mark(
        &mut job,
        zone(ZoneKind::Figure, box_of(0.0, 0.0, 1000.0, 200.0)),
    );
    assert_good(&job, &plan);
}

#[test]
fn sawn_parts_are_measured_from_their_rounded_blank() {
    let (mut job, plan) = sawn_job();
    job.parts[0].cut = PartCut::Sawn;
    // From the corner (300, 70) by 3 and 4: 5 away, less 1.5 of allowance.
    mark(
        &mut job,
        Zone {
            margin: 4.0,
            ..zone(ZoneKind::Defect, box_of(303.0, 74.0, 310.0, 80.0))
        },
    );
    assert_only(
        &job,
        &plan,
        Rule::Zones,
        "zone-too-near",
        Some(0.5),
        &rail(),
    );
}
