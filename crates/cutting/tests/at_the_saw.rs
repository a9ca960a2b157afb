//! What a maker is told at the saw: settings, cautions, weights, offcuts. Each test breaks one
//! thing on a small board and looks for exactly what must then be said.

#![allow(clippy::unwrap_used)]

use crate::sample;

use std::collections::BTreeSet;

use heartside_cutting::{Action, Caution, Step, cut_list, offcut_list, steps, totals};
use heartside_geometry::{Bounds, Point, Region};
use heartside_timber::document::{BoardCopy, EdgeKind};
use heartside_timber::job::{
    FixingMaterial, Guide, Job, SideState, Surface, Tool, Warp, Zone, ZoneKind,
};
use heartside_timber::plan::{CutNode, CutTree, Direction, Layout, Placement, Plan, Way};
use proptest::prelude::*;

const TABLE: &str = "table saw";
const MITRE: &str = "mitre saw";
const GUIDED: &str = "guided saw";
const BAND: &str = "band saw";
const PLANER: &str = "planer";

fn tools() -> Vec<Tool> {
    let saw = |name: &str, guide: Guide, work_moves: bool| Tool {
        name: name.into(),
        rips: guide != Guide::Square,
        crosscuts: guide != Guide::Along || !work_moves,
        kerf: 3.0,
        guide,
        work_moves,
        leaves_true_edge: guide != Guide::None,
        ..Tool::default()
    };
    vec![
        saw(TABLE, Guide::Along, true),
        saw(MITRE, Guide::Square, false),
        saw(GUIDED, Guide::Along, false),
        saw(BAND, Guide::None, true),
        Tool {
            trues: true,
            rips: false,
            crosscuts: false,
            kerf: 1.0,
            leaves_true_edge: true,
            ..saw(PLANER, Guide::Along, true)
        },
    ]
}

fn rectangle(x: f64, y: f64, length: f64, width: f64) -> Region {
    Region::rectangle(Bounds {
        min: Point { x, y },
        max: Point {
            x: x + length,
            y: y + width,
        },
    })
    .unwrap()
}

/// A flat board of white ash, its edges (right, far end, left, start end) straight as told.
fn job(length: f64, width: f64, straight: [bool; 4]) -> Job {
    let mut job = sample::job();
    job.workshop.tools = tools();
    job.workshop.max_lift_kg = 25.0;
    let board = &mut job.boards[0];
    board.id = "A".into();
    board.species = "white ash".into();
    board.density = 672.0;
    board.outline = rectangle(0.0, 0.0, length, width);
    board.sides = straight
        .into_iter()
        .zip([false, true, false, true])
        .map(|(straight, is_end)| SideState {
            kind: if straight {
                EdgeKind::Straight
            } else {
                EdgeKind::Raw
            },
            is_end,
        })
        .collect();
    board.thickness = 25.0;
    board.surface = Surface::Planed;
    board.warp = Warp::Flat;
    board.zones.clear();
    job.boards.truncate(1);
    job
}

fn cut(direction: Direction, tool: &str, at: f64, low: usize, high: usize) -> CutNode {
    CutNode::Cut {
        direction,
        tool: tool.into(),
        at,
        kerf: if tool == PLANER { 1.0 } else { 3.0 },
        low,
        high,
        angle: None,
    }
}

/// A plan of the one board: the nodes, and a placement of each copy of "stave" they name.
fn plan(nodes: Vec<CutNode>) -> Plan {
    let placements = (1..=3)
        .map(|copy| Placement {
            part: "stave".into(),
            copy,
            ..Placement::default()
        })
        .collect();
    Plan {
        layouts: vec![Layout {
            board: BoardCopy {
                board: "A".into(),
                copy: 1,
            },
            way: Way::Straight,
            placements,
            cuts: Some(CutTree { nodes }),
            ..layout()
        }],
        ..Plan::default()
    }
}

/// Whatever else a layout has, as the sample has it.
fn layout() -> Layout {
    sample::plan().layouts.swap_remove(0)
}

const KEPT: CutNode = CutNode::Offcut;
const WASTE: CutNode = CutNode::Waste;
const ALL: [bool; 4] = [true; 4];
const RAW: [bool; 4] = [false; 4];

fn said<'a>(step: &'a Step, code: &str) -> Option<&'a Caution> {
    step.cautions.iter().find(|c| c.code == code)
}

fn codes(steps: &[Step]) -> Vec<&str> {
    let all = steps.iter().flat_map(|s| &s.cautions);
    all.map(|c| c.code.as_str()).collect()
}

#[test]
fn a_fence_is_set_to_what_lies_between_it_and_the_blade() {
    // The right edge is the only true one, and the waste lies on it.
    let job = job(900.0, 100.0, [true, false, false, false]);
    let cut_tree = plan(vec![cut(Direction::Rip, TABLE, 20.0, 1, 2), WASTE, KEPT]);
    let all = steps(&job, &cut_tree);
    let setting = all[0].setting.as_ref().unwrap();
    assert!(setting.by_fence);
    assert_eq!(setting.distance, 20.0, "the kept side is not a kerf short");
    assert_eq!(setting.kept_from, Some(23.0));
    assert!(all[0].title.ends_with("23 mm from its right edge"));
    assert!(
        all[0].text[1].starts_with("Set the fence to 20 mm, its right edge against it"),
        "{}",
        all[0].text[1]
    );
    assert!(all[0].text[2].contains("a kerf further on, 23 mm from its right edge"));
    let row = &cut_list(&job, &all).rows[0];
    assert_eq!(
        row[4],
        "fence 20 mm, its right edge against it, waste between"
    );
    // With the kept piece between, the fence is set to its width.
    let kept = plan(vec![cut(Direction::Rip, TABLE, 20.0, 1, 2), KEPT, WASTE]);
    let setting = steps(&job, &kept)[0].setting.clone().unwrap();
    assert_eq!((setting.distance, setting.kept_from), (20.0, None));
}

#[test]
fn a_fence_goes_no_further_from_the_blade_than_it_can() {
    let mut job = job(900.0, 700.0, ALL);
    job.workshop.tools[0].max_width = 300.0;
    // The kept piece is too wide for the fence: the waste runs along it.
    let tree = plan(vec![cut(Direction::Rip, TABLE, 500.0, 1, 2), KEPT, WASTE]);
    let setting = steps(&job, &tree)[0].setting.clone().unwrap();
    assert_eq!(
        (setting.distance, setting.from.as_str()),
        (197.0, "its left edge")
    );
    assert_eq!(setting.kept_from, Some(200.0));
}

#[test]
fn the_fence_is_as_before_only_at_one_real_setting() {
    let job = job(900.0, 300.0, [true, false, false, false]);
    // 50 of waste, then a strip of 50 kept: one setting. Then 53, as the kept side of the first.
    let tree = plan(vec![
        cut(Direction::Rip, TABLE, 50.0, 1, 2),
        WASTE,
        cut(Direction::Rip, TABLE, 103.0, 3, 4),
        KEPT,
        cut(Direction::Rip, TABLE, 159.0, 5, 6),
        KEPT,
        KEPT,
    ]);
    let all = steps(&job, &tree);
    let same: Vec<bool> = all.iter().map(|s| s.same_setting).collect();
    assert_eq!(same, [false, true, false]);
    assert!(all[1].text[1].starts_with("Fence as before, 50 mm"));
    assert!(all[2].text[1].starts_with("Set the fence to 53 mm"));
}

#[test]
fn a_stop_serves_cuts_of_one_length_across_boards() {
    let mut job = job(900.0, 100.0, ALL);
    let mut second = job.boards[0].clone();
    second.id = "B".into();
    job.boards.push(second);
    let tree = vec![
        cut(Direction::Crosscut, MITRE, 400.0, 1, 2),
        KEPT,
        cut(Direction::Rip, TABLE, 60.0, 3, 4),
        KEPT,
        KEPT,
    ];
    let mut plan = plan(tree);
    let mut other = plan.layouts[0].clone();
    other.board.board = "B".into();
    plan.layouts.push(other);
    let all = steps(&job, &plan);
    let told: Vec<(&str, Action, bool)> = all
        .iter()
        .map(|s| (s.board.board.as_str(), s.action, s.same_setting))
        .collect();
    assert_eq!(
        told,
        [
            ("A", Action::Crosscut, false),
            ("B", Action::Crosscut, true),
            ("B", Action::Rip, false),
            ("A", Action::Rip, true),
        ]
    );
    assert!(all[0].text[1].starts_with("Set a stop 400 mm from the blade, its start end"));
    assert_eq!(cut_list(&job, &all).title, "4 cuts, 2 set-ups");
    // For one cut alone a mark is as quick.
    let mut alone = plan.clone();
    alone.layouts.truncate(1);
    let alone = steps(&job, &alone);
    assert!(!alone[0].setting.as_ref().unwrap().by_stop);
    assert!(alone[0].text[1].starts_with("Mark the line; "));
    assert_eq!(totals(&job, &plan, &all).set_ups, 2);
}

#[test]
fn a_band_sawn_edge_runs_along_no_fence() {
    let job = job(900.0, 200.0, RAW);
    let after = |tool| {
        plan(vec![
            cut(Direction::Rip, tool, 20.0, 1, 2),
            WASTE,
            cut(Direction::Rip, TABLE, 100.0, 3, 4),
            KEPT,
            KEPT,
        ])
    };
    let sawn = steps(&job, &after(BAND));
    assert!(!sawn[1].setting.as_ref().unwrap().by_fence);
    assert!(said(&sawn[1], "raw-edge").is_some());
    let guided = steps(&job, &after(GUIDED));
    assert!(guided[1].setting.as_ref().unwrap().by_fence);
    assert!(said(&guided[1], "raw-edge").is_none());
    assert!(
        said(&guided[0], "raw-edge").is_none(),
        "a guided saw needs no edge"
    );
}

#[test]
fn a_raw_edge_against_a_mitre_saws_fence_is_cautioned() {
    let crosscut = || {
        plan(vec![
            cut(Direction::Crosscut, MITRE, 400.0, 1, 2),
            KEPT,
            KEPT,
        ])
    };
    let raw = steps(&job(900.0, 100.0, RAW), &crosscut());
    assert!(
        said(&raw[0], "raw-edge")
            .unwrap()
            .text
            .contains("fence of the saw")
    );
    for edge in [0, 2] {
        let mut straight = RAW;
        straight[edge] = true;
        let all = steps(&job(900.0, 100.0, straight), &crosscut());
        assert!(said(&all[0], "raw-edge").is_none());
    }
}

#[test]
fn an_edge_is_trued_in_a_step_of_its_own() {
    let job = job(900.0, 100.0, RAW);
    let tree = plan(vec![
        cut(Direction::Rip, PLANER, -0.5, 1, 2),
        WASTE,
        cut(Direction::Rip, TABLE, 40.0, 3, 4),
        KEPT,
        KEPT,
    ]);
    let all = steps(&job, &tree);
    assert_eq!(all[0].action, Action::TrueEdge);
    assert_eq!(all[0].title, "True the right edge of board A");
    assert!(all[0].text[1].contains("no more than 1 mm; nothing is parted"));
    assert!(said(&all[0], "skim").is_none());
    assert!(said(&all[0], "guard").unwrap().text.starts_with("Planer"));
    assert!(all[1].setting.as_ref().unwrap().by_fence);
    assert_eq!(cut_list(&job, &all).rows[0][2], "True an edge");
}

#[test]
fn what_a_long_rip_left_is_looked_at_before_the_fence() {
    let tree = |between: Option<CutNode>| {
        let mut nodes = vec![
            cut(Direction::Rip, TABLE, 100.0, 1, 2),
            cut(Direction::Rip, TABLE, 40.0, 3, 4),
            KEPT,
            KEPT,
            KEPT,
        ];
        if let Some(between) = between {
            // The strip goes through this first.
            nodes[1] = between;
            nodes[3] = WASTE;
            nodes.push(cut(Direction::Rip, TABLE, 40.0, 6, 7));
            nodes.extend([KEPT, KEPT]);
        }
        plan(nodes)
    };
    let long = job(1600.0, 250.0, ALL);
    let all = steps(&long, &tree(None));
    assert!(said(&all[0], "sprung").is_none());
    assert!(
        said(&all[1], "sprung")
            .unwrap()
            .text
            .contains("may have sprung: look along the edge")
    );
    // Short, or crosscut short, or trued again: nothing to say.
    let short = steps(&job(900.0, 250.0, ALL), &tree(None));
    assert!(!codes(&short).contains(&"sprung"));
    let crosscut = cut(Direction::Crosscut, MITRE, 700.0, 5, 3);
    let crosscut = steps(&long, &tree(Some(crosscut)));
    assert!(!codes(&crosscut).contains(&"sprung"));
    let trued = cut(Direction::Rip, PLANER, -0.5, 3, 5);
    let trued = steps(&long, &tree(Some(trued)));
    let actions: Vec<Action> = trued.iter().map(|s| s.action).collect();
    assert_eq!(actions, [Action::Rip, Action::TrueEdge, Action::Rip]);
    assert!(!codes(&trued).contains(&"sprung"));
}

#[test]
fn warp_is_cautioned_as_it_was_measured_or_not() {
    let crosscut = plan(vec![
        cut(Direction::Crosscut, MITRE, 400.0, 1, 2),
        KEPT,
        KEPT,
    ]);
    let rip = plan(vec![cut(Direction::Rip, TABLE, 100.0, 1, 2), KEPT, KEPT]);
    let with = |warp: Warp, plan: &Plan| {
        let mut job = job(1200.0, 200.0, ALL);
        job.boards[0].warp = warp;
        steps(&job, plan)
    };
    let measured = |cup: f64, bow: f64, twist: f64| Warp::Measured {
        cup: (cup, 200.0),
        bow: (bow, 1200.0),
        twist: (twist, 1200.0, 200.0),
    };
    let warps = [
        "cupped",
        "bowed",
        "twisted",
        "too-twisted",
        "warp-not-measured",
    ];
    let told = |warp: Warp, plan: &Plan| -> Vec<String> {
        let all = with(warp, plan);
        let codes = codes(&all).into_iter().filter(|c| warps.contains(c));
        codes.map(String::from).collect()
    };
    for plan in [&crosscut, &rip] {
        assert_eq!(told(Warp::Flat, plan), [""; 0]);
        assert_eq!(told(Warp::Unknown, plan), ["warp-not-measured"]);
        assert_eq!(told(measured(0.9, 2.9, 0.4), plan), [""; 0]);
        assert_eq!(told(measured(1.1, 0.0, 0.0), plan), ["cupped"]);
        assert_eq!(told(measured(0.0, 3.1, 0.0), plan), ["bowed"]);
        assert_eq!(told(measured(0.0, 0.0, 1.4), plan), ["twisted"]);
    }
    // Above 1.5 mm it goes on no machine over which the work moves.
    assert_eq!(told(measured(0.0, 0.0, 1.6), &rip), ["too-twisted"]);
    assert_eq!(told(measured(0.0, 0.0, 1.6), &crosscut), ["twisted"]);
}

#[test]
fn half_of_a_twist_is_lost_only_if_it_is_wedged() {
    let mut job = job(1200.0, 200.0, ALL);
    job.boards[0].warp = Warp::Measured {
        cup: (0.0, 200.0),
        bow: (0.0, 1200.0),
        twist: (4.0, 1200.0, 200.0),
    };
    let tree = plan(vec![
        cut(Direction::Rip, GUIDED, 88.0, 1, 2),
        CutNode::Blank { placement: 0 },
        WASTE,
    ]);
    let all = steps(&job, &tree);
    let wedge = said(&all[0], "wedge-twist").unwrap();
    assert!(wedge.text.contains("rocks equally") && wedge.text.contains("no more than half"));
    job.boards[0].warp = Warp::Flat;
    assert!(!codes(&steps(&job, &tree)).contains(&"wedge-twist"));
}

#[test]
fn a_rip_along_the_fence_asks_for_a_stick_of_its_length() {
    let tree = plan(vec![cut(Direction::Rip, TABLE, 100.0, 1, 2), KEPT, KEPT]);
    let all = steps(&job(900.0, 250.0, ALL), &tree);
    let stick = said(&all[0], "push-stick").unwrap();
    // HSE, circular saw benches: at least 450 mm long, for the last 300 mm.
    assert!(
        stick
            .text
            .contains("at least 450 mm long, for the last 300 mm")
    );
    assert!(stick.source.contains("HSE"));
    assert!(said(&all[0], "narrow-strip").is_none());
    let narrow = plan(vec![cut(Direction::Rip, TABLE, 50.0, 1, 2), KEPT, KEPT]);
    assert!(said(&steps(&job(900.0, 250.0, ALL), &narrow)[0], "narrow-strip").is_some());
    let guided = plan(vec![cut(Direction::Rip, GUIDED, 50.0, 1, 2), KEPT, KEPT]);
    let guided = steps(&job(900.0, 250.0, ALL), &guided);
    assert!(said(&guided[0], "push-stick").is_none());
}

#[test]
fn a_piece_is_short_by_how_it_is_held() {
    // 310 wide, but only 90 along the fence of the mitre saw.
    let tree = plan(vec![
        cut(Direction::Crosscut, MITRE, 40.0, 1, 2),
        KEPT,
        KEPT,
    ]);
    assert!(said(&steps(&job(90.0, 310.0, ALL), &tree)[0], "short-piece").is_some());
    let rip = plan(vec![cut(Direction::Rip, TABLE, 100.0, 1, 2), KEPT, KEPT]);
    assert!(said(&steps(&job(90.0, 310.0, ALL), &rip)[0], "short-piece").is_some());
    assert!(said(&steps(&job(700.0, 310.0, ALL), &rip)[0], "short-piece").is_none());
    let guided = plan(vec![
        cut(Direction::Crosscut, GUIDED, 40.0, 1, 2),
        KEPT,
        KEPT,
    ]);
    assert!(said(&steps(&job(90.0, 310.0, ALL), &guided)[0], "short-piece").is_none());
}

#[test]
fn an_unknown_weight_is_never_nought() {
    let mut job = job(2400.0, 400.0, ALL);
    let tree = plan(vec![cut(Direction::Rip, TABLE, 100.0, 1, 2), KEPT, WASTE]);
    let known = steps(&job, &tree);
    assert!(known[0].text[0].ends_with("and weighs 16.1 kg."));
    job.boards[0].density = 0.0;
    let unknown = steps(&job, &tree);
    assert_eq!(unknown[0].workpiece_kg, None);
    assert!(unknown[0].yields.iter().all(|y| y.weight_kg.is_none()));
    assert!(
        unknown[0].text[0].ends_with("weight unknown."),
        "{}",
        unknown[0].text[0]
    );
    assert!(
        unknown
            .iter()
            .flat_map(|s| &s.text)
            .all(|t| !t.contains(" 0 kg"))
    );
    // As the heaviest wood it would be 26.4 kg.
    assert!(said(&unknown[0], "weight-unknown").is_some());
    job.workshop.max_lift_kg = 27.0;
    assert!(said(&steps(&job, &tree)[0], "weight-unknown").is_none());
    job.boards[0].density = 1200.0;
    assert!(said(&steps(&job, &tree)[0], "heavy").is_some());
}

#[test]
fn what_an_offcut_holds_is_said_on_it() {
    let mut job = job(900.0, 250.0, ALL);
    let zone = |kind, note: &str, y: f64, sound| Zone {
        kind,
        note: note.into(),
        shape: rectangle(200.0, y, 10.0, 10.0),
        sound,
        material: FixingMaterial::Metal,
        margin: 0.0,
        ..sample::job().boards[1].zones[0].clone()
    };
    job.boards[0].zones = vec![
        zone(ZoneKind::Fixing, "old screw", 200.0, false),
        zone(ZoneKind::Defect, "rot", 220.0, false),
        zone(ZoneKind::Defect, "pin knot", 150.0, true),
        zone(ZoneKind::Fixing, "dowel", 20.0, false),
    ];
    let tree = plan(vec![cut(Direction::Rip, TABLE, 100.0, 1, 2), KEPT, KEPT]);
    let all = steps(&job, &tree);
    let holds: Vec<Vec<String>> = all[0].yields.iter().map(|y| y.holds.clone()).collect();
    assert_eq!(holds, [vec!["dowel"], vec!["old screw", "rot"]]);
    assert!(
        all[0].yields[1]
            .words
            .ends_with(", holds old screw and rot)")
    );
    let rows = offcut_list(&job, &all).rows;
    assert_eq!(rows[1].last().unwrap(), "old screw, rot");
}

#[test]
fn cautions_are_given_in_full_once() {
    let nodes = vec![
        cut(Direction::Rip, TABLE, 100.0, 1, 2),
        KEPT,
        cut(Direction::Rip, TABLE, 203.0, 3, 4),
        KEPT,
        cut(Direction::Crosscut, MITRE, 400.0, 5, 6),
        KEPT,
        KEPT,
    ];
    let all = steps(&job(2400.0, 320.0, ALL), &plan(nodes));
    let stick = |k: usize| said(&all[k], "push-stick").unwrap();
    assert!(stick(0).first && !stick(1).first);
    assert_eq!(stick(0).shown(), stick(0).text);
    assert_eq!(stick(1).shown(), "push stick");
    let guards: Vec<usize> = (0..all.len())
        .filter(|k| said(&all[*k], "guard").is_some())
        .collect();
    assert_eq!(guards, [0, 2], "where a tool is taken up");
    for code in ["eyes-and-ears", "dust"] {
        assert_eq!(codes(&all).iter().filter(|c| **c == code).count(), 1);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Boards cut apart at random, tools of any kind.
    #[test]
    fn any_list_can_be_followed(
        seed in 0u32..10_000,
        boards in 1usize..4,
        guides in prop::collection::vec((0u8..3, any::<bool>(), any::<bool>()), 4),
        kerf_of_stop in any::<bool>(),
        any_workshop in any::<bool>(),
    ) {
        let document = heartside_testkit::cut_apart(seed, heartside_testkit::CutApart {
            boards,
            outfit: any_workshop.then_some(heartside_testkit::Outfit::Sensible),
            ..heartside_testkit::CutApart::default()
        });
        let mut job = heartside_timber::prepare(&document).job;
        // The tools of a workshop at random stay as they are: each may make its cuts.
        let changed = if any_workshop { &[][..] } else { &guides };
        for (tool, (guide, moves, leaves)) in job.workshop.tools.iter_mut().zip(changed) {
            tool.guide = [Guide::None, Guide::Along, Guide::Square][usize::from(*guide)];
            tool.work_moves = *moves;
            tool.leaves_true_edge = *leaves;
            if kerf_of_stop {
                tool.max_width = 120.0;
            }
        }
        let plan = document.plan.clone().unwrap();
        let all = steps(&job, &plan);
        let cuts: usize = plan
            .layouts
            .iter()
            .filter_map(|l| l.cuts.as_ref())
            .map(|t| t.nodes.iter().filter(|n| matches!(n, CutNode::Cut { .. })).count())
            .sum();
        prop_assert!(all.len() <= cuts && !all.is_empty());
        let set_ups = totals(&job, &plan, &all).set_ups;
        prop_assert!(set_ups <= all.len() && set_ups > 0);
        // Every workpiece is there when its turn comes, and is gone afterwards.
        let mut there: BTreeSet<String> = job.boards.iter().map(|b| format!("board {}", b.id)).collect();
        let mut weights: Vec<(f64, f64)> = Vec::new();
        for step in &all {
            prop_assert!(there.remove(&step.workpiece), "{} is not there", step.workpiece);
            there.extend(step.yields.iter().map(|y| y.name.clone()));
            if let Some(own) = step.workpiece_kg {
                let given: f64 = step.yields.iter().filter_map(|y| y.weight_kg).sum();
                weights.push((own, given));
            }
        }
        prop_assert!(weights.iter().all(|(own, given)| given <= &(own + 1e-6)));
        // A fence or a stop is where it was told: kept pieces have the size that it gives.
        for step in &all {
            let setting = step.setting.as_ref().unwrap();
            let tool = job.workshop.tools.iter().find(|t| t.name == step.tool).unwrap();
            prop_assert!(!setting.by_fence || tool.has_rip_fence());
            prop_assert!(!setting.by_stop || tool.has_square_fence());
            prop_assert!(!setting.by_fence || setting.distance <= tool.max_width + 0.02);
            // What the scale cannot show goes into the waste, and is less than it can show.
            prop_assert!((setting.scale - setting.distance).abs() < 1.0);
            if let Some(kept) = setting.kept_from {
                prop_assert!((kept - setting.scale - tool.kerf).abs() < 1e-6);
            }
        }
        for pair in all.windows(2).filter(|p| p[1].same_setting && p[1].setting.is_some()) {
            let [a, b] = [0, 1].map(|k| pair[k].setting.as_ref().unwrap());
            prop_assert_eq!(&pair[0].tool, &pair[1].tool);
            prop_assert!((a.distance - b.distance).abs() < 0.06);
            prop_assert!(a.by_fence == b.by_fence && a.by_stop == b.by_stop);
        }
        // What is sawn off is what every part's blank is made of: each comes off once.
        let blanks = all.iter().flat_map(|s| &s.yields);
        let blanks = blanks.filter(|y| matches!(y.becomes, heartside_cutting::Becomes::Blank { .. }));
        prop_assert_eq!(blanks.count(), plan.placed_count());
    }
}
