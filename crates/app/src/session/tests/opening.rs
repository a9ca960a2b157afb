//! Files opened, new jobs, and what of them is told.

use super::*;

#[test]
fn a_new_session_is_an_empty_job() {
    let mut session = Session::default();
    let state = state(&mut session, PageName::Timber);
    assert_eq!(state.tabs.timber, "0 boards");
    assert_eq!(state.undo, None);
    assert!(state.plan.is_none());
    assert!(Document::open(&session.save()).is_ok());
    assert_eq!(session.save_name(), "job.heartside.json");
}

#[test]
fn a_file_that_is_none_changes_nothing() {
    let mut session = opened(STOOL);
    let before = session.save();
    for text in [
        "",
        "{",
        "[1]",
        "{\"format\": \"other\"}",
        "{\"format\":\"heartside-job\",\"version\":999}",
    ] {
        let opened = session.open(text);
        assert!(!opened.accepted);
        assert!(!opened.problems.is_empty());
        assert!(!opened.problems[0].message.is_empty());
    }
    assert_eq!(session.save(), before);
}

#[test]
fn opening_over_a_job_can_be_undone() {
    let mut session = opened(STOOL);
    let before = session.save();
    assert!(session.open(DESK).accepted);
    assert_ne!(session.save(), before);
    assert!(session.undo().done);
    assert_eq!(session.save(), before);
    assert!(!session.undo().done);
}

#[test]
fn thousands_of_parts_and_absurd_values_are_told_and_survived() {
    let mut document = Document::open(STOOL).unwrap().document;
    document.parts[0].count = Some(1e12);
    document.parts[1].thickness = Some(heartside_timber::document::Length::Mm(f64::NAN));
    document.boards[0].price = Some(heartside_timber::document::Price {
        amount: -5.0,
        per: Default::default(),
    });
    let mut session = opened(&document.save());
    let state = state(&mut session, PageName::Piece);
    assert!(state.problems.len() >= 2, "{:?}", state.problems);
    session.scene(&view(PageName::SettingOut));
}

/// A new job begins with a guided saw, a table saw and a band saw.
#[test]
fn a_new_job_begins_with_a_small_workshop() {
    let mut session = Session::default();
    let state = state(&mut session, PageName::Timber);
    let words: Vec<(&str, &str)> = state
        .tools
        .iter()
        .map(|row| (row.name.as_str(), row.text.as_str()))
        .collect();
    assert_eq!(
        words,
        [
            ("Guided saw", "rips, crosscuts, kerf 2.2, rail on the board"),
            ("Table saw", "rips, kerf 3.2, rip fence"),
            ("Band saw", "rips, follows a line, resaws, kerf 1.5"),
        ]
    );
    assert!(state.problems.is_empty(), "{:?}", state.problems);
    // Each can be changed and taken away, and the job takes it.
    assert!(
        session
            .set(&Thing::row(ThingKind::Tool, 0), "kerf", "1.8")
            .done
    );
    assert!(session.remove(&Thing::row(ThingKind::Tool, 2)).done);
    assert_eq!(session.job.workshop.tools.len(), 2);
    assert_eq!(session.job.workshop.tools[0].kerf, 1.8);
}

/// What opening an older file changes is among the problems, once.
#[test]
fn opening_an_older_file_tells_what_changed() {
    let older = include_str!("../../../../timber/tests/form-1/writing-desk.heartside.json");
    let mut session = opened(older);
    let codes = |session: &mut Session| -> Vec<String> {
        state(session, PageName::Timber)
            .problems
            .into_iter()
            .map(|p| p.code)
            .collect()
    };
    let told = codes(&mut session);
    for code in ["file-older", "older-tool"] {
        assert!(told.iter().any(|c| c == code), "{told:?}");
    }
    let mut again = opened(&session.save());
    assert!(codes(&mut again).iter().all(|code| !code.contains("older")));
}

/// With the workshop that a new job begins with a raw board gives parts, and the plan is checked.
#[test]
fn a_job_typed_in_from_nothing_is_set_out_with_the_small_workshop() {
    let mut session = Session::default();
    assert!(session.add(ThingKind::Board, None).done);
    for (name, text) in [
        ("species", "Oak"),
        ("thickness", "27"),
        ("outline.length", "2.4 m"),
        ("outline.left", "raw"),
        ("outline.right", "raw"),
    ] {
        assert!(session.set(&board(0), name, text).done, "{name}");
    }
    assert!(session.add(ThingKind::Part, None).done);
    for (name, text) in [("count", "4"), ("species", "oak"), ("shape.length", "500")] {
        assert!(session.set(&part(0), name, text).done, "{name}");
    }
    assert!(set_out(&mut session, 4, 500) > 0);
    let plan = session.document.plan.as_ref().unwrap();
    let placed: usize = plan.layouts.iter().map(|l| l.placements.len()).sum();
    assert_eq!(placed, 4, "{:?}", plan.unplaced);
    let broken: Vec<_> = heartside_check::check(&session.job, plan)
        .into_iter()
        .filter(|f| f.severity == heartside_timber::finding::Severity::Broken)
        .collect();
    assert_eq!(broken, []);
}
