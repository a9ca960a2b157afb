//! The checker while dragging: always what the whole check would say.

use heartside_check::{Checker, Live, check};
use heartside_geometry::Pose;
use heartside_timber::document::*;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::Job;
use heartside_timber::plan::{CutNode, CutTree, Way};
use proptest::prelude::*;

use crate::fixtures::*;
use crate::scenes::{busy_job, busy_plan, put};

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
        let mut live = Checker::new(&job).live(&plan);
        prop_assert_eq!(live.plan(), plan);
        prop_assert_eq!(live.findings(), whole(&job, &live));
        for (to, take) in &moves {
            if *take {
                live.take(&to.part_copy());
            } else {
                let trial = live.trial(&to.part_copy(), &to.board_copy(), to.pose);
                let with = live.layout_with(&to.part_copy(), &to.board_copy(), to.pose);
                live.put(&to.part_copy(), &to.board_copy(), to.pose);
                let layouts = live.plan().layouts;
                prop_assert_eq!(with.as_ref(), layouts.iter().find(|l| l.board == to.board_copy()));
                let then = concerning(live.findings(), &to.part_copy(), &to.board_copy());
                prop_assert_eq!(trial, then);
            }
            prop_assert_eq!(live.findings(), whole(&job, &live));
        }
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
fn what_lies_near_a_held_part_is_told_and_whether_it_would_lie_well_there() {
    let mut job = job(vec![board("A"), board("B")], vec![part("rail", 4)]);
    job.boards[0].zones = vec![zone(ZoneKind::Defect, box_of(600.0, 80.0, 620.0, 90.0))];
    let rails = vec![place("rail", 1, 100.0, 2.0), place("rail", 2, 700.0, 100.0)];
    let live = Checker::new(&job).live(&plan(vec![sawn("A", rails)]));
    let (rail, on_a) = (part_copy("rail", 3), board_copy("A"));
    let near = live.near(&rail, &on_a, at(330.0, 2.0), 30.0).unwrap();
    assert_eq!((near.way, near.kerf), (Way::Sawn, 1.0));
    // A blank is 5 mm longer at each end: 25 mm lie between the first two.
    assert_eq!((near.others.len(), near.zones.len()), (1, 0));
    assert_eq!(near.others[0].bounds.max.x, 305.0);
    let near = live.near(&rail, &on_a, at(380.0, 50.0), 30.0).unwrap();
    assert_eq!((near.others.len(), near.zones.len()), (0, 1));
    // It never is in its own way, and boards with nothing on them are asked about alike.
    let own = live.near(&part_copy("rail", 1), &on_a, at(100.0, 2.0), 30.0);
    assert!(own.unwrap().others.is_empty());
    let empty = live.near(&rail, &board_copy("B"), at(100.0, 2.0), 30.0);
    assert_eq!(empty.unwrap().way, Way::Straight);
    assert!(
        live.near(&rail, &board_copy("gone"), at(0.0, 0.0), 1.0)
            .is_none()
    );
    assert!(live.near(&rail, &on_a, at(f64::NAN, 0.0), 1.0).is_none());

    assert!(live.is_free(&rail, &on_a, at(311.0, 2.0)));
    assert!(
        !live.is_free(&rail, &on_a, at(310.9, 2.0)),
        "less than a kerf"
    );
    assert!(
        !live.is_free(&rail, &on_a, at(311.0, 1.9)),
        "out of the board"
    );
    assert!(!live.is_free(&rail, &on_a, at(450.0, 60.0)), "over a knot");
    assert!(
        !live.is_free(&rail, &on_a, at(f64::INFINITY, 2.0)),
        "no place"
    );
    assert!(live.is_free(&rail, &board_copy("B"), at(100.0, 2.0)));
}

#[test]
fn the_first_change_on_a_board_drops_its_cuts() {
    let (job, plan) = straight_job();
    let mut live = Checker::new(&job).live(&plan);
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
    let mut live = Checker::new(&job).live(&plan);
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
    let live = Checker::new(&job).live(&plan);
    println!("preparing: {:?}", start.elapsed());
    for part in [part_copy("rail", 7), part_copy("disc", 7)] {
        let (mut trials, mut found) = (std::time::Duration::ZERO, 0);
        let rounds = 400u32;
        for k in 0..rounds {
            let pose = at(f64::from(k) * 4.0 + 15.0, 20.0 + f64::from(k % 150));
            let start = std::time::Instant::now();
            found += live.trial(&part, &board_copy("B3"), pose).len();
            trials += start.elapsed();
        }
        println!(
            "{}: trial {:?}, {found} findings in {rounds}",
            part.part,
            trials / rounds
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
