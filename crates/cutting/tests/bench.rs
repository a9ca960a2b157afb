//! The steps at the bench, on the invented sample job and on broken plans.

#![allow(clippy::unwrap_used)]

use crate::sample;

use std::collections::BTreeSet;

use heartside_cutting::{
    Action, Becomes, Step, Table, bare_board_list, bare_cut_list, bare_offcut_list, bare_part_list,
    bare_shopping_list, chalk_name, cut_list, offcut_list, part_list, set_up_count, set_ups,
    shopping_list, steps, totals,
};
use heartside_geometry::{Bounds, Point, Region};
use heartside_timber::job::{FixingMaterial, Job, Warp, Zone, ZoneKind};
use heartside_timber::length::{DisplayUnits, InchFraction};
use heartside_timber::plan::{CutNode, Direction, Plan, Unplaced, UnplacedReason};
use heartside_timber::staves::stave_id;
use proptest::prelude::*;

fn sample_steps() -> (Job, Plan, Vec<Step>) {
    let (job, plan) = (sample::job(), sample::plan());
    let steps = steps(&job, &plan);
    (job, plan, steps)
}

fn codes(step: &Step) -> Vec<&str> {
    step.cautions.iter().map(|c| c.code.as_str()).collect()
}

#[test]
fn every_cut_comes_once_and_after_the_cut_that_gave_its_workpiece() {
    let (_, plan, steps) = sample_steps();
    let numbers: Vec<u32> = steps.iter().map(|s| s.number).collect();
    assert_eq!(numbers, (1..=steps.len() as u32).collect::<Vec<_>>());
    for (place, layout) in plan.layouts.iter().enumerate() {
        let Some(tree) = &layout.cuts else { continue };
        let wanted: BTreeSet<usize> = (0..tree.nodes.len())
            .filter(|n| matches!(tree.nodes[*n], CutNode::Cut { .. }))
            .collect();
        let made: Vec<usize> = steps
            .iter()
            .filter(|s| s.layout == place)
            .filter_map(|s| s.node)
            .collect();
        assert_eq!(made.len(), wanted.len());
        assert_eq!(made.into_iter().collect::<BTreeSet<_>>(), wanted);
    }
    let mut there: BTreeSet<String> = ["board A", "board B", "board C"].map(String::from).into();
    for step in &steps {
        assert!(
            there.contains(&step.workpiece),
            "{} is cut before it is there",
            step.workpiece
        );
        if step.action != Action::SawByLine {
            there.remove(&step.workpiece);
        }
        there.extend(step.yields.iter().map(|y| y.name.clone()));
    }
}

#[test]
fn every_placed_part_comes_off_once_with_the_size_of_its_blank() {
    let (_, plan, steps) = sample_steps();
    let came: Vec<_> = steps
        .iter()
        .flat_map(|s| &s.yields)
        .filter_map(|y| match &y.becomes {
            Becomes::Blank { part } => Some((part.clone(), y.size.clone())),
            _ => None,
        })
        .collect();
    assert_eq!(came.len(), plan.placed_count());
    let size = |id: &str| {
        came.iter()
            .find(|(p, _)| p.part == id)
            .map(|(_, s)| s.as_str())
    };
    assert_eq!(size("stave"), Some("1080 × 88"));
    assert_eq!(size("apron-left"), Some("410 × 66"));
    assert_eq!(size("leg"), Some("748 × 62"));
}

#[test]
fn settings_name_side_distance_and_where_the_kerf_falls() {
    let (_, _, steps) = sample_steps();
    assert_eq!(
        steps[0].title,
        "Crosscut board A, 1100 mm from its start end"
    );
    let chalk = &steps[4];
    assert_eq!(
        chalk.title,
        "Trim piece A5, 88 mm to the right of the chalk line of board A"
    );
    assert!(
        !chalk.setting.as_ref().unwrap().by_fence,
        "a raw edge is never run along the fence"
    );
    let rip = steps.iter().find(|s| s.workpiece == "board B").unwrap();
    let setting = rip.setting.as_ref().unwrap();
    assert_eq!(setting.words, "106 mm from its right edge");
    assert_eq!(setting.kerf_side, "towards the left edge");
    assert!(setting.by_fence);
    assert_eq!(setting.distance, 106.0);
    let trim = steps
        .iter()
        .find(|s| s.action == Action::Trim && s.board.board == "B")
        .unwrap();
    assert_eq!(
        trim.setting.as_ref().unwrap().words,
        "20 mm from its start end",
        "to the kept side of the kerf"
    );
}

#[test]
fn the_marked_line_lies_on_the_kept_side_of_the_kerf() {
    let (_, plan, steps) = sample_steps();
    for step in steps.iter().filter(|s| s.placement.is_none()) {
        let tree = plan.layouts[step.layout].cuts.as_ref().unwrap();
        let CutNode::Cut {
            direction,
            at,
            kerf,
            low,
            high,
            ..
        } = tree.nodes[step.node.unwrap()]
        else {
            panic!()
        };
        let lies = if direction == Direction::Rip {
            step.line[0].y
        } else {
            step.line[0].x
        };
        let waste = |n: usize| matches!(tree.nodes[n], CutNode::Waste);
        if waste(high) && !waste(low) {
            assert_eq!(lies, at);
        } else if waste(low) && !waste(high) {
            assert_eq!(lies, at + kerf);
        } else {
            assert!(lies == at || lies == at + kerf);
        }
    }
}

#[test]
fn equal_settings_follow_each_other() {
    let (job, plan, steps) = sample_steps();
    let sums = totals(&job, &plan, &steps);
    assert_eq!(sums.cuts, steps.len());
    // Two staves of 88 and a third after them, two stops of 24: three changes of fence saved.
    assert!(
        steps
            .iter()
            .filter(|s| s.same_setting && s.action != Action::SawByLine)
            .count()
            >= 3
    );
    assert_eq!(
        sums.set_ups,
        steps.iter().filter(|s| !s.same_setting).count()
    );
    assert!((sums.sawn_mm - steps.iter().map(|s| s.sawn_length).sum::<f64>()).abs() < 1e-9);
}

#[test]
fn cautions_stand_where_they_belong_and_nowhere_else() {
    let (_, _, steps) = sample_steps();
    for step in steps.iter().filter(|s| s.placement.is_none()) {
        let longest = step
            .workpiece_size
            .split(" × ")
            .map(|v| v.parse::<f64>().unwrap())
            .fold(0.0, f64::max);
        assert_eq!(
            codes(step).contains(&"short-piece"),
            longest < 300.0,
            "cut {}",
            step.number
        );
        assert_eq!(
            codes(step).contains(&"heavy"),
            step.workpiece_kg > Some(9.0),
            "cut {}",
            step.number
        );
    }
    let raw: Vec<u32> = steps
        .iter()
        .filter(|s| codes(s).contains(&"raw-edge"))
        .map(|s| s.number)
        .collect();
    assert_eq!(raw, vec![5, 6]);
    // Once a board.
    assert_eq!(
        steps.iter().filter(|s| codes(s).contains(&"dust")).count(),
        3
    );
    assert!(
        steps
            .iter()
            .flat_map(|s| &s.cautions)
            .all(|c| !c.text.is_empty() && !c.source.is_empty())
    );
}

#[test]
fn metal_near_a_kerf_or_in_a_blank_is_named() {
    let (mut job, plan) = (sample::job(), sample::plan());
    let screw = |x: f64, y: f64| {
        Region::rectangle(Bounds {
            min: Point { x, y },
            max: Point {
                x: x + 4.0,
                y: y + 4.0,
            },
        })
        .unwrap()
    };
    let template = job.boards[1].zones[0].clone();
    let fixing = |x: f64, y: f64| Zone {
        shape: screw(x, y),
        material: FixingMaterial::Metal,
        buried: None,
        drawn_before_planing: false,
        kind: ZoneKind::Fixing,
        margin: 0.0,
        ..template.clone()
    };
    // Ten above the first rip of board B (106 to 109), and one in the drawer front.
    job.boards[1].zones = vec![fixing(1800.0, 119.0), fixing(300.0, 50.0)];
    let steps = steps(&job, &plan);
    let rip = steps.iter().find(|s| s.workpiece == "board B").unwrap();
    let near = rip
        .cautions
        .iter()
        .find(|c| c.code == "buried-near-cut")
        .unwrap();
    assert!(near.text.contains("10 mm from the kerf"), "{}", near.text);
    let front = steps
        .iter()
        .find(|s| s.yields.iter().any(|y| y.name == "Drawer front"))
        .unwrap();
    assert!(codes(front).contains(&"buried-in-blank"));
    assert_eq!(
        steps
            .iter()
            .filter(|s| codes(s).contains(&"buried-near-cut"))
            .count(),
        1
    );
}

/// Weight of a piece: white ash of 672 kg/m³ (Wood Handbook, G = 0.60 at 12 %), 1000 x 200 x 25 mm, is 3.360 kg.
#[test]
fn weights_agree_with_the_handbook() {
    let (mut job, mut plan) = (sample::job(), sample::plan());
    job.boards[1].outline = Region::rectangle(Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: 1000.0,
            y: 200.0,
        },
    })
    .unwrap();
    job.boards[1].thickness = 25.0;
    job.boards[1].density = 672.0;
    job.boards[1].warp = Warp::Unknown;
    plan.layouts.swap_remove(2);
    plan.layouts.remove(0);
    let steps = steps(&job, &plan);
    assert!((steps[0].workpiece_kg.unwrap() - 3.36).abs() < 1e-9);
}

#[test]
fn sentences_speak_the_jobs_units() {
    let (mut job, plan) = (sample::job(), sample::plan());
    job.units = DisplayUnits::inches(InchFraction::Sixteenths);
    let steps = steps(&job, &plan);
    assert_eq!(
        steps[0].title,
        "Crosscut board A, 43 5/16\" from its start end"
    );
    assert!(
        steps
            .iter()
            .flat_map(|s| &s.text)
            .all(|t| !t.contains(" mm")),
        "no millimetres in an imperial job"
    );
}

#[test]
fn a_line_askew_is_marked_at_both_ends() {
    let (job, mut plan) = (sample::job(), sample::plan());
    plan.layouts[0].frame.angle = 0.5;
    let steps = steps(&job, &plan);
    let rip = steps
        .iter()
        .find(|s| s.board.board == "A" && s.title.contains("chalk line"))
        .unwrap();
    let setting = rip.setting.as_ref().unwrap();
    let far = setting.distance_far.unwrap();
    // Over the length of the cut the line climbs by its sine.
    let along = rip.line[0].distance(rip.line[1]);
    assert!(((far - setting.distance).abs() - along * 0.008_726_5).abs() < 0.01);
    assert!(
        setting.shown.contains("towards the start end")
            && setting.shown.contains("towards the far end")
    );
}

#[test]
fn a_sawn_board_is_broken_down_before_anything_is_sawn_by_line() {
    let (job, plan) = (sample::job(), sample::broken_down());
    let all = steps(&job, &plan);
    let on_c: Vec<&Step> = all.iter().filter(|s| s.board.board == "C").collect();
    let done: Vec<(Action, &str)> = on_c
        .iter()
        .map(|s| (s.action, s.workpiece.as_str()))
        .collect();
    assert_eq!(
        done,
        [
            (Action::Crosscut, "board C"),
            (Action::Trim, "piece C2"),
            (Action::SawByLine, "piece C1"),
            (Action::SawByLine, "piece C1"),
            (Action::SawByLine, "piece C3"),
            (Action::SawByLine, "piece C3"),
            (Action::SawByLine, "piece C3"),
        ]
    );
    assert_eq!(on_c[0].title, "Crosscut board C, 850 mm from its start end");
    assert!(
        on_c[0].text.iter().any(|t| t.starts_with("Draw all parts")),
        "measures from the ends hold while the board is whole"
    );
    let first = &on_c[0].yields[0];
    let legs = [1, 2].map(|copy| heartside_timber::document::PartCopy {
        part: "leg".into(),
        copy,
    });
    assert_eq!(
        first.becomes,
        Becomes::Region {
            parts: legs.to_vec()
        }
    );
    assert!(
        first.words.starts_with("piece C1 (850 × "),
        "{}",
        first.words
    );
    assert!(
        first.words.ends_with(", for Leg 1 and 2)"),
        "{}",
        first.words
    );
    assert_eq!(on_c[1].title, "Trim piece C2, 547 mm from its start end");
    assert!(on_c[1].yields[0].words.ends_with(", for Bracket 1 to 3)"));
    // On the piece, not on the board that is no more: it starts at 853.
    assert!(
        on_c[4].text[1].starts_with("It lies 104 to ")
            && on_c[4].text[1].contains(" from the start end of piece C3, "),
        "{}",
        on_c[4].text[1]
    );
    assert!(on_c[2].text[1].contains(" from the start end, "));
    let rows = cut_list(&job, &all).rows;
    let of_c: Vec<&Vec<String>> = rows.iter().filter(|r| r[1] == "C").collect();
    assert_eq!(of_c[0][6], "piece C1 (Leg 1 and 2), piece C2");
    assert_eq!(of_c[1][6], "piece C3 (Bracket 1 to 3), waste");
    assert_eq!(
        (of_c[2][3].as_str(), of_c[2][6].as_str()),
        ("piece C1", "Leg 1")
    );
}

#[test]
fn waste_is_never_sawn_apart() {
    let (job, mut plan) = (sample::job(), sample::plan());
    let (_, _, before) = sample_steps();
    let tree = plan.layouts[1].cuts.as_mut().unwrap();
    // The waste off the start end, cut into three pieces of waste.
    let place = tree
        .nodes
        .iter()
        .position(|n| matches!(n, CutNode::Waste))
        .unwrap();
    let end = tree.nodes.len();
    tree.nodes.extend([CutNode::Waste, CutNode::Waste]);
    tree.nodes[place] = CutNode::Cut {
        angle: None,
        direction: Direction::Rip,
        tool: "table saw".into(),
        at: 40.0,
        kerf: 3.0,
        low: end,
        high: end + 1,
    };
    assert_eq!(steps(&job, &plan), before.into_iter().collect::<Vec<_>>());
}

#[test]
fn lists_hold_everything() {
    let (job, plan, steps) = sample_steps();
    assert_eq!(cut_list(&job, &steps).rows.len(), steps.len());
    assert_eq!(part_list(&job, &plan, None).rows.len(), plan.placed_count());
    assert_eq!(part_list(&job, &plan, Some(1)).rows.len(), 4);
    assert_eq!(offcut_list(&job, &steps).rows.len(), 2);
    let shopping = shopping_list(&job, &plan);
    assert_eq!(
        shopping.rows,
        vec![vec![
            "Shelf",
            "1",
            "900 × 240 × 22 mm",
            "no board that is long enough is wide enough",
            "920 × 248 × 27 mm"
        ]]
    );
    for table in [
        cut_list(&job, &steps),
        part_list(&job, &plan, None),
        shopping,
    ] {
        assert!(table.rows.iter().all(|r| r.len() == table.columns.len()));
    }
}

/// All lists for spreadsheets.
fn bare_lists(job: &Job, plan: &Plan, steps: &[Step]) -> [Table; 5] {
    [
        bare_board_list(job, plan),
        bare_part_list(job, plan),
        bare_cut_list(job, plan, steps),
        bare_offcut_list(job, plan, steps),
        bare_shopping_list(job, plan),
    ]
}

/// The numbers of a column; none where a cell is empty.
fn column(table: &Table, heading: &str) -> Vec<Option<f64>> {
    let place = table.columns.iter().position(|c| c.title == heading);
    let place = place.unwrap_or_else(|| panic!("{heading} is not in {:?}", table.columns));
    let cells = table.rows.iter().map(|row| row[place].as_str());
    cells.map(|cell| cell.parse().ok()).collect()
}

#[test]
fn bare_lists_hold_numbers_that_agree_with_the_words() {
    let (mut job, plan, steps) = sample_steps();
    let metric = bare_lists(&job, &plan, &steps);
    let [boards, parts, cuts, offcuts, shopping] = &metric;
    assert_eq!(boards.rows.len(), job.boards.len());
    assert_eq!(parts.rows.len(), plan.placed_count());
    assert_eq!(shopping.rows[0][..5], ["Shelf", "1", "900", "240", "22"]);
    for table in &metric {
        for row in &table.rows {
            assert_eq!(row.len(), table.columns.len());
            for (column, cell) in table.columns.iter().zip(row) {
                let is_sound = !column.numeric || cell.is_empty() || cell.parse::<f64>().is_ok();
                assert!(is_sound, "{}: {cell}", column.title);
            }
        }
    }
    // As tape reads them, pieces are as large as the steps say.
    let sizes = |table: &Table, length: &str, width: &str| -> Vec<String> {
        let both = column(table, length).into_iter().zip(column(table, width));
        let words = both.map(|(l, w)| Some(format!("{} × {}", l?.round(), w?.round())));
        words.map(Option::unwrap_or_default).collect()
    };
    let told: Vec<String> = steps
        .iter()
        .map(|s| {
            s.node
                .map_or_else(String::new, |_| s.workpiece_size.clone())
        })
        .collect();
    assert_eq!(sizes(cuts, "its length (mm)", "its width (mm)"), told);
    let told: Vec<&str> = steps
        .iter()
        .flat_map(|s| &s.yields)
        .filter(|y| y.becomes == Becomes::Offcut)
        .map(|y| y.size.as_str())
        .collect();
    assert_eq!(sizes(offcuts, "length (mm)", "width (mm)"), told);
    for (cell, step) in column(cuts, "set to (mm)").iter().zip(&steps) {
        let set = step.setting.as_ref().map(|s| s.distance);
        assert_eq!(cell.is_some(), set.is_some());
        assert!(
            cell.zip(set)
                .is_none_or(|(a, b)| (a - b).abs() <= 0.005 + 1e-9)
        );
    }
    // In inches all lengths are the same wood.
    job.units = DisplayUnits::inches(InchFraction::Sixteenths);
    for (mm, inches) in metric.iter().zip(&bare_lists(&job, &plan, &steps)) {
        for length in mm
            .columns
            .iter()
            .filter_map(|c| c.title.strip_suffix(" (mm)"))
        {
            let both = column(mm, &format!("{length} (mm)"));
            let both = both
                .into_iter()
                .zip(column(inches, &format!("{length} (in)")));
            for (mm, inch) in both {
                assert_eq!(mm.is_some(), inch.is_some(), "{length}");
                let gap = mm
                    .zip(inch)
                    .map_or(0.0, |(mm, inch)| (mm - 25.4 * inch).abs());
                assert!(gap <= 0.007, "{length}: {mm:?} {inch:?}");
            }
        }
    }
}

#[test]
fn staves_of_one_panel_wait_in_one_row() {
    let (job, mut plan, _) = sample_steps();
    let like = plan.unplaced[0].clone();
    let stave = |copy, number, width| Unplaced {
        part: stave_id(&like.part, copy, number),
        copies: vec![1],
        reason: UnplacedReason::Width,
        least_board: Some([920.0, width, 27.0]),
        longest: None,
    };
    let (narrow, wide) = (stave(1, 1, 90.0), stave(1, 4, 120.0));
    let too_long = Unplaced {
        reason: UnplacedReason::Length,
        ..stave(1, 3, 100.0)
    };
    plan.unplaced = vec![wide, too_long, narrow, stave(1, 2, 100.0)];
    let rows = shopping_list(&job, &plan).rows;
    let told: Vec<[&str; 3]> = rows.iter().map(|r| [&*r[0], &*r[1], &*r[4]]).collect();
    assert_eq!(
        told,
        [
            ["Shelf, staves 1, 2 and 4", "3", "920 × 90 × 27 mm"],
            ["Shelf, stave 3", "1", "920 × 100 × 27 mm"],
        ]
    );
}

fn any_node() -> impl Strategy<Value = CutNode> {
    prop_oneof![
        (
            any::<bool>(),
            -500.0..3000.0_f64,
            0.0..10.0_f64,
            0usize..12,
            0usize..12
        )
            .prop_map(|(rip, at, kerf, low, high)| {
                let direction = if rip {
                    Direction::Rip
                } else {
                    Direction::Crosscut
                };
                CutNode::Cut {
                    angle: None,
                    direction,
                    tool: if rip {
                        "table saw".into()
                    } else {
                        "gone".into()
                    },
                    at,
                    kerf,
                    low,
                    high,
                }
            }),
        (0usize..9).prop_map(|placement| CutNode::Blank { placement }),
        proptest::collection::vec(0usize..9, 0..3)
            .prop_map(|placements| CutNode::Region { placements }),
        Just(CutNode::Offcut),
        Just(CutNode::Waste),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// A tree out of a broken file: cycles, nodes reached twice, names of nothing.
    #[test]
    fn broken_trees_end_and_never_panic(nodes in proptest::collection::vec(any_node(), 0..12), angle in -400.0..400.0_f64) {
        let (job, mut plan) = (sample::job(), sample::plan());
        plan.layouts[0].cuts = Some(heartside_timber::plan::CutTree { nodes });
        plan.layouts[0].frame.angle = angle;
        let steps = steps(&job, &plan);
        prop_assert!(steps.len() < 100);
        let _ = cut_list(&job, &steps);
        let _ = totals(&job, &plan, &steps);
    }
}

#[test]
fn every_cut_stands_under_one_heading_with_its_tool_and_setting() {
    let (job, _, steps) = sample_steps();
    let found = set_ups(&job, &steps);
    let places: Vec<usize> = found.iter().flat_map(|s| s.steps.clone()).collect();
    assert_eq!(places, (0..steps.len()).collect::<Vec<_>>());
    for set_up in &found {
        let own = &steps[set_up.steps.clone()];
        assert!(
            own.iter().all(|s| s.tool == own[0].tool),
            "{}",
            set_up.heading
        );
        for step in own {
            let Some(setting) = &step.setting else {
                assert!(set_up.heading.ends_with(", by line"), "{}", set_up.heading);
                continue;
            };
            // Where the heading has no measure the line has it.
            if setting.by_fence || setting.by_stop {
                assert!(
                    set_up.heading.contains(&setting.shown),
                    "{}",
                    set_up.heading
                );
                assert!(
                    !step.brief.contains(char::is_numeric)
                        || step.brief.contains(chalk_name(&step.workpiece))
                );
            } else if step.action != Action::TrueEdge {
                assert!(set_up.heading.ends_with(", to marks"), "{}", set_up.heading);
                assert!(
                    step.brief.contains(setting.shown.trim_end_matches(" mm"))
                        || setting.distance_far.is_some()
                        || step.brief.contains("chalk line"),
                    "{}",
                    step.brief
                );
            }
            assert!(
                step.brief.split_whitespace().count() <= 14,
                "{}",
                step.brief
            );
        }
    }
    assert!(found.len() <= set_up_count(&steps));
}

#[test]
fn waste_gives_the_tenths_and_blanks_keep_theirs() {
    let (job, mut plan) = (sample::job(), sample::plan());
    for layout in &mut plan.layouts {
        for node in layout.cuts.iter_mut().flat_map(|t| &mut t.nodes) {
            if let CutNode::Cut { at, .. } = node {
                *at += 0.3;
            }
        }
    }
    let mut rounded = 0;
    for step in steps(&job, &plan) {
        let Some(setting) = &step.setting else {
            continue;
        };
        let off = (setting.scale - setting.distance).abs();
        assert!(off < 1.0, "{}", step.title);
        let to_a_blank = step
            .yields
            .iter()
            .any(|y| matches!(y.becomes, Becomes::Blank { .. }));
        let waste = step.yields.iter().any(|y| y.becomes == Becomes::Waste);
        if to_a_blank || !waste && step.action != Action::Trim {
            assert_eq!(off, 0.0, "{}", step.title);
        }
        rounded += usize::from(off > 0.0);
    }
    assert!(rounded > 0, "nothing was rounded: this test sees nothing");
}

#[test]
fn weights_are_told_above_half_of_what_one_lifts() {
    let (mut job, plan) = (sample::job(), sample::plan());
    for limit in [4.0, 9.0, 400.0] {
        job.workshop.max_lift_kg = limit;
        for step in steps(&job, &plan).iter().filter(|s| s.setting.is_some()) {
            let told = step.text[0].contains("weighs");
            assert_eq!(
                told,
                step.workpiece_kg.unwrap() > limit / 2.0,
                "{}",
                step.text[0]
            );
            for yielded in &step.yields {
                let heavy = yielded.weight_kg.is_some_and(|kg| kg > limit / 2.0);
                let told = yielded.words.contains(" kg");
                assert_eq!(
                    told,
                    heavy && yielded.becomes != Becomes::Waste,
                    "{}",
                    yielded.words
                );
            }
        }
    }
}

#[test]
fn what_endangers_a_hand_or_a_blade_is_grave() {
    let (_, _, steps) = sample_steps();
    let grave = |code: &str| {
        let mut all = steps.iter().flat_map(|s| &s.cautions);
        all.find(|c| c.code == code).map(|c| c.is_grave())
    };
    assert_eq!(grave("raw-edge"), Some(true));
    assert_eq!(grave("short-piece"), Some(true));
    assert_eq!(grave("dust"), Some(false));
}

#[test]
fn a_cut_that_turns_its_piece_is_measured_from_its_edge_at_both_ends() {
    let document = heartside_testkit::askew_apart(2, 1);
    let job = heartside_timber::prepare(&document).job;
    let all = steps(&job, document.plan.as_ref().unwrap());
    let step = all.iter().find(|s| s.workpiece == "piece A1").unwrap();
    assert_eq!(
        step.title,
        "Crosscut piece A1, from 248.2 mm at the right edge to 272.9 mm at the left edge, measured from its far end"
    );
    assert_eq!(
        step.brief,
        "Crosscut A1, 248.2 at right edge to 272.9 at left edge, from far end"
    );
    let setting = step.setting.as_ref().unwrap();
    assert!(!setting.by_fence && !setting.by_stop);
    assert!((setting.distance - 248.2).abs() < 0.05);
    assert!((setting.distance_far.unwrap() - 272.9).abs() < 0.05);
}
