//! Puzzles made by hand, and jobs that are none.

use heartside_geometry::{Region, Tolerance};
use heartside_timber::document::EdgeKind;
use heartside_timber::job::{Allowances, Goal, GrainRule, Job, Part, PartCut};

use heartside_nest::kit::{Piece, Stock, Yard};

use super::*;
use crate::samples::{board, job, part, polygon, rectangle};

fn cut_by_knife(id: &str, points: &[(f64, f64)]) -> Part {
    let outline = polygon(points);
    Part {
        outline,
        grain: GrainRule::Turns(vec![0.0, 90.0, 180.0, 270.0]),
        may_turn_over: false,
        allowances: Allowances {
            end: 0.0,
            edge: 0.0,
            sawn: 0.0,
            planing: 0.0,
            clean_up: 0.0,
        },
        cut: PartCut::Sawn,
        form: heartside_timber::job::Form::Free,
        ..part(id, 1, 1.0, 1.0)
    }
}

/// Two boards of 400 x 300, one cut by a slanting line, one by a bent one.
fn puzzle() -> Job {
    let boards = vec![heartside_timber::job::Board {
        count: 3,
        ..board("b", rectangle(0.0, 0.0, 400.0, 300.0), EdgeKind::Straight)
    }];
    let parts = vec![
        cut_by_knife(
            "a",
            &[(0.0, 0.0), (150.0, 0.0), (250.0, 300.0), (0.0, 300.0)],
        ),
        cut_by_knife(
            "b",
            &[(0.0, 0.0), (250.0, 0.0), (250.0, 300.0), (100.0, 300.0)],
        ),
        cut_by_knife(
            "c",
            &[(0.0, 0.0), (400.0, 0.0), (200.0, 80.0), (0.0, 200.0)],
        ),
        cut_by_knife(
            "d",
            &[
                (0.0, 200.0),
                (200.0, 80.0),
                (400.0, 0.0),
                (400.0, 300.0),
                (0.0, 300.0),
            ],
        ),
    ];
    let mut job = job(boards, parts);
    job.workshop.sawn_kerf = 0.0;
    job
}

/// How it ends, with what floor, and after how many steps; none where it is not tried at all.
fn put_together(job: &Job) -> Option<(Stepped, Floor, u64)> {
    let boards = job.boards.iter().enumerate();
    let stock: Vec<Stock> = boards
        .flat_map(|(board, b)| (1..=b.count).map(move |copy| Stock { board, copy }))
        .collect();
    let pieces: Vec<Piece> = (0..job.parts.len())
        .flat_map(|part| (1..=job.parts[part].count).map(move |copy| Piece { part, copy }))
        .collect();
    let mut floor = Floor {
        boards: vec![Vec::new(); stock.len()],
        left: (0..pieces.len()).collect(),
    };
    let mut tools = Tools {
        job,
        yard: &mut Yard::new(job, &vec![true; job.boards.len()]),
        stock: &stock,
        pieces: &pieces,
        chance: &mut Chance::new(1, 0, 0),
    };
    let mut puzzle = ExactPacking::new(&mut tools, &floor)?;
    for steps in 1.. {
        match puzzle.step(&mut tools, &mut floor) {
            Stepped::On => {}
            end => return Some((end, floor, steps)),
        }
    }
    None
}

#[test]
fn two_boards_are_filled_by_four_parts_whatever_the_tolerance() {
    let mut job = puzzle();
    for tolerance in [Tolerance::JOB, Tolerance::instance(400.0)] {
        job.tolerance = tolerance;
        let Some((Stepped::Solved, floor, _)) = put_together(&job) else {
            panic!("not solved");
        };
        let counts: Vec<usize> = floor.boards.iter().map(Vec::len).collect();
        assert_eq!(counts, [2, 2, 0]);
    }
}

#[test]
fn holes_of_parts_are_filled() {
    let mut job = puzzle();
    let ring = |r: Region| r.outer().clone();
    let hole = ring(rectangle(120.0, 90.0, 220.0, 170.0));
    let outer = ring(rectangle(0.0, 0.0, 400.0, 300.0));
    let mut frame = cut_by_knife("frame", &[(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)]);
    frame.outline = Region::new(outer, vec![hole]).expect("a hole inside");
    let triangle = [(0.0, 0.0), (100.0, 0.0), (0.0, 80.0)];
    job.parts = vec![frame, cut_by_knife("triangle", &triangle)];
    job.parts[1].count = 2;
    let Some((Stepped::Solved, floor, _)) = put_together(&job) else {
        panic!("not solved");
    };
    let counts: Vec<usize> = floor.boards.iter().map(Vec::len).collect();
    assert_eq!(counts, [3, 0, 0]);
}

#[test]
fn it_is_only_tried_where_nothing_may_be_lost() {
    assert!(put_together(&puzzle()).is_some());
    let mut with_kerf = puzzle();
    with_kerf.workshop.sawn_kerf = 0.5;
    let mut with_allowance = puzzle();
    with_allowance.parts[0].allowances.sawn = 0.5;
    let mut trimmed = puzzle();
    trimmed.boards[0].sides[0].kind = EdgeKind::Raw;
    let mut one_missing = puzzle();
    one_missing.parts.pop();
    let mut at_any_angle = puzzle();
    at_any_angle.parts[1].grain = GrainRule::Any;
    for (what, job) in [
        ("a kerf", with_kerf),
        ("an allowance", with_allowance),
        ("trim", trimmed),
        ("a part missing", one_missing),
        ("any angle", at_any_angle),
    ] {
        assert!(put_together(&job).is_none(), "tried with {what}");
    }
}

#[test]
fn a_strip_off_the_grid_of_its_parts_is_not_tried() {
    let mut job = puzzle();
    job.goal = Goal::StripLength;
    job.boards[0] = board(
        "strip",
        rectangle(0.0, 0.0, 5_000.0, 300.0),
        EdgeKind::Straight,
    );
    assert!(put_together(&job).is_some(), "800 long");
    job.parts
        .push(cut_by_knife("e", &[(0.0, 0.0), (50.0, 0.0), (0.0, 50.0)]));
    assert!(put_together(&job).is_none(), "804 1/6 long");
}

/// The strips that the search is measured on are no puzzles, which is seen at once.
#[test]
#[allow(clippy::print_stdout)]
fn published_strips_are_hardly_tried() {
    for name in [
        "albano", "fu", "jakobs1", "mao", "shapes0", "shapes2", "trousers",
    ] {
        let name = format!("strip-irregular/{name}");
        let Some(instance) = heartside_testkit::published(&name, &Default::default()) else {
            return;
        };
        let job = instance.job;
        if let Some((end, _, steps)) = put_together(&job) {
            println!("{name}: {steps} steps");
            assert!(matches!(end, Stepped::GivenUp), "{name}: {end:?}");
            assert!(steps < 100, "{name}: {steps}");
        }
    }
}

#[test]
fn a_puzzle_with_a_wrong_part_is_given_up() {
    let mut job = puzzle();
    // As much area, but its slanting side goes with no other.
    job.parts[1] = cut_by_knife(
        "b",
        &[(0.0, 0.0), (200.0, 0.0), (200.0, 300.0), (0.0, 300.0)],
    );
    if let Some((end, _, steps)) = put_together(&job) {
        assert!(matches!(end, Stepped::GivenUp), "{end:?}");
        assert!(steps < 100, "{steps}");
    }
    // Rectangles, which angles say nothing about: it goes on to the end of the budget at most.
    let sizes = [
        (170.0, 130.0),
        (110.0, 90.0),
        (230.0, 70.0),
        (90.0, 50.0),
        (150.0, 110.0),
    ];
    let mut parts = Vec::new();
    let mut area = 0.0;
    for k in 0..40 {
        let (width, height) = sizes[k % sizes.len()];
        let (width, height) = (width + 2.0 * k as f64, height + 10.0 * (k % 7) as f64);
        area += width * height;
        parts.push(cut_by_knife(
            &format!("{k}"),
            &[(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)],
        ));
    }
    let side = 10.0 * (area / 100.0).sqrt().ceil();
    let rest = side * side - area;
    parts.push(cut_by_knife(
        "rest",
        &[
            (0.0, 0.0),
            (rest / 25.0, 0.0),
            (rest / 25.0, 25.0),
            (0.0, 25.0),
        ],
    ));
    job.parts = parts;
    job.boards[0] = board("b", rectangle(0.0, 0.0, side, side), EdgeKind::Straight);
    job.tolerance = Tolerance::instance(side);
    let (end, _, steps) = put_together(&job).expect("the area is just right");
    assert!(matches!(end, Stepped::GivenUp), "{end:?}");
    // What is taken up again counts as steps, too: one for each place laid.
    assert!(steps <= 2 * (FIRST_TRY << TRIES), "{steps}");
}
