//! Outlines, marked areas, parts by name and lines of grain.

use super::*;

#[test]
fn shapes_keep_their_sizes_when_they_change() {
    let ground = Ground::new();
    let reader = ground.metric();
    let mut part = part();
    for form in ["taper", "ellipse", "arc_sided", "polygon", "rectangle"] {
        part = typed(ThingKind::Part, &part, "shape.form", form, &reader).0;
    }
    let value = serde_json::to_value(&part).unwrap();
    assert_eq!(value["shape"]["length"].as_f64(), Some(742.0));
    assert_eq!(value["shape"]["width"].as_f64(), Some(56.0));
}

#[test]
fn a_board_goes_from_tape_to_corners_and_back() {
    let ground = Ground::new();
    let reader = ground.metric();
    let (corners, _) = typed(
        ThingKind::Board,
        &board(),
        "outline.form",
        "polygon",
        &reader,
    );
    let (sided, _) = typed(
        ThingKind::Board,
        &corners,
        "outline.sides[2]",
        "straight",
        &reader,
    );
    assert_eq!(
        shown(ThingKind::Board, &sided, "outline.sides[2]", &reader).text,
        "straight"
    );
    let (tape, _) = typed(ThingKind::Board, &sided, "outline.form", "tape", &reader);
    assert_eq!(
        shown(ThingKind::Board, &tape, "outline.length", &reader).text,
        "2000"
    );
    assert_eq!(
        shown(ThingKind::Board, &tape, "outline.stations[1].left", &reader).text,
        "90"
    );
    assert_eq!(
        shown(
            ThingKind::Board,
            &tape,
            "outline.stations[1].right",
            &reader
        )
        .text,
        "100"
    );
}

#[test]
fn zones_go_through_all_their_forms() {
    let ground = Ground::new();
    let reader = ground.metric();
    let mut zone: Zone = board().zones[0].clone();
    for form in ["strip", "spot", "polygon", "spot"] {
        zone = typed(ThingKind::Zone, &zone, "shape.form", form, &reader).0;
        assert_eq!(
            shown(ThingKind::Zone, &zone, "shape.form", &reader).text,
            form
        );
    }
}

#[test]
fn copies_are_named_as_people_name_them() {
    let ground = Ground::new();
    let empty: doc::Match =
        serde_json::from_value(json!({ "kind": "same_board", "parts": [] })).unwrap();
    let (named, _) = typed(
        ThingKind::Match,
        &empty,
        "parts",
        "Leg 1, leg 2; rail",
        &ground.metric(),
    );
    assert_eq!(named.parts.len(), 3);
    assert_eq!(
        shown(ThingKind::Match, &named, "parts", &ground.metric()).text,
        "Leg 1, Leg 2, rail 1"
    );
    assert!(matches!(
        type_into(ThingKind::Match, &empty, "parts", "Lgg 1", &ground.metric()),
        Typed::Refused(_)
    ));
}

#[test]
fn bent_grain_is_typed_line_by_line() {
    let ground = Ground::new();
    let (bent, problem) = typed(
        ThingKind::Board,
        &board(),
        "grain.lines",
        "0, 0; 400, 20\n0, 50; 400, 65.5",
        &ground.metric(),
    );
    assert_eq!(problem, None);
    assert_eq!(
        shown(ThingKind::Board, &bent, "grain.lines", &ground.metric()).text,
        "0, 0; 400, 20\n0, 50; 400, 65.5"
    );
    let (_, problem) = typed(
        ThingKind::Board,
        &board(),
        "grain.lines",
        "wavy",
        &ground.metric(),
    );
    assert!(problem.is_some());
}
