//! The checker while dragging: always what the whole check would say.

use heartside_check::{Live, check};
use heartside_geometry::Pose;
use heartside_timber::document::*;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::Job;
use heartside_timber::plan::{CutNode, CutTree, Plan, Way};
use proptest::prelude::*;

use crate::fixtures::*;
use crate::scenes::{Put, busy_job, busy_plan, put};

fn kept_up(findings: Vec<Finding>) -> Vec<Finding> {
    findings
        .into_iter()
        .filter(|f| !matches!(f.rule, Rule::Cuts | Rule::Dimensions))
        .collect()
}

fn whole(job: &Job, live: &Live) -> Vec<Finding> {
    kept_up(check(job, &live.plan()))
}

fn concerning(findings: Vec<Finding>, part: &PartCopy, board: &BoardCopy) -> Vec<Finding> {
    let about_board = |f: &Finding| {
        f.rule == Rule::Stock && f.parts.is_empty() && f.board.as_ref() == Some(board)
    };
    findings
        .into_iter()
        .filter(|f| f.parts.contains(part) || about_board(f))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn live_findings_are_those_of_the_whole_check(
        start in prop::collection::vec(put(), 0..10),
        moves in prop::collection::vec((put(), any::<bool>()), 1..8),
    ) {
        let job = busy_job();
        let plan = busy_plan(&start);
        let mut live = Live::new(&job, &plan);
        prop_assert_eq!(live.plan(), plan);
        prop_assert_eq!(live.findings(), whole(&job, &live));
        for (to, take) in &moves {
            if *take {
                live.take(&to.part_copy());
            } else {
                let trial = live.trial(&to.part_copy(), &to.board_copy(), to.pose);
                live.put(&to.part_copy(), &to.board_copy(), to.pose);
                let then = concerning(live.findings(), &to.part_copy(), &to.board_copy());
                prop_assert_eq!(trial, then);
            }
            prop_assert_eq!(live.findings(), whole(&job, &live));
        }
    }

    #[test]
    fn a_snapped_part_keeps_rule_1_and_2_where_it_could(to in put()) {
        let job = busy_job();
        let start = [
            Put { part: 1, copy: 1, board: 2, pose: Pose { x: 40.0, y: 40.0, turn: 0.0, turned_over: false } },
            Put { part: 3, copy: 2, board: 2, pose: Pose { x: 480.0, y: 60.0, turn: 0.0, turned_over: false } },
        ];
        let live = Live::new(&job, &busy_plan(&start));
        let to = Put { board: 2, ..to };
        let snapped = live.snap(&to.part_copy(), &to.board_copy(), to.pose, 12.0);
        let moved = (snapped.x - to.pose.x).abs().max((snapped.y - to.pose.y).abs());
        prop_assert!(moved <= 24.0 + 1e-3);
        prop_assert_eq!((snapped.turn, snapped.turned_over), (to.pose.turn, to.pose.turned_over));
        let broken = |pose| {
            live.trial(&to.part_copy(), &to.board_copy(), pose)
                .iter()
                .filter(|f| matches!(f.rule, Rule::Inside | Rule::Kerf))
                .count()
        };
        // A good place is never made a bad one.
        prop_assert!(broken(to.pose) > 0 || broken(snapped) == 0);
    }
}

fn rails_on_a(poses: &[(f64, f64)]) -> (Job, Plan) {
    let job = job(vec![board("A")], vec![part("rail", 4)]);
    let placements = poses
        .iter()
        .zip(1..)
        .map(|((x, y), copy)| place("rail", copy, *x, *y))
        .collect();
    (job, plan(vec![sawn("A", placements)]))
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
    let (job, plan) = rails_on_a(&[(100.0, 2.0)]);
    let live = Live::new(&job, &plan);
    // The neighbour's blank covers x 95 to 305, y 0 to 54; kerf 1 and 0.002 that solvers keep.
    let snap = |x, y| {
        let pose = live.snap(&part_copy("rail", 2), &board_copy("A"), at(x, y), 8.0);
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
}

#[test]
fn snapped_turned_rectangles_and_sawn_parts_touch() {
    let (mut job, mut plan) = rails_on_a(&[(100.0, 2.0)]);
    job.parts[0].cut = PartCut::Sawn;
    plan.layouts[0].placements[0].at.y = 1.5;
    let live = Live::new(&job, &plan);
    let pose = live.snap(
        &part_copy("rail", 2),
        &board_copy("A"),
        Pose {
            turn: 2.0,
            ..at(310.0, 54.0)
        },
        12.0,
    );
    let found = live.trial(&part_copy("rail", 2), &board_copy("A"), pose);
    assert_eq!(told(&found), vec![]);
    // A hundredth further down it would be too near: it touches.
    let lower = Pose {
        y: pose.y - 0.01,
        ..pose
    };
    let left = Pose {
        x: pose.x - 0.01,
        ..pose
    };
    let touches = |p| {
        !live
            .trial(&part_copy("rail", 2), &board_copy("A"), p)
            .is_empty()
    };
    assert!(touches(lower) || touches(left), "{pose:?}");
}

#[test]
fn the_first_change_on_a_board_drops_its_cuts() {
    let (job, plan) = straight_job();
    let mut live = Live::new(&job, &plan);
    assert!(live.findings().is_empty());
    live.put(&part_copy("rail", 2), &board_copy("A"), at(300.0, 100.0));
    assert!(live.plan().layouts[0].cuts.is_none());
    assert!(live.findings().is_empty());
    live.take(&part_copy("rail", 1));
    assert_eq!(live.plan().unplaced.len(), 1);
    assert!(live.findings().is_empty());
    live.put(&part_copy("rail", 1), &board_copy("A"), at(300.0, 101.0));
    assert!(live.plan().unplaced.is_empty());
    assert_eq!(live.findings()[0].rule, Rule::Kerf);
}

#[test]
fn the_first_change_on_a_board_broken_down_leaves_it_sawn_whole() {
    let (job, mut plan) = sawn_job();
    let nodes = vec![
        crosscut(305.0, 1, 2),
        CutNode::Region {
            placements: vec![0],
        },
        CutNode::Region {
            placements: vec![1],
        },
    ];
    plan.layouts[0].cuts = Some(CutTree { nodes });
    let mut live = Live::new(&job, &plan);
    assert!(live.findings().is_empty());
    // 1.2 mm beside the other blank: enough for the frame saw, not for the cross saw.
    let (rail, board) = (part_copy("rail", 2), board_copy("A"));
    let beside = at(311.2, 20.0);
    assert!(live.trial(&rail, &board, beside).is_empty());
    live.put(&rail, &board, beside);
    assert_eq!(live.plan().layouts[0].way, Way::Sawn);
    assert!(live.plan().layouts[0].cuts.is_none());
    assert!(live.findings().is_empty());
    assert_eq!(live.findings(), whole(&job, &live));
}

/// 300 parts on 40 boards with 20 zones each: prints how long one move takes. Nothing is
/// asserted about time.
#[test]
fn prints_the_time_of_one_move_among_300_parts_on_40_boards() {
    let outline: Vec<(f64, f64)> = (0..=20)
        .map(|k| (f64::from(k) * 100.0, 6.0 * f64::from(k % 3)))
        .chain(
            (0..=20)
                .rev()
                .map(|k| (f64::from(k) * 100.0, 290.0 + 5.0 * f64::from(k % 4))),
        )
        .collect();
    let boards: Vec<_> = (0..40)
        .map(|k| {
            let outline = polygon(&outline);
            let sides = sides_of(&outline, EdgeKind::Raw, EdgeKind::Raw);
            let zones = (0..20)
                .map(|z| {
                    let (x, y) = (f64::from(z) * 95.0 + 20.0, f64::from(z % 5) * 50.0 + 20.0);
                    let shape = polygon(&[
                        (x, y),
                        (x + 12.0, y - 4.0),
                        (x + 20.0, y + 5.0),
                        (x + 9.0, y + 12.0),
                    ]);
                    heartside_timber::job::Zone {
                        index: z as usize,
                        margin: 2.0,
                        ..zone(ZoneKind::Defect, shape)
                    }
                })
                .collect();
            heartside_timber::job::Board {
                outline,
                sides,
                zones,
                ..board(&format!("B{k}"))
            }
        })
        .collect();
    let round: Vec<(f64, f64)> = (0..64)
        .map(|k| {
            let (s, c) = heartside_geometry::math::sin_cos_deg(f64::from(k) * 360.0 / 64.0);
            (60.0 + 60.0 * c, 60.0 + 60.0 * s)
        })
        .collect();
    let disc = heartside_timber::job::Part {
        outline: polygon(&round),
        cut: PartCut::Sawn,
        ..part("disc", 150)
    };
    let job = job(boards, vec![part("rail", 150), disc]);
    let layouts = (0..40u32)
        .map(|b| {
            let placements = (0..300u32)
                .filter(|k| k % 40 == b)
                .map(|k| {
                    let (name, copy) = if k < 150 {
                        ("rail", k + 1)
                    } else {
                        ("disc", k - 149)
                    };
                    let slot = f64::from(k / 40);
                    place(
                        name,
                        copy,
                        20.0 + slot * 230.0,
                        40.0 + 100.0 * f64::from(k % 2),
                    )
                })
                .collect();
            sawn(&format!("B{b}"), placements)
        })
        .collect();
    let plan = plan(layouts);
    let start = std::time::Instant::now();
    let live = Live::new(&job, &plan);
    println!("preparing: {:?}", start.elapsed());
    for part in [part_copy("rail", 7), part_copy("disc", 7)] {
        let (mut trials, mut snaps, mut found) =
            (std::time::Duration::ZERO, std::time::Duration::ZERO, 0);
        let rounds = 400u32;
        for k in 0..rounds {
            let pose = at(f64::from(k) * 4.0 + 15.0, 20.0 + f64::from(k % 150));
            let start = std::time::Instant::now();
            found += live.trial(&part, &board_copy("B3"), pose).len();
            trials += start.elapsed();
            let start = std::time::Instant::now();
            let _ = live.snap(&part, &board_copy("B3"), pose, 8.0);
            snaps += start.elapsed();
        }
        println!(
            "{}: trial {:?}, snap {:?}, {found} findings in {rounds}",
            part.part,
            trials / rounds,
            snaps / rounds
        );
        assert!(found > 0);
    }
    let start = std::time::Instant::now();
    let count = check(&job, &plan).len();
    println!("whole check: {:?}, {count} findings", start.elapsed());
    let checker = heartside_check::Checker::new(&job);
    checker.check(&plan);
    let start = std::time::Instant::now();
    checker.check(&plan);
    println!("whole check, boards prepared: {:?}", start.elapsed());
    let mut live = live;
    let start = std::time::Instant::now();
    live.put(&part_copy("rail", 7), &board_copy("B3"), at(700.0, 60.0));
    println!("one drop: {:?}", start.elapsed());
    let start = std::time::Instant::now();
    let _ = live.findings();
    println!("all findings after it: {:?}", start.elapsed());
}
