//! Panels become staves; sizes and staves that were chosen hold while their rules do.

use heartside_geometry::SortedMap;

use super::*;
use crate::choices::{PanelChoice, Stave, stave_id};
use crate::document::PartCopy;
use crate::job::Part;
use crate::plan::Plan;

/// A top of 1200 x 400 x 20 glued up by these rules, from the small job's board.
fn glued(rules: Value) -> Value {
    let mut whole = small();
    whole["boards"][0]["count"] = json!(4);
    whole["parts"].as_array_mut().expect("a list").push(json!({
        "id": "top", "name": "Top", "thickness": 20,
        "shape": {"form": "rectangle", "length": 1200, "width": 400}}));
    let mut panel = json!({"part": "top"});
    for (key, value) in rules.as_object().expect("rules") {
        panel[key] = value.clone();
    }
    whole["panels"] = json!([panel]);
    whole
}

fn staves(prepared: &Prepared) -> Vec<&Part> {
    let parts = prepared.job.parts.iter();
    parts.filter(|p| p.stave.is_some()).collect()
}

fn choice(staves: &[(u32, f64)]) -> Choices {
    let staves = staves.iter();
    Choices {
        panels: vec![PanelChoice {
            panel: PartCopy {
                part: "top".into(),
                copy: 1,
            },
            staves: staves
                .map(|&(number, width)| Stave::whole(number, width))
                .collect(),
        }],
        ..Choices::default()
    }
}

fn widths(prepared: &Prepared) -> Vec<f64> {
    staves(prepared).iter().map(|p| p.width()).collect()
}

#[test]
fn a_panel_is_as_few_even_staves_as_the_boards_allow() {
    // The board is 200 wide: with 3 mm on each edge three staves make 400.
    let prepared = prepare(&document(glued(json!({}))));
    assert_eq!(prepared.diagnostics, []);
    assert_eq!(widths(&prepared), [133.4, 133.4, 133.4]);
    let first = staves(&prepared)[0];
    assert_eq!(first.id, stave_id("top", 1, 1));
    assert_eq!(first.name, "Top, stave 1");
    assert_eq!((first.length(), first.thickness), (1200.0, 21.0));
    assert!(prepared.job.part("top").is_none());
    assert!(prepared.left_out.is_empty());
    let whole: f64 = staves(&prepared).iter().map(|p| p.weight()).sum();
    assert!((whole - 1.0).abs() < 1e-12);
    // What a joint takes is told with the staves.
    let tongued = prepare(&document(glued(json!({"joint": 8, "max_width": 110}))));
    assert_eq!(widths(&tongued), [106.0; 4]);
}

#[test]
fn staves_of_a_plan_hold_while_they_make_up_the_panel() {
    let glued = document(glued(json!({})));
    let with = |staves: &[(u32, f64)]| widths(&prepare_with(&glued, &choice(staves)));
    assert_eq!(
        with(&[(2, 180.0), (1, 160.0), (3, 60.0)]),
        [180.0, 160.0, 60.0]
    );
    let usual = [133.4; 3];
    for staves in [
        &[(1, 180.0), (2, 160.0), (3, 59.0)][..], // 1 mm is missing
        &[(1, 180.0), (2, 160.0), (3, 62.0)],     // more than trimming
        &[(1, 180.0), (1, 160.0), (3, 60.0)],     // one number twice
        &[(1, 200.0), (2, 170.0), (3, 30.0)],     // too narrow
        &[],
    ] {
        assert_eq!(with(staves), usual, "{staves:?}");
    }
    // And the job is that of the plan on the floor.
    let mut planned = glued.clone();
    planned.plan = Some(Plan {
        panels: choice(&[(1, 240.0), (2, 160.0)]).panels,
        ..Plan::default()
    });
    assert_eq!(widths(&prepare(&planned)), [240.0, 160.0]);
}

#[test]
fn a_stave_in_hand_stays_and_the_rest_is_shared_out() {
    let mut whole = glued(json!({}));
    whole["boards"].as_array_mut().expect("a list").push(json!({
        "id": "A-1", "thickness": 27, "from": {"done": 1, "side": "left"},
        "outline": {"form": "tape", "length": 1212, "stations": [{"at": 0, "left": 63, "right": 63}]},
        "holds": {"part": "top..1.2", "copy": 1, "x": 0, "y": 0, "width": 120}}));
    whole["done"] = json!([{"id": 1, "board": "A", "line": [[0, 0], [2000, 0]], "kerf": 3}]);
    let prepared = prepare(&document(whole));
    assert_eq!(widths(&prepared), [140.0, 120.0, 140.0]);
    let held: Vec<&str> = staves(&prepared)
        .iter()
        .filter(|p| !p.in_hand.is_empty())
        .map(|p| p.id.as_str())
        .collect();
    assert_eq!(held, ["top..1.2"]);
}

#[test]
fn rules_that_no_width_meets_are_told_at_their_place() {
    for (rules, code, field) in [
        (
            json!({"min_width": 150, "max_width": 90}),
            "stave-widths-crossed",
            "panel.min_width",
        ),
        (
            json!({"max_width": 60, "max_count": 3}),
            "stave-widths-meet-nothing",
            "panel.max_width",
        ),
        (
            json!({"min_width": 410}),
            "stave-widths-meet-nothing",
            "panel.min_width",
        ),
        (
            json!({"max_count": 1}),
            "panel-of-one-stave",
            "panel.max_count",
        ),
        (
            json!({"min_width": 195}),
            "staves-wider-than-boards",
            "panel.min_width",
        ),
        (json!({"joint": -1}), "length-not-negative", "panel.joint"),
    ] {
        let prepared = prepare(&document(glued(rules.clone())));
        let here = prepared.diagnostics.iter();
        let told: Vec<_> = here
            .filter(|d| d.place.field.as_deref() == Some(field))
            .collect();
        assert_eq!(told.len(), 1, "{rules}: {:?}", prepared.diagnostics);
        assert_eq!(told[0].place.subject, Subject::Part);
        assert!(
            told[0].code == code || code == "length-not-negative",
            "{rules}: {}",
            told[0].code
        );
        // The legs are planned in any case.
        assert!(prepared.job.part("leg").is_some());
        let is_out = prepared.left_out.iter().any(|l| l.id == "top");
        assert_eq!(is_out, told[0].level == Level::Error, "{rules}");
    }
    let mut twice = glued(json!({}));
    twice["panels"]
        .as_array_mut()
        .expect("a list")
        .push(json!({"part": "top"}));
    only(&document(twice), "panel-twice", "panel");
}

#[test]
fn a_size_that_was_chosen_holds_until_something_else_is_preferred() {
    let mut whole = small();
    whole["dimensions"] = json!([
        {"name": "top", "preferred": 500, "least": 440, "most": 500, "step": 5}]);
    whole["parts"][0]["shape"]["length"] = json!({"expr": "top"});
    let length = |value: f64, preferred: f64| {
        let mut document = document(whole.clone());
        document.plan = Some(Plan {
            dimensions: vec![DimensionValue {
                name: "top".into(),
                value,
                preferred: Some(preferred),
            }],
            ..Plan::default()
        });
        let job = prepare(&document).job;
        assert_eq!(job.dimensions[0].preferred, 500.0);
        job.parts[0].length()
    };
    assert_eq!(length(465.0, 500.0), 465.0);
    assert_eq!(length(465.0, 480.0), 500.0, "something else was preferred");
    assert_eq!(length(430.0, 500.0), 500.0, "out of range");
    assert_eq!(length(463.0, 500.0), 500.0, "off the steps");
}

#[test]
fn matches_of_a_panel_are_of_its_staves_and_only_those_are_pinned() {
    let mut whole = glued(json!({}));
    whole["matches"] = json!([{"kind": "same_board", "parts": [{"part": "top"}]}]);
    whole["pins"] = json!([
        {"part": "top", "board": "A", "x": 100, "y": 0},
        {"part": "top..1.2", "board": "A", "x": 100, "y": 0},
        {"part": "top..1.9", "board": "A", "x": 100, "y": 0}]);
    let prepared = prepare(&document(whole));
    assert_eq!(codes(&prepared), ["pin-on-panel", "pin-on-gone-stave"]);
    let matched = &prepared.job.matches[0].parts;
    let ids: Vec<&str> = matched.iter().map(|c| c.part.as_str()).collect();
    assert_eq!(ids, ["top..1.1", "top..1.2", "top..1.3"]);
    assert_eq!(prepared.job.pins.len(), 1);
}

#[test]
fn a_panel_that_no_planer_takes_is_told() {
    let with = |tool: serde_json::Value, rules: serde_json::Value| {
        let mut whole = glued(rules);
        whole["workshop"]["tools"] = json!([{"name": "Saw", "does": ["rip", "crosscut"]}, tool]);
        let prepared = prepare(&document(whole));
        let told = prepared
            .diagnostics
            .iter()
            .filter(|d| d.code.contains("planer"));
        told.map(|d| d.message.clone()).collect::<Vec<_>>()
    };
    let planer = |width: f64, least: f64| json!({"name": "Planer", "does": ["true_edge"], "kerf": 2, "max_width": width, "min_piece": least});
    assert_eq!(with(planer(400.0, 300.0), json!({})), [""; 0]);
    assert_eq!(
        with(planer(399.0, 300.0), json!({})),
        ["Top is 400 mm wide once it is glued up; the planer takes 399 mm"]
    );
    // What is not flattened needs no planer.
    assert_eq!(with(planer(399.0, 300.0), json!({"flatten": 0})), [""; 0]);
    assert_eq!(
        with(planer(400.0, 2000.0), json!({})),
        [
            "the staves of Top are 1212 mm long, less than the 2000 mm that can be held on the planer"
        ]
    );
}

/// The top of a job whose boards are 1000 long: staves may be joined end to end by these rules.
fn joined(rules: Value) -> Value {
    let mut whole = glued(rules);
    whole["panels"][0]["end_to_end"] = json!(true);
    whole["boards"][0]["outline"]["length"] = json!(1000);
    whole
}

fn lengths(prepared: &Prepared) -> Vec<f64> {
    staves(prepared).iter().map(|p| p.length()).collect()
}

#[test]
fn staves_longer_than_any_board_are_of_pieces_whose_joints_stand_apart() {
    let prepared = prepare(&document(joined(json!({"end_joint": 10}))));
    // 1210 in two, 150 apart and a tenth for rounding; neighbours are turned end for end.
    assert_eq!(
        lengths(&prepared),
        [680.1, 529.9, 529.9, 680.1, 680.1, 529.9]
    );
    let all = staves(&prepared);
    assert_eq!(all[3].id, "top..1.2.2");
    assert_eq!(all[3].name, "Top, stave 2, piece 2");
    assert_eq!(all[3].width(), 133.4);
    let whole: f64 = all.iter().map(|p| p.weight()).sum();
    assert!((whole - 1.0).abs() < 1e-12);
    let panel = &prepared.job.panels[0];
    let staves = &panel.copies[0].staves;
    assert!(staves.windows(2).all(|p| panel.keeps_apart(&p[0], &p[1])));
    assert!(panel.allows(staves, &Default::default()));
    // What was prepared is what is prepared of it again.
    let choices = Choices {
        panels: prepared.job.panel_choices(),
        ..Choices::default()
    };
    let again = prepare_with(&document(joined(json!({"end_joint": 10}))), &choices);
    assert_eq!(again.job, prepared.job);
    // Where it may not be, a stave is in one piece, however long boards are.
    let mut whole = joined(json!({}));
    whole["panels"][0]["end_to_end"] = json!(false);
    assert_eq!(lengths(&prepare(&document(whole))), [1200.0; 3]);
}

#[test]
fn pieces_of_a_plan_hold_while_they_make_up_a_stave() {
    let rules = json!({"min_piece": 300, "max_width": 200, "min_width": 200});
    let document = document(joined(rules));
    let with = |pieces: &[&[f64]]| {
        let mut choices = choice(&[(1, 200.0), (2, 200.0)]);
        for (stave, pieces) in choices.panels[0].staves.iter_mut().zip(pieces) {
            stave.pieces = pieces.to_vec();
        }
        lengths(&prepare_with(&document, &choices))
    };
    assert_eq!(with(&[&[700.0, 500.0], &[]]), [700.0, 500.0, 1200.0]);
    assert_eq!(with(&[&[400.0, 400.05, 400.0], &[]])[..2], [400.0, 400.05]);
    // A panel that became longer or shorter since: the longest piece has what changed.
    assert_eq!(with(&[&[700.0, 450.0], &[]]), [750.0, 450.0, 1200.0]);
    let usual = prepare(&document);
    for pieces in [
        &[1000.0, 200.0][..], // too short a piece
        &[1200.0],            // no joint at all
        &[f64::NAN, 600.0],
    ] {
        assert_eq!(with(&[pieces, &[]]), lengths(&usual), "{pieces:?}");
    }
}

#[test]
fn a_piece_in_hand_stays_where_it_is_in_its_stave() {
    let mut whole = joined(json!({}));
    whole["boards"].as_array_mut().expect("a list").push(json!({
        "id": "A-1", "thickness": 27, "from": {"done": 1, "side": "left"},
        "outline": {"form": "tape", "length": 712, "stations": [{"at": 0, "left": 63, "right": 63}]},
        "holds": {"part": "top..1.2.2", "copy": 1, "x": 0, "y": 0, "width": 120, "length": 700}}));
    whole["done"] = json!([{"id": 1, "board": "A", "line": [[0, 0], [2000, 0]], "kerf": 3}]);
    let prepared = prepare(&document(whole));
    let panel = &prepared.job.panels[0];
    let staves = &panel.copies[0].staves;
    assert_eq!(staves[1].pieces, [500.0, 700.0]);
    assert_eq!(staves[1].width, 120.0);
    assert!(staves.windows(2).all(|p| panel.keeps_apart(&p[0], &p[1])));
    let held = prepared.job.part("top..1.2.2").expect("a piece");
    assert_eq!(held.in_hand, [1]);
    // It holds whatever is chosen for the others.
    let choices = choice(&[(1, 140.0), (2, 120.0), (3, 140.0)]);
    let mut other = choices.clone();
    other.panels[0].staves[1].pieces = vec![300.0, 900.0];
    for choices in [choices, other] {
        let held = SortedMap::from_iter([((2, 2), (120.0, 700.0))]);
        assert!(!panel.allows(&choices.panels[0].staves, &held));
    }
}

#[test]
fn rules_of_end_joints_that_nothing_meets_are_told_at_their_place() {
    let told = |rules: Value, matches: Value| {
        let mut whole = joined(rules);
        whole["matches"] = matches;
        let prepared = prepare(&document(whole));
        let told = prepared.diagnostics.iter();
        let told = told.filter(|d| {
            let field = d.place.field.as_deref().unwrap_or_default();
            field.starts_with("panel.") && d.place.subject == Subject::Part
        });
        assert!(prepared.job.part("leg").is_some());
        let told = told.map(|d| (d.code.clone(), d.place.field.clone().unwrap_or_default()));
        told.collect::<Vec<_>>()
    };
    for (rules, matches, code, field) in [
        (
            json!({"min_piece": 700}),
            json!([]),
            "pieces-too-long",
            "min_piece",
        ),
        (
            json!({"min_piece": 550}),
            json!([]),
            "ends-too-far-apart",
            "ends_apart",
        ),
        (
            json!({"ends_apart": 650}),
            json!([]),
            "ends-too-far-apart",
            "ends_apart",
        ),
        (
            json!({"end_joint": 200}),
            json!([]),
            "end-joint-too-long",
            "end_joint",
        ),
        (
            json!({}),
            json!([{"kind": "continuous_across", "parts": [{"part": "top"}]}]),
            "end-to-end-in-a-run",
            "end_to_end",
        ),
    ] {
        let found = told(rules.clone(), matches);
        assert_eq!(
            found,
            [(code.to_owned(), format!("panel.{field}"))],
            "{rules}"
        );
    }
    assert_eq!(told(json!({"end_joint": 20}), json!([])), []);
}
