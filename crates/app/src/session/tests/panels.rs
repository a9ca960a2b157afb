//! Panels and sizes that give: the job is always the one for what the plan on the floor has chosen.

use heartside_timber::choices::{Choices, PanelChoice, Stave, stave_id};
use heartside_timber::document::PartCopy;
use heartside_timber::prepare::{prepare, prepare_with};
use serde_json::{Value, json};

use super::*;
use crate::what_if::SizeAsked;

/// A top of 1200 by 400 glued up by these rules and two legs, from boards 200 wide.
fn job(rules: Value) -> String {
    let mut panel = json!({"part": "top"});
    for (key, value) in rules.as_object().unwrap() {
        panel[key] = value.clone();
    }
    json!({
        "format": "heartside-job", "version": 1, "title": "Small table", "units": {"length": "mm"},
        "workshop": {"tools": [{"name": "table saw", "does": ["rip", "crosscut"], "kerf": 3}]},
        "dimensions": [{"name": "reach", "preferred": 500, "least": 440, "most": 500, "step": 5}],
        "boards": [{"id": "A", "thickness": 34, "count": 4, "species": "oak",
            "price": {"amount": 40, "per": "piece"},
            "outline": {"form": "tape", "length": 2000, "stations": [{"at": 0, "left": 100, "right": 100}]}}],
        "parts": [
            {"id": "leg", "name": "Leg", "count": 2, "thickness": 20,
                "shape": {"form": "rectangle", "length": {"expr": "reach"}, "width": 60}},
            {"id": "top", "name": "Top", "thickness": 20,
                "shape": {"form": "rectangle", "length": 1200, "width": 400}}],
        "panels": [panel],
    })
    .to_string()
}

fn choices(reach: f64, staves: &[(u32, f64)]) -> Choices {
    let mut chosen = Choices::default();
    chosen
        .dimensions
        .push(heartside_timber::plan::DimensionValue {
            name: "reach".into(),
            value: reach,
            preferred: Some(500.0),
        });
    let staves = staves.iter();
    chosen.panels.push(PanelChoice {
        panel: PartCopy {
            part: "top".into(),
            copy: 1,
        },
        staves: staves
            .map(|&(number, width)| Stave::whole(number, width))
            .collect(),
    });
    chosen
}

/// What a search that chooses so comes by.
fn plan_of(session: &Session, chosen: &Choices) -> String {
    let job = prepare_with(&session.document, chosen).job;
    let mut search = heartside_nest::Search::new(&job, Default::default()).unwrap();
    search.step(600);
    assert!(search.best().unplaced.is_empty());
    serde_json::to_string(search.best()).unwrap()
}

fn assert_as_from_nothing(session: &Session, after: &str) {
    let fresh = prepare(&session.document);
    assert_eq!(session.job.parts, fresh.job.parts, "{after}");
    assert_eq!(session.job, fresh.job, "{after}");
    assert_eq!(session.diagnostics, fresh.diagnostics, "{after}");
    if let (Some(plan), Some(judged)) = (&session.document.plan, &session.judged) {
        let found = heartside_check::check(&fresh.job, plan);
        assert_eq!(judged.findings, found, "{after}");
    }
}

fn names(session: &mut Session) -> Vec<String> {
    let rows = state(session, PageName::Piece).parts;
    let copies = rows.into_iter().flat_map(|row| row.copies);
    copies
        .map(|c| format!("{} {} {}", c.name, c.size, c.place))
        .collect()
}

#[test]
fn the_job_is_the_one_for_what_the_plan_on_the_floor_has_chosen() {
    let mut session = opened(&job(json!({})));
    assert_eq!(
        session.state(PageName::Piece, &View::default()).tabs.piece,
        "3 parts"
    );
    let usual = choices(500.0, &[(1, 133.4), (2, 133.4), (3, 133.4)]);
    let wide = choices(480.0, &[(2, 170.0), (1, 130.0), (3, 100.0)]);
    let (first, second) = (plan_of(&session, &usual), plan_of(&session, &wide));
    let start = session.begin_set_out();
    let prepared = session.work.prepared;
    assert!(session.offer(&second, start.revision).taken);
    assert_as_from_nothing(&session, "offered in other sizes");
    assert_eq!(session.job.part("top..1.2").unwrap().width(), 170.0);
    assert_eq!(session.job.part("leg").unwrap().length(), 480.0);
    // The one in the sizes preferred is the better one where all else is alike, and is still asked for.
    assert!(session.better(&first, &second) || session.better(&second, &first));
    session.offer(&first, start.revision);
    assert_as_from_nothing(&session, "offered as usual");
    assert_eq!(session.work.prepared, prepared, "no edit was made");
    session.end_set_out();
    session.undo();
    assert_as_from_nothing(&session, "undone");
    session.redo();
    assert_as_from_nothing(&session, "done again");
    assert!(session.judged.as_ref().unwrap().is_sound());
}

#[test]
fn kept_plans_are_judged_each_in_its_own_job() {
    let mut session = opened(&job(json!({})));
    for (name, chosen) in [
        (
            "usual",
            choices(500.0, &[(1, 133.4), (2, 133.4), (3, 133.4)]),
        ),
        (
            "other",
            choices(455.0, &[(1, 170.0), (2, 130.0), (3, 100.0)]),
        ),
    ] {
        let plan = plan_of(&session, &chosen);
        session.clear_plan();
        let start = session.begin_set_out();
        assert!(session.offer(&plan, start.revision).taken);
        session.end_set_out();
        session.keep_plan(name);
    }
    let kept = state(&mut session, PageName::SettingOut).kept;
    assert_eq!(kept.len(), 2);
    assert!(
        kept.iter().all(|k| k.verdict == VerdictKind::Checked),
        "{kept:?}"
    );
    let compared = session.compare("usual", "other");
    assert_eq!(compared.rows[0].first, "Checked against every rule");
    assert_eq!(compared.rows[0].second, "Checked against every rule");
    session.show_plan("usual");
    assert_as_from_nothing(&session, "shown");
    assert_eq!(session.job.part("leg").unwrap().length(), 500.0);
    let rows = state(&mut session, PageName::Piece).dimensions;
    assert_eq!(rows[0].text, "500 mm, from 440 to 500 in steps of 5");
    session.show_plan("other");
    let told = state(&mut session, PageName::SettingOut)
        .plan
        .unwrap()
        .sizes;
    assert!(
        told[0].starts_with("reach is 455 mm, 500 mm preferred"),
        "{told:?}"
    );
    let rows = state(&mut session, PageName::Piece).dimensions;
    assert_eq!(
        rows[0].text,
        "455 mm, 500 mm preferred, from 440 to 500 in steps of 5"
    );
}

#[test]
fn what_was_chosen_stays_with_a_plan_that_is_moved_by_hand_or_cleared() {
    let mut session = opened(&job(json!({})));
    let wide = choices(480.0, &[(2, 170.0), (1, 130.0), (3, 100.0)]);
    let plan = plan_of(&session, &wide);
    let start = session.begin_set_out();
    assert!(session.offer(&plan, start.revision).taken);
    session.end_set_out();
    let panels = session.document.plan.as_ref().unwrap().panels.clone();
    let stave = stave_id("top", 1, 2);
    for act in ["pin", "trestle", "lay", "clear"] {
        let done = match act {
            "pin" => session.pin(&stave, 1, true),
            "trestle" => session.to_trestle(&stave, 1),
            "lay" => {
                let board = session.job.boards[0].id.clone();
                (1..=4)
                    .map(|copy| session.lay_on(&stave, 1, &board, copy))
                    .find(|o| o.done)
                    .unwrap()
            }
            _ => session.clear_plan(),
        };
        assert!(done.done, "{act}");
        let said = done.announce.unwrap_or_default();
        assert!(
            act == "clear" || said.starts_with("Top, stave 2 "),
            "{said}"
        );
        assert_eq!(
            session.document.plan.as_ref().unwrap().panels,
            panels,
            "{act}"
        );
        assert_as_from_nothing(&session, act);
    }
    let chosen = Choices::of(session.document.plan.as_ref().unwrap());
    assert_eq!(chosen, wide);
    // What waits is told by name, the staves of the panel in one row.
    let plan = state(&mut session, PageName::SettingOut).plan.unwrap();
    let waits: Vec<&str> = plan.unplaced.iter().map(|row| row.name.as_str()).collect();
    assert_eq!(waits, ["Leg 1 and Leg 2", "Top, staves 1, 2 and 3"]);
}

#[test]
fn a_panel_follows_its_parts_name_and_goes_with_it() {
    let mut session = opened(&job(json!({})));
    let plan = plan_of(
        &session,
        &choices(500.0, &[(2, 170.0), (1, 130.0), (3, 100.0)]),
    );
    let start = session.begin_set_out();
    assert!(session.offer(&plan, start.revision).taken);
    session.end_set_out();
    session.pin(&stave_id("top", 1, 3), 1, true);
    session.keep_plan("mine");
    assert!(session.set(&part(1), "id", "leaf").done);
    assert_as_from_nothing(&session, "renamed");
    let text = session.save();
    assert!(!text.contains("top..1") && text.contains("leaf..1.3"));
    assert_eq!(session.job.part("leaf..1.2").unwrap().width(), 170.0);
    assert!(session.judged.as_ref().unwrap().is_complete());
    // Another like it is a panel too.
    assert!(session.duplicate(&part(1)).done);
    assert_eq!(session.job.panels.len(), 2);
    session.undo();
    assert!(session.remove(&part(1)).done);
    assert_as_from_nothing(&session, "taken away");
    let now = &session.document;
    assert!(now.panels.is_empty() && now.pins.is_empty());
    assert!(now.plan.as_ref().unwrap().panels.is_empty());
    session.undo();
    assert_as_from_nothing(&session, "brought back");
    assert!(session.judged.as_ref().unwrap().is_complete());
}

#[test]
fn a_part_is_made_a_panel_in_its_form_and_back() {
    let mut session = opened(&job(json!({})));
    let plan = plan_of(
        &session,
        &choices(500.0, &[(1, 133.4), (2, 133.4), (3, 133.4)]),
    );
    let start = session.begin_set_out();
    assert!(session.offer(&plan, start.revision).taken);
    session.end_set_out();
    let before = names(&mut session);
    assert!(
        before[2].starts_with("Top, stave 1 133.4 wide on A"),
        "{before:?}"
    );
    let row = state(&mut session, PageName::Piece).parts[1].clone();
    assert_eq!(
        (row.glued.as_str(), row.sound),
        ("3 staves, 133.4 wide", true)
    );
    let field = |session: &Session, name: &str| {
        let fields = session.form(&part(1)).fields;
        fields.into_iter().find(|f| f.name == name)
    };
    assert_eq!(field(&session, "panel").unwrap().text, "staves");
    // Every rule can be typed; what cannot be read is kept and told at its place.
    for (name, text, problem) in [
        ("panel.min_width", "1", false),
        ("panel.max_width", "110", false),
        ("panel.max_count", "many", true),
        ("panel.max_count", "6", false),
        ("panel.equal", "yes", false),
        ("panel.joint", "8", false),
        ("panel.flatten", "0.5", false),
        ("panel.hearts", "alternate", false),
    ] {
        let outcome = session.set(&part(1), name, text);
        assert!(outcome.done, "{name}: {outcome:?}");
        assert_eq!(outcome.problem.is_some(), problem, "{name}");
        assert_eq!(field(&session, name).unwrap().text, text, "{name}");
        assert_as_from_nothing(&session, name);
    }
    assert_eq!(session.job.panels[0].widths, (1.0, 110.0));
    assert_eq!(session.job.panels[0].max_count, 6);
    session.set(&part(1), "panel.min_width", "300");
    let told = field(&session, "panel.min_width").unwrap().problem;
    assert!(told.unwrap().contains("wider than the widest"));
    assert_eq!(
        state(&mut session, PageName::Piece).tabs.piece,
        "2 parts, 1 to mend"
    );
    let back = session.set(&part(1), "panel", "one");
    assert!(back.done);
    assert_eq!(state(&mut session, PageName::Piece).tabs.piece, "3 parts");
    assert!(field(&session, "panel.min_width").is_none());
    assert_as_from_nothing(&session, "in one piece");
    assert!(session.job.panels.is_empty() && session.job.part("top").is_some());
    assert!(
        session
            .document
            .plan
            .as_ref()
            .unwrap()
            .find("top..1.1", 1)
            .is_none()
    );
    session.undo();
    assert_as_from_nothing(&session, "glued up again");
    assert!(session.set(&part(0), "panel", "staves").done);
    assert_eq!(session.job.panels.len(), 1, "the other has a fault");
    assert!(
        session
            .document
            .plan
            .as_ref()
            .unwrap()
            .find("leg", 1)
            .is_none()
    );
    assert_as_from_nothing(&session, "legs of staves");
}

#[test]
fn staves_are_put_into_another_order_and_heart_sides_are_told() {
    let mut text: Value = serde_json::from_str(&job(json!({"hearts": "alternate"}))).unwrap();
    text["boards"][0]["heart_side"] = json!("up");
    text["boards"][0]["species"] = json!("white oak");
    let mut session = opened(&text.to_string());
    assert!(
        session
            .face_view("panel top 1", false, false)
            .svg
            .contains("data-stave=\"3\"")
    );
    let plan = plan_of(
        &session,
        &choices(500.0, &[(2, 170.0), (1, 130.0), (3, 100.0)]),
    );
    let start = session.begin_set_out();
    assert!(session.offer(&plan, start.revision).taken);
    session.end_set_out();
    // However they were laid, only the middle one has its heart side down.
    for number in 1..=3 {
        let stave = stave_id("top", 1, number);
        let plan = session.document.plan.as_ref().unwrap();
        let (layout, place) = plan.find(&stave, 1).unwrap();
        if plan.layouts[layout].placements[place].at.turned_over != (number == 1) {
            assert!(session.turn_over(&stave, 1).done);
        }
    }
    let order = |s: &Session| {
        s.panels()[0]
            .staves
            .iter()
            .map(|s| s.number)
            .collect::<Vec<_>>()
    };
    let hearts = |s: &Session| s.panels()[0].problems.join(" ").contains("alternate");
    assert_eq!(order(&session), [3, 1, 2], "the first lies lowest");
    assert!(!hearts(&session));
    let before = session.save();
    let moved = session.move_stave("top", 1, 1, 0);
    let said = moved.announce.unwrap();
    assert!(
        said.starts_with("Stave 1 of Top is uppermost now. Top, stave"),
        "{said}"
    );
    assert!(said.contains("heart sides are to alternate"), "{said}");
    assert_eq!(order(&session), [1, 3, 2]);
    assert!(hearts(&session));
    assert_as_from_nothing(&session, "in another order");
    session.undo();
    assert_eq!(session.save(), before);
    assert!(
        session
            .move_stave("top", 1, 3, 99)
            .announce
            .unwrap()
            .contains("lowest now")
    );
    assert!(!session.move_stave("top", 1, 9, 0).done);
    assert!(!session.move_stave("leg", 1, 1, 0).done);
}

#[test]
fn a_panel_says_how_much_it_moves_in_its_place() {
    let mut text: Value = serde_json::from_str(&job(json!({}))).unwrap();
    text["boards"][0]["species"] = json!("white oak");
    let mut session = opened(&text.to_string());
    let value = |s: &Session, at: usize| s.panels()[0].movement[at].value.clone();
    // White oak: 0.00365 along the rings and 0.00180 across, 5.04 % over 400 mm, and a quarter.
    assert_eq!(value(&session, 0), "3 mm to 9.5 mm");
    assert_eq!(value(&session, 1), "slots for 5 mm at each edge");
    let revision = session.document.revision;
    assert!(session.set(&part(1), "panel.rings", "quarter").done);
    assert_eq!(value(&session, 0), "3 mm to 5 mm");
    assert!(session.set(&part(1), "panel.driest", "60").done);
    assert_eq!(session.document.revision, revision, "no plan depends on it");
    assert_eq!(value(&session, 0), "1 mm");
    session.set(&part(1), "panel.driest", "90");
    assert!(session.panels()[0].movement.is_empty());
    assert!(
        session.panels()[0]
            .movement_because
            .contains("driest first")
    );
    session.set(&part(1), "panel.driest", "");
    session.set(&board(0), "species", "spoonwood");
    assert!(session.panels()[0].movement_because.contains("spoonwood"));
}

#[test]
fn what_a_size_would_cost_is_looked_at_value_by_value_and_each_plan_can_be_taken() {
    let mut session = opened(&job(json!({})));
    let plan = plan_of(
        &session,
        &choices(470.0, &[(1, 133.4), (2, 133.4), (3, 133.4)]),
    );
    let start = session.begin_set_out();
    assert!(session.offer(&plan, start.revision).taken);
    session.end_set_out();
    let before = session.save();
    let mut asked = SizeAsked::new(&before, 0);
    let points = |asked: &SizeAsked| -> Vec<WhatIfPoint> {
        let ranges = asked.seen().ranges.into_iter();
        ranges.flat_map(|range| range.points).collect()
    };
    let values: Vec<f64> = points(&asked).iter().map(|p| p.value).collect();
    assert_eq!(values.first(), Some(&440.0));
    assert_eq!(values.last(), Some(&500.0));
    assert!(
        values.contains(&470.0) && values.iter().all(|v| v % 5.0 == 0.0),
        "{values:?}"
    );
    assert!(points(&asked).iter().all(|p| !p.may_be_taken));
    let mut order = Vec::new();
    while let Some(index) = asked.look() {
        order.push(index as usize);
        assert!(points(&asked)[index as usize].may_be_taken);
    }
    assert_eq!(order[..3], [0, 6, 12], "the shape is seen early");
    assert_eq!(order.len(), values.len());
    let seen = points(&asked);
    assert!(seen.iter().all(|p| p.may_be_taken && p.cost.is_some()));
    assert_eq!(seen.iter().filter(|p| p.is_here).count(), 1);
    assert!(seen.last().unwrap().is_preferred);
    let first = asked.plan(0).unwrap();
    let taken = session.take_size(0, &first);
    assert!(taken.announce.unwrap().starts_with("reach is 440 mm now"));
    assert_eq!(session.job.part("leg").unwrap().length(), 440.0);
    assert_as_from_nothing(&session, "taken");
    assert!(session.judged.as_ref().unwrap().is_sound());
    session.undo();
    assert_eq!(session.save(), before);
    // It is judged as the job is now, and the size must be there.
    assert!(!session.take_size(9, &first).done);
    assert!(!session.take_size(0, "{").done);
    assert!(session.set(&part(0), "shape.width", "300").done);
    let wider = session.save();
    assert!(!session.take_size(0, &first).done);
    assert_eq!(session.save(), wider);
    assert!(SizeAsked::new(&before, 9).seen().ranges.is_empty());
}

#[test]
fn staves_joined_end_to_end_are_allowed_by_a_tick_and_move_as_one() {
    let mut text: Value = serde_json::from_str(&job(json!({}))).unwrap();
    text["boards"][0]["outline"]["length"] = json!(1000);
    text["boards"][0]["count"] = json!(8);
    let mut session = opened(&text.to_string());
    let field = |session: &Session, name: &str| {
        let fields = session.form(&part(1)).fields;
        fields.into_iter().find(|f| f.name == name)
    };
    assert!(field(&session, "panel.min_piece").is_none());
    let before = session.save();
    assert!(session.set(&part(1), "panel.end_to_end", "yes").done);
    for (name, text) in [
        ("panel.min_piece", "250"),
        ("panel.ends_apart", "100"),
        ("panel.end_joint", "10"),
    ] {
        assert!(field(&session, name).unwrap().problem.is_none());
        assert!(session.set(&part(1), name, text).done);
        assert_as_from_nothing(&session, name);
    }
    let row = |s: &mut Session| state(s, PageName::Piece).parts[1].clone();
    assert_eq!(row(&mut session).glued, "3 staves of 6 pieces, 133.4 wide");
    assert_eq!(row(&mut session).copies[3].name, "Top, stave 2, piece 2");
    assert_eq!(row(&mut session).copies[3].size, "655.1 long, 133.4 wide");
    let sheet = &session.panels()[0];
    assert!(
        sheet.facts.ends_with("glued up from 3 staves of 6 pieces"),
        "{}",
        sheet.facts
    );
    assert_eq!(sheet.staves.len(), 3);
    let front = session.face_view(&sheet.key, false, false);
    assert!(front.svg.contains("data-piece=\"2\""));
    assert_eq!(
        sheet.staves[1].text,
        "133.4 wide; piece 1, 554.9 long, on the trestle; piece 2, 655.1 long, on the trestle"
    );
    // Beside its neighbour its joints would stand in line.
    let moved = session.move_stave("top", 1, 2, 0);
    assert!(moved.done);
    let numbers: Vec<u32> = session.panels()[0]
        .staves
        .iter()
        .map(|s| s.number)
        .collect();
    assert_eq!(numbers, [2, 3, 1]);
    assert_eq!(
        session.job.panels[0].copies[0].staves[2].pieces,
        [554.9, 655.1]
    );
    assert!(session.set(&part(1), "id", "leaf").done);
    assert_as_from_nothing(&session, "renamed");
    assert!(session.job.part("leaf..1.2.2").is_some());
    for _ in 0..6 {
        session.undo();
    }
    assert_eq!(session.save(), before);
}
