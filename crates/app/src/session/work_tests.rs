//! Nothing is worked out oftener than it must be, and what is taken over is what would be worked out anew.

use super::*;
use crate::protocol::{PageName, SearchSettings, Thing};
use crate::search::Search;

const STOOL: &str = include_str!("../../../../fixtures/step-stool.heartside.json");

/// The stool, set out.
fn set_out() -> Session {
    let mut session = Session::default();
    assert!(session.open(STOOL).accepted);
    let start = session.begin_set_out();
    let settings = SearchSettings {
        seed: 1,
        worker: 0,
        workers: 1,
        ..Default::default()
    };
    let mut search = Search::new(&start.document, &settings);
    search.step(1_000);
    let best = search.best().unwrap();
    assert!(session.offer(&best, start.revision).taken);
    session.end_set_out();
    session
}

/// What the session holds is what would be made of its document from nothing.
fn assert_as_from_nothing(session: &Session, after: &str) {
    let fresh = prepare(&session.document);
    assert_eq!(session.job, fresh.job, "{after}");
    assert_eq!(session.diagnostics, fresh.diagnostics, "{after}");
    let plan = session.document.plan.as_ref().unwrap();
    let judged = session.judged.as_ref().unwrap();
    assert_eq!(
        judged.findings,
        heartside_check::check(&fresh.job, plan),
        "{after}"
    );
    assert_eq!(
        judged.steps,
        heartside_cutting::steps(&fresh.job, plan),
        "{after}"
    );
}

#[test]
fn an_edit_prepares_once_and_judges_once() {
    let mut session = set_out();
    let placed = session.document.plan.clone().unwrap();
    let first = placed.layouts[0].placements[0].part_copy();
    let (part, copy) = (first.part.as_str(), first.copy);
    type Act = Box<dyn Fn(&mut Session)>;
    let id = part.to_owned();
    let acts: Vec<(&str, Act)> = vec![
        (
            "nudge",
            Box::new({
                let id = id.clone();
                move |s| {
                    s.nudge(&id, copy, 3.0, 0.0);
                }
            }),
        ),
        (
            "nudge again",
            Box::new({
                let id = id.clone();
                move |s| {
                    s.nudge(&id, copy, -3.0, 0.0);
                }
            }),
        ),
        (
            "turn over",
            Box::new({
                let id = id.clone();
                move |s| {
                    s.turn_over(&id, copy);
                }
            }),
        ),
        (
            "let go",
            Box::new({
                let id = id.clone();
                move |s| {
                    s.pin(&id, copy, false);
                }
            }),
        ),
        (
            "hold",
            Box::new({
                let id = id.clone();
                move |s| {
                    assert!(s.drag_begin(&id, copy).held);
                    for _ in 0..30 {
                        assert!(s.nudge_held(-1.0, 0.5).held);
                    }
                    s.drag_end();
                }
            }),
        ),
        (
            "trestle",
            Box::new({
                let id = id.clone();
                move |s| {
                    s.to_trestle(&id, copy);
                }
            }),
        ),
        (
            "title",
            Box::new(|s| {
                s.set(&Thing::only(ThingKind::Job), "title", "Stool of mine");
            }),
        ),
        (
            "undo",
            Box::new(|s| {
                s.undo();
            }),
        ),
    ];
    for (what, act) in acts {
        let before = session.work;
        act(&mut session);
        let now = session.work;
        assert_eq!(
            (now.prepared - before.prepared, now.judged - before.judged),
            (1, 1),
            "{what}"
        );
        assert_as_from_nothing(&session, what);
    }
}

#[test]
fn a_held_key_moves_on_its_board_only_and_changes_nothing_before_it_is_let_go() {
    let mut session = set_out();
    let plan = session.document.plan.clone().unwrap();
    let first = plan.layouts[0].placements[0].clone();
    let before = session.save();
    let work = session.work;
    let begun = session.drag_begin(&first.part, first.copy);
    // Far beyond the board and over others: it is told what is wrong and stays with its board.
    for _ in 0..400 {
        let held = session.nudge_held(10.0, 7.0);
        assert_eq!(held.board, begun.board);
    }
    let held = session.nudge_held(0.0, 0.0);
    assert!(!held.fits && !held.sentence.is_empty());
    assert_eq!((held.x, held.y), (begun.x + 4_000.0, begun.y + 2_800.0));
    assert_eq!(session.save(), before);
    assert_eq!(session.work, work);
    for _ in 0..400 {
        session.nudge_held(-10.0, -7.0);
    }
    assert!(session.nudge_held(0.0, 0.0).fits);
    session.drag_end();
    assert_eq!(session.save(), before, "back where it was: nothing to undo");
}

#[test]
fn nudging_in_the_hand_is_nudging() {
    let mut by_key = set_out();
    let mut held = set_out();
    let plan = held.document.plan.clone().unwrap();
    let first = plan.layouts[0].placements[0].clone();
    for (dx, dy) in [(1.0, 0.0), (0.0, 1.0), (10.0, 0.0), (-4.0, -2.0)] {
        by_key.nudge(&first.part, first.copy, dx, dy);
    }
    held.drag_begin(&first.part, first.copy);
    for (dx, dy) in [(1.0, 0.0), (0.0, 1.0), (10.0, 0.0), (-4.0, -2.0)] {
        held.nudge_held(dx, dy);
    }
    held.drag_end();
    let places = |s: &Session| {
        s.document.plan.clone().unwrap().layouts[0]
            .placements
            .clone()
    };
    assert_eq!(places(&by_key), places(&held));
    assert_eq!(by_key.document.pins, held.document.pins);
    let undo = |s: &mut Session| s.state(PageName::SettingOut, &View::default()).undo;
    assert_eq!(undo(&mut held), undo(&mut by_key));
    held.undo();
    assert_eq!(held.document.plan.unwrap().layouts, plan.layouts);
}

#[test]
fn kept_plans_are_judged_again_only_when_the_job_changed() {
    let mut session = set_out();
    session.keep_plan("as found");
    let look = |s: &mut Session| {
        let kept = s.state(PageName::SettingOut, &View::default()).kept;
        kept.into_iter()
            .map(|k| (k.name, k.shown))
            .collect::<Vec<_>>()
    };
    let shown = |on| vec![("as found".to_owned(), on)];
    assert_eq!(look(&mut session), shown(true));
    let before = session.work;
    for _ in 0..3 {
        assert_eq!(look(&mut session), shown(true));
    }
    assert_eq!(session.work, before);
    session.clear_plan();
    assert_eq!(look(&mut session), shown(false));
    session.set(&Thing::row(ThingKind::Part, 0), "thickness", "900");
    let kept = session.state(PageName::SettingOut, &View::default()).kept;
    assert_ne!(kept[0].verdict, crate::protocol::VerdictKind::Checked);
}
