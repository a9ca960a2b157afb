//! What machines ask of a board before they cut it: a true edge at a rip fence, a length by which a
//! piece is held, no twist where the work moves. What one tool may not begin with, another does.

use crate::sample;

use heartside_nest::{Search, Settings, WayWanted};
use heartside_timber::document::Document;
use heartside_timber::job::Job;
use heartside_timber::plan::{CutNode, Plan};
use heartside_timber::prepare::prepare;
use sample::assert_legal;
use serde_json::{Value, json};

/// Four rails from two boards with raw sides, whose right-hand edge rises by `rise` over the length.
#[allow(clippy::unwrap_used)]
fn rails(tools: Value, rise: f64, warp: Option<Value>) -> Job {
    let mut board = json!({"id": "A", "species": "European ash", "thickness": 27, "count": 2,
        "outline": {"form": "tape", "length": 1500, "stations": [
            {"at": 0, "left": 110, "right": 110}, {"at": 1500, "left": 110, "right": 110.0 - rise}],
            "start": "straight", "end": "straight"}});
    if let Some(warp) = warp {
        board["warp"] = warp;
    }
    let file = json!({
        "format": "heartside-job", "version": 3,
        "workshop": {"tools": tools, "trim": {"end": 0, "edge": 3}},
        "allowances": {"end": 8, "edge": 2},
        "boards": [board],
        "parts": [{"id": "rail", "count": 4, "thickness": 20,
            "shape": {"form": "rectangle", "length": 1400, "width": 80}}]});
    let document = Document::open(&file.to_string()).unwrap().document;
    let prepared = prepare(&document);
    assert!(!prepared.has_errors(), "{:#?}", prepared.diagnostics);
    prepared.job
}

#[allow(clippy::unwrap_used)]
fn set_out(job: &Job) -> Plan {
    let settings = Settings {
        way: WayWanted::Straight,
        ..Settings::default()
    };
    let mut search = Search::new(job, settings).unwrap();
    search.step(2_000);
    assert_legal("rails", job, search.best());
    search.best().clone()
}

/// How many cuts of a plan are made with a tool.
fn cuts_with(plan: &Plan, name: &str) -> usize {
    let nodes = plan.layouts.iter().flat_map(|l| &l.cuts);
    let nodes = nodes.flat_map(|tree| &tree.nodes);
    nodes
        .filter(|n| matches!(n, CutNode::Cut { tool, .. } if tool == name))
        .count()
}

fn table_saw() -> Value {
    json!({"name": "Table saw", "does": ["rip"], "kerf": 3.2, "guide": "along", "max_width": 600})
}

fn mitre_saw() -> Value {
    json!({"name": "Mitre saw", "does": ["crosscut"], "kerf": 2.8, "guide": "square", "max_length": 300})
}

fn planer(depth: f64) -> Value {
    json!({"name": "Planer", "does": ["true_edge"], "kerf": depth})
}

fn guided_saw() -> Value {
    json!({"name": "Guided saw", "does": ["rip"], "kerf": 2.2, "guide": "along", "work_moves": false,
        "can_skim": true})
}

#[test]
fn a_planer_trues_the_edge_that_the_fence_needs() {
    let plan = set_out(&rails(
        json!([table_saw(), mitre_saw(), planer(4.0)]),
        2.0,
        None,
    ));
    assert_eq!(plan.placed_count(), 4, "{:?}", plan.unplaced);
    assert!(cuts_with(&plan, "Planer") >= 2);
    assert!(cuts_with(&plan, "Table saw") >= 4);
    // A board that leans more than the planer goes deep has no edge that can be trued: 3 of 8 mm
    // are true over three eighths of the length.
    let job = rails(json!([table_saw(), mitre_saw(), planer(3.0)]), 8.0, None);
    let plan = set_out(&job);
    // The other edge is straight in fact, though raw: it is planed instead.
    assert_eq!(plan.placed_count(), 4);
}

#[test]
fn without_a_tool_that_trues_an_edge_nothing_begins() {
    let plan = set_out(&rails(json!([table_saw(), mitre_saw()]), 2.0, None));
    assert_eq!(plan.placed_count(), 0);
    // A band saw in the hand needs no edge, but leaves none for the fence either.
    let band_saw = json!({"name": "Band saw", "does": ["rip", "sawn"], "kerf": 1.5});
    let plan = set_out(&rails(
        json!([table_saw(), mitre_saw(), band_saw]),
        2.0,
        None,
    ));
    assert_eq!(plan.placed_count(), 4);
    assert_eq!(cuts_with(&plan, "Table saw"), 0);
}

#[test]
fn a_guided_saw_goes_first() {
    let plan = set_out(&rails(
        json!([table_saw(), mitre_saw(), guided_saw()]),
        30.0,
        None,
    ));
    assert_eq!(plan.placed_count(), 4, "{:?}", plan.unplaced);
    assert!(cuts_with(&plan, "Guided saw") >= 2);
}

#[test]
fn a_twisted_board_is_ripped_by_a_saw_that_moves_over_it() {
    // 3 mm over the board: half of its width still has 1.5.
    let warp = json!({"twist": {"lift": 3}});
    let tools = |first: Value| json!([first, table_saw(), mitre_saw()]);
    let plan = set_out(&rails(tools(guided_saw()), 0.0, Some(warp.clone())));
    assert_eq!(plan.placed_count(), 4, "{:?}", plan.unplaced);
    assert!(cuts_with(&plan, "Guided saw") >= 2);
    // Neither planer nor table saw may begin.
    let plan = set_out(&rails(tools(planer(4.0)), 0.0, Some(warp)));
    assert_eq!(plan.placed_count(), 0);
}

#[test]
fn a_short_piece_is_crosscut_where_it_is_long_enough_to_be_held() {
    // The mitre saw holds 300 mm against its fence: a foot of 120 falls off the end of a longer strip.
    let file = |count: u32| {
        json!({
            "format": "heartside-job", "version": 3,
            "workshop": {"tools": [table_saw(), mitre_saw()], "trim": {"end": 0, "edge": 0}},
            "allowances": {"end": 5, "edge": 0},
            "boards": [{"id": "A", "thickness": 27, "outline": {"form": "tape", "length": 800,
                "stations": [{"at": 0, "left": 60, "right": 60}],
                "left": "straight", "right": "straight", "start": "straight", "end": "straight"}}],
            "parts": [{"id": "foot", "count": count, "thickness": 20,
                "shape": {"form": "rectangle", "length": 120, "width": 120}}]})
    };
    #[allow(clippy::unwrap_used)]
    let placed = |count: u32| {
        let document = Document::open(&file(count).to_string()).unwrap().document;
        set_out(&prepare(&document).job).placed_count()
    };
    assert_eq!(placed(3), 3);
    // Each takes 130 and a kerf; after the fourth 268.8 would be left to hold.
    assert_eq!(placed(6), 3);
}
