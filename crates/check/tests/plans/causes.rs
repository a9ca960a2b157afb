//! Rules 1 to 8, 10 and 11: every cause on a hand-made job.
//!
//! In the job sawn by line the first rail's blank covers x 95 to 305, y 18 to 72 of a board
//! of 1000 by 200; its finished outline x 100 to 300, y 20 to 70.

use heartside_check::check;
use heartside_geometry::{Region, Ring};
use heartside_timber::document::*;
use heartside_timber::finding::{Rule, Severity};
use heartside_timber::grain::GrainField;
use heartside_timber::job::{self, Allowances, Form, Goal, GrainRule, Job, Pin, Warp, Zone};
use heartside_timber::length::{DisplayUnits, InchFraction};
use heartside_timber::plan::*;

use crate::fixtures::*;

fn rail() -> [PartCopy; 1] {
    [part_copy("rail", 1)]
}

mod inside {
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
        job.boards[0].outline =
            Region::new(job.boards[0].outline.outer().clone(), vec![hole]).unwrap();
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
}

mod kerf {
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
            finding.message.contains("lie over each other"),
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
}

mod zones {
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
            "rail 1 lies over the marked defect on board A: it reaches 5 mm too far."
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
}

mod fixings {
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
}

mod lying {
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
            "rail 1 may not be turned over, but lies so on board A."
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
}

mod matching {
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
        for kind in [MatchKind::Slip, MatchKind::Book, MatchKind::Balanced] {
            let (job, plan) = matched(kind);
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
        }];
        assert_good(&job, &plan);
    }
}

mod stock {
    use super::*;

    fn unplaced(part: &str, copies: &[u32], reason: UnplacedReason) -> Unplaced {
        Unplaced {
            part: part.into(),
            copies: copies.to_vec(),
            reason,
            least_board: None,
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
}

mod dimensions {
    use super::*;

    fn with_width(value: f64, planned: &[(&str, f64)]) -> (Job, Plan) {
        let (mut job, mut plan) = sawn_job();
        let named = |name: &str, value: f64| DimensionValue {
            name: name.into(),
            value,
        };
        job.dimensions = vec![job::Dimension {
            value: named("width", value),
            least: 1400.0,
            most: 1500.0,
        }];
        plan.dimensions = planned
            .iter()
            .map(|(name, value)| named(name, *value))
            .collect();
        (job, plan)
    }

    #[test]
    fn every_value_stored_once_known_and_in_range() {
        let (job, plan) = with_width(1460.0, &[("width", 1460.0)]);
        assert_good(&job, &plan);
        let (job, plan) = with_width(1500.5, &[("width", 1500.5)]);
        let finding = assert_only(
            &job,
            &plan,
            Rule::Dimensions,
            "dimension-out-of-range",
            Some(0.5),
            &[],
        );
        assert_eq!(finding.message, "width is 1500.5 mm: 0.5 mm too large.");
        let (job, plan) = with_width(1399.0, &[("width", 1399.0)]);
        assert_only(
            &job,
            &plan,
            Rule::Dimensions,
            "dimension-out-of-range",
            Some(1.0),
            &[],
        );
        let (job, plan) = with_width(1460.0, &[]);
        assert_only(
            &job,
            &plan,
            Rule::Dimensions,
            "dimension-missing",
            None,
            &[],
        );
        let (job, plan) = with_width(1460.0, &[("width", 1460.0), ("width", 1460.0)]);
        assert_only(&job, &plan, Rule::Dimensions, "dimension-twice", None, &[]);
        let (job, plan) = with_width(1460.0, &[("width", 1460.0), ("depth", 1.0)]);
        assert_only(
            &job,
            &plan,
            Rule::Dimensions,
            "dimension-unknown",
            None,
            &[],
        );
        let (job, plan) = with_width(1460.0, &[("width", f64::NAN)]);
        assert_only(
            &job,
            &plan,
            Rule::Dimensions,
            "dimension-not-a-number",
            None,
            &[],
        );
    }

    #[test]
    fn parts_worked_out_with_other_values_are_not_the_plans() {
        let (job, plan) = with_width(1450.0, &[("width", 1460.0)]);
        let finding = assert_only(
            &job,
            &plan,
            Rule::Dimensions,
            "dimension-not-applied",
            Some(10.0),
            &[],
        );
        assert_eq!(
            finding.message,
            "The plan was made with width = 1460 mm, but the parts were worked out with 1450 mm."
        );
    }
}

#[test]
fn amounts_are_told_in_the_jobs_units_and_never_as_nothing() {
    let (mut job, mut plan) = sawn_job();
    first(&mut plan).y = 2.0 - 0.01;
    assert_eq!(
        only(&job, &plan).message,
        "rail 1 sticks out of board A by 0.01 mm."
    );
    first(&mut plan).y = 2.0 - 0.003;
    assert_eq!(
        only(&job, &plan).message,
        "rail 1 sticks out of board A by less than 0.01 mm."
    );
    job.units = DisplayUnits::inches(InchFraction::Sixteenths);
    assert_eq!(
        only(&job, &plan).message,
        "rail 1 sticks out of board A by less than 0.001\"."
    );
    first(&mut plan).y = 2.0 - 1.27;
    assert_eq!(
        only(&job, &plan).message,
        "rail 1 sticks out of board A by 0.05\"."
    );
    // Names that say "board" themselves are not doubled.
    job.boards[0].name = "Board by the door".into();
    assert!(
        only(&job, &plan)
            .message
            .contains("out of Board by the door by")
    );
}

#[test]
fn holes_of_sawn_parts_shrink_and_may_hold_others() {
    let mut ring = part("ring", 1);
    ring.cut = PartCut::Sawn;
    ring.form = Form::Free;
    let hole: Ring = box_of(20.0, 20.0, 140.0, 140.0).outer().clone();
    ring.outline = Region::new(box_of(0.0, 0.0, 160.0, 160.0).outer().clone(), vec![hole]).unwrap();
    let mut plug = part("plug", 1);
    plug.outline = box_of(0.0, 0.0, 100.0, 60.0);
    plug.allowances = Allowances {
        end: 0.0,
        edge: 0.0,
        sawn: 0.0,
        planing: 0.0,
        clean_up: 0.0,
    };
    let job = job(vec![board("A")], vec![ring, plug]);
    let mut plan = plan(vec![sawn(
        "A",
        vec![place("ring", 1, 100.0, 20.0), place("plug", 1, 122.5, 60.0)],
    )]);
    let found: Vec<_> = check(&job, &plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect();
    assert_eq!(told(&found), vec![]);
    // The hole's edge at x = 120, 1.5 of allowance, 1 of kerf.
    plan.layouts[0].placements[1].at.x = 122.0;
    let found: Vec<_> = check(&job, &plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect();
    assert_eq!(
        told(&found),
        vec![(Rule::Kerf, "too-near-part".into(), Some(0.5))]
    );
}
