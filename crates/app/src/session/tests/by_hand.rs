//! Parts moved by hand.

use super::*;

#[test]
fn a_part_is_dragged_to_the_trestle_and_back() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    session.scene(&view(PageName::SettingOut));
    let before = session.document.clone();
    let plan = session.document.plan.clone().unwrap();
    let placed = plan.layouts[0].placements[0].clone();
    let held = session.drag_begin(&placed.part, placed.copy);
    assert!(held.held && held.fragment.is_some());
    let home = (held.x, held.y);
    // Held still it fits where it was.
    let still = session.drag(home.0, home.1, held.turn, held.turned_over, false);
    assert!(still.fits, "{:?}", still.findings);
    assert!((still.x - home.0).abs() < 0.01 && (still.y - home.1).abs() < 0.01);
    // Far off it lies over the floor.
    let away = session.drag(-90_000.0, 0.0, 0.0, false, true);
    assert_eq!(away.board, None);
    assert!(session.drag_end().done);
    let state = state(&mut session, PageName::SettingOut);
    assert_eq!(state.trestle.len(), 1);
    assert_eq!(state.plan.unwrap().verdict, VerdictKind::NotAllPlaced);
    // Dropped home again it is pinned and the cuts are found again.
    session.drag_begin(&placed.part, placed.copy);
    let there = session.drag(home.0, home.1, held.turn, held.turned_over, false);
    assert!(there.fits, "{:?}", there.findings);
    let outcome = session.drag_end();
    assert!(
        outcome.done && outcome.inseparable.is_empty(),
        "{outcome:?}"
    );
    let state = session.state(PageName::SettingOut, &View::default());
    assert_eq!(
        state.plan.unwrap().verdict,
        VerdictKind::Checked,
        "{:?}",
        state.findings
    );
    assert_eq!(session.document.pins.len(), 1);
    assert!(session.undo().done && session.undo().done);
    assert_eq!(session.document, before);
}

#[test]
fn nothing_changes_while_a_part_is_in_the_hand() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let before = session.document.clone();
    let placed = before.plan.as_ref().unwrap().layouts[0].placements[0].clone();
    let held = session.drag_begin(&placed.part, placed.copy);
    session.drag(held.x + 31.0, held.y - 7.0, 12.0, true, true);
    session.drag(f64::NAN, f64::INFINITY, f64::NAN, false, true);
    assert!(session.drag_cancel().done);
    assert_eq!(session.document, before);
    assert!(!session.drag_end().done);
    assert!(session.drag(0.0, 0.0, 0.0, false, false).problem.is_some());
    assert!(session.drag_begin("no-such", 1).problem.is_some());
    assert!(session.drag_begin(&placed.part, 999).problem.is_some());
}

#[test]
fn parts_are_laid_turned_pinned_and_let_go_by_keys() {
    let mut session = opened(STOOL);
    let id = session.document.parts[0].id.clone();
    assert!(!session.turn(&id, 1, 90.0).done);
    assert!(!session.to_trestle(&id, 1).done);
    let boards: Vec<String> = session.job.boards.iter().map(|b| b.id.clone()).collect();
    let laid = boards.iter().any(|b| session.lay_on(&id, 1, b, 1).done);
    assert!(laid);
    let sound = session.judged.as_ref().unwrap().is_sound();
    assert!(sound, "{:?}", session.judged.as_ref().unwrap().findings);
    assert_eq!(session.document.pins.len(), 1);
    assert!(session.pin(&id, 1, false).done);
    assert_eq!(session.document.pins.len(), 0);
    assert!(session.nudge(&id, 1, 1.0, 0.0).done);
    assert!(session.turn(&id, 1, 180.0).done);
    assert!(session.turn(&id, 1, 90.0).done);
    assert!(
        !session.judged.as_ref().unwrap().is_sound(),
        "grain across must be found"
    );
    assert!(session.to_trestle(&id, 1).done);
    assert!(session.document.pins.is_empty());
    assert!(session.clear_plan().done || session.document.plan.is_some());
}

#[test]
fn sawing_by_line_is_offered_and_done() {
    let mut session = opened(STOOL);
    let id = session.document.parts[0].id.clone();
    assert!(session.saw_by_line(&id, 1).done);
    // A part of several copies gives one up; the others stay as they are.
    let sawn: Vec<&str> = session
        .document
        .parts
        .iter()
        .filter(|p| p.cut == heartside_timber::document::PartCut::Sawn)
        .map(|p| p.name.as_str())
        .collect();
    assert_eq!(sawn.len(), 1);
    assert!(sawn[0].ends_with(", by line"));
    assert!(session.undo().done);
    assert!(!session.saw_by_line("no-such", 1).done);
}

/// Brackets on a board that is to be sawn by line and is too long for that as it lies.
const LONG_SAWN: &str = r#"{
 "format": "heartside-job", "version": 1, "title": "Brackets", "units": {"length": "mm"},
 "boards": [{"id": "A", "thickness": 27, "surface": "planed", "warp": {}, "cuts": "sawn",
   "outline": {"form": "tape", "length": 2600, "left": "straight", "right": "straight", "start": "raw", "end": "raw",
     "stations": [{"at": 0, "left": 100, "right": 100}]}}],
 "parts": [{"id": "bracket", "name": "Bracket", "count": 9, "thickness": 20, "cut": "sawn",
   "shape": {"form": "polygon", "points": [[0, 0], [240, 0], [240, 60], [70, 150], [0, 150]]}}]
}"#;

#[test]
fn a_sawn_board_stays_broken_down_when_parts_are_moved() {
    let mut session = opened(LONG_SAWN);
    assert!(set_out(&mut session, 4, 200) >= 1);
    let layout = |session: &Session| session.document.plan.as_ref().unwrap().layouts[0].clone();
    let cuts = |session: &Session| layout(session).cuts.map_or(0, |t| t.nodes.len() / 2);
    assert!(cuts(&session) >= 1);
    assert!(session.judged.as_ref().unwrap().is_sound());
    // A hair along the board: the cuts are found anew, and nothing else moves.
    let before = layout(&session);
    let first = before.placements[0].clone();
    let outcome = session.nudge(&first.part, first.copy, 0.5, 0.0);
    assert!(outcome.done, "{outcome:?}");
    let after = layout(&session);
    let moved = |l: &heartside_timber::plan::Layout| {
        let mut others = l.placements.clone();
        others.retain(|p| p.copy != first.copy);
        others.sort_by_key(|p| p.copy);
        others
    };
    assert_eq!(moved(&before), moved(&after));
    assert!(cuts(&session) >= 1);
    let findings = &session.judged.as_ref().unwrap().findings;
    assert!(
        findings.iter().all(|f| f.rule.number() != 9),
        "{findings:?}"
    );
    assert!(session.undo().done);
    assert_eq!(layout(&session), before);
}

/// Four equal blanks round a middle that no straight cut can free.
const PINWHEEL: &str = r#"{
 "format": "heartside-job", "version": 1, "title": "Pinwheel", "units": {"length": "mm"},
 "allowances": {"end": 0, "edge": 0, "sawn": 0},
 "boards": [{"id": "A", "thickness": 40, "surface": "planed", "warp": {},
   "outline": {"form": "tape", "length": 500, "left": "straight", "right": "straight", "start": "straight", "end": "straight",
     "stations": [{"at": 0, "left": 250, "right": 250}]}}],
 "parts": [{"id": "p", "name": "Blade", "count": 4, "thickness": 20, "grain": {"axis": "any"},
   "shape": {"form": "rectangle", "length": 200, "width": 100}}]
}"#;

/// Drops a copy with its middle so far from the board's lower left corner.
fn drop_at(session: &mut Session, copy: u32, (x, y): (f64, f64), turn: f64) -> Outcome {
    let place = session.scene(&view(PageName::SettingOut)).boards[0]
        .bounds
        .clone();
    assert!(session.drag_begin("p", copy).held);
    let held = session.drag(place.x + x, place.y + place.height - y, turn, false, false);
    assert!(held.fits, "{:?}", held.findings);
    session.drag_end()
}

#[test]
fn what_no_straight_cut_can_separate_is_named_and_sawn_by_line() {
    let mut session = opened(PINWHEEL);
    let (l, w, k, off) = (200.0, 100.0, 4.0, 20.0);
    let at = |x: f64, y: f64| (off + x, off + y);
    let long = w + k + l / 2.0;
    let far = l + k + w / 2.0;
    let places = [
        (at(l / 2.0, w / 2.0), 0.0),
        (at(far, l / 2.0), 90.0),
        (at(long, far), 0.0),
        (at(w / 2.0, long), 90.0),
    ];
    for (copy, (place, turn)) in (1..).zip(places).take(3) {
        let outcome = drop_at(&mut session, copy, place, turn);
        assert!(outcome.done && outcome.offers.is_empty(), "{outcome:?}");
    }
    let outcome = drop_at(&mut session, 4, places[3].0, places[3].1);
    assert!(outcome.done);
    assert!(
        !outcome.inseparable.is_empty() && !outcome.offers.is_empty(),
        "{outcome:?}"
    );
    assert!(outcome.announce.unwrap().contains("No straight cut"));
    assert!(!session.judged.as_ref().unwrap().is_sound());
    let offer = outcome.offers[0].part.clone();
    assert!(session.saw_by_line(&offer.id, offer.copy).done);
    let judged = session.judged.as_ref().unwrap();
    assert!(
        judged.is_sound() && judged.is_complete(),
        "{:?}",
        judged.findings
    );
    let plan = state(&mut session, PageName::SettingOut).plan.unwrap();
    assert_eq!((plan.verdict, plan.stale), (VerdictKind::Checked, None));
}

#[test]
fn the_demo_is_set_out_checked_and_stays_so_when_parts_are_moved() {
    let mut session = opened(DESK);
    assert!(set_out(&mut session, 6, 1000) >= 1);
    let plan = state(&mut session, PageName::SettingOut).plan.unwrap();
    assert_ne!(
        plan.verdict,
        VerdictKind::Wrong,
        "{:?}",
        session.judged.as_ref().unwrap().findings
    );
    let before = session.document.clone();
    let placed = before.plan.as_ref().unwrap().layouts[0].placements[0].clone();
    // Moved far over a neighbour it is wrong, and every finding says where.
    let outcome = session.nudge(&placed.part, placed.copy, 150.0, 0.0);
    assert!(outcome.done);
    for row in state(&mut session, PageName::SettingOut).findings {
        assert!(!row.message.is_empty());
        assert!(
            row.board.is_none() || row.x.is_some() || row.rule >= 8,
            "{row:?}"
        );
    }
    assert!(session.undo().done);
    assert_eq!(session.document, before);
}

#[test]
fn a_part_turned_by_its_handle_is_undone_as_turned() {
    let mut session = opened(DESK);
    assert!(set_out(&mut session, 6, 1000) >= 1);
    let placed = session.document.plan.as_ref().unwrap().layouts[0].placements[0].clone();
    let held = session.drag_begin(&placed.part, placed.copy);
    session.drag(held.x, held.y, held.turn + 5.0, held.turned_over, false);
    assert!(session.drag_end().done);
    let undo = state(&mut session, PageName::SettingOut).undo.unwrap();
    assert!(
        undo.starts_with("turning ") && !undo.contains("over"),
        "{undo}"
    );
    // Carried off, it is moved, turned or not.
    let held = session.drag_begin(&placed.part, placed.copy);
    session.drag(
        held.x + 300.0,
        held.y,
        held.turn - 5.0,
        held.turned_over,
        false,
    );
    assert!(session.drag_end().done);
    let undo = state(&mut session, PageName::SettingOut).undo.unwrap();
    assert!(undo.starts_with("moving "), "{undo}");
}
