//! Shapes and boards that are hardly any, set out by line: the search ends its steps in good time,
//! never gives a plan that the checker refuses, and says of what it leaves out why, and which
//! board would take it.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use std::sync::mpsc::channel;
use std::time::Duration;

use heartside_check::check;
use heartside_geometry::math::sin_cos_deg;
use heartside_nest::{Search, Settings, WayWanted, reasons_of};
use heartside_testkit::{SawnCutApart, sawn_cut_apart};
use heartside_timber::finding::Severity;
use heartside_timber::job::Job;
use heartside_timber::plan::{Plan, Unplaced, UnplacedReason};
use heartside_timber::prepare::prepare;
use heartside_trials::instance::{Instance, Options};
use serde_json::{Value, json};

/// A job of these boards and parts that has no fault; boards and parts are sawn by line, planed and
/// flat, with straight sides, so that nothing is taken off them.
fn job(boards: Vec<Value>, parts: Vec<Value>) -> Job {
    let document = json!({
        "format": "heartside-job",
        "version": 1,
        "workshop": {
            "tools": [{ "name": "Band saw", "does": ["sawn", "rip", "crosscut"], "kerf": 2, "can_skim": true }],
            "fallback_kerf": { "rip": 2, "crosscut": 2, "sawn": 2 },
            "trim": { "end": 10, "edge": 4 }
        },
        "allowances": { "end": 0, "edge": 0, "sawn": 2, "planing": 0, "clean_up": 0 },
        "boards": boards,
        "parts": parts,
    });
    let prepared = prepare(&serde_json::from_value(document).unwrap());
    let errors = prepared.has_errors();
    assert!(!errors, "{:#?}", prepared.diagnostics);
    prepared.job
}

fn board(id: &str, points: &[(f64, f64)]) -> Value {
    json!({
        "id": id, "thickness": 25, "surface": "planed", "warp": {}, "cuts": "sawn", "grain": { "angle": 0 },
        "outline": { "form": "polygon", "points": points, "sides": vec!["straight"; points.len()] },
    })
}

fn part(id: &str, count: u32, points: &[(f64, f64)]) -> Value {
    json!({
        "id": id, "count": count, "thickness": 25, "cut": "sawn", "faces": "none",
        "shape": { "form": "polygon", "points": points },
        "grain": { "axis": "along", "tolerance": 5 },
    })
}

fn rectangle(length: f64, width: f64) -> Vec<(f64, f64)> {
    vec![(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
}

/// A round outline of so many corners that goes in and out as often as `lobes` says.
fn lobed(corners: u32, lobes: f64, radius: f64, depth: f64) -> Vec<(f64, f64)> {
    (0..corners)
        .map(|k| {
            let at = 360.0 * f64::from(k) / f64::from(corners);
            let (sine, cosine) = sin_cos_deg(at);
            let r = radius + depth * sin_cos_deg(lobes * at).0;
            (radius + depth + r * cosine, radius + depth + r * sine)
        })
        .collect()
}

/// What so many steps make of a job: a plan without a fault that tells of every piece.
///
/// A search that hangs fails here after three minutes; what is asked takes seconds.
fn set_out(job: &Job, steps: u64) -> Plan {
    let (done, wait) = channel();
    let (asked, settings) = (
        job.clone(),
        Settings {
            way: WayWanted::Sawn,
            ..Settings::default()
        },
    );
    std::thread::spawn(move || {
        let mut search = Search::new(&asked, settings).expect("worker 0 of 1 exists");
        search.step(steps);
        // Nobody listens any more where it took too long.
        let _ = done.send(search.best().clone());
    });
    let plan = wait
        .recv_timeout(Duration::from_secs(180))
        .expect("the search neither hangs nor panics");
    let broken: Vec<_> = check(job, &plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect();
    assert!(broken.is_empty(), "{broken:#?}");
    let left: usize = plan.unplaced.iter().map(|u| u.copies.len()).sum();
    assert_eq!((plan.placed_count() + left) as u64, job.piece_count());
    plan
}

/// Why the copies of a part were left out.
fn left<'a>(plan: &'a Plan, part: &str) -> &'a Unplaced {
    plan.unplaced.iter().find(|u| u.part == part).unwrap()
}

#[test]
fn needles_are_laid_like_anything_else() {
    let needle = rectangle(400.0, 0.02);
    let splinter = [(0.0, 0.0), (300.0, 0.1), (0.0, 0.2)];
    // Teeth as thin as hairs on a bar.
    let mut comb = vec![(0.0, 0.0), (200.0, 0.0)];
    for tooth in (0..20).rev() {
        let x = 10.0 * f64::from(tooth);
        comb.extend([(x + 0.3, 10.0), (x + 0.25, 40.0), (x + 0.2, 10.0)]);
    }
    comb.push((0.0, 10.0));
    let job = job(
        vec![board("A", &rectangle(1000.0, 160.0))],
        vec![
            part("needle", 6, &needle),
            part("splinter", 6, &splinter),
            part("comb", 4, &comb),
        ],
    );
    let plan = set_out(&job, 300);
    assert_eq!(plan.placed_count(), 16, "{:?}", plan.unplaced);
}

#[test]
fn boards_as_thin_as_needles_carry_nothing_and_do_no_harm() {
    // A board that runs out in a tip, one that is a hair all over, and a shake as thin as paper.
    let tip = [
        (0.0, 0.0),
        (500.0, 60.0),
        (2000.0, 60.01),
        (500.0, 60.2),
        (0.0, 120.0),
    ];
    let mut split = board("S", &rectangle(900.0, 120.0));
    split["zones"] = json!([{ "kind": "defect", "shape": { "form": "polygon",
        "points": [[0, 60], [900, 59.99], [900, 60.01]] } }]);
    let job = job(
        vec![board("T", &tip), board("H", &rectangle(900.0, 0.05)), split],
        vec![
            part("slat", 4, &rectangle(400.0, 40.0)),
            part("strip", 1, &rectangle(800.0, 70.0)),
        ],
    );
    let plan = set_out(&job, 300);
    assert_eq!(plan.placed_count(), 4, "the slats lie beside the shake");
    assert!(plan.layout("H", 1).is_none());
    assert_eq!(left(&plan, "strip").reason, UnplacedReason::Zones);
}

#[test]
fn parts_of_thousands_of_corners_are_laid() {
    let job = job(
        vec![board("A", &rectangle(700.0, 200.0))],
        vec![
            part("rosette", 2, &lobed(5000, 25.0, 80.0, 5.0)),
            part("disc", 2, &lobed(5000, 1.0, 40.0, 0.0)),
            part("slip", 2, &rectangle(150.0, 30.0)),
        ],
    );
    let plan = set_out(&job, 8);
    assert_eq!(plan.placed_count(), 6, "{:?}", plan.unplaced);
}

/// As a board is that was traced from a photograph.
#[test]
fn a_board_of_hundreds_of_corners_is_laid_on() {
    traced_board(500);
}

#[test]
fn a_board_of_thousands_of_corners_is_laid_on() {
    traced_board(5000);
}

/// Three discs find room on a wavy round board of so many corners.
fn traced_board(corners: u32) {
    let job = job(
        vec![board("A", &lobed(corners, 40.0, 300.0, 4.0))],
        vec![part("disc", 3, &lobed(corners, 1.0, 40.0, 0.0))],
    );
    let plan = set_out(&job, 20);
    assert_eq!(plan.placed_count(), 3, "{:?}", plan.unplaced);
}

/// A board whose long raw edges wave, traced with so many corners.
fn waney_board(corners: u32) -> Value {
    let half = corners / 2;
    let edge = |k: u32, at: f64| {
        let share = f64::from(k) / f64::from(half - 1);
        let wave = |count: f64, depth: f64| depth * sin_cos_deg(360.0 * count * share + at).0;
        let y = at + wave(3.0, 8.0) + wave(37.0, 2.0) + wave(411.0, 0.4);
        (2000.0 * share, y)
    };
    let mut points: Vec<(f64, f64)> = (0..half).map(|k| edge(k, 0.0)).collect();
    points.extend((0..half).rev().map(|k| edge(k, 200.0)));
    let mut waney = board("A", &points);
    waney["cuts"] = json!("any");
    waney["outline"]["sides"] = json!(vec!["raw"; points.len()]);
    waney
}

#[test]
fn both_engines_lay_on_a_raw_board_of_thousands_of_corners() {
    // Within the waves and their trim three slats lie side by side, and three of them one after the other.
    for cut in ["sawn", "straight"] {
        let mut slat = part("slat", 8, &rectangle(600.0, 47.0));
        slat["cut"] = json!(cut);
        let job = job(vec![waney_board(5000)], vec![slat]);
        let mut search = Search::new(&job, Settings::default()).unwrap();
        search.step(60);
        let plan = search.best();
        assert_eq!(plan.placed_count(), 8, "{cut}: {:?}", plan.unplaced);
        let found = check(&job, plan);
        let broken = found.iter().find(|f| f.severity == Severity::Broken);
        assert!(broken.is_none(), "{cut}: {broken:?}");
    }
}

#[test]
fn published_outlines_of_ten_thousand_corners_are_laid() {
    // Published parts have no allowance within which an outline could be made simpler.
    let instance = json!({
        "name": "corners", "kind": "strip-irregular", "units": "none", "strip_height": 400,
        "parts": [
            { "id": "round", "outline": lobed(10_000, 1.0, 60.0, 0.0), "quantity": 2, "rotations_deg": [0] },
            { "id": "rosette", "outline": lobed(10_000, 8.0, 60.0, 6.0), "quantity": 1, "rotations_deg": [0] },
        ],
    });
    let job = Instance::read(&instance.to_string(), &Options::default())
        .unwrap()
        .job;
    let plan = set_out(&job, 3);
    assert_eq!(plan.placed_count(), 3, "{:?}", plan.unplaced);
}

#[test]
fn outlines_may_touch_themselves() {
    // Two lobes that hang together in one point, a notch whose tip meets the other side, and a
    // hole that touches the outline.
    let lobes = [
        (0.0, 0.0),
        (60.0, 30.0),
        (120.0, 0.0),
        (120.0, 60.0),
        (60.0, 30.0),
        (0.0, 60.0),
    ];
    let notch = [
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 60.0),
        (120.0, 60.0),
        (100.0, 0.0),
        (80.0, 60.0),
        (0.0, 60.0),
    ];
    let mut frame = part("frame", 1, &rectangle(200.0, 100.0));
    frame["shape"]["holes"] = json!([[[0, 50], [60, 20], [180, 50], [60, 80]]]);
    let waist = [
        (0.0, 0.0),
        (400.0, 80.0),
        (800.0, 0.0),
        (800.0, 160.0),
        (400.0, 80.0),
        (0.0, 160.0),
    ];
    let job = job(
        vec![board("W", &waist), board("A", &rectangle(600.0, 160.0))],
        vec![
            part("lobes", 3, &lobes),
            part("notch", 2, &notch),
            part("slip", 2, &rectangle(90.0, 20.0)),
            frame,
        ],
    );
    let plan = set_out(&job, 300);
    assert!(plan.placed_count() >= 7, "{:?}", plan.unplaced);
}

#[test]
fn crumbs_lie_beside_giants() {
    let job = job(
        vec![
            board("A", &rectangle(6000.0, 1500.0)),
            board("B", &rectangle(40.0, 30.0)),
        ],
        vec![
            part("top", 1, &rectangle(5900.0, 1400.0)),
            part("crumb", 30, &rectangle(0.2, 0.1)),
            part("pin", 10, &lobed(12, 1.0, 1.5, 0.0)),
        ],
    );
    let plan = set_out(&job, 300);
    assert_eq!(plan.placed_count(), 41, "{:?}", plan.unplaced);
}

#[test]
fn rings_lie_in_the_holes_of_rings() {
    let ring = |id: &str, radius: f64| {
        let inside: Vec<(f64, f64)> = lobed(60, 1.0, radius - 12.0, 0.0)
            .into_iter()
            .map(|(x, y)| (x + 12.0, y + 12.0))
            .collect();
        let mut ring = part(id, 1, &lobed(60, 1.0, radius, 0.0));
        ring["shape"]["holes"] = json!([inside]);
        ring["grain"] = json!({ "axis": "any" });
        ring
    };
    let job = job(
        vec![board("A", &rectangle(330.0, 330.0))],
        vec![
            ring("large", 160.0),
            ring("middle", 135.0),
            ring("small", 110.0),
            part("core", 1, &rectangle(120.0, 100.0)),
        ],
    );
    let plan = set_out(&job, 100);
    assert_eq!(plan.placed_count(), 4, "{:?}", plan.unplaced);
}

#[test]
fn what_is_larger_than_every_board_is_told_the_board_it_needs() {
    let boards = || vec![board("A", &rectangle(900.0, 200.0))];
    let lens = [(0.0, 40.0), (700.0, 0.0), (1400.0, 40.0), (700.0, 90.0)];
    let wide = [(0.0, 0.0), (500.0, 20.0), (480.0, 260.0), (30.0, 240.0)];
    let parts = || {
        vec![
            part("rail", 2, &lens),
            part("seat", 1, &wide),
            part("slip", 2, &rectangle(300.0, 40.0)),
        ]
    };
    let short = job(boards(), parts());
    let plan = set_out(&short, 200);
    assert_eq!(plan.placed_count(), 2);
    assert_eq!(left(&plan, "rail").reason, UnplacedReason::Length);
    assert_eq!(left(&plan, "rail").copies, [1, 2]);
    assert_eq!(left(&plan, "seat").reason, UnplacedReason::Width);
    // A board of the size that is told takes the part indeed.
    for (id, each) in [("rail", 2), ("seat", 1)] {
        let [length, width, thickness] = left(&plan, id).least_board.unwrap();
        let mut least = board("L", &rectangle(length, width));
        least["thickness"] = json!(thickness);
        least["count"] = json!(each);
        let longer = job([boards(), vec![least]].concat(), parts());
        let plan = set_out(&longer, 200);
        assert!(plan.unplaced.iter().all(|u| u.part != id), "{id}");
    }
}

/// A board whose grain sweeps up to its upper edge.
fn bent_board() -> Value {
    let mut bent = board("A", &rectangle(900.0, 240.0));
    bent["grain"] = json!({ "lines": [[[0, 40], [300, 60], [600, 130], [900, 240]]] });
    bent
}

#[test]
fn grain_that_bends_takes_nothing_that_allows_no_bend() {
    let bent = bent_board();
    let strict = |tolerance: f64| {
        let mut leg = part(
            "leg",
            2,
            &[(0.0, 0.0), (300.0, 0.0), (280.0, 50.0), (0.0, 40.0)],
        );
        leg["grain"]["tolerance"] = json!(tolerance);
        leg
    };
    let plan = set_out(&job(vec![bent.clone()], vec![strict(0.0)]), 300);
    assert_eq!(plan.placed_count(), 0);
    assert_eq!(left(&plan, "leg").copies, [1, 2]);
    // A straight board beside it, or a little more tolerance, is what helps.
    let straight = board("B", &rectangle(900.0, 240.0));
    let plan = set_out(&job(vec![bent.clone(), straight], vec![strict(0.0)]), 300);
    assert_eq!(plan.placed_count(), 2);
    assert!(plan.layout("A", 1).is_none());
    let plan = set_out(&job(vec![bent], vec![strict(12.0)]), 300);
    assert_eq!(plan.placed_count(), 2);
}

#[test]
fn boards_that_are_all_defect_carry_nothing() {
    let flawed = |id: &str, zones: Value| {
        let mut board = board(id, &rectangle(800.0, 160.0));
        board["zones"] = zones;
        board
    };
    let spot = |x: f64, y: f64, size: f64| {
        json!({ "kind": "defect", "shape": { "form": "spot", "from": "chalk_line", "along": x, "across": y,
            "length": size, "width": size } })
    };
    // One zone over all, one larger than the board, and a board with a knot wherever one looks.
    let all = json!([{ "kind": "defect", "shape": { "form": "polygon", "points": rectangle(800.0, 160.0) } }]);
    let more = json!([{ "kind": "defect", "margin": 20, "shape": { "form": "polygon",
        "points": [[-50, -50], [900, -50], [900, 300], [-50, 300]] } }]);
    let knots: Vec<Value> = (0..40)
        .flat_map(|i| (0..8).map(move |j| (f64::from(i), f64::from(j))))
        .map(|(i, j)| spot(10.0 + 20.0 * i, 10.0 + 20.0 * j, 19.0))
        .collect();
    let job = job(
        vec![
            flawed("R", all),
            flawed("S", more),
            flawed("K", json!(knots)),
        ],
        vec![
            part("leg", 2, &rectangle(300.0, 40.0)),
            part("chip", 2, &rectangle(30.0, 10.0)),
        ],
    );
    let plan = set_out(&job, 200);
    assert_eq!(plan.placed_count(), 0);
    for part in ["leg", "chip"] {
        assert_eq!(left(&plan, part).reason, UnplacedReason::Zones);
        assert!(left(&plan, part).least_board.is_some());
    }
}

#[test]
fn bent_grain_is_not_taken_for_a_lack_of_size() {
    let mut slat = part("slat", 1, &rectangle(300.0, 50.0));
    slat["grain"]["tolerance"] = json!(0.0);
    let job = job(vec![bent_board()], vec![slat]);
    let plan = set_out(&job, 50);
    let left = left(&plan, "slat");
    let [length, width, _] = left.least_board.unwrap();
    assert!(length < 900.0 && width < 240.0, "the board is large enough");
    let size = [UnplacedReason::Length, UnplacedReason::Width];
    assert!(!size.contains(&left.reason), "{:?}", left.reason);
}

/// A board bent like a boomerang, a part that follows the bend, and one that lies anywhere.
fn boomerangs() -> Job {
    let bend = |length: f64, rise: f64, width: f64| {
        let middle = 0.5 * length;
        [
            (0.0, 0.0),
            (middle, rise),
            (length, 0.0),
            (length, width),
            (middle, rise + width),
            (0.0, width),
        ]
    };
    let mut board = board("A", &bend(1000.0, 150.0, 150.0));
    board["cuts"] = json!("any");
    let parts = vec![
        part("bow", 1, &bend(900.0, 135.0, 60.0)),
        part("slip", 1, &rectangle(60.0, 30.0)),
    ];
    job(vec![board], parts)
}

#[test]
fn a_bent_part_comes_out_of_a_bent_board() {
    assert_eq!(set_out(&boomerangs(), 100).placed_count(), 2);
}

#[test]
fn a_bent_part_is_not_said_to_be_too_wide_for_a_bent_board() {
    assert_eq!(reasons_of(&boomerangs())[0], UnplacedReason::NoRoom);
}

/// What is said of the only part of a job with one board, should it find no place.
fn said_of(board: Value, part: Value) -> UnplacedReason {
    reasons_of(&job(vec![board], vec![part]))[0]
}

#[test]
fn reasons_are_true_of_the_outline() {
    let plain = || board("A", &rectangle(900.0, 200.0));
    let slat = |length: f64, width: f64| part("slat", 1, &rectangle(length, width));
    // Too large at every turn, which is certain; and by a hair not.
    assert_eq!(said_of(plain(), slat(897.0, 50.0)), UnplacedReason::Length);
    assert_eq!(said_of(plain(), slat(895.0, 50.0)), UnplacedReason::NoRoom);
    assert_eq!(said_of(plain(), slat(300.0, 197.0)), UnplacedReason::Width);
    // A triangle as long and wide as the rectangle takes no such slat: the box cannot tell, trying all places can.
    let wedge = board("A", &[(0.0, 0.0), (900.0, 0.0), (0.0, 200.0)]);
    assert_eq!(said_of(wedge, slat(700.0, 150.0)), UnplacedReason::Width);
    // A shake right across bars every place; one that leaves room at an end does not.
    let shake = |x: f64| {
        let mut board = plain();
        board["zones"] = json!([{ "kind": "defect", "shape": { "form": "polygon",
            "points": [[x, 0], [x + 10.0, 0], [x + 10.0, 200], [x, 200]] } }]);
        board
    };
    assert_eq!(
        said_of(shake(450.0), slat(500.0, 50.0)),
        UnplacedReason::Zones
    );
    assert_eq!(
        said_of(shake(330.0), slat(500.0, 50.0)),
        UnplacedReason::NoRoom
    );
    // A straight part on a board that bends.
    let mut straight = slat(300.0, 50.0);
    straight["cut"] = json!("straight");
    straight["grain"]["tolerance"] = json!(0.0);
    assert_eq!(said_of(bent_board(), straight), UnplacedReason::Grain);
}

#[test]
fn nothing_is_proved_best_that_leaves_out_what_could_be_placed() {
    let job = boomerangs();
    let settings = Settings {
        way: WayWanted::Straight,
        ..Settings::default()
    };
    let mut search = Search::new(&job, settings).unwrap();
    search.step(200);
    // Straight cuts free no bow; by line both come out of the board, at the same cost.
    assert_eq!(search.best().placed_count(), 1);
    assert_eq!(search.bound().proved_for, None);
}

#[test]
fn what_came_out_of_the_boards_is_never_said_not_to_fit() {
    for seed in 0..30 {
        let document = sawn_cut_apart(seed, SawnCutApart::default());
        let job = prepare(&document).job;
        for (part, reason) in job.parts.iter().zip(reasons_of(&job)) {
            assert_eq!(reason, UnplacedReason::NoRoom, "seed {seed}: {}", part.id);
        }
    }
}

#[test]
fn no_floor_is_above_a_plan_that_is_known() {
    for seed in 0..30 {
        let document = sawn_cut_apart(seed, SawnCutApart::default());
        let job = prepare(&document).job;
        let plan = document.plan.unwrap();
        let cost = heartside_timber::score::Score::of(&job, &plan).cost;
        let floor = heartside_nest::bound_of(&job).value;
        assert!(
            floor <= cost * (1.0 + 1e-9),
            "seed {seed}: {floor} > {cost}"
        );
    }
}
