//! Outlines of boards and parts.

use super::*;

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
