//! Laws of the whole check: what must not matter does not.

use heartside_check::{Checker, check};
use heartside_geometry::{Pose, Vector};
use heartside_timber::document::*;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::Zone;
use heartside_timber::plan::*;
use proptest::prelude::*;

use crate::fixtures::*;
use crate::scenes::{busy_job, busy_plan, put};

/// Rule, cause, parts, zone and amount of a finding.
type Told = (Rule, String, Vec<PartCopy>, Option<usize>, String);

/// Findings without those so near the limit that rounding may tip them, and without places.
fn told_clearly(findings: &[Finding]) -> Vec<Told> {
    findings
        .iter()
        .filter(|f| amount(f).is_none_or(|by| by > 0.01))
        .map(|f| {
            let by = amount(f).map_or(String::new(), |by| format!("{:.4}", by));
            (f.rule, f.cause.clone(), f.parts.clone(), f.zone, by)
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn moving_everything_together_changes_nothing(
        puts in prop::collection::vec(put(), 0..12),
        dx in -40i32..40,
        dy in -40i32..40,
    ) {
        // Whole eighths are added without rounding; turned parts still round a little.
        let by = Vector::new(f64::from(dx) / 8.0, f64::from(dy) / 8.0);
        let (job, plan) = (busy_job(), busy_plan(&puts));
        let (mut moved_job, mut moved) = (job.clone(), plan.clone());
        for board in &mut moved_job.boards {
            board.outline = board.outline.translated(by);
            for zone in &mut board.zones {
                zone.shape = zone.shape.translated(by);
            }
        }
        for pin in &mut moved_job.pins {
            (pin.at.x, pin.at.y) = (pin.at.x + by.x, pin.at.y + by.y);
        }
        for layout in &mut moved.layouts {
            (layout.frame.x, layout.frame.y) = (by.x, by.y);
            for placement in &mut layout.placements {
                let pose: Pose = placement.pose().moved(by);
                placement.at = pose.into();
            }
        }
        // A copy that lies there several times is told of in the order of places, which rounding
        // decides where they are level: here by amounts.
        let told = |findings: &[Finding]| {
            let mut told: Vec<_> = told_clearly(findings)
                .into_iter()
                .map(|(rule, cause, parts, zone, by)| {
                    (rule, cause, parts, zone, by.parse().unwrap_or(0.0))
                })
                .collect();
            told.sort_by(|a: &(_, _, _, _, f64), b| {
                (a.0, &a.1, &a.2, a.3)
                    .cmp(&(b.0, &b.1, &b.2, b.3))
                    .then(a.4.total_cmp(&b.4))
            });
            told
        };
        let before = told(&check(&job, &plan));
        let after = told(&check(&moved_job, &moved));
        prop_assert_eq!(before.len(), after.len());
        for (b, a) in before.iter().zip(&after) {
            prop_assert_eq!((b.0, &b.1, &b.2, b.3), (a.0, &a.1, &a.2, a.3));
            let (b, a) = (b.4, a.4);
            prop_assert!((b - a).abs() < 2e-4, "{} and {}", b, a);
        }
    }

    #[test]
    fn a_checker_made_once_says_the_same(puts in prop::collection::vec(put(), 0..12)) {
        let (job, plan) = (busy_job(), busy_plan(&puts));
        let checker = Checker::new(&job);
        let empty = checker.check(&Plan::default());
        prop_assert_eq!(checker.check(&plan), check(&job, &plan));
        prop_assert_eq!(checker.check(&Plan::default()), empty);
    }

    #[test]
    fn a_zone_far_from_everything_changes_nothing(puts in prop::collection::vec(put(), 0..12)) {
        let (mut job, plan) = (busy_job(), busy_plan(&puts));
        let before = check(&job, &plan);
        for board in &mut job.boards {
            let index = board.zones.len();
            let far = zone(ZoneKind::Defect, box_of(3000.0, 0.0, 3010.0, 10.0));
            board.zones.push(Zone { index, margin: 20.0, ..far });
            let figure = zone(ZoneKind::Figure, box_of(0.0, 0.0, 900.0, 200.0));
            board.zones.push(Zone { index: index + 1, ..figure });
        }
        prop_assert_eq!(before, check(&job, &plan));
    }

    #[test]
    fn the_order_of_layouts_and_placements_changes_nothing(
        puts in prop::collection::vec(put(), 0..12),
        turn in 0usize..12,
    ) {
        let (job, plan) = (busy_job(), busy_plan(&puts));
        let mut mixed = plan.clone();
        mixed.layouts.reverse();
        for layout in mixed.layouts.iter_mut().filter(|l| l.cuts.is_none()) {
            layout.placements.reverse();
            let turn = turn % layout.placements.len().max(1);
            layout.placements.rotate_left(turn);
        }
        // Where a copy is placed twice, matches follow the first one: order matters there.
        prop_assume!(check(&job, &plan).iter().all(|f| f.cause != "placed-twice"));
        let (before, after) = (check(&job, &plan), check(&job, &mixed));
        prop_assert_eq!(told_clearly(&before), told_clearly(&after));
    }
}

/// One way to damage a plan.
#[derive(Debug, Clone)]
enum Damage {
    Number(usize, usize, f64),
    Cut(usize, f64, f64),
    Node(usize, usize, usize),
    Leaf(usize, usize),
    Copy(usize, u32),
    Board(usize, u32),
    Part(usize),
    Frame(f64, f64, f64),
    Drop(usize),
    Double(usize),
    Way(usize),
    Dimension(f64),
}

fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(1e300),
        Just(-1e300),
        Just(1e-300),
        Just(0.0),
        Just(1e9),
        -1e4..1e4f64,
    ]
}

fn damage() -> impl Strategy<Value = Damage> {
    let any_place = || 0usize..14;
    prop_oneof![
        (any_place(), 0usize..3, wild()).prop_map(|(a, b, v)| Damage::Number(a, b, v)),
        (any_place(), wild(), wild()).prop_map(|(n, at, kerf)| Damage::Cut(n, at, kerf)),
        (any_place(), any_place(), any_place())
            .prop_map(|(n, low, high)| Damage::Node(n, low, high)),
        (any_place(), any_place()).prop_map(|(n, p)| Damage::Leaf(n, p)),
        (any_place(), any::<u32>()).prop_map(|(p, c)| Damage::Copy(p, c)),
        (any_place(), any::<u32>()).prop_map(|(l, c)| Damage::Board(l, c)),
        any_place().prop_map(Damage::Part),
        (wild(), wild(), wild()).prop_map(|(x, y, a)| Damage::Frame(x, y, a)),
        any_place().prop_map(Damage::Drop),
        any_place().prop_map(Damage::Double),
        any_place().prop_map(Damage::Way),
        wild().prop_map(Damage::Dimension),
    ]
}

fn apply(plan: &mut Plan, damage: &Damage) {
    let layouts = plan.layouts.len();
    if layouts == 0 {
        return;
    }
    let tree = |plan: &mut Plan, node: usize, new: &dyn Fn(&CutNode) -> CutNode| {
        if let Some(tree) = &mut plan.layouts[0].cuts
            && !tree.nodes.is_empty()
        {
            let node = node % tree.nodes.len();
            tree.nodes[node] = new(&tree.nodes[node]);
        }
    };
    let placement = |plan: &mut Plan, k: usize, change: &dyn Fn(&mut Placement)| {
        let all: Vec<&mut Placement> = plan
            .layouts
            .iter_mut()
            .flat_map(|l| &mut l.placements)
            .collect();
        let n = all.len().max(1);
        if let Some(p) = all.into_iter().nth(k % n) {
            change(p);
        }
    };
    match damage {
        Damage::Number(k, which, value) => placement(plan, *k, &|p| match which {
            0 => p.at.x = *value,
            1 => p.at.y = *value,
            _ => p.at.turn = *value,
        }),
        Damage::Cut(node, at, kerf) => tree(plan, *node, &|_| CutNode::Cut {
            angle: None,
            direction: Direction::Rip,
            tool: String::new(),
            at: *at,
            kerf: *kerf,
            low: node + 1,
            high: node + 2,
        }),
        Damage::Node(node, low, high) => tree(plan, *node, &|_| crosscut(50.0, *low, *high)),
        Damage::Leaf(node, p) => tree(plan, *node, &|_| CutNode::Region {
            placements: vec![*p, *p, 0],
        }),
        Damage::Copy(k, copy) => placement(plan, *k, &|p| p.copy = *copy),
        Damage::Board(l, copy) => plan.layouts[l % layouts].board.copy = *copy,
        Damage::Part(k) => placement(plan, *k, &|p| p.part = "nothing".into()),
        Damage::Frame(x, y, angle) => {
            plan.layouts[0].frame = Frame {
                x: *x,
                y: *y,
                angle: *angle,
            }
        }
        Damage::Drop(k) => {
            plan.layouts[k % layouts].placements.pop();
        }
        Damage::Double(l) => {
            let again = plan.layouts[l % layouts].clone();
            plan.layouts.push(again);
        }
        Damage::Way(l) => {
            let layout = &mut plan.layouts[l % layouts];
            layout.way = if layout.way == Way::Sawn {
                Way::Straight
            } else {
                Way::Sawn
            };
        }
        Damage::Dimension(value) => {
            plan.dimensions.push(DimensionValue {
                name: "width".into(),
                value: *value,
                ..DimensionValue::default()
            });
            plan.unplaced.push(Unplaced {
                part: "rail".into(),
                copies: vec![0, 1, u32::MAX],
                reason: UnplacedReason::NoRoom,
                least_board: Some([*value; 3]),
                longest: None,
            });
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_damaged_plan_makes_it_panic_and_every_amount_is_a_number(
        puts in prop::collection::vec(put(), 0..10),
        damages in prop::collection::vec(damage(), 1..6),
    ) {
        let (job, mut plan) = (busy_job(), busy_plan(&puts));
        for damage in &damages {
            apply(&mut plan, damage);
        }
        let found = check(&job, &plan);
        for finding in &found {
            prop_assert!(amount(finding).is_none_or(|by| by.is_finite() && by >= 0.0), "{:?}", finding);
            prop_assert!(finding.at.is_none_or(|p| p.is_finite()));
            prop_assert!(!finding.message.contains("NaN") && !finding.message.contains('?'), "{}", finding.message);
        }
        let mut live = heartside_check::Checker::new(&job).live(&plan);
        for part in ["rail", "slat", "nothing"] {
            live.take(&part_copy(part, 1));
            live.put(&part_copy(part, 1), &board_copy("C"), Pose { x: 100.0, y: 50.0, turn: 0.0, turned_over: false });
        }
        let _ = live.findings();
    }
}
