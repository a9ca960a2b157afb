//! Boards that their parts fill exactly: found, proved, and accepted by the independent checker.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use heartside_check::check;
use heartside_geometry::{Point, Region, Ring};
use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::published;
use heartside_timber::document::EdgeKind;
use heartside_timber::finding::Severity;
use heartside_timber::job::{Job, SideState};
use heartside_trials::ENGINES;
use heartside_trials::instance::{Instance, Options};

fn search(job: &Job) -> Search {
    let settings = Settings {
        way: WayWanted::Sawn,
        beside: ENGINES,
        ..Settings::default()
    };
    Search::new(job, settings).unwrap()
}

fn assert_legal(what: &str, job: &Job, search: &Search) {
    let broken = check(job, search.best())
        .into_iter()
        .find(|f| f.severity == Severity::Broken);
    assert!(broken.is_none(), "{what}: {broken:?}");
}

/// The whole job is laid at this cost, proved to be the least, and the search is over.
fn assert_solved(what: &str, job: &Job, steps: u64, cost: f64) {
    let mut search = search(job);
    let status = search.step(steps);
    assert!(status.finished, "{what}: not finished after {steps} steps");
    assert!(search.best().unplaced.is_empty(), "{what}");
    let found = search.score().cost;
    assert!((found - cost).abs() <= 1e-6 * cost, "{what}: {found}");
    assert!(search.bound().proved_for.is_some(), "{what}: not proved");
    assert_legal(what, job, &search);
}

/// Instances cut out of whole boards by Terashima-Marin, Ross, Farias-Zarate, Lopez-Camacho &
/// Valenzuela-Rendon 2010: convex parts (t1) and others (t2).
#[test]
fn published_puzzles_are_put_together_and_proved() {
    for (name, boards) in [
        ("t1_ta001", 3.0),
        ("t1_tb001", 10.0),
        ("t1_td001", 3.0),
        ("t1_tn001", 2.0),
        ("t1_tq001", 15.0),
        ("t2_ta021c20", 3.0),
        ("t2_tm001c5", 5.0),
        ("t2_tw001c8", 4.0),
        ("t2_tz001c20", 12.0),
    ] {
        let Some(instance) = published(&format!("bin-irregular/{name}"), &Options::default())
        else {
            return;
        };
        assert_solved(name, &instance.job, 3_000, boards);
    }
}

#[test]
fn a_strip_that_is_a_puzzle_has_its_least_length_at_once() {
    let Some(instance) = published("strip-irregular/dighe1", &Options::default()) else {
        return;
    };
    assert_solved("dighe1", &instance.job, 200, 100.0);
}

/// Whole numbers from a seed (Knuth's congruential generator for 64 bits).
struct Numbers(u64);

impl Numbers {
    fn unit(&mut self) -> f64 {
        self.0 = (self.0)
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / f64::from(1 << 24)
    }
}

fn area(points: &[Point]) -> f64 {
    let next = |k: usize| points[(k + 1) % points.len()];
    (points.iter().enumerate())
        .map(|(k, p)| 0.5 * (p.x * next(k).y - p.y * next(k).x))
        .sum()
}

/// Both sides of a convex polygon cut by the line through `at` in direction (c, s).
fn cut(points: &[Point], at: Point, (c, s): (f64, f64)) -> [Vec<Point>; 2] {
    let height = |p: Point| c * (p.y - at.y) - s * (p.x - at.x);
    let mut halves = [Vec::new(), Vec::new()];
    for (k, p) in points.iter().enumerate() {
        let q = points[(k + 1) % points.len()];
        let (hp, hq) = (height(*p), height(q));
        halves[usize::from(hp > 0.0)].push(*p);
        if (hp > 0.0) != (hq > 0.0) {
            let met = p.towards(q, hp / (hp - hq));
            halves[0].push(met);
            halves[1].push(met);
        }
    }
    halves
}

/// Convex pieces cut by random lines, the largest first, until there are so many.
fn cut_apart(mut pieces: Vec<Vec<Point>>, count: usize, seed: u64) -> Vec<Vec<Point>> {
    let mut numbers = Numbers(seed);
    let least: f64 = pieces.iter().map(|p| area(p)).sum::<f64>() / count as f64 / 5.0;
    while pieces.len() < count {
        let largest = (0..pieces.len())
            .max_by(|a, b| area(&pieces[*a]).total_cmp(&area(&pieces[*b])))
            .unwrap();
        let piece = pieces[largest].clone();
        let (a, b) = (numbers.unit(), numbers.unit());
        let corner = |share: f64| piece[(share * piece.len() as f64) as usize];
        let at = corner(a).towards(corner(b), 0.3 + 0.4 * numbers.unit());
        // Tangent half angles: no trigonometry in tests either.
        let t = 2.0 * numbers.unit() - 1.0;
        let direction = ((1.0 - t * t) / (1.0 + t * t), 2.0 * t / (1.0 + t * t));
        let direction = if numbers.unit() < 0.5 {
            direction
        } else {
            (direction.1, -direction.0)
        };
        let halves = cut(&piece, at, direction);
        let short =
            |h: &Vec<Point>| (0..h.len()).any(|k| h[k].distance(h[(k + 1) % h.len()]) < 12.0);
        if halves
            .iter()
            .any(|h| h.len() < 3 || area(h) < least || short(h))
        {
            continue;
        }
        let [one, other] = halves;
        pieces[largest] = one;
        pieces.push(other);
    }
    pieces
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<Point> {
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        .map(|(x, y)| Point::new(x, y))
        .to_vec()
}

/// A job to put pieces together again: parts turned by quarters, boards of one outline, both exact.
fn puzzle(board: Region, count: u64, pieces: &[Vec<Point>], seed: u64) -> Job {
    let text = |points: &[Point]| {
        let pairs: Vec<[f64; 2]> = points.iter().map(|p| [p.x, p.y]).collect();
        serde_json::json!(pairs)
    };
    let mut numbers = Numbers(seed ^ 0x5eed);
    let parts: Vec<serde_json::Value> = (pieces.iter().enumerate())
        .map(|(k, points)| {
            let quarters = (4.0 * numbers.unit()) as u32;
            let mut points = points.clone();
            for _ in 0..quarters {
                points.iter_mut().for_each(|p| *p = Point::new(-p.y, p.x));
            }
            serde_json::json!({ "id": format!("{k}"), "outline": text(&points), "quantity": 1,
                "rotations_deg": [0, 90, 180, 270] })
        })
        .collect();
    let file = serde_json::json!({
        "name": "puzzle", "kind": "bin-irregular", "part_count": pieces.len(),
        "boards": [{ "outline": text(board.outer().points()), "defects": [],
            "quantity": count, "cost": 1 }],
        "parts": parts,
    });
    let mut job = Instance::read(&file.to_string(), &Default::default())
        .unwrap()
        .job;
    let sides = board.outer().edges().map(|_| SideState {
        kind: EdgeKind::Straight,
        is_end: false,
    });
    job.boards[0].sides = sides.collect();
    job.boards[0].outline = board;
    job
}

#[test]
fn boards_cut_apart_by_random_lines_are_put_together_again() {
    for seed in 0..12 {
        let mut pieces = Vec::new();
        for board in 0..3 {
            let whole = vec![rectangle(0.0, 0.0, 900.0, 600.0)];
            pieces.extend(cut_apart(whole, 8, 3 * seed + board + 1));
        }
        let board = Region::from_ring(Ring::new(rectangle(0.0, 0.0, 900.0, 600.0)).unwrap());
        let job = puzzle(board, 5, &pieces, seed);
        assert_solved(&format!("seed {seed}"), &job, 4_000, 3.0);
    }
}

#[test]
fn boards_with_inner_corners_are_filled() {
    let points = [
        (0.0, 0.0),
        (900.0, 0.0),
        (900.0, 300.0),
        (400.0, 300.0),
        (400.0, 600.0),
        (0.0, 600.0),
    ];
    let ring = Ring::new(points.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap();
    for seed in 0..6 {
        let halves = vec![
            rectangle(0.0, 0.0, 900.0, 300.0),
            rectangle(0.0, 300.0, 400.0, 600.0),
        ];
        let pieces = cut_apart(halves, 14, 40 + seed);
        let job = puzzle(Region::from_ring(ring.clone()), 2, &pieces, seed);
        assert_solved(&format!("L, seed {seed}"), &job, 4_000, 1.0);
    }
}

#[test]
fn boards_with_a_hole_are_filled() {
    let outer = Ring::new(rectangle(0.0, 0.0, 900.0, 600.0)).unwrap();
    let hole = Ring::new(rectangle(300.0, 200.0, 500.0, 400.0)).unwrap();
    let board = Region::new(outer, vec![hole]).unwrap();
    for seed in 0..6 {
        let around = vec![
            rectangle(0.0, 0.0, 900.0, 200.0),
            rectangle(0.0, 400.0, 900.0, 600.0),
            rectangle(0.0, 200.0, 300.0, 400.0),
            rectangle(500.0, 200.0, 900.0, 400.0),
        ];
        let pieces = cut_apart(around, 14, 70 + seed);
        let job = puzzle(board.clone(), 2, &pieces, seed);
        assert_solved(&format!("hole, seed {seed}"), &job, 4_000, 1.0);
    }
}

#[test]
fn steps_add_up_while_a_puzzle_is_put_together() {
    let pieces = cut_apart(vec![rectangle(0.0, 0.0, 900.0, 600.0)], 16, 5);
    let board = Region::from_ring(Ring::new(rectangle(0.0, 0.0, 900.0, 600.0)).unwrap());
    let job = puzzle(board, 2, &pieces, 5);
    let (mut at_once, mut by_and_by) = (search(&job), search(&job));
    for _ in 0..60 {
        by_and_by.step(1);
    }
    at_once.step(60);
    assert_eq!(at_once.fingerprint(), by_and_by.fingerprint());
    assert_eq!(at_once.best(), by_and_by.best());
}

/// The same puzzle with a saw that takes something: no part touches another any more.
#[test]
fn with_a_kerf_it_is_no_puzzle() {
    let pieces = cut_apart(vec![rectangle(0.0, 0.0, 900.0, 600.0)], 8, 9);
    let board = Region::from_ring(Ring::new(rectangle(0.0, 0.0, 900.0, 600.0)).unwrap());
    let mut job = puzzle(board, 3, &pieces, 9);
    job.workshop.sawn_kerf = 2.0;
    job.workshop.tools.iter_mut().for_each(|t| t.kerf = 2.0);
    let mut search = search(&job);
    search.step(1_000);
    assert!(search.score().cost > 1.5, "{}", search.score().cost);
    assert!(search.best().unplaced.is_empty());
    assert_legal("with a kerf", &job, &search);
}
