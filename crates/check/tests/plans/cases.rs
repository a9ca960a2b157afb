//! Small whole files that once were called checked and would have hurt wood or hands, opened as a
//! maker's file is.

use heartside_check::check;
use heartside_timber::document::Document;
use heartside_timber::finding::{Finding, Outcome};
use heartside_timber::prepare::prepare;
use serde_json::{Value, json};

use crate::fixtures::amount;

/// A file of version 1 with these tools, board, part and plan.
fn file(tools: Value, board: Value, part: Value, plan: Value) -> Vec<Finding> {
    file_with(json!([]), tools, board, part, plan)
}

fn file_with(matches: Value, tools: Value, board: Value, part: Value, plan: Value) -> Vec<Finding> {
    let mut board_row = json!({"id": "A", "name": "Board A", "species": "European beech"});
    let mut part_row = json!({"id": "p", "name": "Part p"});
    for (row, fields) in [(&mut board_row, board), (&mut part_row, part)] {
        let row = row.as_object_mut().unwrap();
        row.extend(fields.as_object().unwrap().clone());
    }
    let file = json!({
        "format": "heartside-job", "version": 1,
        "workshop": {"tools": tools, "trim": {"end": 0, "edge": 0}},
        "allowances": {"end": 8, "edge": 2, "sawn": 3, "planing": 2.5, "clean_up": 0.8},
        "boards": [board_row], "parts": [part_row], "matches": matches, "plan": plan,
    });
    let document = Document::open(&file.to_string()).unwrap().document;
    let prepared = prepare(&document);
    assert!(!prepared.has_errors(), "{:#?}", prepared.diagnostics);
    check(&prepared.job, document.plan.as_ref().unwrap())
}

fn cut(direction: &str, tool: &str, at: f64, kerf: f64, low: usize, high: usize) -> Value {
    json!({"node": "cut", "direction": direction, "tool": tool, "at": at, "kerf": kerf,
           "low": low, "high": high})
}

fn plan(way: &str, placement: Value, nodes: Option<Value>) -> Value {
    let mut layout = json!({"board": "A", "copy": 1, "way": way, "placements": [placement]});
    if let Some(nodes) = nodes {
        layout["cuts"] = json!({ "nodes": nodes });
    }
    json!({"layouts": [layout]})
}

fn told<'a>(found: &'a [Finding]) -> Vec<(&'a str, Option<f64>)> {
    let rounded = |by: f64| (by * 1e6).round() / 1e6;
    let one = |f: &'a Finding| (f.cause.as_str(), amount(f).map(rounded));
    found.iter().map(one).collect()
}

/// Straight, square sides all round.
fn square(length: f64, width: f64, thickness: f64) -> Value {
    json!({"thickness": thickness, "outline": {"form": "tape", "length": length,
        "stations": [{"at": 0, "left": width / 2.0, "right": width / 2.0}],
        "left": "straight", "right": "straight", "start": "straight", "end": "straight"}})
}

#[test]
fn a_rip_of_60_mm_in_a_piece_600_wide() {
    let tools = json!([
        {"name": "Table saw", "does": ["rip"], "kerf": 3.2, "max_width": 620, "min_piece": 300, "fence": true},
        {"name": "Hand", "does": ["crosscut"], "kerf": 2}]);
    let part = json!({"shape": {"form": "rectangle", "length": 44, "width": 496}, "thickness": 20});
    let nodes = json!([
        cut("rip", "Table saw", 200.0, 3.2, 1, 2),
        {"node": "blank", "placement": 0}, {"node": "waste"}]);
    let at = json!({"part": "p", "copy": 1, "x": 8, "y": -298, "turn": 0});
    let found = file(
        tools,
        square(60.0, 600.0, 27.0),
        part,
        plan("straight", at, Some(nodes)),
    );
    assert_eq!(told(&found), [("piece-too-small", Some(240.0))]);
}

#[test]
fn a_fence_along_an_edge_hardly_trued() {
    let tools = json!([
        {"name": "Track", "does": ["rip", "crosscut"], "kerf": 2.2, "can_skim": true},
        {"name": "Table saw", "does": ["rip"], "kerf": 3.2, "max_width": 620, "fence": true}]);
    // The right edge rises by 40 over the length: the track saw touches its first 17.5 mm.
    let board = json!({"thickness": 27, "outline": {"form": "tape", "length": 1000,
        "stations": [{"at": 0, "left": 100, "right": 100}, {"at": 1000, "left": 100, "right": 60}],
        "left": "raw", "right": "raw", "start": "straight", "end": "straight"}});
    let part = json!({"shape": {"form": "rectangle", "length": 500, "width": 80}, "thickness": 20});
    let nodes = json!([
        cut("rip", "Track", -101.5, 2.2, 1, 2), {"node": "waste"},
        cut("rip", "Table saw", 64.0, 3.2, 3, 4),
        cut("rip", "Table saw", -23.2, 3.2, 5, 6), {"node": "waste"}, {"node": "waste"},
        cut("crosscut", "Track", 516.0, 2.2, 7, 8),
        {"node": "blank", "placement": 0}, {"node": "waste"}]);
    let at = json!({"part": "p", "copy": 1, "x": 8, "y": -18, "turn": 0});
    let found = file(tools, board, part, plan("straight", at, Some(nodes)));
    // 0.7 of wood are taken where the kerf is 2.2: nine tenths of the length less 17.5.
    assert_eq!(told(&found), [("true-edge-too-short", Some(882.5))]);
}

#[test]
fn metal_in_a_flat_planed_board_that_is_planed_all_the_same() {
    let tools = json!([{"name": "Bandsaw", "does": ["sawn"], "kerf": 2.0}]);
    let mut board = square(600.0, 110.0, 30.0);
    board["surface"] = json!("planed");
    board["warp"] = json!({});
    board["zones"] = json!([{"kind": "fixing", "material": "metal", "margin": 5, "note": "old screw",
        "shape": {"form": "spot", "along": 300, "across": 55, "length": 8, "width": 8}}]);
    let part = json!({"shape": {"form": "rectangle", "length": 500, "width": 80}, "thickness": 22,
        "fixing_ok": true});
    let at = json!({"part": "p", "copy": 1, "x": 50, "y": -40, "turn": 0});
    let found = file(tools, board, part, plan("sawn", at, None));
    let causes: Vec<&str> = found.iter().map(|f| f.cause.as_str()).collect();
    assert_eq!(causes, ["fixing-planed"]);
}

#[test]
fn rot_on_the_hidden_face_keeps_its_margin() {
    let tools = json!([{"name": "Bandsaw", "does": ["sawn"], "kerf": 2.0}]);
    let mut board = square(600.0, 130.0, 27.0);
    // 9 beside rot that ends at y = -35: the blank may begin at -26.
    board["zones"] = json!([{"kind": "defect", "note": "rot", "face": "down", "depth": 3, "margin": 9,
        "shape": {"form": "spot", "oval": false, "along": 300, "across": 15, "length": 600, "width": 30}}]);
    let part = json!({"shape": {"form": "rectangle", "length": 500, "width": 80}, "thickness": 20,
        "faces": "none"});
    for (y, by) in [(-24.0, None), (-30.0, Some(6.0))] {
        let at = json!({"part": "p", "copy": 1, "x": 50, "y": y, "turn": 0});
        let found = file(
            tools.clone(),
            board.clone(),
            part.clone(),
            plan("sawn", at, None),
        );
        let expected: Vec<(&str, Option<f64>)> = by
            .map(|by| ("zone-too-near", Some(by)))
            .into_iter()
            .collect();
        assert_eq!(told(&found), expected);
    }
}

#[test]
fn a_board_too_thick_for_the_only_band_saw() {
    let saw = |max_depth: f64| {
        json!([
            {"name": "Track saw", "does": ["rip", "crosscut"], "kerf": 2.2},
            {"name": "Bandsaw", "does": ["sawn"], "kerf": 1.2, "max_depth": max_depth}])
    };
    let part = json!({"shape": {"form": "disc", "diameter": 120}, "thickness": 50, "cut": "sawn"});
    let at = json!({"part": "p", "copy": 1, "x": 100, "y": -60, "turn": 0});
    let found = |tools| {
        let board = square(600.0, 200.0, 60.0);
        file(tools, board, part.clone(), plan("sawn", at.clone(), None))
    };
    assert_eq!(told(&found(saw(45.0))), [("too-thick-to-saw", Some(15.0))]);
    assert_eq!(told(&found(saw(60.0))), []);
    // No such tool at all: one is taken to be there.
    let no_saw = json!([{"name": "Track saw", "does": ["rip", "crosscut"], "kerf": 2.2}]);
    assert_eq!(told(&found(no_saw)), []);
}

#[test]
fn what_cannot_be_checked_is_never_called_checked() {
    let tools = json!([{"name": "Bandsaw", "does": ["sawn"], "kerf": 2.0}]);
    let part = json!({"shape": {"form": "rectangle", "length": 200, "width": 60}, "thickness": 20,
        "count": 2});
    let row = |copy: u32, x: f64| json!({"part": "p", "copy": copy, "x": x, "y": -30, "turn": 0});
    let mut both = plan("sawn", row(1, 20.0), None);
    both["layouts"][0]["placements"] = json!([row(1, 20.0), row(2, 300.0)]);
    let balanced = json!([{"kind": "balanced", "parts": [{"part": "p", "copy": 1}, {"part": "p", "copy": 2}]}]);
    for (matches, outcome) in [
        (json!([]), Outcome::Checked),
        (balanced, Outcome::NotAllChecked(1)),
    ] {
        let (tools, part, both) = (tools.clone(), part.clone(), both.clone());
        let found = file_with(matches, tools, square(600.0, 100.0, 27.0), part, both);
        assert_eq!(Outcome::of(&found), outcome);
    }
}
