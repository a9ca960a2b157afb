//! Good plans that touch a limit, broken by a hundredth in one way: exactly that rule, cause,
//! part and amount is told. Broken by less than the slack, nothing is.

use heartside_check::{ANGLE_SLACK, GRAIN_SLACK};
use heartside_timber::document::*;
use heartside_timber::finding::Rule;
use heartside_timber::job::{self, GrainRule, Job, Pin, Stops, Warp, Zone};
use heartside_timber::plan::*;

use crate::causes::panels::{joined_job, panel_job, piece, stave, top};
use crate::fixtures::*;

/// `make(d)` is a plan beyond a limit by d; none for d = 0.
#[track_caller]
fn breaks(make: impl Fn(f64) -> (Job, Plan), rule: Rule, cause: &str, parts: &[PartCopy]) {
    let slack = heartside_geometry::Tolerance::JOB.slack;
    breaks_above(slack, make, rule, cause, parts);
}

#[track_caller]
fn breaks_above(
    forgiven: f64,
    make: impl Fn(f64) -> (Job, Plan),
    rule: Rule,
    cause: &str,
    parts: &[PartCopy],
) {
    for d in [0.0, -0.01, 0.9 * forgiven] {
        let (job, plan) = make(d);
        assert_good(&job, &plan);
    }
    for d in [0.01, 0.05] {
        let (job, plan) = make(d);
        assert_only(&job, &plan, rule, cause, Some(d), parts);
    }
}

fn rail() -> [PartCopy; 1] {
    [part_copy("rail", 1)]
}

fn second() -> [PartCopy; 1] {
    [part_copy("rail", 2)]
}

fn both() -> [PartCopy; 2] {
    [part_copy("rail", 1), part_copy("rail", 2)]
}

/// The sawn job, changed.
fn sawn_with(change: impl FnOnce(&mut Job, &mut Plan)) -> (Job, Plan) {
    let (mut job, mut plan) = sawn_job();
    change(&mut job, &mut plan);
    (job, plan)
}

/// The straight job, changed.
fn straight_with(change: impl FnOnce(&mut Job, &mut Vec<CutNode>)) -> (Job, Plan) {
    let (mut job, mut plan) = straight_job();
    let tree = plan.layouts[0].cuts.as_mut().unwrap();
    change(&mut job, &mut tree.nodes);
    (job, plan)
}

#[test]
fn rule_1_inside() {
    breaks(
        |d| sawn_with(|_, p| first(p).y = 2.0 - d),
        Rule::Inside,
        "outside-board",
        &rail(),
    );
    breaks(
        |d| sawn_with(|_, p| first(p).x = 15.0 - d),
        Rule::Inside,
        "too-near-raw-end",
        &rail(),
    );
    let far_end = |d| sawn_with(|_, p| first(p).x = 785.0 + d);
    breaks(far_end, Rule::Inside, "too-near-raw-end", &rail());
    let raw_edge = |d| {
        sawn_with(|job, p| {
            job.boards[0].sides = sides_of(&job.boards[0].outline, EdgeKind::Raw, EdgeKind::Raw);
            first(p).y = 6.0 - d;
        })
    };
    breaks(raw_edge, Rule::Inside, "too-near-raw-edge", &rail());
    let sawn = |d| {
        sawn_with(|job, p| {
            job.parts[0].cut = PartCut::Sawn;
            first(p).y = 1.5 - d;
        })
    };
    breaks(sawn, Rule::Inside, "outside-board", &rail());
}

#[test]
fn rule_1_a_hole_is_raw_unless_said_straight() {
    let holed = |side: EdgeKind| {
        move |d: f64| {
            sawn_with(|job, _| {
                // 4 of trim above the blank's high edge at y = 72.
                let hole = box_of(150.0, 76.0 - d, 250.0, 90.0).outer().clone();
                let outer = job.boards[0].outline.outer().clone();
                let outline = heartside_geometry::Region::new(outer, vec![hole]).unwrap();
                let of_hole = outline.edges().skip(4);
                // Its short sides are end grain: they would ask for more.
                let sides = of_hole.map(|(a, b)| job::SideState {
                    kind: if a.x == b.x { EdgeKind::Straight } else { side },
                    is_end: a.x == b.x,
                });
                job.boards[0].sides.extend(sides);
                job.boards[0].outline = outline;
            })
        }
    };
    breaks(
        holed(EdgeKind::Raw),
        Rule::Inside,
        "too-near-raw-edge",
        &rail(),
    );
    let (job, plan) = holed(EdgeKind::Straight)(4.0);
    assert_good(&job, &plan);
}

#[test]
fn rule_2_kerf() {
    breaks(
        |d| sawn_with(|_, p| (first(p).x, first(p).y) = (500.0, 65.0 + d)),
        Rule::Kerf,
        "too-near-part",
        &both(),
    );
    let rounded = |d| {
        sawn_with(|job, p| {
            job.parts[0].cut = PartCut::Sawn;
            // Corner to corner by 3 to 4: 4 apart with 1 of kerf and 1.5 for each.
            (first(p).x, first(p).y) = (300.0 - 2.4 + 0.6 * d, 70.0 - 3.2 + 0.8 * d);
        })
    };
    breaks(rounded, Rule::Kerf, "too-near-part", &both());
}

#[test]
fn rule_3_zones() {
    let knot = |d: f64| Zone {
        margin: 5.0,
        ..zone(ZoneKind::Defect, box_of(310.0 - d, 30.0, 330.0, 50.0))
    };
    breaks(
        |d| sawn_with(|job, _| mark(job, knot(d))),
        Rule::Zones,
        "zone-too-near",
        &rail(),
    );
    let finished = |d| {
        sawn_with(|job, _| {
            mark(
                job,
                Zone {
                    clear_of: ClearOf::Finished,
                    margin: 10.0,
                    ..knot(d)
                },
            )
        })
    };
    breaks(finished, Rule::Zones, "zone-too-near", &rail());
    let shallow = |d| {
        let face = Zone {
            face: ZoneFace::Up,
            depth: 6.0,
            sound: true,
            margin: 10.0,
            ..knot(d)
        };
        sawn_with(|job, _| mark(job, face))
    };
    breaks(shallow, Rule::Zones, "defect-on-face", &rail());
    let sapwood = |d| {
        sawn_with(|job, _| {
            mark(
                job,
                zone(ZoneKind::Sapwood, box_of(0.0, 0.0, 1000.0, 20.0 + d)),
            )
        })
    };
    breaks(sapwood, Rule::Zones, "sapwood-seen", &rail());
}

#[test]
fn rule_3_rot_keeps_its_margin_on_a_hidden_face() {
    let rot = |clear_of, margin, from: f64| {
        move |d: f64| {
            sawn_with(|job, _| {
                job.parts[0].faces = Faces::Hidden;
                mark(
                    job,
                    Zone {
                        face: ZoneFace::Down,
                        depth: 3.0,
                        clear_of,
                        margin,
                        ..zone(ZoneKind::Defect, box_of(from - d, 30.0, 330.0, 50.0))
                    },
                );
            })
        }
    };
    // The blank ends at x = 305, the finished part at 300.
    let cases = [
        (ClearOf::Blank, 5.0, 310.0),
        (ClearOf::Finished, 12.0, 312.0),
        (ClearOf::Finished, 2.0, 305.0),
    ];
    for (clear_of, margin, from) in cases {
        breaks(
            rot(clear_of, margin, from),
            Rule::Zones,
            "zone-too-near",
            &rail(),
        );
    }
}

#[test]
fn rule_3_depth_against_planing() {
    let deep = |d: f64| {
        sawn_with(|job, _| {
            (job.boards[0].surface, job.boards[0].warp) = (Surface::Sawn, Warp::Unknown);
            let face = Zone {
                face: ZoneFace::Up,
                depth: 2.5 + d,
                sound: true,
                ..zone(ZoneKind::Defect, box_of(299.0, 30.0, 330.0, 50.0))
            };
            mark(job, face);
        })
    };
    for d in [0.0, 0.0009] {
        let (job, plan) = deep(d);
        assert_good(&job, &plan);
    }
    let (job, plan) = deep(0.01);
    assert_only(
        &job,
        &plan,
        Rule::Zones,
        "defect-on-face",
        Some(1.0),
        &rail(),
    );
}

#[test]
fn rule_4_fixings() {
    let screw = |x: f64, y: f64| Zone {
        margin: 4.0,
        ..zone(ZoneKind::Fixing, box_of(x, y, x + 2.0, y + 2.0))
    };
    let line = |d| sawn_with(|job, _| mark(job, screw(310.0 - d, 40.0)));
    breaks(line, Rule::Fixings, "saw-at-fixing", &rail());
    let held = |d| {
        sawn_with(|job, _| {
            job.parts[0].fixing_ok = true;
            let drawn_before_planing = true;
            mark(
                job,
                Zone {
                    drawn_before_planing,
                    ..screw(299.0 + d, 40.0)
                },
            );
        })
    };
    breaks(held, Rule::Fixings, "fixing-near-edge", &rail());
    let rip = |d| {
        straight_with(|job, _| {
            mark(
                job,
                Zone {
                    stops: Stops::Rips,
                    ..screw(700.0, 61.0 - d)
                },
            )
        })
    };
    breaks(rip, Rule::Fixings, "cut-at-fixing", &[]);
    let crosscut = |d| {
        straight_with(|job, _| {
            mark(
                job,
                Zone {
                    stops: Stops::Crosscuts,
                    ..screw(16.0 - d, 100.0)
                },
            )
        })
    };
    breaks(crosscut, Rule::Fixings, "cut-at-fixing", &[]);
    // In a straight blank, touched from outside; its cuts do not care here.
    let touched = |d| {
        straight_with(|job, _| {
            let lower = box_of(0.0, -20.0, 1000.0, 200.0);
            job.boards[0].sides = sides_of(&lower, EdgeKind::Straight, EdgeKind::Raw);
            job.boards[0].outline = lower;
            mark(
                job,
                Zone {
                    margin: 0.0,
                    stops: Stops::Rips,
                    ..screw(100.0, -2.0 + d)
                },
            );
        })
    };
    for d in [0.01, 0.05] {
        let (mut job, mut plan) = touched(d);
        plan.layouts[0].cuts = None;
        job.workshop.trim_edge = 0.0;
        let found = heartside_check::check(&job, &plan);
        let causes: Vec<_> = told(&found)
            .into_iter()
            .filter(|f| f.0 == Rule::Fixings)
            .collect();
        assert_eq!(causes.len(), 1);
        assert!((causes[0].2.unwrap() - d).abs() < 1e-6);
    }
}

#[test]
fn rule_5_grain() {
    breaks_above(
        GRAIN_SLACK,
        |d| sawn_with(|_, p| first(p).turn = 3.0 + d),
        Rule::Grain,
        "grain-off",
        &rail(),
    );
    let turns = |d: f64| {
        sawn_with(|job, p| {
            job.parts[0].grain = GrainRule::Turns(vec![0.0]);
            first(p).turn = d.max(0.0);
        })
    };
    breaks_above(ANGLE_SLACK, turns, Rule::Grain, "turn-not-allowed", &rail());
}

#[test]
fn rule_6_thickness() {
    let one = |d: f64| {
        sawn_with(|job, p| {
            job.parts[0].count = 1;
            p.layouts[0].placements.pop();
            job.parts[0].thickness = 30.0 + d;
        })
    };
    breaks(one, Rule::Thickness, "too-thin", &rail());
    let cupped = |d: f64| {
        sawn_with(|job, p| {
            job.parts[0].count = 1;
            p.layouts[0].placements.pop();
            // A quarter of the cup stays in 54 of 108, and 1.6 are planed off.
            job.boards[0].warp = Warp::Measured {
                cup: (4.0 * (2.4 + d), 108.0),
                bow: (0.0, 0.0),
                twist: (0.0, 0.0, 0.0),
            };
            job.parts[0].thickness = 26.0;
        })
    };
    breaks(cupped, Rule::Thickness, "too-thin", &rail());
}

#[test]
fn rule_8_matches() {
    let run_on = |kind, x: f64, y: f64| {
        sawn_with(|job, p| {
            job.matches = vec![job::Match {
                kind,
                parts: both().to_vec(),
            }];
            (
                p.layouts[0].placements[1].at.x,
                p.layouts[0].placements[1].at.y,
            ) = (x, y);
        })
    };
    let end_to_end = |d: f64| run_on(MatchKind::ContinuousAlong, 311.0 + d.max(0.0), 20.0);
    breaks_above(0.004, end_to_end, Rule::Matches, "match-too-far", &both());
    breaks(
        |d| run_on(MatchKind::ContinuousAlong, 311.0, 20.0 + d.max(0.0)),
        Rule::Matches,
        "match-out-of-line",
        &both(),
    );
    let side_by_side = |d: f64| run_on(MatchKind::ContinuousAcross, 100.0, 75.0 + d.max(0.0));
    breaks_above(0.004, side_by_side, Rule::Matches, "match-too-far", &both());
}

#[test]
fn rule_9_cuts() {
    // Cut into the second blank, or leave it too large: what a solver keeps extra may stay on.
    breaks(
        |d| straight_with(|_, n| n[6] = crosscut(434.0 - d.max(0.0), 7, 8)),
        Rule::Cuts,
        "cut-into-part",
        &second(),
    );
    let too_large = |d: f64| straight_with(|_, n| n[6] = crosscut(434.0 + d.max(0.0), 7, 8));
    breaks_above(0.004, too_large, Rule::Cuts, "piece-too-large", &second());
    breaks(
        |d| straight_with(|job, _| job.workshop.tools[0].kerf = 3.0 + d.max(0.0)),
        Rule::Cuts,
        "wrong-kerf",
        &[],
    );
    let skim = |d: f64| {
        straight_with(|_, n| {
            n[4] = rip(197.0 + d, 9, 10);
            n.extend([CutNode::Offcut, CutNode::Waste]);
        })
    };
    breaks(skim, Rule::Cuts, "cannot-skim", &[]);
    let limit = |change: fn(&mut job::Tool, f64)| {
        move |d: f64| straight_with(|job, _| change(&mut job.workshop.tools[0], d))
    };
    breaks(
        limit(|t, d| t.max_length = 988.0 - d),
        Rule::Cuts,
        "piece-too-long",
        &[],
    );
    breaks(
        limit(|t, d| t.max_width = 200.0 - d),
        Rule::Cuts,
        "piece-too-wide",
        &[],
    );
    breaks(
        limit(|t, d| t.max_depth = 30.0 - d),
        Rule::Cuts,
        "piece-too-thick",
        &[],
    );
    breaks(
        limit(|t, d| t.min_piece = 988.0 + d),
        Rule::Cuts,
        "piece-too-small",
        &[],
    );
    breaks(
        limit(|t, d| (t.guide, t.work_moves, t.max_width) = (Guide::Along, true, 54.0 - d)),
        Rule::Cuts,
        "fence-too-far",
        &[],
    );
}

/// The straight job with a machine of a kind in place of the rip saw (0) or the cross saw (1).
fn machined(saw: usize, change: impl FnOnce(&mut job::Tool)) -> (Job, Plan) {
    straight_with(|job, _| change(&mut job.workshop.tools[saw]))
}

fn rip_fence(tool: &mut job::Tool) {
    (tool.guide, tool.work_moves) = (Guide::Along, true);
}

#[test]
fn rule_9_held_length() {
    let guided = |d: f64| {
        machined(0, |t| {
            (t.guide, t.min_piece) = (Guide::Along, 988.0 + d);
        })
    };
    breaks(guided, Rule::Cuts, "piece-too-small", &[]);
    // The last crosscut leaves 210 and 564 against its fence.
    let square = |d: f64| {
        machined(1, |t| {
            (t.guide, t.min_piece) = (Guide::Square, 564.0 + d);
        })
    };
    breaks(square, Rule::Cuts, "piece-too-small", &[]);
    // A corner cut off leaves less between fence and blade than the whole is long.
    let beside = |d: f64| {
        straight_with(|job, _| {
            rip_fence(&mut job.workshop.tools[0]);
            job.workshop.tools[0].min_piece = 900.0;
            // The straight low edge ends at x = 912, 900 from the first crosscut; from 54 up the
            // board goes on to the end.
            job.boards[0].outline = crate::fixtures::polygon(&[
                (0.0, 0.0),
                (912.0 - d, 0.0),
                (912.0 - d, 58.0),
                (1000.0, 58.0),
                (1000.0, 200.0),
                (0.0, 200.0),
            ]);
            let raw = (EdgeKind::Raw, EdgeKind::Raw);
            job.boards[0].sides = sides_of(&job.boards[0].outline, raw.0, raw.1);
            job.boards[0].sides[0].kind = EdgeKind::Straight;
            job.workshop.trim_edge = 0.0;
        })
    };
    breaks(beside, Rule::Cuts, "fence-piece-too-small", &[]);
}

#[test]
fn rule_9_the_fence_against_waste() {
    let waste = |d: f64| {
        straight_with(|job, _| {
            rip_fence(&mut job.workshop.tools[0]);
            job.workshop.tools[0].max_width = 143.0 - d;
            job.boards[0].sides = sides_of(&job.boards[0].outline, EdgeKind::Raw, EdgeKind::Raw);
            job.boards[0].sides[2].kind = EdgeKind::Straight;
            job.workshop.trim_edge = 0.0;
        })
    };
    breaks(waste, Rule::Cuts, "fence-too-far", &[]);
}

#[test]
fn rule_9_true_edge() {
    // 988 are ripped along 889.2 of straight edge, from the crosscut at 12 on; the corner beyond
    // it is knocked off.
    let short = |d: f64| {
        straight_with(|job, _| {
            rip_fence(&mut job.workshop.tools[0]);
            job.boards[0].outline = crate::fixtures::polygon(&[
                (0.0, 0.0),
                (901.2 - d, 0.0),
                (1000.0, 30.0),
                (1000.0, 200.0),
                (0.0, 200.0),
            ]);
            let raw = (EdgeKind::Raw, EdgeKind::Raw);
            job.boards[0].sides = sides_of(&job.boards[0].outline, raw.0, raw.1);
            job.boards[0].sides[0].kind = EdgeKind::Straight;
            job.workshop.trim_edge = 0.0;
        })
    };
    breaks(short, Rule::Cuts, "true-edge-too-short", &[]);
}

#[test]
fn rule_9_planer() {
    let planed = |at: f64, kerf: f64| {
        straight_with(|job, n| {
            job.workshop.tools.push(job::Tool {
                trues: true,
                work_moves: true,
                ..tool("planer", 3.0)
            });
            n[0] = CutNode::Cut {
                angle: None,
                direction: Direction::Rip,
                tool: "planer".into(),
                at,
                kerf,
                low: 9,
                high: 10,
            };
            n.extend([crosscut(10.0, 1, 2), CutNode::Waste]);
        })
    };
    breaks(
        |d| planed(197.0 - d, 3.0 + d),
        Rule::Cuts,
        "planed-too-deep",
        &[],
    );
    breaks(|d| planed(197.0 - d, 3.0), Rule::Cuts, "planer-parts", &[]);
}

#[test]
fn rule_9_twist() {
    // The rip has 988 of the board's 1000.
    let twisted = |d: f64| {
        straight_with(|job, _| {
            job.workshop.tools[0].work_moves = true;
            job.boards[0].warp = Warp::Measured {
                cup: (0.0, 0.0),
                bow: (0.0, 0.0),
                twist: ((1.5 + d) / 0.988, 1000.0, 200.0),
            };
        })
    };
    breaks(twisted, Rule::Cuts, "piece-twisted", &[]);
}

#[test]
fn rule_9_too_thick_to_saw_by_line() {
    let thick = |d: f64| sawn_with(|job, _| job.workshop.tools[2].max_depth = 30.0 - d);
    breaks(thick, Rule::Cuts, "too-thick-to-saw", &[]);
}

#[test]
fn rule_4_metal_under_the_planer() {
    // Of 30 mm 5 come off one face or the other.
    let buried = |from: f64, to: f64| {
        sawn_with(|job, _| {
            job.parts[0].fixing_ok = true;
            mark(
                job,
                Zone {
                    buried: Some((from, to)),
                    ..zone(ZoneKind::Fixing, box_of(200.0, 40.0, 204.0, 44.0))
                },
            );
        })
    };
    breaks(
        |d| buried(5.0 - d, 20.0),
        Rule::Fixings,
        "fixing-too-shallow",
        &rail(),
    );
    breaks(
        |d| buried(10.0, 25.0 + d),
        Rule::Fixings,
        "fixing-too-shallow",
        &rail(),
    );
}

#[test]
fn rule_9_a_blank_askew_by_a_hundredth_of_a_degree() {
    let (job, mut plan) = straight_job();
    first(&mut plan).turn = 0.01;
    let found = heartside_check::check(&job, &plan);
    let cuts: Vec<_> = told(&found)
        .into_iter()
        .filter(|f| f.0 == Rule::Cuts)
        .collect();
    assert_eq!(cuts.len(), 1);
    assert_eq!(cuts[0].1, "askew");
    assert!((cuts[0].2.unwrap() - 0.01).abs() < 1e-9);
}

#[test]
fn rule_10_pins() {
    let moved = |d: f64| {
        sawn_with(|job, p| {
            job.pins = vec![Pin {
                part: rail()[0].clone(),
                board: board_copy("A"),
                at: *first(p),
            }];
            first(p).y += d.max(0.0);
        })
    };
    breaks(moved, Rule::Stock, "pin-moved", &rail());
    let turned = |d: f64| {
        sawn_with(|job, p| {
            job.pins = vec![Pin {
                part: rail()[0].clone(),
                board: board_copy("A"),
                at: *first(p),
            }];
            first(p).turn += d.max(0.0);
        })
    };
    breaks_above(ANGLE_SLACK, turned, Rule::Stock, "pin-turned", &rail());
}

#[test]
fn rule_11_dimensions() {
    let wide = |d: f64| {
        sawn_with(|job, p| {
            let value = DimensionValue {
                name: "width".into(),
                value: 1500.0 + d,
                ..DimensionValue::default()
            };
            job.dimensions = vec![job::Dimension {
                value: value.clone(),
                least: 1400.0,
                most: 1500.0,
                ..job::Dimension::default()
            }];
            p.dimensions = vec![value];
        })
    };
    breaks(wide, Rule::Dimensions, "dimension-out-of-range", &[]);
}

/// The panel of three staves, changed.
fn glued_with(widths: [f64; 3], change: impl FnOnce(&mut Job)) -> (Job, Plan) {
    let (mut job, plan) = panel_job(&widths);
    change(&mut job);
    (job, plan)
}

#[test]
fn rule_8_staves_make_up_their_panel() {
    let usual = [40.0, 50.0, 40.0];
    breaks(
        |d| glued_with(usual, |job| job.panels[0].widths.1 = 50.0 - d),
        Rule::Matches,
        "stave-too-wide",
        &stave(2),
    );
    breaks(
        |d| {
            glued_with([40.0, 50.0, 40.0], |job| {
                job.panels[0].widths.0 = 30.0;
                job.panels[0].width = 130.0 + d.max(-0.3);
            })
        },
        Rule::Matches,
        "panel-too-narrow",
        &top(),
    );
    let narrow = |d| glued_with([45.0, 45.0, 40.0], |job| job.panels[0].widths.0 = 40.0 + d);
    breaks(narrow, Rule::Matches, "stave-too-narrow", &stave(3));
    breaks(
        |d| glued_with(usual, |job| job.panels[0].width = 129.7 - d),
        Rule::Matches,
        "panel-too-wide",
        &top(),
    );
    let equal = |d: f64| {
        let widths = [43.3, 43.3, 43.4 + d];
        glued_with(widths, |job| {
            job.panels[0].equal = true;
            job.panels[0].width = 130.0 + d.min(0.0);
        })
    };
    breaks(equal, Rule::Matches, "staves-not-equal", &top());
    let joint = |d: f64| {
        glued_with(usual, |job| {
            job.panels[0].joint = 3.0 + d / 2.0;
            job.panels[0].width = 124.0;
        })
    };
    breaks(joint, Rule::Matches, "panel-too-narrow", &top());
}

#[test]
fn rule_8_pieces_make_up_their_stave() {
    let joined = |change: &dyn Fn(&mut Job)| {
        let (mut job, plan) = joined_job();
        change(&mut job);
        (job, plan)
    };
    breaks(
        |d| joined(&|job| job.panels[0].ends.least = 85.0 + d),
        Rule::Matches,
        "piece-too-short",
        &piece(1, 2),
    );
    let both = [piece(1, 1)[0].clone(), piece(2, 1)[0].clone()];
    breaks(
        |d| joined(&|job| job.panels[0].ends.apart = 34.0 + d),
        Rule::Matches,
        "ends-near",
        &both,
    );
    let (job, mut plan) = joined_job();
    plan.layouts[0].placements[1].length = Some(85.3);
    let cause = "stave-told-other";
    assert_only(&job, &plan, Rule::Matches, cause, Some(0.3), &piece(1, 2));
}

#[test]
fn rule_8_staves_are_those_of_the_job() {
    let usual = [40.0, 50.0, 40.0];
    let short = |d: f64| {
        glued_with(usual, |job| {
            job.parts[1].outline = box_of(0.0, 0.0, 200.0 - d, 50.0);
        })
    };
    breaks(short, Rule::Matches, "stave-too-short", &stave(2));
    let thin = |d: f64| {
        glued_with(usual, |job| {
            job.panels[0].flatten = 0.5;
            job.parts.iter_mut().for_each(|p| p.thickness = 26.0);
            job.parts[2].thickness = 26.0 - d;
        })
    };
    breaks(thin, Rule::Matches, "stave-too-thin", &stave(3));
    let slack = heartside_geometry::Tolerance::JOB.slack;
    for d in [0.01, -0.01, 0.9 * slack] {
        let (job, mut plan) = panel_job(&usual);
        plan.layouts[0].placements[0].width = Some(40.0 + d);
        if d.abs() < slack {
            assert_good(&job, &plan);
        } else {
            let cause = "stave-told-other";
            assert_only(&job, &plan, Rule::Matches, cause, Some(d.abs()), &stave(1));
        }
        let (job, mut plan) = panel_job(&[40.0, 50.0, 39.95]);
        plan.panels[0].staves[2].width = 40.0;
        let mut job = job;
        job.panels[0].widths.0 = 30.0;
        let cause = "stave-not-of-job";
        assert_only_left(&job, &plan, cause, 0.05);
    }
}

/// Among what is found is this about the third stave.
#[track_caller]
fn assert_only_left(job: &Job, plan: &Plan, cause: &str, by: f64) {
    let found = heartside_check::check(job, plan);
    let mut found = found.iter().filter(|f| f.cause == cause);
    let told = found.next().and_then(amount);
    assert!(
        told.is_some_and(|told| (told - by).abs() < 1e-9),
        "{told:?}"
    );
    assert!(found.next().is_none());
}
