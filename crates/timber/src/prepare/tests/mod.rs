//! From documents to jobs: the demo jobs, and every kind of fault at its place.

mod boards;
mod done;
mod figure;
mod outlines;
mod panels;
mod parts;
mod photos;
mod together;
mod zones;

use heartside_geometry::Point;
use serde_json::{Value, json};

use super::*;
use crate::diagnostic::{Level, Subject};
use crate::document::{Answer, EdgeKind, MatchKind, SapwoodSeen, Spread, Use, ZoneFace};
use crate::job::{Form, GrainRule, Warp};
use crate::plan::DimensionValue;

fn fixture(text: &str) -> Document {
    serde_json::from_str(text).expect("a demo job is readable")
}

const DESK: &str = include_str!("../../../../../fixtures/writing-desk.heartside.json");
const DESK_INCHES: &str =
    include_str!("../../../../../fixtures/writing-desk-inches.heartside.json");
const STOOL: &str = include_str!("../../../../../fixtures/step-stool.heartside.json");
const MISFIT: &str = include_str!("../../../../../fixtures/bench-that-does-not-fit.heartside.json");

/// How many parts of the document are in the job, each panel as one.
fn whole_parts(job: &Job) -> usize {
    let plain = job.parts.iter().filter(|p| p.stave.is_none());
    plain.count() + job.panels.len()
}

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
        assert_eq!(whole_parts(&prepared.job), document.parts.len());
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
fn ids_are_unique_whatever_their_capitals() {
    let mut whole = small();
    let mut twin = whole["boards"][0].clone();
    twin["id"] = json!("a");
    whole["boards"].as_array_mut().expect("a list").push(twin);
    let prepared = only(&document(whole), "id-used-twice", "id");
    assert_eq!(prepared.diagnostics[0].place.row, Some(1));
    assert_eq!(prepared.job.boards.len(), 1);
}

fn chosen(name: &str, value: f64) -> Choices {
    let value = DimensionValue {
        name: name.to_owned(),
        value,
        preferred: None,
    };
    Choices {
        dimensions: vec![value],
        ..Choices::default()
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
    let stretched = chosen("top", 1300.0);
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
fn ranges_that_cannot_be_meant_are_said_and_the_rest_is_planned() {
    let mut whole = small();
    whole["dimensions"] = json!([
        {"name": "upside", "preferred": 700, "least": 800, "most": 600},
        {"name": "outside", "preferred": 700, "least": 500, "most": 600},
        {"name": "coarse", "preferred": 700, "least": 650, "most": 720, "step": 60},
        {"name": "sum", "preferred": {"expr": "coarse + 10"}, "least": 600, "most": 800},
        {"name": "sound", "preferred": 700, "least": 650, "most": 720, "step": 50}
    ]);
    let prepared = prepare(&document(whole));
    let found: Vec<_> = prepared
        .diagnostics
        .iter()
        .filter(|d| d.place.subject == Subject::Dimension && d.code != "dimension-unused")
        .map(|d| (d.level, d.place.row.unwrap_or(99), d.code.as_str()))
        .collect();
    assert_eq!(
        found,
        [
            (Level::Error, 0, "range-empty"),
            (Level::Error, 1, "value-out-of-range"),
            (Level::Warning, 2, "step-too-large"),
            (Level::Note, 3, "range-of-worked-out"),
        ]
    );
    let gives: Vec<_> = prepared.job.dimensions.iter().map(|d| d.gives()).collect();
    assert_eq!(gives, [false, true, false, true]);
}

#[test]
fn relations_to_what_is_not_there_are_said() {
    let mut whole = small();
    whole["matches"] = json!([
        {"kind": "same_board", "parts": [{"part": "leg"}, {"part": "leg", "copy": 2}]},
        {"kind": "balanced", "parts": [{"part": "leg"}, {"part": "leg", "copy": 2}]},
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
    whole["panels"] = json!([{"part": "arm"}]);
    let prepared = prepare(&document(whole));
    assert_eq!(
        codes(&prepared),
        [
            "part-unknown",
            "match-not-checked",
            "copy-unknown",
            "part-unknown",
            "match-too-few",
            "pinned-twice",
            "board-unknown",
            "copy-unknown",
        ]
    );
    assert_eq!(prepared.job.matches.len(), 2);
    assert_eq!(prepared.job.pins.len(), 1);
}

#[test]
fn wishes_go_with_sound_faces_and_kinds_of_matches_answer_for_themselves() {
    let mut whole = small();
    let both = json!([{"part": "leg"}, {"part": "leg", "copy": 2}]);
    whole["matches"] = json!([
        {"kind": "same_board", "parts": [{"part": "leg"}, {"part": "arm"}], "wish": {"sapwood": "none"}},
        {"kind": "continuous_across", "parts": both},
        {"kind": "balanced", "parts": both, "wish": {"sapwood": "both", "spread": "middle"}},
        {"kind": "book", "parts": both, "wish": {"answer": "run_on"}},
        {"kind": "same_board", "parts": both, "wish": {}}
    ]);
    let job = prepare(&document(whole)).job;
    let of = |kind| job.matches.iter().position(|m| m.kind == kind);
    let wish = |kind| job.wish_of(&WishedFace::Match(of(kind).expect("a sound match")));
    assert_eq!(
        job.wishes.len(),
        1 + usize::from(of(MatchKind::Book).is_some())
    );
    assert_eq!(wish(MatchKind::ContinuousAcross).answer, Answer::RunOn);
    let balanced = wish(MatchKind::Balanced);
    assert_eq!(balanced.answer, Answer::Mirror);
    assert_eq!(balanced.sapwood, SapwoodSeen::Both);
    assert_eq!(balanced.spread, Spread::Middle);
    assert!(wish(MatchKind::SameBoard).is_empty());
    assert!(job.wish_of(&WishedFace::Panel("no such".into())).is_empty());
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
