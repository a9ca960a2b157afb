//! Opening of good, bad and broken files; saving loses nothing.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::prepare;

const DESK: &str = include_str!("../../../../fixtures/writing-desk.heartside.json");

fn open(value: &Value) -> Document {
    Document::open(&value.to_string())
        .expect("it opens")
        .document
}

fn job(fields: Value) -> Value {
    let mut job = json!({"format": FORMAT, "version": VERSION});
    for (key, value) in fields.as_object().expect("fields") {
        job[key] = value.clone();
    }
    job
}

/// Every value of the file is in the saved one at the same place, as far as it says
/// something; numbers compare as numbers.
fn all_there(before: &Value, after: &Value, path: &str) -> Result<(), String> {
    match (before, after) {
        (Value::Object(b), Value::Object(a)) => {
            for (key, value) in b {
                let empty = value.is_null()
                    || value.as_str() == Some("")
                    || value.as_array().is_some_and(Vec::is_empty);
                match a.get(key) {
                    Some(found) => all_there(value, found, &format!("{path}.{key}"))?,
                    None if empty => {}
                    None => return Err(format!("{path}.{key} is gone")),
                }
            }
            Ok(())
        }
        (Value::Array(b), Value::Array(a)) if a.len() == b.len() => b
            .iter()
            .zip(a)
            .try_for_each(|(b, a)| all_there(b, a, &format!("{path}[]"))),
        (Value::Number(b), Value::Number(a)) if b.as_f64() == a.as_f64() => Ok(()),
        (b, a) if b == a => Ok(()),
        // A length may be given as a bare text.
        (Value::String(b), a) if a.get("typed") == Some(&json!(b)) => Ok(()),
        (b, a) => Err(format!("{path}: {b} became {a}")),
    }
}

#[track_caller]
fn round_trip(value: &Value) -> Document {
    let document = open(value);
    let saved = document.save();
    let again = Document::open(&saved)
        .expect("what was saved opens")
        .document;
    assert_eq!(again, document, "{saved}");
    let written: Value = serde_json::from_str(&saved).expect("what was saved is JSON");
    if let Err(loss) = all_there(value, &written, "") {
        panic!("{loss}\n{saved}");
    }
    document
}

#[test]
fn the_demo_job_opens_and_saves_unchanged() {
    let value: Value = serde_json::from_str(DESK).expect("JSON");
    round_trip(&value);
    assert_eq!(
        Document::open(&format!("\u{feff}{DESK}")),
        Document::open(DESK)
    );
    let empty = Document::new();
    assert_eq!(Document::open(&empty.save()).map(|o| o.document), Ok(empty));
}

#[test]
fn saved_files_begin_with_what_they_are() {
    let saved = Document::open(DESK).expect("it opens").document.save();
    assert!(
        saved.starts_with("{\n  \"format\": \"heartside-job\",\n  \"version\": 3,"),
        "{saved}"
    );
    assert!(saved.ends_with("}\n"));
}

#[test]
fn broken_json_is_refused_at_its_place() {
    let cut = &DESK[..DESK.len() / 2];
    let Err(OpenError::NotReadable { reason, line, .. }) = Document::open(cut) else {
        panic!("half a file opened");
    };
    assert_eq!(reason, "it ends too early, as if cut off");
    assert!(line > 100);
    let error =
        Document::open("{\n \"format\": \"heartside-job\",\n \"version\": NaN}").unwrap_err();
    let diagnostic = error.diagnostic();
    assert_eq!(
        (diagnostic.place.line, diagnostic.place.column),
        (Some(3), Some(13))
    );
    assert!(
        !diagnostic.message.contains(" at line "),
        "{}",
        diagnostic.message
    );
    for text in ["", "hello", "[1", "{\"a\": 1e999}", "nul", "\u{0}"] {
        assert!(
            matches!(Document::open(text), Err(OpenError::NotReadable { .. })),
            "{text}"
        );
    }
    let deep = "[".repeat(100_000);
    assert!(matches!(
        Document::open(&deep),
        Err(OpenError::NotReadable { .. })
    ));
}

#[test]
fn other_files_and_other_versions_are_refused_plainly() {
    for text in [
        "null",
        "[]",
        "5",
        "{}",
        "{\"format\": 5}",
        "{\"format\": \"plan\"}",
    ] {
        assert!(
            matches!(Document::open(text), Err(OpenError::NotAJob { .. })),
            "{text}"
        );
    }
    let version = |version: Value| {
        Document::open(&json!({"format": FORMAT, "version": version}).to_string()).unwrap_err()
    };
    let next = VERSION + 1;
    let newer = version(json!(next));
    assert!(newer.to_string().contains("newer"));
    assert_eq!(
        newer,
        OpenError::Newer {
            version: next.into()
        }
    );
    for bad in [json!(0), json!(-1), json!(1.5), json!("1"), json!(null)] {
        assert!(matches!(version(bad), OpenError::NoSuchVersion { .. }));
    }
}

#[test]
fn a_field_of_the_wrong_form_is_kept_and_named() {
    for (path, value) in [
        ("title", json!(5)),
        ("units", json!({"length": "cubits"})),
        ("units", json!("mm")),
        ("revision", json!(-1)),
        (
            "workshop",
            json!({"tools": [{"name": "Saw", "kerf": [3]}, 7], "trim": {"end": {}}}),
        ),
        ("workshop", json!(null)),
        ("objective", json!(["timber", "glory"])),
        ("boards", json!(5)),
        (
            "boards",
            json!([5, {"id": "A", "surface": 5, "thickness": "x27"}, null]),
        ),
        (
            "boards",
            json!([{"id": "A", "zones": [{"kind": "hole"}, "knot"]}]),
        ),
        (
            "boards",
            json!([{"id": "A", "outline": {"form": "tape", "length": 5}}]),
        ),
        ("boards", json!([{"id": "A", "outline": {"form": "blob"}}])),
        (
            "parts",
            json!([{"id": "a", "fixing_ok": "yes", "faces": "all", "species": "ash"}]),
        ),
        (
            "matches",
            json!([{"kind": "same_board", "parts": []}, {"kind": "twin"}, 4]),
        ),
        (
            "pins",
            json!([{"part": "a", "board": "A", "x": "left", "y": 0}]),
        ),
        ("floor", json!([{"board": "A", "x": 0}])),
        ("plan", json!({"layouts": 5})),
        (
            "plans",
            json!([{"name": 4, "plan": {"layouts": [{"board": "A"}]}}]),
        ),
        ("dimensions", json!([{"name": ["top"]}])),
    ] {
        let document = round_trip(&job(json!({path: value})));
        let prepared = prepare(&document);
        if !value.is_null() {
            let named = prepared
                .diagnostics
                .iter()
                .any(|d| d.code == "field-not-readable");
            assert!(
                named,
                "{path}: {value} was not named: {:#?}",
                prepared.diagnostics
            );
        }
    }
}

#[test]
fn fields_without_room_of_their_own_are_kept_and_named() {
    let value = job(json!({
        "boards": [{"id": "A", "thickness": {"mm": 27, "typed": "27", "by": "me"},
            "outline": {"form": "tape", "length": 2000, "surveyor": {"name": "x"},
                "stations": [{"at": 0, "left": 90, "right": 110, "note": "bark"}]},
            "price": {"amount": 4, "vat": true}}],
        "matches": [{"kind": "same_board", "parts": [{"part": "a", "why": 1}], "strength": 3}],
        "pins": [{"part": "a", "board": "A", "x": 0, "y": 0, "by": "hand"}]
    }));
    let document = round_trip(&value);
    let prepared = prepare(&document);
    let fields: Vec<_> = prepared
        .diagnostics
        .iter()
        .filter(|d| d.code == "field-unknown")
        .filter_map(|d| d.place.field.as_deref())
        .collect();
    assert_eq!(
        fields,
        [
            "matches[0].parts[0].why",
            "matches[0].strength",
            "pins[0].by",
            "outline.stations[0].note",
            "outline.surveyor",
            "price.vat",
            "thickness.by",
        ]
    );
    // The board itself is sound.
    assert_eq!(prepared.job.boards.len(), 1);
}

/// How many parts of the document are in the job, each panel as one.
fn whole_parts(job: &crate::job::Job) -> usize {
    let plain = job.parts.iter().filter(|p| p.stave.is_none());
    plain.count() + job.panels.len()
}

#[test]
fn a_board_whose_zones_cannot_be_read_is_not_used() {
    let mut value: Value = serde_json::from_str(DESK).expect("JSON");
    value["boards"][0]["zones"][0]["kind"] = json!("kont");
    let document = round_trip(&value);
    let prepared = prepare(&document);
    assert_eq!(prepared.job.boards.len(), document.boards.len() - 1);
    assert_eq!(whole_parts(&prepared.job), document.parts.len());
    let error = prepared
        .diagnostics
        .iter()
        .find(|d| d.code == "field-not-readable");
    let place = &error.expect("it is named").place;
    assert_eq!(
        (place.id.as_deref(), place.field.as_deref()),
        (Some("A"), Some("zones[0].kind"))
    );
}

#[test]
fn what_was_mended_stays_and_the_old_value_is_not_lost() {
    let value = job(json!({"boards": [{"id": "A", "surface": 5}]}));
    let mut document = open(&value);
    document.boards[0].surface = crate::document::Surface::Planed;
    let saved: Value = serde_json::from_str(&document.save()).expect("JSON");
    assert_eq!(saved["boards"][0]["surface"], json!("planed"));
    assert_eq!(saved["boards"][0]["kept_aside"][0]["value"], json!(5));
    assert_eq!(open(&saved), document);
}

#[test]
fn a_thousand_faulty_parts_are_opened() {
    let parts: Vec<Value> = (0..1000)
        .map(|n| json!({"id": format!("p{n}"), "fixing_ok": n, "thickness": [n]}))
        .collect();
    let document = open(&job(json!({"parts": parts})));
    assert_eq!(document.parts.len(), 1000);
    let prepared = prepare(&document);
    assert_eq!(
        prepared
            .diagnostics
            .iter()
            .filter(|d| d.code == "field-not-readable")
            .count(),
        2000
    );
}

/// Any JSON value, leaning towards what breaks readers.
fn any_value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>()
            .prop_map(|n| serde_json::Number::from_f64(n).map_or(Value::Null, Value::Number)),
        Just(json!(-1)),
        Just(json!(0)),
        Just(json!(1e308)),
        Just(json!(5e-324)),
        "[a-z0-9 ./\"'-]{0,12}".prop_map(Value::from),
        Just(json!({"expr": "((((1"})),
        Just(json!({"typed": "-3 1/0\""})),
        Just(json!([[0, 0], [1, 1], [1, 0], [0, 1]])),
    ];
    leaf.prop_recursive(4, 24, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
            prop::collection::btree_map(
                prop_oneof![
                    Just("form".to_owned()),
                    Just("kept_aside".to_owned()),
                    "[a-z.]{1,5}"
                ],
                inner,
                0..4
            )
            .prop_map(|map| Value::Object(map.into_iter().collect())),
        ]
    })
}

/// Every place in a value, as pointers.
fn places(value: &Value, at: String, found: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map {
                places(
                    inner,
                    format!("{at}/{}", key.replace('~', "~0").replace('/', "~1")),
                    found,
                );
            }
        }
        Value::Array(list) => {
            for (row, inner) in list.iter().enumerate() {
                places(inner, format!("{at}/{row}"), found);
            }
        }
        _ => {}
    }
    found.push(at);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    /// A good job with some values replaced by others still opens, loses nothing on saving,
    /// and can be prepared.
    #[test]
    fn mutated_jobs_open_save_and_prepare(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any_value()), 1..6)
    ) {
        let mut value: Value = serde_json::from_str(DESK).expect("JSON");
        for (index, new) in changes {
            let mut found = Vec::new();
            places(&value, String::new(), &mut found);
            let place = index.get(&found);
            if !place.is_empty() && place != "/format" && place != "/version"
                && let Some(old) = value.pointer_mut(place) {
                *old = new;
            }
        }
        let opened = Document::open(&value.to_string()).expect("it opens").document;
        let saved = opened.save();
        let again = Document::open(&saved).expect("what was saved opens").document;
        prop_assert!(again == opened, "{}\n{}", saved, again.save());
        let prepared = prepare(&opened);
        for board in &prepared.job.boards {
            prop_assert_eq!(board.sides.len(), board.outline.edges().count());
            prop_assert!(board.cost.is_finite() && board.thickness > 0.0);
        }
        for part in &prepared.job.parts {
            prop_assert!(part.count >= 1 && part.thickness > 0.0 && part.length() > 0.0);
            let low = part.outline.bounds().min;
            prop_assert!(low.x.abs() < 1e-9 && low.y.abs() < 1e-9);
        }
    }

    /// Anything else is answered too.
    #[test]
    fn any_value_is_answered(value in any_value(), text in "\\PC{0,40}") {
        let _ = Document::open(&value.to_string());
        let _ = Document::open(&text);
        let job = json!({"format": FORMAT, "version": VERSION, "boards": [value.clone()],
                         "parts": value.clone(), "workshop": value});
        let opened = Document::open(&job.to_string()).expect("it opens").document;
        let _ = prepare(&opened);
        let again = Document::open(&opened.save()).map(|o| o.document);
        prop_assert!(again.as_ref() == Ok(&opened), "{}\n{:?}", opened.save(), again.map(|d| d.save()));
    }
}
