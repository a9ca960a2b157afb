use heartside_check::Checker;
use heartside_geometry::Pose;
use heartside_testkit::{CutApart, cut_apart};
use heartside_timber::document::{BoardCopy, Document, PartCopy};
use heartside_timber::finding::Rule;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Placement, Plan, Way};
use heartside_timber::prepare::prepare;
use proptest::prelude::*;
use serde_json::json;

use super::to_contact;

/// One board of 1,000 x 200 with straight edges and raw ends, sawn by line with a kerf of 1,
/// and rails whose blanks are 210 x 54.
fn rails_on_a(cut: &str, poses: &[Pose]) -> (Job, Plan) {
    let document = json!({
        "format": "heartside-job",
        "version": heartside_timber::document::VERSION,
        "workshop": {
            "tools": [{ "name": "frame saw", "does": ["sawn"], "kerf": 1 }],
            "trim": { "end": 10, "edge": 4 },
        },
        "allowances": { "end": 5, "edge": 2, "sawn": 1.5 },
        "boards": [{
            "id": "A",
            "thickness": 30,
            "surface": "planed",
            "cuts": "sawn",
            "outline": {
                "form": "polygon",
                "points": [[0, 0], [1000, 0], [1000, 200], [0, 200]],
                "sides": ["straight", "raw", "straight", "raw"],
            },
        }],
        "parts": [{
            "id": "rail",
            "count": 4,
            "thickness": 25,
            "cut": cut,
            "shape": { "form": "rectangle", "length": 200, "width": 50 },
        }],
    });
    let opened = Document::open(&document.to_string()).unwrap();
    let prepared = prepare(&opened.document);
    assert!(!prepared.has_errors(), "{:?}", prepared.diagnostics);
    let placements = poses.iter().zip(1..).map(|(pose, copy)| Placement {
        part: "rail".into(),
        copy,
        at: (*pose).into(),
        ..Placement::default()
    });
    let layout = Layout {
        board: on_a(),
        way: Way::Sawn,
        frame: Default::default(),
        placements: placements.collect(),
        cuts: None,
    };
    let plan = Plan {
        layouts: vec![layout],
        ..Plan::default()
    };
    (prepared.job, plan)
}

fn rail(copy: u32) -> PartCopy {
    PartCopy {
        part: "rail".into(),
        copy,
    }
}

fn on_a() -> BoardCopy {
    BoardCopy {
        board: "A".into(),
        copy: 1,
    }
}

fn at(x: f64, y: f64) -> Pose {
    Pose {
        x,
        y,
        turn: 0.0,
        turned_over: false,
    }
}

#[test]
fn snaps_to_a_kerf_beside_a_neighbour_and_to_the_edge() {
    let (job, plan) = rails_on_a("straight", &[at(100.0, 2.0)]);
    let live = Checker::new(&job).live(&plan);
    // The neighbour's blank covers x 95 to 305, y 0 to 54; kerf 1 and 0.002 that solvers keep.
    let snap = |x, y| {
        let pose = to_contact(&live, &rail(2), &on_a(), at(x, y), 8.0);
        (pose.x, pose.y)
    };
    assert_eq!(snap(316.0, 5.0), (305.0 + 1.002 + 5.0, 2.002));
    // From a little over it, out again.
    assert_eq!(snap(306.0, 5.0), (311.002, 2.002));
    // Above it: y only.
    assert_eq!(snap(103.0, 60.0), (103.0, 54.0 + 1.002 + 2.0));
    // Near nothing: on the grid only.
    assert_eq!(snap(500.1234567, 90.0), (500.123, 90.0));
    // The raw end keeps its 10.
    assert_eq!(snap(790.0, 100.0), (1000.0 - 10.0 - 0.002 - 205.0, 100.0));
    // Out of the board by less than the reach: back in, in both directions.
    assert_eq!(snap(787.0, -3.0), (784.998, 2.002));
    // No way out within reach.
    assert_eq!(snap(150.0, 20.0), (150.0, 20.0));
    // No reach at all: the grid alone.
    let still = to_contact(&live, &rail(2), &on_a(), at(306.00001, 5.0), f64::NAN);
    assert_eq!((still.x, still.y), (306.0, 5.0));
}

#[test]
fn snapped_turned_rectangles_and_sawn_parts_touch() {
    let (job, plan) = rails_on_a("sawn", &[at(100.0, 1.5)]);
    let live = Checker::new(&job).live(&plan);
    let lie = Pose {
        turn: 2.0,
        ..at(310.0, 54.0)
    };
    let pose = to_contact(&live, &rail(2), &on_a(), lie, 12.0);
    let found = live.trial(&rail(2), &on_a(), pose);
    assert!(found.is_empty(), "{found:?}");
    // A hundredth further down it would be too near: it touches.
    let lower = Pose {
        y: pose.y - 0.01,
        ..pose
    };
    let left = Pose {
        x: pose.x - 0.01,
        ..pose
    };
    let touches = |p| !live.trial(&rail(2), &on_a(), p).is_empty();
    assert!(touches(lower) || touches(left), "{pose:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn a_snapped_part_keeps_rule_1_and_2_where_it_could(
        seed in 0u32..12,
        which in 0usize..12,
        (dx, dy) in (-40.0..40.0f64, -40.0..40.0f64),
        turn in prop_oneof![Just(0.0), Just(90.0), -6.0..6.0f64],
        turned_over in any::<bool>(),
    ) {
        let document = cut_apart(seed, CutApart { waste: 40, ..CutApart::default() });
        let job = prepare(&document).job;
        let plan = document.plan.unwrap_or_default();
        let live = Checker::new(&job).live(&plan);
        let layout = &plan.layouts[which % plan.layouts.len()];
        let placement = &layout.placements[which % layout.placements.len()];
        let (part, board) = (placement.part_copy(), &layout.board);
        let lay = placement.pose();
        let held = Pose { x: lay.x + dx, y: lay.y + dy, turn: lay.turn + turn, turned_over };
        let snapped = to_contact(&live, &part, board, held, 12.0);
        let moved = (snapped.x - held.x).abs().max((snapped.y - held.y).abs());
        prop_assert!(moved <= 24.0 + 1e-3);
        prop_assert_eq!((snapped.turn, snapped.turned_over), (held.turn, held.turned_over));
        let broken = |pose| {
            let found = live.trial(&part, board, pose);
            found.iter().filter(|f| matches!(f.rule, Rule::Inside | Rule::Kerf)).count()
        };
        // A good place is never made a bad one.
        prop_assert!(broken(held) > 0 || broken(snapped) == 0);
    }
}
