//! Texts typed into fields, and what forms and rows say.

use super::*;

#[test]
fn bad_text_stays_and_is_named_at_its_place() {
    let mut session = opened(DESK);
    let outcome = session.set(&board(1), "thickness", "twenty");
    assert!(outcome.done);
    assert!(outcome.problem.is_some());
    let form = session.form(&board(1));
    let field = form.fields.iter().find(|f| f.name == "thickness").unwrap();
    assert_eq!(field.text, "twenty");
    assert!(field.problem.is_some());
    let state = state(&mut session, PageName::Timber);
    let problem = state
        .problems
        .iter()
        .find(|p| p.field.as_deref() == Some("thickness"))
        .unwrap();
    assert_eq!(problem.thing, Some(board(1)));
    assert!(!state.boards[1].sound);
    assert!(state.boards[0].sound);
    // It survives saving and opening.
    let again = opened(&session.save());
    assert_eq!(
        again
            .form(&board(1))
            .fields
            .iter()
            .find(|f| f.name == "thickness")
            .unwrap()
            .text,
        "twenty"
    );
    assert!(session.undo().done);
    assert!(
        session
            .form(&board(1))
            .fields
            .iter()
            .all(|f| f.problem.is_none())
    );
}

#[test]
fn every_thing_of_the_demo_has_a_form_without_problems() {
    let mut session = opened(DESK);
    let state = state(&mut session, PageName::Piece);
    let things = [ThingKind::Job, ThingKind::Workshop, ThingKind::Allowances]
        .map(Thing::only)
        .into_iter();
    let rows = state
        .boards
        .iter()
        .map(|b| b.thing.clone())
        .chain(state.parts.iter().map(|p| p.thing.clone()));
    let others = state
        .tools
        .iter()
        .chain(&state.dimensions)
        .chain(&state.matches)
        .map(|r| r.thing.clone());
    let zones = (0..session.document.boards.len()).flat_map(|b| {
        (0..session.document.boards[b].zones.len())
            .map(move |z| Thing::inner(ThingKind::Zone, b, z))
    });
    for thing in things.chain(rows).chain(others).chain(zones) {
        let form = session.form(&thing);
        assert_eq!(form.thing.as_ref(), Some(&thing));
        assert!(!form.title.is_empty());
        assert!(!form.fields.is_empty());
        for field in &form.fields {
            assert_eq!(field.problem, None, "{} of {}", field.name, form.title);
            assert!(!field.label.is_empty());
        }
    }
    let gone = session.form(&board(99));
    assert!(gone.fields.is_empty() && !gone.problems.is_empty());
}

#[test]
fn rows_tell_sizes_and_what_a_thickness_gives() {
    let mut session = opened(DESK);
    let state = state(&mut session, PageName::Piece);
    assert_eq!(state.boards.len(), session.document.boards.len());
    for row in &state.parts {
        assert!(row.sound, "{}: {:?}", row.name, state.problems);
        assert!(
            row.finished.contains('\u{d7}') || row.finished.contains('\u{2300}'),
            "{}",
            row.finished
        );
        let thickest = row
            .thickest
            .as_deref()
            .unwrap_or_else(|| panic!("{}", row.name));
        assert!(thickest.contains("finishes at most"), "{thickest}");
        assert!(
            row.classes.iter().any(|c| c.enough),
            "{}: {:?}",
            row.name,
            row.classes
        );
        let is_panel = session.document.panels.iter().any(|p| p.part == row.id);
        assert!(is_panel || row.copies.len() as u32 == row.count);
    }
}

#[test]
fn lengths_are_read_as_the_job_would() {
    let session = opened(STOOL);
    assert_eq!(session.read_length("1.4 m").mm, Some(1400.0));
    let bad = session.read_length("1,400");
    assert!(bad.mm.is_none() && bad.problem.is_some());
}

/// An aim that does nothing yet is not offered; a file that names it keeps it where it is.
#[test]
fn aims_that_do_nothing_are_kept_and_not_offered() {
    for (before, from, to, after) in [
        (
            vec![Aim::Timber, Aim::Figure, Aim::Labour, Aim::Offcuts],
            0,
            1,
            vec![Aim::Labour, Aim::Figure, Aim::Timber, Aim::Offcuts],
        ),
        (vec![], 2, 0, vec![Aim::Offcuts, Aim::Timber, Aim::Labour]),
    ] {
        let mut session = opened(STOOL);
        session.document.objective = before;
        session = opened(&session.document.save());
        let aims = state(&mut session, PageName::SettingOut).aims;
        assert_eq!(aims.len(), 3);
        assert!(aims.iter().all(|aim| !aim.contains("igure")), "{aims:?}");
        assert!(session.move_aim(from, to).done);
        assert_eq!(session.document.objective, after);
        assert!(!session.move_aim(3, 0).done);
    }
}

/// Every usual value of a form stands with its source, or with the word that it has none.
#[test]
fn usual_values_say_where_they_come_from() {
    let mut whole: serde_json::Value = serde_json::from_str(DESK).unwrap();
    for settings in ["workshop", "allowances"] {
        whole[settings] = serde_json::json!({});
    }
    let session = opened(&whole.to_string());
    let mut told = 0;
    for thing in [
        Thing::only(ThingKind::Workshop),
        Thing::only(ThingKind::Allowances),
        part(0),
    ] {
        for field in session.form(&thing).fields {
            let Some(usual) = field
                .when_empty
                .filter(|u| u.contains(|c: char| c.is_ascii_digit()))
            else {
                continue;
            };
            if usual == "1" {
                // One board or part where no count is written in.
                continue;
            }
            let standing = field.standing.unwrap_or_default();
            let words = ["published: ", "common practice", "from memory"];
            assert!(
                words.iter().any(|w| standing.contains(w)) && standing.contains(&usual),
                "{}: {usual} ({standing})",
                field.label
            );
            told += 1;
        }
    }
    assert!(told >= 18, "{told}");
    // What the job sets for all parts is no default.
    let mut session = session;
    assert!(
        session
            .set(&Thing::only(ThingKind::Allowances), "end", "9")
            .done
    );
    let form = session.form(&part(0));
    let end = form
        .fields
        .iter()
        .find(|f| f.name == "allowances.end")
        .unwrap();
    assert_eq!(end.when_empty.as_deref(), Some("9 mm"));
    assert_eq!(
        end.standing.as_deref(),
        Some("As set for all parts of the job")
    );
}

fn field(session: &Session, thing: &Thing, name: &str) -> Option<Field> {
    let form = session.form(thing);
    form.fields.into_iter().find(|f| f.name == name)
}

#[test]
fn a_tool_says_what_guides_it_in_one_choice() {
    use heartside_timber::document::Guide;
    let mut session = Session::default();
    let saw = Thing::row(ThingKind::Tool, 1);
    for (choice, guide, moves, least, truth) in [
        ("rail", Guide::Along, false, 0.0, true),
        ("square", Guide::Square, false, 300.0, true),
        ("hand", Guide::None, false, 0.0, false),
        ("rip_fence", Guide::Along, true, 300.0, true),
    ] {
        assert!(session.set(&saw, "guide", choice).done, "{choice}");
        assert_eq!(field(&session, &saw, "guide").unwrap().text, choice);
        let tool = &session.job.workshop.tools[1];
        assert_eq!(
            (
                tool.guide,
                tool.work_moves,
                tool.min_piece,
                tool.leaves_true_edge
            ),
            (guide, moves, least, truth),
            "{choice}"
        );
        // Where the guide does not say whether the work moves, the form asks.
        let asks = field(&session, &saw, "work_moves").is_some();
        assert_eq!(asks, guide != Guide::Along, "{choice}");
        let least_held = field(&session, &saw, "min_piece").unwrap();
        if least > 0.0 {
            assert_eq!(least_held.when_empty.as_deref(), Some("300 mm"));
            assert!(least_held.standing.unwrap().contains("common practice"));
        } else {
            assert_eq!(least_held.when_empty.as_deref(), Some("no limit"));
        }
    }
    assert!(session.set(&saw, "leaves_true_edge", "no").done);
    assert!(!session.job.workshop.tools[1].leaves_true_edge);
    let planer = session.add(ThingKind::Tool, None).thing.unwrap();
    assert!(session.set(&planer, "does:true_edge", "yes").done);
    assert_eq!(
        field(&session, &planer, "kerf").unwrap().label,
        "Takes off at most"
    );
    assert_eq!(field(&session, &saw, "kerf").unwrap().label, "Kerf");
}

/// A new area keeps off by what is usual for its kind, and a fixing says how deep and how sure.
#[test]
fn a_fixing_keeps_off_by_the_usual_distance_and_says_how_sure_its_place_is() {
    let mut session = opened(DESK);
    assert!(session.add(ThingKind::Zone, Some(&board(7))).done);
    let index = session.document.boards[7].zones.len() - 1;
    let zone = Thing::inner(ThingKind::Zone, 7, index);
    let in_job = |session: &Session| session.job.boards[7].zones[index].clone();
    assert_eq!(in_job(&session).margin, 0.0);
    assert!(session.set(&zone, "kind", "fixing").done);
    assert_eq!(in_job(&session).margin, 12.0);
    let margin = field(&session, &zone, "margin").unwrap();
    assert_eq!(margin.when_empty.as_deref(), Some("12 mm"));
    assert!(margin.standing.unwrap().contains("common practice"));
    for (name, text) in [
        ("uncertain", "20"),
        ("depth_from", "6"),
        ("depth_to", "15"),
        ("drawn_before_planing", "yes"),
    ] {
        assert!(session.set(&zone, name, text).done, "{name}");
        assert_eq!(
            field(&session, &zone, name).unwrap().problem,
            None,
            "{name}"
        );
    }
    let zone = in_job(&session);
    assert_eq!(zone.margin, 32.0);
    assert_eq!(zone.buried, Some((6.0, 15.0)));
    assert!(zone.drawn_before_planing);
}

/// Quarters typed for what a board measures are kept as what it was sold as.
#[test]
fn quarters_become_what_a_board_was_sold_as() {
    let mut session = opened(DESK);
    let price = |session: &mut Session| {
        assert!(session.set(&board(0), "price.amount", "10").done);
        session.set(&board(0), "price.per", "board_foot")
    };
    assert!(price(&mut session).done);
    assert!(session.set(&board(0), "thickness", "8/4").done);
    assert_eq!(field(&session, &board(0), "nominal").unwrap().text, "8/4");
    let thickness = field(&session, &board(0), "thickness").unwrap();
    assert!(thickness.problem.is_some());
    assert_eq!(session.job.boards.len(), session.document.boards.len() - 1);
    assert!(
        session
            .set(&board(0), "thickness", &thickness.offers[0].value)
            .done
    );
    assert_eq!(session.job.boards.len(), session.document.boards.len());
    let at_nominal = session.job.boards[0].cost;
    assert!(session.set(&board(0), "nominal", "").done);
    assert!(session.job.boards[0].cost < at_nominal);
    // One step back for each.
    for _ in 0..3 {
        assert!(session.undo().done);
    }
    assert_eq!(field(&session, &board(0), "nominal").unwrap().text, "");
}

#[test]
fn a_dimension_has_a_best_value_and_steps() {
    let mut session = opened(DESK);
    let top = Thing::row(ThingKind::Dimension, 0);
    assert!(session.set(&top, "preferred", "1410").done);
    assert!(session.set(&top, "step", "5").done);
    assert_eq!(field(&session, &top, "step").unwrap().text, "5");
    assert!(session.set(&top, "step", "1.250").done);
    assert!(field(&session, &top, "step").unwrap().problem.is_some());
}
