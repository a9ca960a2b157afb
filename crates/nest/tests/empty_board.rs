//! What is said of a part and an empty board: nothing that denies what can be done.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use heartside_check::check;
use heartside_geometry::math::sin_cos_deg;
use heartside_geometry::{Bounds, Pose};
use heartside_nest::{Search, Settings, reasons_of};
use heartside_testkit::Chance;
use heartside_timber::blank::Blank;
use heartside_timber::finding::is_sound;
use heartside_timber::job::{GrainRule, Job};
use heartside_timber::plan::{Plan, UnplacedReason};
use heartside_timber::prepare::{Prepared, prepare};
use serde_json::{Value, json};

/// Reasons that say that no board could ever take the part.
const DENIALS: [UnplacedReason; 5] = [
    UnplacedReason::Thickness,
    UnplacedReason::Length,
    UnplacedReason::Width,
    UnplacedReason::Grain,
    UnplacedReason::Zones,
];

fn prepared(board: &Value, part: &Value) -> Prepared {
    let document = json!({
        "format": "heartside-job",
        "version": 1,
        "workshop": {
            "tools": [
                { "name": "Band saw", "does": ["sawn"], "kerf": 2 },
                { "name": "Table saw", "does": ["rip", "crosscut"], "kerf": 3, "can_skim": true, "leaves_true_edge": true }
            ],
            "trim": { "end": 0, "edge": 0 }
        },
        "allowances": { "end": 0, "edge": 0, "sawn": 3, "planing": 0, "clean_up": 0 },
        "boards": [board],
        "parts": [part],
    });
    let prepared = prepare(&serde_json::from_value(document).unwrap());
    assert!(!prepared.has_errors(), "{:#?}", prepared.diagnostics);
    prepared
}

/// A bent rail: a slice of a ring, rising from its first end to its last by the slope.
fn bent(length: f64, width: f64, sagitta: f64, slope: f64, chords: u32) -> Vec<(f64, f64)> {
    let arc = |k: u32, up: f64| {
        let along = f64::from(k) / f64::from(chords);
        let bow = 4.0 * sagitta * along * (1.0 - along);
        (length * along, up + bow + slope * length * along)
    };
    let below = (0..=chords).map(|k| arc(k, 0.0));
    let above = (0..=chords).rev().map(|k| arc(k, width));
    below.chain(above).collect()
}

fn part(points: &[(f64, f64)], cut: &str, tolerance: f64) -> Value {
    json!({
        "id": "part", "count": 1, "thickness": 25, "cut": cut, "faces": "none",
        "shape": { "form": "polygon", "points": points },
        "grain": { "axis": "along", "tolerance": tolerance },
    })
}

fn board(points: &[(f64, f64)], cuts: &str) -> Value {
    json!({
        "id": "board", "thickness": 25, "surface": "planed", "warp": {}, "cuts": cuts, "grain": { "angle": 0 },
        "outline": { "form": "polygon", "points": points, "sides": vec!["straight"; points.len()] },
    })
}

fn rectangle(length: f64, width: f64) -> Vec<(f64, f64)> {
    vec![(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
}

/// The box of the part's blank at a turn.
fn box_at(job: &Job, turn: f64) -> Bounds {
    let pose = Pose {
        x: 0.0,
        y: 0.0,
        turn,
        turned_over: false,
    };
    let blank = Blank::of(&job.parts[0]);
    pose.apply_region(&blank.core).bounds().grown(blank.radius)
}

/// The turn within the part's tolerance, by hundredths of a degree, at which its box is narrowest.
fn narrowest(job: &Job) -> f64 {
    let GrainRule::Axis { tolerance, .. } = job.parts[0].grain else {
        return 0.0;
    };
    let steps = (100.0 * tolerance) as i32;
    let height = |k: &i32| box_at(job, f64::from(*k) / 100.0).height();
    let best = (-steps..=steps).min_by(|a, b| height(a).total_cmp(&height(b)));
    f64::from(best.unwrap_or(0)) / 100.0
}

fn set_out(job: &Job, steps: u64) -> Plan {
    let mut search = Search::new(job, Settings::default()).unwrap();
    search.step(steps);
    assert!(is_sound(&check(job, search.best())));
    search.best().clone()
}

/// An outline that runs by so much outside of another, turned.
fn hugging(points: &[(f64, f64)], by: f64, turn: f64) -> Vec<(f64, f64)> {
    let count = points.len();
    let (sine, cosine) = sin_cos_deg(turn);
    let normal = |a: (f64, f64), b: (f64, f64)| {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = (dx * dx + dy * dy).sqrt();
        (dy / length, -dx / length)
    };
    (0..count)
        .map(|k| {
            let (before, at, after) = (
                points[(k + count - 1) % count],
                points[k],
                points[(k + 1) % count],
            );
            let (n, m) = (normal(before, at), normal(at, after));
            let share = by / (1.0 + n.0 * m.0 + n.1 * m.1);
            let (x, y) = (at.0 + share * (n.0 + m.0), at.1 + share * (n.1 + m.1));
            (cosine * x - sine * y, sine * x + cosine * y)
        })
        .collect()
}

/// A bent part lies on a narrow board only at a turn that its grain allows: it is laid there, and with next to no
/// play left at least nothing is said against it.
#[test]
fn a_bent_part_that_lies_well_at_another_turn_is_not_too_wide() {
    for (slope, play) in [(0.03, 0.1), (-0.05, 0.6), (0.08, 6.0)] {
        let rail = part(&bent(900.0, 60.0, 70.0, slope, 24), "sawn", 6.0);
        let loose = prepared(&board(&rectangle(2000.0, 500.0), "sawn"), &rail).job;
        let needed = box_at(&loose, narrowest(&loose));
        assert!(needed.height() + 5.0 < box_at(&loose, 0.0).height());
        let size = rectangle(needed.width() + 40.0, needed.height() + play);
        let found = prepared(&board(&size, "sawn"), &rail);
        assert!(found.diagnostics.is_empty(), "{:#?}", found.diagnostics);
        let told = format!("slope {slope}, play {play}");
        assert_eq!(reasons_of(&found.job)[0], UnplacedReason::NoRoom, "{told}");
        if play > 5.0 {
            assert_eq!(set_out(&found.job, 400).placed_count(), 1, "{told}");
        }
    }
}

/// Bent parts on boards bent alike, with less play than the outlines that a search sees stray from the true
/// ones: one in twenty was told that no board is wide enough.
#[test]
fn bent_parts_are_not_denied_on_boards_bent_alike() {
    for seed in 0..300 {
        let chance = &mut Chance::new(100_000 + seed);
        let (length, width) = (chance.between(150.0, 1600.0), chance.between(40.0, 200.0));
        let sagitta = chance.between(0.03, 0.25) * length;
        let chords = 4 + chance.below(40) as u32;
        let points = bent(length, width, sagitta, chance.between(-0.1, 0.1), chords);
        let tolerance = [0.0, 2.0, 6.0][chance.below(3)];
        let turn = chance.between(-tolerance, tolerance);
        let play = chance.between(0.05, 1.0);
        let wanted = part(&points, "sawn", tolerance);
        let round = board(&hugging(&points, 3.0 + 2.0 * play, turn), "sawn");
        let found = prepared(&round, &wanted);
        let told = format!("{seed}: turn {turn} within {tolerance}, play {play}");
        assert!(
            found.diagnostics.is_empty(),
            "{:#?} of {told}",
            found.diagnostics
        );
        let reason = reasons_of(&found.job)[0];
        assert_eq!(reason, UnplacedReason::NoRoom, "{told}");
    }
}

/// A shape at random: a rectangle, a taper, a bent rail, a disc with a flat, a triangle.
fn shape(chance: &mut Chance) -> (Vec<(f64, f64)>, &'static str) {
    let (length, width) = (chance.between(150.0, 1200.0), chance.between(40.0, 200.0));
    match chance.below(5) {
        0 => (
            rectangle(length, width),
            if chance.percent(50) {
                "straight"
            } else {
                "sawn"
            },
        ),
        1 => {
            let end = width * chance.between(0.3, 0.9);
            let low = chance.between(0.0, width - end);
            (
                vec![(0.0, 0.0), (length, low), (length, low + end), (0.0, width)],
                "sawn",
            )
        }
        2 => {
            let sagitta = chance.between(0.03, 0.2) * length;
            let chords = 4 + chance.below(30) as u32;
            (
                bent(length, width, sagitta, chance.between(-0.1, 0.1), chords),
                "sawn",
            )
        }
        3 => {
            let corners = 12 + chance.below(60) as u32;
            let points = (0..corners).map(|k| {
                let (sine, cosine) = sin_cos_deg(300.0 * f64::from(k) / f64::from(corners));
                (width * (1.0 + cosine), width * (1.0 + sine))
            });
            (points.collect(), "sawn")
        }
        _ => (
            vec![
                (0.0, 0.0),
                (length, width * chance.between(-0.5, 0.5)),
                (0.3 * length, width),
            ],
            "sawn",
        ),
    }
}

/// A board that takes the part at one turn, with some play: the box of its blank.
fn board_round(job: &Job, turn: f64, play: f64, cuts: &str) -> Value {
    let needed = box_at(job, turn);
    board(
        &rectangle(needed.width() + play, needed.height() + play),
        cuts,
    )
}

/// Neither the reasons nor what is said before planning deny a part that lies on the board by its making, or
/// that the engines lay there.
#[test]
fn what_can_be_laid_on_an_empty_board_is_never_denied() {
    let mut laid = 0;
    for seed in 0..200 {
        let chance = &mut Chance::new(7_000 + seed);
        let (points, cut) = shape(chance);
        let tolerance = [0.0, 2.0, 6.0, 20.0][chance.below(4)];
        let wanted = part(&points, cut, tolerance);
        let loose = prepared(&board(&rectangle(4000.0, 4000.0), "any"), &wanted).job;
        let turn = match chance.below(3) {
            0 => 0.0,
            1 => narrowest(&loose),
            _ => (chance.between(-tolerance, tolerance) * 100.0).trunc() / 100.0,
        };
        let play = [-1.0, 0.2, 0.6, 2.0, 8.0][chance.below(5)];
        // Straight cuts free a part at the turns of their frame: those of the board and of its grain.
        let cuts = if turn == 0.0 { "any" } else { "sawn" };
        let found = prepared(&board_round(&loose, turn, play, cuts), &wanted);
        let reason = reasons_of(&found.job)[0];
        let lies = set_out(&found.job, 120).placed_count() == 1;
        laid += u32::from(lies);
        if play < 0.0 && !lies {
            continue;
        }
        let told = format!("{seed}: {cut}, turn {turn}, play {play}, laid {lies}");
        assert!(!DENIALS.contains(&reason), "{reason:?} of {told}");
        assert!(
            found.diagnostics.is_empty(),
            "{:#?} of {told}",
            found.diagnostics
        );
    }
    assert!(laid > 100, "{laid}");
}
