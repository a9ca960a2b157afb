//! Files of every older form open for good: they say once what counts differently, and lose nothing.
//!
//! `form-1`, `form-2` and `form-3` (of before panels) hold demo jobs as those versions of the program wrote them; they are
//! never changed.

use heartside_timber::diagnostic::{Diagnostic, Level};
use heartside_timber::document::{Document, Length, VERSION};
use heartside_timber::job::{Guide, Tool};
use heartside_timber::prepare::prepare;
use serde_json::{Value, json};

const FORM_1: [&str; 4] = [
    include_str!("form-1/writing-desk.heartside.json"),
    include_str!("form-1/writing-desk-inches.heartside.json"),
    include_str!("form-1/step-stool.heartside.json"),
    include_str!("form-1/bench-that-does-not-fit.heartside.json"),
];

const FORM_2: [&str; 5] = [
    include_str!("form-2/writing-desk.heartside.json"),
    include_str!("form-2/writing-desk-inches.heartside.json"),
    include_str!("form-2/step-stool.heartside.json"),
    include_str!("form-2/dining-table.heartside.json"),
    include_str!("form-2/bench-that-does-not-fit.heartside.json"),
];

fn codes(told: &[Diagnostic]) -> Vec<&str> {
    told.iter().map(|d| d.code.as_str()).collect()
}

/// What the tools of a version 1 file are taken for, and what opening it says.
fn opened(tools: &Value, zones: &Value) -> (Vec<Tool>, Vec<Diagnostic>) {
    let file = json!({"format": "heartside-job", "version": 1, "workshop": {"tools": tools},
        "boards": [{"id": "A", "thickness": 30, "zones": zones,
            "outline": {"form": "tape", "length": 1000, "stations": [{"at": 0, "left": 100, "right": 0}]}}]});
    let opened = Document::open(&file.to_string()).expect("an older file opens");
    let prepared = prepare(&opened.document);
    (prepared.job.workshop.tools, opened.diagnostics)
}

#[test]
fn files_of_version_1_open_and_tell_once_what_counts_differently() {
    for text in FORM_1 {
        let first = Document::open(text).expect("it opens");
        assert!(codes(&first.diagnostics).starts_with(&["file-older"]));
        assert!(first.diagnostics.iter().all(|d| d.level == Level::Note));
        assert_eq!(first.document.version, VERSION);
        let errors = |d: &Document| {
            let found = prepare(d).diagnostics;
            // Which poplar its boards are is a question, and no fault.
            found
                .into_iter()
                .filter(|d| d.level != Level::Note && d.code != "species-which")
                .count()
        };
        // The bench is meant not to fit, which is a warning.
        if !first.document.title.contains("does not fit") {
            assert_eq!(errors(&first.document), 0, "{}", first.document.title);
        }
        let again = Document::open(&first.document.save()).expect("it opens again");
        assert_eq!(again.diagnostics, []);
        assert_eq!(again.document, first.document);
    }
}

#[test]
fn nothing_but_what_was_renamed_is_lost() {
    for text in FORM_1 {
        let mut before: Value = serde_json::from_str(text).expect("JSON");
        let document = Document::open(text).expect("it opens").document;
        let mut after: Value = serde_json::from_str(&document.save()).expect("JSON");
        for tool in before["workshop"]["tools"].as_array_mut().expect("tools") {
            tool.as_object_mut().expect("a tool").remove("fence");
        }
        for dimension in before
            .pointer_mut("/dimensions")
            .and_then(Value::as_array_mut)
            .into_iter()
            .flatten()
        {
            let value = dimension["value"].take();
            dimension
                .as_object_mut()
                .expect("a dimension")
                .remove("value");
            dimension["preferred"] = value;
        }
        before["version"] = json!(VERSION);
        // Saving adds what an older file left to the defaults; what was there must still be.
        keep_only(&mut after, &before);
        assert_eq!(after, before);
    }
}

#[test]
fn a_file_of_version_2_means_what_it_meant() {
    for text in FORM_2 {
        let opened = Document::open(text).expect("it opens");
        assert_eq!(codes(&opened.diagnostics), ["file-older"]);
        let mut before: Value = serde_json::from_str(text).expect("JSON");
        let mut after: Value = serde_json::from_str(&opened.document.save()).expect("JSON");
        before["version"] = json!(VERSION);
        keep_only(&mut after, &before);
        assert_eq!(after, before);
    }
}

/// Takes out of `value` the fields that `wanted` does not have.
fn keep_only(value: &mut Value, wanted: &Value) {
    match (value, wanted) {
        (Value::Object(fields), Value::Object(wanted)) => {
            fields.retain(|key, _| wanted.contains_key(key));
            for (key, value) in fields {
                keep_only(value, &wanted[key]);
            }
        }
        (Value::Array(rows), Value::Array(wanted)) => {
            rows.iter_mut()
                .zip(wanted)
                .for_each(|(v, w)| keep_only(v, w));
        }
        (Value::Number(number), Value::Number(wanted)) if number.as_f64() == wanted.as_f64() => {
            *number = wanted.clone();
        }
        _ => {}
    }
}

#[test]
fn a_tool_of_version_1_is_taken_for_the_one_that_asks_more() {
    let (tools, told) = opened(
        &json!([
            {"name": "rail", "does": ["rip", "crosscut"], "kerf": 2, "fence": false},
            {"name": "table", "does": ["rip"], "kerf": 3, "fence": true},
            {"name": "own limit", "does": ["rip"], "kerf": 3, "fence": true, "min_piece": 250},
            {"name": "mitre", "does": ["crosscut"], "kerf": 2.8},
            {"name": "band", "does": ["rip", "sawn"], "kerf": 1, "fence": false},
            {"name": "line", "does": ["sawn"], "kerf": 1},
        ]),
        &json!([]),
    );
    let seen: Vec<_> = tools
        .iter()
        .map(|t| (t.guide, t.work_moves, t.leaves_true_edge, t.min_piece))
        .collect();
    assert_eq!(
        seen,
        [
            (Guide::Along, false, true, 0.0),
            (Guide::Along, true, true, 300.0),
            (Guide::Along, true, true, 250.0),
            (Guide::Square, false, true, 300.0),
            (Guide::None, true, false, 0.0),
            (Guide::None, false, false, 0.0),
        ]
    );
    let said: Vec<_> = told
        .iter()
        .filter_map(|d| d.place.name.as_deref())
        .collect();
    assert_eq!(said, ["rail", "table", "mitre", "band", "line"]);
    assert!(told.iter().skip(1).all(|d| d.hint.is_some()));
}

#[test]
fn fixings_without_a_distance_are_told_and_kept_clear() {
    let spot = |margin: Option<f64>| {
        let mut zone = json!({"kind": "fixing", "shape": {"form": "spot", "along": 500, "across": 50, "length": 20, "width": 20}});
        if let Some(margin) = margin {
            zone["margin"] = json!(margin);
        }
        zone
    };
    let (_, told) = opened(&json!([]), &json!([spot(Some(0.0)), spot(Some(5.0))]));
    assert_eq!(codes(&told), ["file-older"]);
    let (_, told) = opened(
        &json!([]),
        &json!([spot(None), spot(Some(5.0)), spot(None)]),
    );
    assert_eq!(codes(&told), ["file-older", "older-fixing"]);
    assert!(
        told[1].message.contains("12 mm clear of 2 fixings"),
        "{}",
        told[1].message
    );
}

#[test]
fn a_roughly_known_fixing_is_a_band_and_its_depths_are_kept() {
    let file = json!({"format": "heartside-job", "version": 3, "boards": [{"id": "A", "thickness": 30,
    "outline": {"form": "tape", "length": 1000, "stations": [{"at": 0, "left": 100, "right": 0}]},
    "zones": [
        {"kind": "fixing", "uncertain": 20, "depth_from": 8, "depth_to": 20, "drawn_before_planing": true,
         "shape": {"form": "spot", "along": 500, "across": 50, "length": 20, "width": 20}},
        {"kind": "defect", "shape": {"form": "spot", "along": 200, "across": 50, "length": 20, "width": 20}},
    ]}]});
    let prepared = prepare(
        &Document::open(&file.to_string())
            .expect("it opens")
            .document,
    );
    let zones = &prepared.job.boards[0].zones;
    assert_eq!(
        (zones[0].margin, zones[0].buried),
        (32.0, Some((8.0, 20.0)))
    );
    assert!(zones[0].drawn_before_planing);
    assert_eq!((zones[1].margin, zones[1].buried), (0.0, None));
}

#[test]
fn what_later_work_needs_is_read_kept_and_written() {
    let mut file = json!({"format": "heartside-job", "version": 3,
        "dimensions": [{"name": "top", "preferred": 1500, "least": 1400, "most": 1500, "step": 5}],
        "boards": [{"id": "A1", "from": {"done": 1, "side": "left"}}],
        "plan": {"layouts": [{"board": "A1", "copy": 1, "way": "straight", "placements":
            [{"part": "top", "copy": 1, "x": 0.0, "y": 0.0, "turn": 0.0, "turned_over": false, "stave": 2, "leaf": 1, "width": 88.5}],
            "cuts": {"nodes": [{"node": "cut", "direction": "rip", "tool": "saw", "at": 3.0, "kerf": 2.0, "angle": 0.4, "low": 1, "high": 2},
                {"node": "waste"}, {"node": "offcut"}]}}]},
        "done": [{"id": 1, "board": "A", "board_copy": 1, "line": [[0.0, 50.0], [1000.0, 52.0]], "kerf": 2.2, "tool": "saw"}],
        "photos": [{"hash": "ab12", "board": "A1", "face": "up", "marks": [{"pixel": [10.0, 20.0], "at": [0.0, 0.0]}]}],
        "figure_maps": [{"photo": "ab12", "cell": 4.0, "origin": [0.0, 0.0], "columns": 2, "layers": {"light": [1, 2, 3, 4]}}]});
    let document = Document::open(&file.to_string())
        .expect("it opens")
        .document;
    assert_eq!(document.dimensions[0].step, Some(Length::Mm(5.0)));
    let mut saved: Value = serde_json::from_str(&document.save()).expect("JSON");
    keep_only(&mut saved, &file);
    // Levels that were a list of numbers are written as text.
    file["figure_maps"][0]["layers"]["light"] = json!("AQIDBA==");
    assert_eq!(saved, file);
}

#[test]
fn levels_that_are_no_levels_are_kept_aside_and_said() {
    for light in [json!("not base64"), json!(7), json!({})] {
        let file = json!({"format": "heartside-job", "version": 3, "boards": [{"id": "A", "thickness": 20}],
            "photos": [{"hash": "ab".repeat(32), "board": "A", "pixel": 1, "size": [100, 100]}],
            "figure_maps": [{"photo": "ab".repeat(32), "cell": 4, "columns": 2,
                "layers": {"light": light, "strength": "AQE="}}]});
        let opened = Document::open(&file.to_string()).expect("it opens all the same");
        let prepared = prepare(&opened.document);
        let layers = prepared.job.figure.iter().flat_map(|map| &map.layers);
        assert!(
            layers.into_iter().all(|layer| layer.name != "light"),
            "{light}"
        );
        let said = opened.diagnostics.iter().chain(&prepared.diagnostics);
        assert!(
            said.into_iter().any(|d| d
                .place
                .field
                .as_deref()
                .is_some_and(|f| f.contains("figure_maps"))),
            "{light}"
        );
        let saved: Value = serde_json::from_str(&opened.document.save()).expect("JSON");
        assert_eq!(saved.pointer("/figure_maps/0/layers/light"), Some(&light));
    }
}

#[test]
fn spots_that_lie_elsewhere_now_are_told_of() {
    let told = |outline: Value, shape: Value| {
        let file = json!({"format": "heartside-job", "version": 1, "boards": [
            {"id": "A", "thickness": 30, "outline": outline, "zones": [{"shape": shape}]}]});
        let opened = Document::open(&file.to_string()).expect("an older file opens");
        codes(&opened.diagnostics).contains(&"older-spot")
    };
    let corners =
        |x: Value| json!({"form": "polygon", "points": [[x, 0], [1500, 0], [1500, 200], [x, 200]]});
    let spot = json!({"form": "spot", "along": 600, "across": 100, "length": 60, "width": 60});
    let drawn = json!({"form": "polygon", "points": [[600, 10], [700, 10], [650, 90]]});
    let tape =
        json!({"form": "tape", "length": 1000, "stations": [{"at": 0, "left": 100, "right": 0}]});
    for x in [
        json!(300),
        json!(-20),
        json!({"mm": 4, "typed": "4"}),
        json!({"expr": "gap * 2"}),
    ] {
        assert!(told(corners(x.clone()), spot.clone()), "{x}");
        assert!(!told(corners(x), drawn.clone()));
    }
    assert!(!told(corners(json!(0)), spot.clone()));
    assert!(!told(corners(json!({"mm": 0, "typed": "0"})), spot.clone()));
    assert!(!told(tape, spot));
}

#[test]
fn plans_made_without_tools_keep_their_saws() {
    let cuts = json!({"nodes": [
        {"node": "cut", "direction": "rip", "tool": "Rip", "at": 90, "kerf": 3.2, "low": 1, "high": 2},
        {"node": "waste"},
        {"node": "cut", "direction": "crosscut", "tool": "Crosscut", "at": 400, "kerf": 3.2, "low": 3, "high": 4},
        {"node": "waste"}, {"node": "waste"}]});
    let plan = json!({"layouts": [{"board": "A", "copy": 1, "way": "straight", "placements": [], "cuts": cuts}]});
    let file = |tools: Value| {
        json!({"format": "heartside-job", "version": 1, "workshop": {"tools": tools}, "plan": plan,
               "plans": [{"name": "kept", "plan": plan}]})
    };
    let saws = |file: Value| -> Vec<String> {
        let document = Document::open(&file.to_string())
            .expect("it opens")
            .document;
        let value = serde_json::to_value(document).expect("it can be written");
        let plans = [&value["plan"], &value["plans"][0]["plan"]];
        let nodes = plans.map(|plan| {
            plan["layouts"][0]["cuts"]["nodes"]
                .as_array()
                .expect("nodes")
                .clone()
        });
        let named = nodes
            .into_iter()
            .flatten()
            .filter_map(|n| n["tool"].as_str().map(str::to_owned));
        named.collect()
    };
    let renamed = saws(file(json!([])));
    assert_eq!(
        renamed,
        [
            "any rip saw",
            "any crosscut saw",
            "any rip saw",
            "any crosscut saw"
        ]
    );
    // They are the names of the saws that stand in.
    let job = prepare(&Document::new()).job;
    let names: Vec<&str> = job.workshop.tools.iter().map(|t| t.name.as_str()).collect();
    assert_eq!(names, renamed[..2]);
    let own = json!([{"name": "Rip", "does": ["rip"]}, {"name": "Crosscut", "does": ["crosscut"]}]);
    assert_eq!(saws(file(own)), ["Rip", "Crosscut", "Rip", "Crosscut"]);
}

#[test]
fn finer_inches_and_the_tally_of_board_feet_are_told() {
    let file = |fraction: Value, per: &str| {
        let job = json!({"format": "heartside-job", "version": 1,
            "units": {"length": "in", "fraction": fraction},
            "boards": [{"id": "A", "name": "one", "thickness": 25,
                "price": {"amount": 9, "per": per},
                "outline": {"form": "tape", "length": 1000,
                    "stations": [{"at": 0, "left": 100, "right": 0}]}}]});
        codes(
            &Document::open(&job.to_string())
                .expect("it opens")
                .diagnostics,
        )
        .into_iter()
        .map(str::to_owned)
        .collect::<Vec<String>>()
    };
    let told = file(Value::Null, "board_foot");
    assert!(told.iter().any(|code| code == "older-inches"), "{told:?}");
    assert!(told.iter().any(|code| code == "older-price"), "{told:?}");
    let told = file(json!(16), "board");
    assert!(
        !told
            .iter()
            .any(|code| code == "older-inches" || code == "older-price"),
        "{told:?}"
    );
}

/// Panels, leaves and chosen sizes came as fields that may be missing: a job of before them says nothing.
#[test]
fn a_job_of_before_panels_opens_as_it_was() {
    let text = include_str!("form-3/writing-desk.heartside.json");
    let opened = Document::open(text).expect("it opens");
    assert_eq!(codes(&opened.diagnostics), [""; 0]);
    let job = prepare(&opened.document).job;
    assert!(job.panels.is_empty() && job.parts.iter().all(|p| p.stave.is_none()));
    assert!(job.dimensions.iter().all(|d| !d.gives()));
    let file: Value = serde_json::from_str(text).expect("JSON");
    let mut saved: Value = serde_json::from_str(&opened.document.save()).expect("JSON");
    keep_only(&mut saved, &file);
    assert_eq!(saved, file);
}
