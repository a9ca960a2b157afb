//! Instance files that are not what they should be: an answer, and never a panic.

use heartside_trials::instance::{Instance, Options};
use proptest::prelude::*;
use serde_json::{Value, json};

fn sound() -> Value {
    json!({
        "name": "sound", "kind": "knapsack-guillotine", "units": "none",
        "best_known": {"measure": "value", "value": 12}, "optimum_proven": false,
        "boards": [{"outline": [[0, 0], [24, 0], [24, 10], [0, 10]], "defects": [[[1, 1], [2, 1], [2, 2], [1, 2]]], "quantity": 1}],
        "parts": [{"id": "a", "outline": [[0, 0], [4, 0], [4, 3], [0, 3]], "quantity": 2, "rotations_deg": [0, 90], "value": 12}],
    })
}

fn any_value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        "\\PC{0,12}".prop_map(Value::from),
    ];
    leaf.prop_recursive(3, 24, 5, |inner| {
        prop_oneof![
            proptest::collection::vec(inner.clone(), 0..5).prop_map(Value::from),
            proptest::collection::btree_map("[a-z_]{1,9}", inner, 0..5)
                .prop_map(|m| Value::Object(m.into_iter().collect())),
        ]
    })
}

/// Every place in a value, as a JSON pointer.
fn places(value: &Value, at: String, list: &mut Vec<String>) {
    match value {
        Value::Array(items) => {
            for (k, item) in items.iter().enumerate() {
                places(item, format!("{at}/{k}"), list);
            }
        }
        Value::Object(items) => {
            for (k, item) in items {
                places(item, format!("{at}/{k}"), list);
            }
        }
        _ => {}
    }
    list.push(at);
}

#[test]
fn the_sound_one_is_read() {
    assert!(Instance::read(&sound().to_string(), &Options::default()).is_ok());
}

/// The sound instance with one outline in place of another, read.
fn with(pointer: &str, outline: Value) -> Result<Instance, String> {
    let mut file = sound();
    *file.pointer_mut(pointer).expect("the outline is there") = outline;
    Instance::read(&file.to_string(), &Options::default()).map_err(|error| error.to_string())
}

#[test]
fn a_faulty_outline_is_named_with_what_is_wrong() {
    for (outline, words) in [
        (json!([[0, 0], [9, 9], [9, 0], [0, 8]]), "cross"),
        (json!([[0, 0], [9, 0], [4, 0]]), "area"),
        (
            json!([[0, 0], [9, 0], [9, 5], [9, 0], [0, 5]]),
            "runs over itself",
        ),
        (json!([[0, 0], [9, 0]]), "three different points"),
        (json!([]), "three different points"),
    ] {
        for (pointer, whose) in [
            ("/parts/0/outline", "part a: "),
            ("/boards/0/outline", "board 1: "),
            ("/boards/0/defects/0", "a defect of board 1: "),
        ] {
            let error = with(pointer, outline.clone()).expect_err("the outline is no outline");
            assert!(error.starts_with(whose), "{error}");
            assert!(error.contains(words), "{error}");
        }
    }
}

#[test]
fn odd_outlines_that_are_sound_are_read_as_they_are() {
    let jagged: Value = (0..10_000)
        .map(|k| json!([0.5 * f64::from(k), if k % 2 == 0 { 100 } else { 90 }]))
        .chain([json!([5_000, 0]), json!([0, 0])])
        .collect();
    for outline in [
        jagged,
        // Thin as a hair; lobes that hang together in one point.
        json!([[0, 0], [400, 0], [400, 1e-6], [0, 1e-6]]),
        json!([[0, 0], [6, 3], [12, 0], [12, 6], [6, 3], [0, 6]]),
    ] {
        let corners = outline.as_array().map(Vec::len);
        for pointer in ["/parts/0/outline", "/boards/0/outline"] {
            let read = with(pointer, outline.clone()).expect("the outline is sound");
            let job = read.job;
            let kept = match pointer {
                "/parts/0/outline" => &job.parts[0].outline,
                _ => &job.boards[0].outline,
            };
            assert_eq!(Some(kept.point_count()), corners);
        }
    }
}

proptest! {
    /// One place of a sound instance holds anything at all.
    #[test]
    fn anything_in_any_place_is_answered(which in any::<prop::sample::Index>(), what in any_value()) {
        let mut file = sound();
        let mut list = Vec::new();
        places(&file, String::new(), &mut list);
        if let Some(place) = file.pointer_mut(which.get(&list).as_str()) {
            *place = what;
        }
        if let Err(error) = Instance::read(&file.to_string(), &Options::default()) {
            prop_assert!(!error.to_string().is_empty());
        }
    }

    /// A sound file with a stretch of its text taken out, or anything put in.
    #[test]
    fn torn_text_is_answered(from in 0usize..400, length in 0usize..40, put in "\\PC{0,8}") {
        let text: Vec<char> = sound().to_string().chars().collect();
        let from = from.min(text.len());
        let to = (from + length).min(text.len());
        let torn: String = text[..from].iter().copied().chain(put.chars()).chain(text[to..].iter().copied()).collect();
        let _ = Instance::read(&torn, &Options::default());
    }
}
