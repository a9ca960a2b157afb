//! Plans of boards sawn by line: whatever the search returns, the independent checker accepts.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use crate::sample;

use heartside_geometry::{Point, Region, Ring};
use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit as testkit;
use heartside_timber::document::{Cuts, Document, PartCopy, ZoneKind};
use heartside_timber::grain::GrainField;
use heartside_timber::job::{Board, Goal, GrainRule, Job, Part, PartCut, Pin};
use heartside_timber::plan::{Placed, Plan};
use heartside_timber::prepare::prepare;
use sample::{assert_legal, band_saw, board, part, polygon, rectangle, zone};

fn search(job: &Job, seed: u32) -> Search {
    let settings = Settings {
        seed,
        way: WayWanted::Sawn,
        ..Settings::default()
    };
    Search::new(job, settings).unwrap()
}

fn ready(mut document: Document) -> Job {
    document.plan = None;
    document.pins.clear();
    prepare(&document).job
}

/// A job for a band saw alone.
fn job(boards: Vec<Board>, parts: Vec<Part>) -> Job {
    let mut job = sample::job(boards, parts);
    job.workshop.tools = vec![band_saw()];
    job.workshop.min_offcut = (300.0, 50.0);
    job
}

#[test]
fn boards_with_irregular_parts_apart_are_filled_legally() {
    for seed in 0..12 {
        let document = testkit::sawn_apart(seed, 1 + seed as usize % 3, 5);
        let wanted = document.parts.len();
        let job = ready(document);
        let mut search = search(&job, seed);
        for _ in 0..3 {
            search.step(150);
            assert_legal(&format!("sawn apart {seed}"), &job, search.best());
        }
        let placed = search.best().placed_count();
        assert!(
            5 * placed >= 4 * wanted,
            "sawn apart {seed}: {placed} of {wanted} parts that all fit"
        );
    }
}

#[test]
fn workshop_jobs_are_cut_legally() {
    for seed in 0..10 {
        let size = testkit::JobSize {
            boards: 3 + seed as usize % 4,
            pieces: 8 + 3 * (seed as usize % 5),
            sawn: 60,
        };
        let mut document = testkit::workshop_job(seed, size);
        if seed % 2 == 1 {
            testkit::fit_out(&mut document, seed, testkit::Outfit::Sensible);
        }
        let job = ready(document);
        let mut search = search(&job, seed);
        for _ in 0..3 {
            search.step(120);
            assert_legal(&format!("workshop job {seed}"), &job, search.best());
        }
        assert!(search.best().placed_count() > 0);
    }
}

fn demo() -> Document {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../fixtures/writing-desk.heartside.json"
    );
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

#[test]
fn where_all_boards_are_for_the_band_saw_straight_parts_are_cut_from_them_too() {
    let mut document = demo();
    for board in &mut document.boards {
        board.cuts = Cuts::Sawn;
    }
    let job = ready(document);
    let straight = |p: &Part| p.cut == PartCut::Straight;
    assert!(job.parts.iter().any(straight) && !job.parts.iter().all(straight));
    let mut as_job = Search::new(&job, Settings::default()).unwrap();
    as_job.step(100);
    assert_legal("writing desk, all by line", &job, as_job.best());
    let mut by_line = search(&job, Settings::default().seed);
    by_line.step(100);
    assert_eq!(as_job.best().layouts, by_line.best().layouts);
    assert!(as_job.best().placed_count() >= 20);
}

#[test]
fn the_demo_job_is_cut_legally_by_line() {
    let job = ready(demo());
    let mut search = search(&job, 1);
    search.step(600);
    assert_legal("writing desk", &job, search.best());
    assert!(search.best().placed_count() >= 20);
}

#[test]
fn steps_add_up_and_repeat() {
    let job = ready(testkit::sawn_apart(3, 2, 6));
    let run = |steps: &[u64]| {
        let mut search = search(&job, 5);
        for n in steps {
            search.step(*n);
        }
        search.best().clone()
    };
    assert_eq!(run(&[400]), run(&[1, 149, 250]));
}

#[test]
fn a_small_part_lies_in_the_hole_of_a_large_one() {
    let outer = Ring::new(vec![
        Point::new(0.0, 0.0),
        Point::new(400.0, 0.0),
        Point::new(400.0, 160.0),
        Point::new(0.0, 160.0),
    ]);
    let hole = Ring::new(vec![
        Point::new(40.0, 40.0),
        Point::new(360.0, 40.0),
        Point::new(360.0, 120.0),
        Point::new(40.0, 120.0),
    ]);
    let frame = Region::new(outer.unwrap(), vec![hole.unwrap()]).unwrap();
    let job = job(
        vec![board("A", rectangle(0.0, 0.0, 440.0, 180.0))],
        vec![
            part("frame", 1, frame),
            part("slip", 1, rectangle(0.0, 0.0, 280.0, 50.0)),
        ],
    );
    let mut search = search(&job, 1);
    search.step(50);
    assert_legal("frame", &job, search.best());
    assert_eq!(search.best().placed_count(), 2);
}

#[test]
fn without_tolerance_nothing_lies_on_bent_grain() {
    let mut bent = board("A", rectangle(0.0, 0.0, 900.0, 240.0));
    let line = [(0.0, 40.0), (300.0, 60.0), (600.0, 130.0), (900.0, 240.0)];
    let line: Vec<Point> = line.iter().map(|p| Point::new(p.0, p.1)).collect();
    bent.grain = GrainField::bent(0.0, &[line], bent.outline.bounds());
    let mut leg = part("leg", 2, rectangle(0.0, 0.0, 300.0, 50.0));
    let strict = GrainRule::Axis {
        across: false,
        tolerance: 0.0,
    };
    leg.grain = strict;
    let refused = job(vec![bent.clone()], vec![leg.clone()]);
    let mut refusing = search(&refused, 1);
    refusing.step(500);
    assert_legal("bent, strict", &refused, refusing.best());
    assert_eq!(refusing.best().placed_count(), 0);
    assert_eq!(refusing.best().unplaced[0].copies, vec![1, 2]);
    leg.grain = GrainRule::Axis {
        across: false,
        tolerance: 12.0,
    };
    let allowed = job(vec![bent], vec![leg]);
    let mut allowing = search(&allowed, 1);
    allowing.step(500);
    assert_legal("bent, easy", &allowed, allowing.best());
    assert_eq!(allowing.best().placed_count(), 2);
}

#[test]
fn pins_stay_and_others_keep_clear_of_them() {
    let bracket = polygon(&[
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 40.0),
        (60.0, 60.0),
        (0.0, 160.0),
    ]);
    let mut job = job(
        vec![board("A", rectangle(0.0, 0.0, 900.0, 240.0))],
        vec![part("bracket", 6, bracket)],
    );
    let at = Placed {
        x: 300.0,
        y: 40.0,
        turn: 2.5,
        turned_over: false,
    };
    job.pins.push(Pin {
        part: PartCopy {
            part: "bracket".into(),
            copy: 4,
        },
        board: heartside_timber::document::BoardCopy {
            board: "A".into(),
            copy: 1,
        },
        at,
    });
    let mut search = search(&job, 1);
    let lies_pinned = |plan: &Plan| {
        let (l, p) = plan.find("bracket", 4).unwrap();
        plan.layouts[l].placements[p].at == at
    };
    assert!(lies_pinned(search.best()), "from the start");
    search.step(400);
    assert_legal("pins", &job, search.best());
    assert!(lies_pinned(search.best()));
    assert!(search.best().placed_count() >= 4);
}

#[test]
fn parts_too_large_and_boards_all_defect_are_left_honestly() {
    let mut rotten = board("R", rectangle(0.0, 0.0, 1000.0, 200.0));
    rotten
        .zones
        .push(zone(ZoneKind::Defect, rectangle(0.0, 0.0, 1000.0, 200.0)));
    let job = job(
        vec![rotten, board("A", rectangle(0.0, 0.0, 800.0, 200.0))],
        vec![
            part("giant", 1, rectangle(0.0, 0.0, 3000.0, 100.0)),
            part("leg", 2, rectangle(0.0, 0.0, 600.0, 60.0)),
        ],
    );
    let mut search = search(&job, 1);
    search.step(300);
    let plan = search.best();
    assert_legal("rotten", &job, plan);
    assert_eq!(plan.placed_count(), 2);
    assert!(plan.layout("R", 1).is_none());
    assert_eq!(plan.unplaced.len(), 1);
}

#[test]
fn a_thousand_corners_are_no_trouble() {
    let lobes: Vec<(f64, f64)> = (0..1000)
        .map(|k| {
            let (s, c) = heartside_geometry::math::sin_cos_deg(0.36 * f64::from(k));
            let (s5, _) = heartside_geometry::math::sin_cos_deg(1.8 * f64::from(k));
            let r = 60.0 + 12.0 * s5;
            (72.0 + r * c, 72.0 + r * s)
        })
        .collect();
    let outline = polygon(&lobes);
    let back = heartside_geometry::Pose::new(-outline.bounds().min.x, -outline.bounds().min.y, 0.0);
    let job = job(
        vec![board("A", rectangle(0.0, 0.0, 500.0, 180.0))],
        vec![part("flower", 2, back.apply_region(&outline))],
    );
    let mut search = search(&job, 1);
    search.step(20);
    assert_legal("flowers", &job, search.best());
    assert_eq!(search.best().placed_count(), 2);
}

#[test]
fn several_boards_are_given_up_for_one_that_costs_less_than_they_together() {
    // The small ones are cheaper for their area, and no one of them for all: they come first.
    let mut boards: Vec<Board> = (1..=3)
        .map(|k| board(&format!("small {k}"), rectangle(0.0, 0.0, 350.0, 140.0)))
        .collect();
    boards.iter_mut().for_each(|b| b.cost = 10.0);
    boards.push(board("large", rectangle(0.0, 0.0, 1000.0, 140.0)));
    boards[3].cost = 29.0;
    let slanting = polygon(&[(0.0, 0.0), (280.0, 0.0), (300.0, 90.0), (20.0, 90.0)]);
    let job = job(boards, vec![part("rail", 3, slanting)]);
    let mut search = search(&job, 1);
    search.step(20);
    assert_eq!(search.score().cost, 30.0);
    // Exchanges come once simpler changes have bettered nothing for a while.
    search.step(40_000);
    assert_eq!(search.score().cost, 29.0);
    assert_legal("one board for three", &job, search.best());
}

#[test]
fn the_greatest_value_leaves_out_what_is_worth_least() {
    let mut cheap = part("cheap", 8, rectangle(0.0, 0.0, 200.0, 80.0));
    cheap.value = 1.0;
    let mut dear = part("dear", 4, rectangle(0.0, 0.0, 200.0, 80.0));
    dear.value = 10.0;
    let mut job = job(
        vec![board("A", rectangle(0.0, 0.0, 660.0, 200.0))],
        vec![cheap, dear],
    );
    job.goal = Goal::Value;
    let mut search = search(&job, 1);
    let status = search.step(300);
    assert_legal("value", &job, search.best());
    assert_ne!(
        search.best().placed_count(),
        0,
        "{status:?} {:?}",
        search.bound()
    );
    let dear = |plan: &Plan| {
        let all = plan.layouts.iter().flat_map(|l| &l.placements);
        all.filter(|p| p.part == "dear").count()
    };
    assert_eq!(dear(search.best()), 4);
    assert_eq!(search.best().placed_count(), 6);
}
