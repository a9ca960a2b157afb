//! Things renamed, taken away, pasted, and everything undone.

use super::*;

#[test]
fn everything_undone_is_the_first_document() {
    let mut session = opened(DESK);
    let first = session.document.clone();
    assert!(session.set(&board(0), "thickness", "28.5").done);
    assert!(
        session
            .set(&board(0), "outline.stations[0].left", "4 1/2\"")
            .done
    );
    assert!(session.set(&board(0), "id", "Q").done);
    assert!(session.set(&board(0), "count", "many").done);
    assert!(session.set(&part(0), "name", "<b>Top</b>").done);
    assert!(
        session
            .set(&Thing::only(ThingKind::Job), "units.length", "in")
            .done
    );
    assert!(
        session
            .set(&Thing::only(ThingKind::Workshop), "trim.end", "20")
            .done
    );
    assert!(session.add(ThingKind::Board, None).done);
    assert!(session.add(ThingKind::Zone, Some(&board(1))).done);
    assert!(session.add(ThingKind::Part, Some(&part(0))).done);
    assert!(session.duplicate(&part(2)).done);
    assert!(session.remove(&part(1)).done);
    assert!(session.move_in_list(&board(0), 3).done);
    assert!(session.move_aim(0, 1).done);
    assert!(
        session
            .move_board(&session.document.boards[0].id.clone(), 1, 100.0, -50.0)
            .done
    );
    let last = session.document.clone();
    let mut undone = 0;
    while session.undo().done {
        undone += 1;
    }
    assert_eq!(session.document, first);
    assert!(undone >= 14, "{undone}");
    while session.redo().done {}
    assert_eq!(session.document, last);
}

#[test]
fn undo_says_what_it_takes_back() {
    let mut session = opened(DESK);
    session.set(&board(0), "thickness", "28");
    let id = session.document.boards[0].id.clone();
    assert_eq!(
        state(&mut session, PageName::Timber).undo,
        Some(format!("thickness of board {id}"))
    );
    session.undo();
    assert_eq!(
        state(&mut session, PageName::Timber).redo,
        Some(format!("thickness of board {id}"))
    );
}

#[test]
fn renaming_a_board_takes_the_plan_along() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    session.keep_plan("Kept");
    let used = session.document.plan.as_ref().unwrap().layouts[0]
        .board
        .board
        .clone();
    let row = session
        .document
        .boards
        .iter()
        .position(|b| b.id == used)
        .unwrap();
    assert!(session.set(&board(row), "id", "Renamed").done);
    let judged = session.judged.as_ref().unwrap();
    assert!(judged.is_sound(), "{:?}", judged.findings);
    let row = session.document.parts.len() - 1;
    assert!(session.set(&part(row), "id", "other-name").done);
    assert!(session.judged.as_ref().unwrap().is_sound());
    let kept = state(&mut session, PageName::SettingOut).kept;
    assert_eq!(kept[0].verdict, VerdictKind::Checked);
}

#[test]
fn renaming_a_dimension_renames_it_in_every_part() {
    let mut session = opened(STOOL);
    assert!(session.add(ThingKind::Dimension, None).done);
    let thing = Thing::row(ThingKind::Dimension, session.document.dimensions.len() - 1);
    let name = session.document.dimensions[thing.at()].name.clone();
    let typed = session.set(&part(0), "shape.length", &format!("{name} - 100 mm"));
    assert_eq!(typed.problem, None);
    assert!(session.set(&thing, "name", "span").done);
    let form = session.form(&part(0));
    let field = form
        .fields
        .iter()
        .find(|f| f.name == "shape.length")
        .unwrap();
    assert_eq!(field.text, "span - 100 mm");
    assert_eq!(field.reads_as.as_deref(), Some("= 400 mm"));
}

#[test]
fn other_units_change_no_board() {
    let mut session = opened(DESK);
    let before = session.job.boards.clone();
    assert!(
        session
            .set(&Thing::only(ThingKind::Job), "units.length", "in")
            .done
    );
    assert_eq!(session.job.boards, before);
    assert_eq!(state(&mut session, PageName::Timber).units, "in");
}

#[test]
fn a_pasted_list_becomes_parts_and_one_step() {
    let mut session = opened(STOOL);
    let before = session.document.clone();
    let list =
        "Name\tCount\tLength\tWidth\tThickness\nRung\t2\t300\t40\t20\nSlat\t1\tlong\t40\t20\n";
    let outcome = session.paste_parts(list, &[]);
    assert!(outcome.done, "{outcome:?}");
    assert_eq!(session.document.parts.len(), before.parts.len() + 2);
    assert!(
        outcome.bad_rows.iter().any(|r| r.line == 3),
        "{:?}",
        outcome.bad_rows
    );
    assert!(!session.paste_parts("", &[]).done);
    session.undo();
    assert_eq!(session.document, before);
}

#[test]
fn removing_things_leaves_no_reference_behind() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let used = session.document.plan.as_ref().unwrap().layouts[0]
        .board
        .board
        .clone();
    let row = session
        .document
        .boards
        .iter()
        .position(|b| b.id == used)
        .unwrap();
    let parts = session.document.plan.as_ref().unwrap().layouts[0]
        .placements
        .len();
    assert!(session.remove(&board(row)).done);
    let plan = session.document.plan.as_ref().unwrap();
    assert!(plan.layouts.iter().all(|l| l.board.board != used));
    assert_eq!(
        plan.unplaced.iter().map(|u| u.copies.len()).sum::<usize>(),
        parts
    );
    assert!(
        session.judged.as_ref().unwrap().is_sound(),
        "{:?}",
        session.judged.as_ref().unwrap().findings
    );
    session.undo();
    assert!(session.remove(&part(0)).done);
    let judged = session.judged.as_ref().unwrap();
    assert!(judged.is_sound(), "{:?}", judged.findings);
    assert!(!session.remove(&part(999)).done);
    assert!(!session.remove(&Thing::only(ThingKind::Job)).done);
}

#[test]
fn a_marked_area_stays_where_it_is_however_it_is_measured() {
    let text = r#"{"format": "heartside-job", "version": 3, "boards": [{"id": "A", "thickness": 27,
        "outline": {"form": "polygon", "points": [[300, 40], [1500, 60], [1500, 260], [300, 240]]},
        "zones": [{"shape": {"form": "spot", "oval": false, "along": 600, "across": 70, "length": 60, "width": 40}}]}]}"#;
    let mut session = opened(text);
    let lies = |session: &Session| session.job.boards[0].zones[0].shape.bounds();
    let before = lies(&session);
    let zone = Thing::inner(ThingKind::Zone, 0, 0);
    for form in ["polygon", "span", "spot", "polygon"] {
        session.set(&zone, "shape.form", form);
        let after = lies(&session);
        for (a, b) in [(before.min, after.min), (before.max, after.max)] {
            assert!(a.distance(b) < 0.02, "{form}: {before:?} {after:?}");
        }
    }
}
