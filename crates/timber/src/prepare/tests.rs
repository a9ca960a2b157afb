//! From documents to jobs: the demo jobs, and every kind of fault at its place.

use heartside_geometry::Point;
use serde_json::{Value, json};

use super::*;
use crate::diagnostic::Level;
use crate::document::{EdgeKind, Use, ZoneFace};
use crate::job::{Form, GrainRule, Warp};

fn fixture(text: &str) -> Document {
    serde_json::from_str(text).expect("a demo job is readable")
}

const DESK: &str = include_str!("../../../../fixtures/writing-desk.heartside.json");
const DESK_INCHES: &str = include_str!("../../../../fixtures/writing-desk-inches.heartside.json");
const STOOL: &str = include_str!("../../../../fixtures/step-stool.heartside.json");
const MISFIT: &str = include_str!("../../../../fixtures/bench-that-does-not-fit.heartside.json");

fn document(value: Value) -> Document {
    serde_json::from_value(value).expect("a test document is readable")
}

/// A board of 2000 x 200 x 27 and a part of 500 x 100 x 20.
fn small() -> Value {
    json!({
        "format": "heartside-job", "version": 1,
        "boards": [{
            "id": "A", "thickness": 27,
            "outline": {"form": "tape", "length": 2000,
                        "stations": [{"at": 0, "left": 90, "right": 110}]}
        }],
        "parts": [{"id": "leg", "name": "Leg", "count": 2, "thickness": 20,
                   "shape": {"form": "rectangle", "length": 500, "width": 100}}]
    })
}

/// The small job with one value put in at a path such as `boards/0/thickness`.
fn changed(path: &str, value: Value) -> Document {
    let mut whole = small();
    let (parent, key) = path.rsplit_once('/').map_or(("", path), |(p, k)| (p, k));
    let pointer = if parent.is_empty() {
        String::new()
    } else {
        format!("/{parent}")
    };
    let target = whole.pointer_mut(&pointer).expect("the path exists");
    match (target, key.parse::<usize>()) {
        (Value::Array(list), Ok(index)) if index == list.len() => list.push(value),
        (Value::Array(list), Ok(index)) => list[index] = value,
        (Value::Object(map), _) => {
            map.insert(key.into(), value);
        }
        _ => panic!("no such path"),
    }
    document(whole)
}

fn codes(prepared: &Prepared) -> Vec<&str> {
    prepared
        .diagnostics
        .iter()
        .map(|d| d.code.as_str())
        .collect()
}

#[track_caller]
fn only(document: &Document, code: &str, field: &str) -> Prepared {
    let prepared = prepare(document);
    let found: Vec<_> = prepared
        .diagnostics
        .iter()
        .map(|d| (d.code.as_str(), d.place.field.as_deref().unwrap_or("")))
        .collect();
    assert_eq!(found, [(code, field)], "{:#?}", prepared.diagnostics);
    for diagnostic in &prepared.diagnostics {
        assert!(!diagnostic.message.is_empty());
        assert!(
            !diagnostic.message.contains("NaN"),
            "{}",
            diagnostic.message
        );
    }
    prepared
}

#[test]
fn the_demo_jobs_are_sound() {
    for text in [DESK, DESK_INCHES, STOOL] {
        let document = fixture(text);
        let prepared = prepare(&document);
        let bad: Vec<_> = prepared
            .diagnostics
            .iter()
            .filter(|d| d.level != Level::Note)
            .collect();
        assert!(bad.is_empty(), "{}: {bad:#?}", document.title);
        assert_eq!(prepared.job.boards.len(), document.boards.len());
        assert_eq!(prepared.job.parts.len(), document.parts.len());
    }
}

#[test]
fn the_metric_and_the_imperial_desk_agree() {
    let (metric, imperial) = (
        prepare(&fixture(DESK)).job,
        prepare(&fixture(DESK_INCHES)).job,
    );
    for (a, b) in metric.boards.iter().zip(&imperial.boards) {
        assert!((a.thickness - b.thickness).abs() < 0.8, "{}", a.id);
        let off = (a.outline.area() - b.outline.area()).abs() / a.outline.area();
        assert!(off < 0.01, "{}: {off}", a.id);
    }
    for (a, b) in metric.parts.iter().zip(&imperial.parts) {
        assert!((a.length() - b.length()).abs() < 1.6, "{}", a.id);
    }
}

#[test]
fn what_fits_nowhere_is_said_beforehand() {
    let prepared = prepare(&fixture(MISFIT));
    assert!(
        codes(&prepared)
            .iter()
            .any(|code| code.starts_with("part-")),
        "{prepared:#?}"
    );
    assert!(!prepared.has_errors());
}

#[test]
fn the_small_job_becomes_what_was_written() {
    let prepared = prepare(&document(small()));
    assert_eq!(codes(&prepared), Vec::<&str>::new());
    let board = &prepared.job.boards[0];
    assert_eq!(board.name, "A");
    assert_eq!(board.outline.area(), 400_000.0);
    assert_eq!(board.outline.bounds().min.y, -110.0);
    assert_eq!(board.warp, Warp::Unknown);
    assert_eq!(board.sides.len(), 4);
    assert_eq!(board.sides.iter().filter(|s| s.is_end).count(), 2);
    // No price anywhere: the cost is the volume.
    assert!(prepared.job.cost_is_volume);
    assert!((board.cost - 0.0108).abs() < 1e-12);
    let part = &prepared.job.parts[0];
    assert_eq!((part.length(), part.width(), part.count), (500.0, 100.0, 2));
    assert_eq!(
        part.grain,
        GrainRule::Axis {
            across: false,
            tolerance: 3.0
        }
    );
    assert_eq!(part.allowances.planing, 2.5);
    assert!(part.may_turn_over);
}

#[test]
fn tape_edges_keep_their_state() {
    let document = changed(
        "boards/0/outline",
        json!({"form": "tape", "length": 1000, "left": "straight", "end": "straight",
               "stations": [{"at": 600, "left": 80, "right": 110},
                            {"at": 100, "left": 90, "right": 100}]}),
    );
    let board = &prepare(&document).job.boards[0];
    let states: Vec<_> = board
        .outline
        .outer()
        .edges()
        .zip(&board.sides)
        .map(|((a, b), side)| ((a.x, a.y), (b.x, b.y), side.kind, side.is_end))
        .collect();
    assert_eq!(
        states[0],
        ((0.0, -100.0), (100.0, -100.0), EdgeKind::Raw, false)
    );
    assert_eq!(
        states[3],
        ((1000.0, -110.0), (1000.0, 80.0), EdgeKind::Straight, true)
    );
    assert_eq!(
        states[4],
        ((1000.0, 80.0), (600.0, 80.0), EdgeKind::Straight, false)
    );
    assert_eq!(states[7], ((0.0, 90.0), (0.0, -100.0), EdgeKind::Raw, true));
    assert_eq!(states.len(), 8);
}

#[test]
fn a_hole_is_raw_unless_its_sides_are_said_straight() {
    let sides = |hole_sides: Value| {
        let outline = json!({"form": "polygon", "points": [[0, 0], [1000, 0], [1000, 200], [0, 200]],
            "holes": [[[100, 50], [100, 90], [180, 90], [180, 50]]], "hole_sides": hole_sides});
        let board = prepare(&changed("boards/0/outline", outline))
            .job
            .boards
            .remove(0);
        let edges = board.outline.edges().zip(board.sides).skip(4);
        edges.collect::<Vec<_>>()
    };
    let raw = sides(json!([]));
    assert_eq!(raw.len(), 4);
    assert!(raw.iter().all(|(_, s)| s.kind == EdgeKind::Raw));
    assert_eq!(raw.iter().filter(|(_, s)| s.is_end).count(), 2);
    // Only the one at x = 100, entered first; the others are left unsaid.
    for ((a, b), side) in sides(json!([["straight"]])) {
        let is_it = a.x == 100.0 && b.x == 100.0;
        assert_eq!(side.kind == EdgeKind::Straight, is_it, "{a:?} {b:?}");
    }
}

#[test]
fn corners_may_run_either_way_round() {
    // The side from (0, 0) to (1000, 0) is straight, the far end too.
    let forwards = json!({"form": "polygon",
        "points": [[0, 0], [1000, 0], [1000, 200], [0, 200]],
        "sides": ["straight", "straight", "raw", "raw"]});
    let backwards = json!({"form": "polygon",
        "points": [[0, 0], [0, 200], [1000, 200], [1000, 0], [1000, 0]],
        "sides": ["raw", "raw", "straight", "raw", "straight"]});
    let state = |outline: Value, from: (f64, f64)| {
        let board = prepare(&changed("boards/0/outline", outline))
            .job
            .boards
            .remove(0);
        let edge = board
            .outline
            .outer()
            .edges()
            .position(|(a, _)| (a.x, a.y) == from);
        board.sides[edge.expect("the corner is there")].kind
    };
    for outline in [forwards, backwards] {
        assert_eq!(state(outline.clone(), (0.0, 0.0)), EdgeKind::Straight);
        assert_eq!(state(outline.clone(), (1000.0, 0.0)), EdgeKind::Straight);
        assert_eq!(state(outline.clone(), (1000.0, 200.0)), EdgeKind::Raw);
        assert_eq!(state(outline, (0.0, 200.0)), EdgeKind::Raw);
    }
}

#[test]
fn lengths_are_read_in_every_form() {
    let thickness = |value: Value| {
        let prepared = prepare(&changed("boards/0/thickness", value));
        prepared.job.boards.first().map(|b| b.thickness)
    };
    assert_eq!(thickness(json!(27)), Some(27.0));
    assert_eq!(thickness(json!({"typed": "8/4"})), None);
    assert_eq!(thickness(json!({"typed": "1.400"})), None);
    assert_eq!(thickness(json!({"mm": 27, "typed": "27 mm"})), Some(27.0));
    assert_eq!(thickness(json!({"expr": "20 + 7"})), Some(27.0));
    assert_eq!(thickness(json!({"typed": "1,400"})), None);
    assert_eq!(thickness(json!(-27)), None);
    assert_eq!(thickness(json!(1e300)), None);
}

/// Files of before hold what was made of texts that are refused now: it stays, and is told.
#[test]
fn what_a_doubtful_text_was_read_as_stays_and_is_told() {
    for (path, value, mm, code) in [
        (
            "boards/0/thickness",
            json!({"mm": 50.8, "typed": "8/4"}),
            50.8,
            "length-nominal",
        ),
        (
            "boards/0/thickness",
            json!({"mm": 27.5, "typed": "27.500"}),
            27.5,
            "length-two-readings",
        ),
        (
            "parts/0/thickness",
            json!({"mm": 25.4, "typed": "4/4"}),
            25.4,
            "length-nominal",
        ),
        (
            "parts/0/thickness",
            json!({"mm": 22.25, "typed": "22.250"}),
            22.25,
            "length-two-readings",
        ),
    ] {
        let prepared = prepare(&changed(path, value));
        let told: Vec<_> = prepared
            .diagnostics
            .iter()
            .filter(|d| d.code == code)
            .collect();
        assert_eq!(told.len(), 1, "{path}: {:?}", prepared.diagnostics);
        assert_eq!(told[0].level, Level::Warning);
        assert!(
            told[0].message.contains("was taken as"),
            "{}",
            told[0].message
        );
        let read = if path.starts_with("boards") {
            prepared.job.boards[0].thickness
        } else {
            prepared.job.parts[0].thickness
        };
        assert_eq!(read, mm);
    }
}

#[test]
fn each_fault_of_a_board_is_named_and_the_rest_stays_usable() {
    for (path, value, code, field) in [
        (
            "thickness",
            json!({"typed": "1,400"}),
            "length-two-readings",
            "thickness",
        ),
        (
            "thickness",
            json!({"typed": "27.500"}),
            "length-two-readings",
            "thickness",
        ),
        // The value from before, to which the refused text was never read.
        (
            "thickness",
            json!({"mm": 27, "typed": "27.500"}),
            "length-two-readings",
            "thickness",
        ),
        (
            "thickness",
            json!({"typed": "8/4"}),
            "length-nominal",
            "thickness",
        ),
        ("thickness", json!(0), "length-not-positive", "thickness"),
        ("thickness", json!(null), "length-missing", "thickness"),
        ("count", json!(1.5), "count-not-usable", "count"),
        ("count", json!(1e9), "count-not-usable", "count"),
        ("outline", json!(null), "outline-missing", "outline"),
        ("id", json!("../x"), "id-not-usable", "id"),
        ("id", json!(""), "id-missing", "id"),
        ("moisture", json!(-3), "number-out-of-range", "moisture"),
        (
            "warp",
            json!({"cup": {"gap": -1}}),
            "length-negative",
            "warp.cup.gap",
        ),
        (
            "warp",
            json!({"cup": {"gap": 150}}),
            "warp-too-great",
            "warp.cup.gap",
        ),
        (
            "grain",
            json!({"angle": 1e9}),
            "number-out-of-range",
            "grain.angle",
        ),
        (
            "grain",
            json!({"lines": [[[0, 0], [1e9, 0]]]}),
            "grain-line-not-readable",
            "grain.lines[0]",
        ),
        (
            "zones",
            json!([{"kind": "defect"}]),
            "zone-without-shape",
            "zones[0].shape",
        ),
        (
            "zones",
            json!([{"shape": {"form": "polygon", "points": [[0, 0], [9, 9], [9, 0], [0, 8]]}}]),
            "outline-crosses-itself",
            "zones[0].shape",
        ),
    ] {
        let mut whole = serde_json::to_value(changed(&format!("boards/0/{path}"), value))
            .expect("documents can be written");
        let mut sound = small()["boards"][0].clone();
        sound["id"] = json!("B");
        whole["boards"].as_array_mut().expect("a list").push(sound);
        let prepared = only(&document(whole), code, field);
        let ids: Vec<_> = prepared.job.boards.iter().map(|b| b.id.as_str()).collect();
        assert_eq!(ids, ["B"], "{path}");
        assert_eq!(prepared.diagnostics[0].place.row, Some(0));
        assert_eq!(prepared.job.parts.len(), 1);
    }
}

#[test]
fn each_fault_of_an_outline_is_named() {
    let tape = |stations: Value| json!({"form": "tape", "length": 1000, "stations": stations});
    for (outline, code, field) in [
        (tape(json!([])), "stations-missing", "outline.stations"),
        (
            tape(json!([{"at": 1001, "left": 1, "right": 1}])),
            "station-off-board",
            "outline.stations[0].at",
        ),
        (
            tape(json!([{"at": 5, "left": 60, "right": -60}])),
            "station-without-width",
            "outline.stations[0].left",
        ),
        (
            tape(json!([{"at": 5, "left": 60, "right": 60}, {"at": 5, "left": 70, "right": 60}])),
            "station-twice",
            "outline.stations[1].at",
        ),
        (
            json!({"form": "polygon", "points": [[0, 0], [1000, 200], [1000, 0], [0, 150]]}),
            "outline-crosses-itself",
            "outline",
        ),
        (
            json!({"form": "polygon", "points": [[0, 0], [1000, 0]]}),
            "outline-too-few-corners",
            "outline",
        ),
        (
            json!({"form": "polygon", "points": [[0, 0], [1000, 0], [1000, 200], [0, 200]],
                   "holes": [[[990, 10], [1100, 10], [1100, 20]]]}),
            "outline-hole",
            "outline",
        ),
    ] {
        let prepared = prepare(&changed("boards/0/outline", outline));
        assert!(prepared.job.boards.is_empty());
        let first = &prepared.diagnostics[0];
        assert_eq!(
            (first.code.as_str(), first.place.field.as_deref()),
            (code, Some(field))
        );
    }
}

/// A square hole with its lower left corner at a place.
fn hole(x: f64, y: f64, side: f64) -> Value {
    json!([[x, y], [x + side, y], [x + side, y + side], [x, y + side]])
}

/// Corners on a circle of 60 mm.
fn round(corners: u32) -> Value {
    let at = |k: u32| {
        let degrees = 360.0 * f64::from(k) / f64::from(corners);
        let (sine, cosine) = heartside_geometry::math::sin_cos_deg(degrees);
        json!([60.0 + 60.0 * cosine, 60.0 + 60.0 * sine])
    };
    (0..corners).map(at).collect()
}

#[test]
fn outlines_that_are_hardly_one_are_refused_with_a_remedy() {
    let frame = json!([[0, 0], [500, 0], [500, 100], [0, 100]]);
    let cases = [
        // A hole in a hole, holes that cross, one outside, one over the rim.
        (
            &frame,
            json!([hole(100.0, 10.0, 80.0), hole(120.0, 30.0, 20.0)]),
            "outline-hole",
            "",
        ),
        (
            &frame,
            json!([hole(100.0, 10.0, 50.0), hole(140.0, 20.0, 50.0)]),
            "outline-hole",
            "",
        ),
        (&frame, json!([hole(600.0, 10.0, 50.0)]), "outline-hole", ""),
        (
            &frame,
            json!([hole(100.0, -10.0, 50.0)]),
            "outline-hole",
            "",
        ),
        // No area at all, there and back again, a loop round itself.
        (
            &json!([[0, 0], [500, 0], [300, 0]]),
            json!([]),
            "outline-without-area",
            "points",
        ),
        (
            &json!([[0, 0], [500, 0], [500, 100], [500, 0], [0, 50]]),
            json!([]),
            "outline-runs-over-itself",
            "points",
        ),
        (
            &json!([[0, 0], [500, 100], [500, 0], [0, 80]]),
            json!([]),
            "outline-crosses-itself",
            "points",
        ),
        (
            &frame,
            json!([[[10, 10], [40, 40], [40, 10], [10, 30]]]),
            "outline-crosses-itself",
            "holes[0]",
        ),
        (&round(5001), json!([]), "corners-too-many", "points"),
        (&frame, json!([round(5001)]), "corners-too-many", "holes[0]"),
    ];
    for (points, holes, code, field) in &cases {
        let outline = json!({"form": "polygon", "points": points, "holes": holes});
        let places = [
            (
                "boards",
                "A",
                "outline",
                changed("boards/0/outline", outline.clone()),
            ),
            ("parts", "leg", "shape", changed("parts/0/shape", outline)),
        ];
        for (list, id, whole, document) in places {
            let prepared = prepare(&document);
            let found = &prepared.diagnostics[0];
            assert_eq!(found.code, *code, "{list}: {points}");
            assert_eq!(found.level, Level::Error);
            assert_eq!(found.place.id.as_deref(), Some(id));
            let named = found.place.field.as_deref().unwrap();
            assert!(named.starts_with(whole), "{named}");
            assert!(list == "boards" || named.ends_with(field), "{named}");
            assert!(found.hint.as_deref().is_some_and(|hint| !hint.is_empty()));
            let left = prepared.job.boards.len() + prepared.job.parts.len();
            assert_eq!(left, 1, "what is sound beside it stays usable");
        }
    }
}

#[test]
fn odd_outlines_that_are_sound_are_taken_as_they_are() {
    for points in [
        // Thin as a hair, thousands of corners, lobes that hang together in one point, a notch
        // whose tip meets the other side.
        json!([[0, 0], [400, 0], [400, 0.001], [0, 0.001]]),
        round(5000),
        json!([[0, 0], [60, 30], [120, 0], [120, 60], [60, 30], [0, 60]]),
        json!([[0, 0], [200, 0], [200, 60], [100, 0], [0, 60]]),
    ] {
        let document = changed(
            "parts/0/shape",
            json!({"form": "polygon", "points": points}),
        );
        let prepared = prepare(&document);
        assert_eq!(prepared.diagnostics, [], "{points}");
        let corners = prepared.job.parts[0].outline.point_count();
        assert_eq!(Some(corners), points.as_array().map(Vec::len));
    }
}

#[test]
fn each_fault_of_a_part_is_named() {
    for (path, value, code, field) in [
        ("thickness", json!(-20), "length-not-positive", "thickness"),
        ("shape", json!(null), "shape-missing", "shape"),
        (
            "shape",
            json!({"form": "rectangle", "length": {"expr": "tpo * 2"}, "width": 9}),
            "expression-unknown-name",
            "shape.length",
        ),
        ("count", json!(0), "count-not-usable", "count"),
        ("turns", json!([]), "turns-missing", "turns"),
        (
            "grain",
            json!({"tolerance": 91}),
            "number-out-of-range",
            "grain.tolerance",
        ),
        ("value", json!(-1), "number-out-of-range", "value"),
        (
            "allowances",
            json!({"end": -1}),
            "length-negative",
            "allowances.end",
        ),
        ("id", json!("a/b"), "id-not-usable", "id"),
        (
            "shape",
            json!({"form": "arc_sided", "points": [[0, 0], [100, 0], [100, 50], [0, 50]],
                   "swells": [-60]}),
            "outline-crosses-itself",
            "shape",
        ),
    ] {
        let prepared = only(&changed(&format!("parts/0/{path}"), value), code, field);
        assert!(prepared.job.parts.is_empty(), "{path}");
        assert_eq!(prepared.job.boards.len(), 1);
    }
    let tenon = json!({"id": "d", "thickness": 20, "shape": {"form": "disc", "diameter": 90},
                       "tenon": {"start": 20}});
    only(&changed("parts/0", tenon), "tenon-on-free-shape", "tenon");
}

#[test]
fn ids_are_unique_whatever_their_capitals() {
    let mut whole = small();
    let mut twin = whole["boards"][0].clone();
    twin["id"] = json!("a");
    whole["boards"].as_array_mut().expect("a list").push(twin);
    let prepared = only(&document(whole), "id-used-twice", "id");
    assert_eq!(prepared.diagnostics[0].place.row, Some(1));
    assert_eq!(prepared.job.boards.len(), 1);
}

#[test]
fn shapes_are_flattened_outwards_and_lie_at_the_origin() {
    let part = |shape: Value| {
        let prepared = prepare(&changed("parts/0/shape", shape));
        prepared
            .job
            .parts
            .into_iter()
            .next()
            .expect("the part is sound")
    };
    let disc = part(json!({"form": "disc", "diameter": 100}));
    let true_area = core::f64::consts::PI * 2500.0;
    assert!(disc.outline.area() > true_area && disc.outline.area() < true_area + 16.0);
    assert_eq!(
        (disc.length(), disc.width(), disc.form),
        (100.0, 100.0, Form::Round)
    );
    let taper = part(
        json!({"form": "taper", "length": 700, "start_width": 50, "end_width": 30,
                            "both_sides": true}),
    );
    assert_eq!(
        (taper.outline.area(), taper.form),
        (28_000.0, Form::Taper(50.0, 30.0))
    );
    assert_eq!((taper.length(), taper.width()), (700.0, 50.0));
    let free = part(json!({"form": "polygon", "points": [[-50, -20], [50, -20], [0, 80]]}));
    assert_eq!(
        free.outline.bounds().min,
        heartside_geometry::Point { x: 0.0, y: 0.0 }
    );
    let swollen = part(
        json!({"form": "arc_sided", "points": [[0, 0], [100, 0], [100, 50], [0, 50]],
                              "swells": [-10, 0, 10, 0]}),
    );
    // A hollow and a swelling of one size: a little more than the rectangle, never less.
    assert!(swollen.outline.area() >= 5000.0 && swollen.outline.area() < 5020.0);
    assert!((swollen.width() - 60.0).abs() < 0.051);
}

#[test]
fn tenons_lengthen_the_finished_part() {
    let mut whole = small();
    whole["parts"][0]["tenon"] = json!({"start": 30, "end": 20});
    let part = prepare(&document(whole)).job.parts.remove(0);
    assert_eq!(
        (part.length(), part.width(), part.tenon),
        (550.0, 100.0, (30.0, 20.0))
    );
}

#[test]
fn zones_lie_where_they_were_measured() {
    let zone = |shape: Value| {
        let document = changed("boards/0/zones", json!([{"shape": shape, "margin": 3}]));
        let prepared = prepare(&document);
        prepared.job.boards[0].zones[0].shape.bounds()
    };
    let spot = |from: &str, across: f64| {
        zone(
            json!({"form": "spot", "oval": false, "along": 500, "across": across, "from": from,
                    "length": 40, "width": 20}),
        )
    };
    // The edges are at y = -110 and y = 90.
    assert_eq!(spot("right_edge", 30.0).centre().y, -80.0);
    assert_eq!(spot("left_edge", 30.0).centre().y, 60.0);
    assert_eq!(spot("chalk_line", -30.0).centre().y, -30.0);
    assert_eq!(
        (
            spot("chalk_line", 0.0).width(),
            spot("chalk_line", 0.0).height()
        ),
        (40.0, 20.0)
    );
    let strip = zone(json!({"form": "strip", "side": "left", "width": 25}));
    assert_eq!(
        (strip.min.y, strip.max.y, strip.width()),
        (65.0, 90.0, 2000.0)
    );
    let strip = zone(json!({"form": "strip", "side": "right", "width": 25}));
    assert_eq!((strip.min.y, strip.max.y), (-110.0, -85.0));
    let oval = zone(
        json!({"form": "spot", "along": 500, "across": 0, "from": "chalk_line",
                           "length": 40, "width": 20}),
    );
    assert_eq!((oval.width(), oval.height()), (40.0, 20.0));
}

#[test]
fn a_spot_is_measured_from_the_start_end_wherever_corners_begin_to_count() {
    // A knot taped at 600 from the end of a board whose corners begin at 300.
    let mut whole = small();
    whole["boards"][0]["outline"] =
        json!({"form": "polygon", "points": [[300, 0], [1500, 0], [1500, 200], [300, 200]]});
    whole["boards"][0]["zones"] = json!([{"shape": {"form": "spot", "along": 600, "across": 100, "length": 60, "width": 60}}]);
    let prepared = prepare(&document(whole));
    let middle = prepared.job.boards[0].zones[0].shape.bounds().centre();
    assert!(
        middle.distance(Point { x: 900.0, y: 100.0 }) < 1e-9,
        "{middle:?}"
    );
}

proptest::proptest! {
    #[test]
    fn moving_all_corners_moves_every_zone_with_them(
        ys in proptest::collection::vec((-20.0..20.0_f64, 60.0..140.0_f64), 4),
        (dx, dy) in (-3000.0..3000.0_f64, -200.0..200.0_f64),
        (along, across) in (0.0..1500.0_f64, 0.0..60.0_f64),
        oval in proptest::bool::ANY,
        from_left in proptest::bool::ANY,
    ) {
        let board = |dx: f64, dy: f64| {
            let low = ys.iter().enumerate().map(|(k, (low, _))| [500.0 * k as f64 + dx, low + dy]);
            let high = ys.iter().enumerate().map(|(k, (_, high))| [500.0 * k as f64 + dx, high + dy]);
            let points: Vec<[f64; 2]> = low.chain(high.rev()).collect();
            let from = if from_left { "left_edge" } else { "right_edge" };
            let corners = [[20.0, 20.0], [60.0, 25.0], [30.0, 50.0]].map(|[x, y]| [x + dx, y + dy]);
            let mut whole = small();
            whole["boards"][0]["outline"] = json!({"form": "polygon", "points": points});
            whole["boards"][0]["zones"] = json!([
                {"shape": {"form": "spot", "oval": oval, "along": along, "across": across,
                           "from": from, "length": 40, "width": 20}},
                {"shape": {"form": "strip", "side": "left", "width": 15}},
                {"shape": {"form": "polygon", "points": corners}},
            ]);
            prepare(&document(whole)).job.boards.remove(0)
        };
        let (here, there) = (board(0.0, 0.0), board(dx, dy));
        for (a, b) in here.zones.iter().zip(&there.zones) {
            proptest::prop_assert!((a.shape.area() - b.shape.area()).abs() < 1e-3);
            let (a, b) = (a.shape.bounds(), b.shape.bounds());
            for (p, q) in [(a.min, b.min), (a.max, b.max)] {
                proptest::prop_assert!((p.x + dx - q.x).abs() < 1e-6 && (p.y + dy - q.y).abs() < 1e-6);
            }
        }
    }
}

#[test]
fn a_strip_follows_a_wavy_edge() {
    let mut whole = small();
    whole["boards"][0]["outline"]["stations"] = json!([{"at": 0, "left": 90, "right": 100}, {"at": 900, "left": 60, "right": 110},
               {"at": 2000, "left": 100, "right": 90}]);
    whole["boards"][0]["zones"] = json!([{"kind": "sapwood", "face": "up", "depth": 5,
                "shape": {"form": "strip", "side": "left", "width": 25}}]);
    let board = prepare(&document(whole)).job.boards.remove(0);
    assert!((board.zones[0].shape.area() - 50_000.0).abs() < 1e-6);
    assert_eq!(
        (board.zones[0].face, board.zones[0].depth),
        (ZoneFace::Up, 5.0)
    );
}

#[test]
fn a_faulty_figure_leaves_the_board_in() {
    let zones = json!([{"kind": "figure"}, {"kind": "figure", "weight": 0.5,
        "shape": {"form": "spot", "along": 500, "across": 50, "length": 40, "width": 20}}]);
    let prepared = only(
        &changed("boards/0/zones", zones),
        "zone-without-shape",
        "zones[0].shape",
    );
    assert_eq!(prepared.job.boards[0].zones.len(), 1);
    assert_eq!(prepared.job.boards[0].zones[0].index, 1);
}

#[test]
fn warp_is_unknown_flat_or_measured() {
    let warp = |value: Value| prepare(&changed("boards/0/warp", value)).job.boards[0].warp;
    assert_eq!(warp(json!(null)), Warp::Unknown);
    assert_eq!(warp(json!({})), Warp::Flat);
    assert_eq!(warp(json!({"bow": {"gap": 0}})), Warp::Flat);
    assert_eq!(
        warp(json!({"cup": {"gap": 3}, "twist": {"lift": 4, "over_length": 1500}})),
        Warp::Measured {
            cup: (3.0, 200.0),
            bow: (0.0, 2000.0),
            twist: (4.0, 1500.0, 200.0)
        }
    );
}

#[test]
fn costs_come_from_prices_rates_or_the_mean_of_the_others() {
    let mut whole = small();
    let board = whole["boards"][0].clone();
    let boards = whole["boards"].as_array_mut().expect("a list");
    for (id, price) in [
        ("B", json!({"amount": 1000, "per": "m3"})),
        ("C", json!({"amount": 9})),
    ] {
        let mut other = board.clone();
        other["id"] = json!(id);
        other["price"] = price;
        boards.push(other);
    }
    let costs = |whole: &Value| -> Vec<f64> {
        let job = prepare(&document(whole.clone())).job;
        assert!(!job.cost_is_volume);
        job.boards
            .iter()
            .map(|b| (b.cost * 1000.0).round() / 1000.0)
            .collect()
    };
    assert_eq!(costs(&whole), [9.9, 10.8, 9.0]);
    whole["timber_rate"] = json!(2000);
    assert_eq!(costs(&whole), [21.6, 10.8, 9.0]);
    whole["boards"][0]["species"] = json!("Ash ");
    whole["species"] = json!([{"name": "ash", "price_m3": 500}]);
    assert_eq!(costs(&whole), [5.4, 10.8, 9.0]);
    whole["boards"][2]["price"] = json!({"amount": -1});
    let prepared = prepare(&document(whole));
    assert!(codes(&prepared).contains(&"price-not-usable"));
    assert_eq!(prepared.job.boards.len(), 3);
}

/// AHEC guide, worked example: 6 1/4 in x 8 ft of 8/4 is 8 board feet, whatever it measures.
#[test]
fn a_price_by_the_board_foot_is_by_the_tally() {
    let mut whole = small();
    whole["boards"][0]["outline"] = json!({
        "form": "tape", "length": {"typed": "8'"},
        "stations": [{"at": 0, "left": {"typed": "6 1/4\""}, "right": 0}],
    });
    whole["boards"][0]["price"] = json!({"amount": 10, "per": "board_foot"});
    let cost = |whole: &Value| prepare(&document(whole.clone())).job.boards[0].cost;
    for (thickness, expected) in [("2\"", 80.0), ("1\"", 40.0), ("3/4\"", 40.0)] {
        whole["boards"][0]["thickness"] = json!({ "typed": thickness });
        assert!(
            (cost(&whole) - expected).abs() < 1e-9,
            "{thickness}: {}",
            cost(&whole)
        );
    }
    // What it was sold as counts, however thin it came from the planer.
    whole["boards"][0]["thickness"] = json!({"typed": "1 3/4\""});
    whole["boards"][0]["nominal"] = json!({"typed": "8/4"});
    assert!((cost(&whole) - 80.0).abs() < 1e-9);
    whole["boards"][0]["nominal"] = json!({"typed": "thick"});
    let prepared = prepare(&document(whole.clone()));
    let bad: Vec<_> = prepared
        .diagnostics
        .iter()
        .filter(|d| d.level != Level::Note)
        .map(|d| (d.level, d.place.field.as_deref()))
        .collect();
    assert_eq!(bad, [(Level::Warning, Some("nominal"))]);
    assert_eq!(prepared.job.boards.len(), 1);
    whole["boards"][0]["nominal"] = json!({"typed": "8/4"});
    whole["boards"][0]["thickness"] = json!(null);
    let prepared = prepare(&document(whole));
    assert!(prepared.diagnostics[0].message.contains("sold as 8/4"));
}

#[test]
fn a_name_of_several_woods_is_asked_about_once_and_kept() {
    let mut whole = small();
    whole["boards"][0]["species"] = json!("Oak");
    let mut other = whole["boards"][0].clone();
    other["id"] = json!("B");
    whole["boards"]
        .as_array_mut()
        .expect("a list")
        .push(other.clone());
    whole["parts"][0]["species"] = json!(["oak"]);
    for (unit, level) in [("mm", Level::Note), ("in", Level::Warning)] {
        whole["units"]["length"] = json!(unit);
        let prepared = prepare(&document(whole.clone()));
        let asked: Vec<_> = prepared
            .diagnostics
            .iter()
            .filter(|d| d.code == "species-which")
            .collect();
        assert_eq!(asked.len(), 1, "{:#?}", prepared.diagnostics);
        assert_eq!(asked[0].level, level);
        assert!(
            asked[0]
                .message
                .contains("white oak, red oak or European oak"),
            "{}",
            asked[0].message
        );
        assert_eq!(asked[0].place.row, Some(0));
        assert_eq!(prepared.job.boards[0].species, "Oak");
    }
    // Each board can be another oak, and the part that asks for oak takes them all.
    whole["boards"][0]["species"] = json!("White oak");
    whole["boards"][1]["species"] = json!("Black walnut");
    other["id"] = json!("C");
    other["species"] = json!("European oak");
    whole["boards"].as_array_mut().expect("a list").push(other);
    let prepared = prepare(&document(whole.clone()));
    assert!(!codes(&prepared).contains(&"species-which"));
    let accepted = &prepared.job.parts[0].species;
    assert_eq!(*accepted, ["oak", "White oak", "European oak"]);
    // Whoever writes what their oak weighs has said enough.
    whole["boards"][0]["species"] = json!("oak");
    whole["species"] = json!([{"name": "Oak", "density": 700}]);
    let prepared = prepare(&document(whole));
    assert!(!codes(&prepared).contains(&"species-which"));
}

#[test]
fn species_are_one_whatever_their_capitals() {
    let mut whole = small();
    whole["boards"][0]["species"] = json!("European Ash");
    whole["parts"][0]["species"] = json!([" european ash", "European Ash", ""]);
    let prepared = prepare(&document(whole.clone()));
    assert_eq!(prepared.job.parts[0].species, ["European Ash"]);
    assert_eq!(prepared.job.boards[0].density, 690.0);
    assert_eq!(codes(&prepared), Vec::<&str>::new());
    whole["parts"][0]["species"] = json!(["oak"]);
    only(&document(whole), "part-no-species", "species");
}

#[test]
fn parts_that_fit_nowhere_are_said() {
    // Unknown warp: 27 less 5 leaves 22.
    assert_eq!(
        prepare(&changed("parts/0/thickness", json!(22))).diagnostics,
        []
    );
    only(
        &changed("parts/0/thickness", json!(22.01)),
        "part-too-thick",
        "thickness",
    );
    let shape = |length: f64, width: f64| {
        changed(
            "parts/0/shape",
            json!({"form": "rectangle", "length": length, "width": width}),
        )
    };
    only(&shape(2100.0, 50.0), "part-too-long", "shape");
    only(&shape(500.0, 230.0), "part-too-wide", "shape");
}

#[test]
fn a_slanting_part_fits_where_its_box_does_not() {
    // A slat of 1500 x 90 that rises by 130: its box is too wide for a board of 200, but laid
    // with the grain, turned back by 4.95 degrees, the slat is not.
    let slat = |rise: f64, tolerance: f64| {
        let mut whole = small();
        let part = &mut whole["parts"][0];
        part["cut"] = json!("sawn");
        part["grain"] = json!({"tolerance": tolerance});
        part["shape"] = json!({"form": "polygon",
            "points": [[0, 0], [1500, rise], [1500, rise + 90.0], [0, 90]]});
        document(whole)
    };
    assert_eq!(prepare(&slat(130.0, 5.0)).diagnostics, []);
    only(&slat(130.0, 0.0), "part-too-wide", "shape");
    only(&slat(330.0, 5.0), "part-too-wide", "shape");
    let mut any = slat(330.0, 5.0);
    any.parts[0].grain.axis = crate::document::GrainAxis::Any;
    assert_eq!(prepare(&any).diagnostics, []);
}

#[test]
fn grain_that_bends_more_than_a_part_bears_is_said() {
    let bent = |tolerance: f64, length: f64| {
        let mut whole = small();
        whole["boards"][0]["grain"] =
            json!({"lines": [[[0, -60], [700, -40], [1400, 0], [2000, 80]]]});
        whole["parts"][0]["shape"]["length"] = json!(length);
        whole["parts"][0]["grain"] = json!({"tolerance": tolerance});
        whole
    };
    let strict = bent(0.0, 1500.0);
    let prepared = only(
        &document(strict.clone()),
        "part-grain-too-strict",
        "grain.tolerance",
    );
    let found = &prepared.diagnostics[0];
    assert_eq!(
        (found.level, found.place.id.as_deref()),
        (Level::Warning, Some("leg"))
    );
    assert!(
        found.hint.as_deref().unwrap().starts_with("give it 2.1°"),
        "{found:?}"
    );
    // What the hint asks for is enough: more of it, less length, or a straight board.
    let mut helped = strict;
    let mut straight = helped["boards"][0].clone();
    straight["id"] = json!("B");
    straight["grain"] = json!({"angle": 2});
    helped["boards"].as_array_mut().unwrap().push(straight);
    for sound in [bent(5.0, 1500.0), bent(0.0, 15.0), helped] {
        assert_eq!(prepare(&document(sound)).diagnostics, []);
    }
}

#[test]
fn dimensions_are_worked_out_and_can_be_stretched() {
    let mut whole = small();
    whole["dimensions"] = json!([
        {"name": "half", "preferred": {"expr": "top / 2"}},
        {"name": "top", "preferred": {"typed": "1.2 m"}, "least": 1100, "most": 1300},
        {"name": "spare", "preferred": 3}
    ]);
    whole["parts"][0]["shape"]["length"] = json!({"expr": "half - 20"});
    let document = document(whole);
    let prepared = only(&document, "dimension-unused", "name");
    assert_eq!(prepared.job.parts[0].length(), 580.0);
    assert_eq!(prepared.job.dimensions[1].most, 1300.0);
    let stretched = BTreeMap::from([("top".to_owned(), 1300.0)]);
    assert_eq!(
        prepare_with(&document, &stretched).job.parts[0].length(),
        630.0
    );
}

#[test]
fn faults_of_dimensions_are_named_at_their_row() {
    let mut whole = small();
    whole["dimensions"] = json!([
        {"name": "a", "preferred": {"expr": "b"}}, {"name": "b", "preferred": {"expr": "a"}},
        {"name": "mm", "preferred": 3}, {"name": "c", "preferred": 5, "least": 6},
        {"name": "c", "preferred": 7}, {"name": "d"}, {"name": "e", "preferred": {"expr": "2 +"}}
    ]);
    let prepared = prepare(&document(whole));
    let mut found: Vec<_> = prepared
        .diagnostics
        .iter()
        .filter(|d| d.level == Level::Error)
        .map(|d| (d.place.row.unwrap_or(99), d.code.as_str()))
        .collect();
    found.sort_unstable();
    assert_eq!(
        found,
        [
            (0, "expression-circle"),
            (1, "expression-circle"),
            (2, "dimension-name"),
            (3, "value-out-of-range"),
            (4, "dimension-twice"),
            (5, "length-missing"),
            (6, "expression-value-missing"),
        ]
    );
}

#[test]
fn relations_to_what_is_not_there_are_said() {
    let mut whole = small();
    whole["matches"] = json!([
        {"kind": "same_board", "parts": [{"part": "leg"}, {"part": "leg", "copy": 2}]},
        {"kind": "book", "parts": [{"part": "leg"}, {"part": "leg", "copy": 2}]},
        {"kind": "same_board", "parts": [{"part": "leg"}, {"part": "leg", "copy": 3}]},
        {"kind": "same_board", "parts": [{"part": "leg"}, {"part": "arm"}]},
        {"kind": "same_board", "parts": [{"part": "leg"}]}
    ]);
    whole["pins"] = json!([
        {"part": "leg", "board": "A", "x": 100, "y": 0},
        {"part": "leg", "board": "A", "x": 800, "y": 0},
        {"part": "leg", "copy": 2, "board": "B", "x": 0, "y": 0},
        {"part": "leg", "copy": 2, "board": "A", "board_copy": 2, "x": 0, "y": 0}
    ]);
    whole["panels"] = json!([{"part": "leg"}]);
    let prepared = prepare(&document(whole));
    assert_eq!(
        codes(&prepared),
        [
            "match-not-checked",
            "copy-unknown",
            "part-unknown",
            "match-too-few",
            "pinned-twice",
            "board-unknown",
            "copy-unknown",
            "panel-not-planned"
        ]
    );
    assert_eq!(prepared.job.matches.len(), 2);
    assert_eq!(prepared.job.pins.len(), 1);
}

#[test]
fn tools_and_settings() {
    let mut whole = small();
    assert_eq!(
        prepare(&document(whole.clone())).job.workshop.tools.len(),
        2
    );
    whole["workshop"] = json!({
        "tools": [
            {"name": "Band", "does": ["sawn", "rip"], "kerf": {"typed": "1.2 mm"}},
            {"name": "Band", "does": ["rip"], "kerf": 3},
            {"name": "", "does": [], "kerf": -1}
        ],
        "trim": {"end": {"typed": "abc"}},
        "max_lift_kg": 1e9
    });
    let prepared = prepare(&document(whole));
    assert_eq!(
        codes(&prepared),
        [
            "length-not-readable",
            "number-out-of-range",
            "tool-twice",
            "tool-without-name",
            "tool-without-use",
            "length-negative",
            "tool-kind-missing"
        ]
    );
    let workshop = &prepared.job.workshop;
    assert_eq!(
        (workshop.tools.len(), workshop.sawn_kerf, workshop.trim_end),
        (1, 1.2, 15.0)
    );
    assert_eq!(prepared.job.boards.len(), 1);
}

#[test]
fn unknown_fields_are_named_at_every_level() {
    let mut whole = small();
    whole["colour"] = json!("red");
    whole["workshop"] = json!({"bench": 1, "trim": {"side": 2}});
    whole["boards"][0]["thicknes"] = json!(26);
    whole["boards"][0]["grain"] = json!({"angel": 3});
    whole["parts"][0]["grain"] = json!({"axes": "along"});
    let prepared = prepare(&document(whole));
    let fields: Vec<_> = prepared
        .diagnostics
        .iter()
        .map(|d| (d.code.as_str(), d.place.field.as_deref().unwrap_or("")))
        .collect();
    assert_eq!(
        fields,
        [
            ("field-unknown", "colour"),
            ("field-unknown", "bench"),
            ("field-unknown", "trim.side"),
            ("field-unknown", "thicknes"),
            ("field-unknown", "grain.angel"),
            ("field-unknown", "grain.axes"),
        ]
    );
    assert!(!prepared.has_errors());
}

#[test]
fn an_empty_document_is_an_empty_job() {
    let prepared = prepare(&Document::default());
    assert_eq!(prepared.diagnostics, []);
    assert!(prepared.job.boards.is_empty() && prepared.job.parts.is_empty());
    assert!(prepared.job.cost_is_volume);
}

#[test]
fn too_many_pieces_are_refused_part_by_part() {
    let mut whole = small();
    let part = whole["parts"][0].clone();
    whole["parts"] = (0..12)
        .map(|n| {
            let mut part = part.clone();
            part["id"] = json!(format!("p{n}"));
            part["count"] = json!(10_000);
            part
        })
        .collect();
    let prepared = prepare(&document(whole));
    assert_eq!(prepared.job.parts.len(), 10);
    assert_eq!(codes(&prepared), ["pieces-too-many", "pieces-too-many"]);
}

#[test]
fn a_board_to_be_left_stays_in_the_job() {
    let prepared = prepare(&changed("boards/0/use", json!("leave")));
    assert_eq!(prepared.job.boards[0].usage, Use::Leave);
}

#[test]
fn thousands_of_parts_and_boards_are_prepared() {
    let mut whole = small();
    let (board, part) = (whole["boards"][0].clone(), whole["parts"][0].clone());
    let copies = |row: &Value, count: usize| -> Vec<Value> {
        (0..count)
            .map(|n| {
                let mut row = row.clone();
                row["id"] = json!(format!("x{n}"));
                row
            })
            .collect()
    };
    whole["boards"] = Value::Array(copies(&board, 300));
    whole["parts"] = Value::Array(copies(&part, 5000));
    let prepared = prepare(&document(whole));
    assert_eq!(
        (prepared.job.boards.len(), prepared.job.parts.len()),
        (300, 5000)
    );
    assert_eq!(prepared.diagnostics, []);
}
