//! Where offcuts are asked for, the parts of a board sawn by line are pressed together, and the
//! largest clear offcut is parted off whole.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use crate::sample;

use heartside_geometry::{Bounds, Point, Region, Ring};
use heartside_nest::{Search, Settings, WayWanted, break_down};
use heartside_testkit as testkit;
use heartside_timber::document::{Aim, BoardCopy, PartCopy, ZoneKind};
use heartside_timber::job::{Allowances, Board, GrainRule, Job, Part, Pin, Zone};
use heartside_timber::plan::{CutNode, Frame, Layout, Placed, Placement, Plan, Way};
use heartside_timber::prepare::prepare;
use heartside_timber::score::{Score, counted_area};
use heartside_timber::workpieces::{Ground, Workpieces};
use sample::{assert_legal, plank, rectangle, zone};

const LENGTH: f64 = 2400.0;
const WIDTH: f64 = 200.0;
const TRIM_END: f64 = 15.0;
/// What a cut keeps from the parts, and its kerf.
const CUT: f64 = 10.0 + 2.4;

/// A part with nothing to spare along the lines that are sawn.
fn part(id: &str, outline: Region) -> Part {
    Part {
        grain: GrainRule::Axis {
            across: false,
            tolerance: 2.0,
        },
        may_turn_over: false,
        allowances: Allowances {
            end: 5.0,
            edge: 2.0,
            sawn: 0.0,
            planing: 0.5,
            clean_up: 0.5,
        },
        value: 1.0,
        ..sample::part(id, 1, outline)
    }
}

/// A job that asks for offcuts: they come before the sawing.
fn job(boards: Vec<Board>, parts: Vec<Part>) -> Job {
    let mut job = sample::job(boards, parts);
    job.order = vec![Aim::Timber, Aim::Offcuts, Aim::Figure, Aim::Labour];
    job.workshop.trim_end = TRIM_END;
    job
}

fn defect(x0: f64, y0: f64, x1: f64, y1: f64) -> Zone {
    zone(ZoneKind::Defect, rectangle(x0, y0, x1, y1))
}

/// Lines right across the start of a board, cut apart: six parts with slanting ends that lie a
/// band saw's kerf apart, the whole width of the board. Also how far along they reach, and where
/// each lies then.
fn cut_apart() -> (Vec<Part>, f64, Vec<f64>) {
    // Where the line between two parts meets the middle of the board, and how far it slants.
    let lines: [(f64, f64); 7] = [
        (0.0, 0.0),
        (110.0, 60.0),
        (260.0, -40.0),
        (370.0, 25.0),
        (520.0, 70.0),
        (640.0, -30.0),
        (760.0, 0.0),
    ];
    let (mut parts, mut places) = (Vec::new(), Vec::new());
    for (k, pair) in lines.windows(2).enumerate() {
        let at = |(middle, slant): (f64, f64), y: f64| middle + slant * (y / WIDTH - 0.5);
        // Half a kerf, square to the line, and a hair.
        let off = |(_, slant): (f64, f64)| 1.01 * (1.0 + (slant / WIDTH) * (slant / WIDTH)).sqrt();
        let corner = |line: (f64, f64), y: f64, sign: f64| at(line, y) + sign * off(line);
        let left = [corner(pair[0], 0.0, 1.0), corner(pair[0], WIDTH, 1.0)];
        let right = [corner(pair[1], 0.0, -1.0), corner(pair[1], WIDTH, -1.0)];
        let origin = left[0].min(left[1]);
        let ring = Ring::new(vec![
            Point::new(left[0] - origin, 0.0),
            Point::new(right[0] - origin, 0.0),
            Point::new(right[1] - origin, WIDTH),
            Point::new(left[1] - origin, WIDTH),
        ]);
        parts.push(part(&format!("P{k}"), Region::from_ring(ring.unwrap())));
        places.push(TRIM_END + origin);
    }
    (parts, TRIM_END + 760.0, places)
}

fn search(job: &Job) -> Search {
    let settings = Settings {
        way: WayWanted::Sawn,
        ..Settings::default()
    };
    Search::new(job, settings).unwrap()
}

/// The offcuts of a layout on a board of the job.
fn offcuts(job: &Job, layout: &Layout) -> Vec<Bounds> {
    let Some(tree) = &layout.cuts else {
        return Vec::new();
    };
    let outline = &job.board(&layout.board.board).unwrap().outline;
    Workpieces::of(tree, Frame::default(), outline)
        .iter()
        .filter(|piece| tree.nodes[piece.node] == CutNode::Offcut)
        .map(|piece| piece.bounds)
        .collect()
}

/// The longest stretch right across the board without a defect, in any of the offcuts.
fn longest_clear(job: &Job, plan: &Plan) -> f64 {
    let mut longest = 0.0_f64;
    for layout in &plan.layouts {
        let board = job.board(&layout.board.board).unwrap();
        for offcut in offcuts(job, layout) {
            if offcut.height() < board.outline.bounds().height() {
                continue;
            }
            let mut lines = vec![offcut.min.x, offcut.max.x];
            let flaws: Vec<(f64, f64)> = board
                .zones
                .iter()
                .map(|z| z.shape.bounds().grown(z.margin))
                .map(|b| (b.min.x, b.max.x))
                .collect();
            lines.extend(flaws.iter().flat_map(|f| [f.0, f.1]));
            lines.retain(|x| *x >= offcut.min.x && *x <= offcut.max.x);
            lines.sort_by(f64::total_cmp);
            for pair in lines.windows(2) {
                let middle = 0.5 * (pair[0] + pair[1]);
                if !flaws.iter().any(|f| f.0 < middle && middle < f.1) {
                    longest = longest.max(pair[1] - pair[0]);
                }
            }
        }
    }
    longest
}

/// The plan after so many steps: checked, complete, each plan on the way no worse than the last.
#[track_caller]
fn gathered(job: &Job, start: Option<Layout>, steps: u64) -> Plan {
    let mut search = search(job);
    if let Some(layout) = start {
        assert!(search.go_on_from(vec![layout]));
    }
    for _ in 0..10 {
        let before = search.score().clone();
        search.step(steps / 10);
        assert!(!before.better_than(search.score(), &job.order));
    }
    assert_legal("pressed together", job, search.best());
    assert!(search.best().unplaced.is_empty());
    search.best().clone()
}

/// At least this share of the best offcut known is found.
const SHARE: f64 = 0.97;
const STEPS: u64 = 6000;

#[test]
fn spread_parts_are_compacted_and_the_rest_is_parted_off_by_one_cut() {
    let (parts, reach, _) = cut_apart();
    let job = job(vec![plank("A", LENGTH, WIDTH)], parts);
    let placements = (0..6).map(|k| Placement {
        part: format!("P{k}"),
        copy: 1,
        at: Placed {
            x: 20.0 + 380.0 * f64::from(k),
            y: 0.0,
            turn: 0.0,
            turned_over: false,
        },
        ..Placement::default()
    });
    let spread = Layout {
        board: BoardCopy {
            board: "A".into(),
            copy: 1,
        },
        way: Way::Sawn,
        frame: Frame::default(),
        placements: placements.collect(),
        cuts: None,
    };
    let best_known = LENGTH - reach - CUT;
    for start in [None, Some(spread)] {
        let plan = gathered(&job, start, STEPS);
        let found = longest_clear(&job, &plan);
        assert!(found >= SHARE * best_known, "{found} of {best_known}");
        assert_eq!(offcuts(&job, &plan.layouts[0]).len(), 1);
        assert_eq!(plan.layouts[0].way, Way::Sawn);
    }
}

#[test]
fn the_end_with_the_longer_clear_rest_is_kept() {
    let (parts, reach, places) = cut_apart();
    // Beyond the parts; at the other end; among them, where those from the third on move past it.
    for (middle, best_known) in [
        (1030.0, LENGTH - 1064.0),
        (1430.0, 1396.0),
        (330.0, LENGTH - (reach + 364.0 - places[2]) - CUT),
    ] {
        let mut one = plank("A", LENGTH, WIDTH);
        one.zones = vec![defect(middle - 30.0, 60.0, middle + 30.0, 120.0)];
        let job = job(vec![one], parts.clone());
        let plan = gathered(&job, None, STEPS);
        let found = longest_clear(&job, &plan);
        assert!(found >= SHARE * best_known, "{found} of {best_known}");
    }
}

#[test]
fn parts_are_compacted_beside_a_pin() {
    let (parts, reach, places) = cut_apart();
    let mut job = job(vec![plank("A", LENGTH, WIDTH)], parts);
    let by = LENGTH - TRIM_END - reach;
    for (part, x) in [("P5", places[5] + by), ("P0", places[0])] {
        job.pins = vec![Pin {
            part: PartCopy {
                part: part.into(),
                copy: 1,
            },
            board: BoardCopy {
                board: "A".into(),
                copy: 1,
            },
            at: Placed {
                x,
                y: 0.0,
                turn: 0.0,
                turned_over: false,
            },
        }];
        let plan = gathered(&job, None, STEPS);
        let found = longest_clear(&job, &plan);
        let best_known = LENGTH - reach - CUT;
        assert!(
            found >= SHARE * best_known,
            "{part}: {found} of {best_known}"
        );
        let at = |p: &&Placement| p.part == part && p.at == job.pins[0].at;
        assert!(plan.layouts[0].placements.iter().any(|p| at(&p)));
    }
}

#[test]
fn long_parts_on_a_wide_board_leave_a_strip_along_it() {
    let wedge = |name: &str| {
        let points = [(0.0, 0.0), (1700.0, 0.0), (1700.0, 70.0), (0.0, 110.0)];
        let points = points.iter().map(|p| Point::new(p.0, p.1)).collect();
        part(name, Region::from_ring(Ring::new(points).unwrap()))
    };
    let job = job(
        vec![plank("A", 1800.0, 500.0)],
        vec![wedge("P0"), wedge("P1")],
    );
    let plan = gathered(&job, None, STEPS);
    // Head to tail they take 180 mm and the kerf between them.
    let best_known = 500.0 - 180.0 - 2.1 - CUT;
    let widest = offcuts(&job, &plan.layouts[0]);
    let widest = widest.iter().filter(|b| b.width() == 1800.0);
    let widest = widest.map(Bounds::height).fold(0.0, f64::max);
    assert!(widest >= SHARE * best_known, "{widest} of {best_known}");
}

#[test]
fn an_offcut_that_earns_money_makes_the_plan_cheaper_and_stays_above_the_floor() {
    let (parts, reach, _) = cut_apart();
    let mut job = job(vec![plank("A", LENGTH, WIDTH)], parts);
    job.order = vec![Aim::Timber, Aim::Figure, Aim::Labour, Aim::Offcuts];
    job.offcut_value = 1000.0;
    let plan = gathered(&job, None, STEPS);
    let best_known = LENGTH - reach - CUT;
    assert!(longest_clear(&job, &plan) >= SHARE * best_known);
    let worth = 1000.0 * longest_clear(&job, &plan) * WIDTH * 27.0 * 1e-9;
    assert!((plan.cost - (20.0 - worth)).abs() < 1e-6, "{}", plan.cost);
    let floor = plan.bound.unwrap();
    assert!(floor.value <= plan.cost);
}

#[test]
fn only_where_it_is_asked_for() {
    let (parts, _, _) = cut_apart();
    // Handy as it lies.
    let mut job = job(vec![plank("A", 1190.0, WIDTH)], parts);
    assert!(job.asks_for_offcuts());
    assert_eq!(
        offcuts(&job, &gathered(&job, None, STEPS).layouts[0]).len(),
        1
    );
    let aims = [Aim::Timber, Aim::Figure, Aim::Labour];
    let mut plans = Vec::new();
    for order in [[0, 1, 2], [0, 2, 1]] {
        job.order = order.iter().map(|k| aims[*k]).collect();
        job.order.push(Aim::Offcuts);
        assert!(!job.asks_for_offcuts());
        let mut search = search(&job);
        search.step(1);
        // No move is made for it, and no chance is drawn.
        for _ in 0..20 {
            search.step(100);
            assert!(search.best().layouts.iter().all(|l| l.cuts.is_none()));
        }
        plans.push((search.best().layouts.clone(), search.fingerprint()));
    }
    assert_eq!(plans[0], plans[1]);
}

#[test]
fn steps_add_up_and_repeat() {
    let size = testkit::JobSize {
        boards: 4,
        pieces: 14,
        sawn: 100,
    };
    let mut document = testkit::workshop_job(3, size);
    document.plan = None;
    let (parts, ..) = cut_apart();
    let own = job(vec![plank("A", LENGTH, WIDTH)], parts);
    let mut generated = prepare(&document).job;
    generated.order = own.order.clone();
    for job in [own, generated] {
        let (mut one, mut two) = (search(&job), search(&job));
        one.step(1501);
        for n in [1, 99, 800, 1, 600] {
            two.step(n);
        }
        assert_eq!(one.best(), two.best());
        assert_eq!(one.fingerprint(), two.fingerprint());
    }
}

#[test]
fn generated_jobs_are_compacted_legally() {
    let (mut spread, mut kept) = (0.0, 0.0);
    for seed in [1, 2, 4, 6] {
        let mut document = testkit::sawn_apart(seed, 4, 3);
        document.plan = None;
        let plain = prepare(&document).job;
        let mut asked = plain.clone();
        asked.order = vec![Aim::Timber, Aim::Offcuts, Aim::Figure, Aim::Labour];
        let score = |job: &Job| {
            let mut search = search(job);
            search.step(1500);
            assert_legal("pressed together", job, search.best());
            let mut plan = search.best().clone();
            for layout in &mut plan.layouts {
                layout.cuts = None;
                break_down(&asked, layout);
            }
            assert_legal("pressed together", &asked, &plan);
            Score::of(&asked, &plan)
        };
        let (before, after) = (score(&plain), score(&asked));
        assert_eq!(before.missing, after.missing);
        assert!(after.cost <= before.cost);
        assert!(after.offcuts <= before.offcuts, "seed {seed}");
        (spread, kept) = (spread - before.offcuts, kept - after.offcuts);
    }
    assert!(kept >= 1.04 * spread, "{kept} in place of {spread}");
}

#[test]
fn of_a_flawed_offcut_the_largest_clear_rectangle_counts() {
    let mut one = plank("A", 1000.0, 400.0);
    one.zones = vec![
        defect(304.0, 4.0, 346.0, 146.0),
        defect(604.0, 254.0, 696.0, 396.0),
        // Sapwood is no flaw here.
        Zone {
            kind: ZoneKind::Sapwood,
            ..defect(0.0, 0.0, 1000.0, 30.0)
        },
    ];
    let (parts, ..) = cut_apart();
    let mut job = job(vec![one], parts);
    let count = |job: &Job, x0: f64, x1: f64| {
        let bounds = Bounds::new(Point::new(x0, 0.0), Point::new(x1, 400.0));
        let whole = Ground::whole(Frame::default(), &job.boards[0].outline);
        counted_area(job, &job.boards[0], &whole, &bounds)
    };
    // Below the second; above the first; between them; beside both.
    assert_eq!(count(&job, 0.0, 1000.0), 650.0 * 250.0);
    assert_eq!(count(&job, 0.0, 800.0), 600.0 * 250.0);
    assert_eq!(count(&job, 320.0, 640.0), 250.0 * 400.0);
    assert_eq!(count(&job, 0.0, 200.0), 200.0 * 400.0);
    job.order = vec![Aim::Timber, Aim::Figure, Aim::Labour, Aim::Offcuts];
    assert_eq!(count(&job, 0.0, 1000.0), 1000.0 * 400.0);
}
