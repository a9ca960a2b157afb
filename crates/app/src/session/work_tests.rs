//! Nothing is worked out oftener than it must be, and what is taken over is what would be worked out anew.

use heartside_timber::document::PartCopy;
use heartside_timber::prepare::prepare;

use super::*;
use crate::protocol::{
    Answer, Ask, AskKind, CopyOf, MarkKind, PageName, SearchSettings, Thing, ThingKind, View,
};
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
    let mut plan = session.document.plan.clone().unwrap();
    plan.unplaced
        .retain(|u| session.left_out.iter().all(|l| l.part != u.part));
    plan.unplaced.extend_from_slice(&session.left_out);
    let plan = &plan;
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

/// Answers a question about a piece that lies there.
fn at_a_piece(session: &mut Session, kind: AskKind, name: &str, text: &str) -> bool {
    let mut pieces = session.job.boards.iter();
    let piece = pieces.rfind(|b| b.from.is_some() && b.is_usable());
    let ask = Ask {
        kind,
        board: piece.map(|b| CopyOf {
            id: b.id.clone(),
            copy: 1,
        }),
        answers: vec![Answer {
            name: name.to_owned(),
            text: text.to_owned(),
        }],
        ..Ask::default()
    };
    session.answer(&ask).done
}

/// One change, by its name; `one` is a part that lies on a board.
type Act = (&'static str, fn(&mut Session, &PartCopy) -> bool);

/// Every kind of edit, each on what the one before left.
const ACTS: &[Act] = &[
    ("tick a cut", |s, _| {
        let step = s.judged.as_ref().unwrap().steps[0].clone();
        let tick = s.tick_of(&step);
        s.tick(&tick).done
    }),
    ("measure a piece", |s, _| {
        at_a_piece(s, AskKind::Measure, "cup", "1 mm")
    }),
    ("a cut of one's own", |s, _| {
        at_a_piece(s, AskKind::Cut, "distance", "60 mm")
    }),
    ("not cut after all", |s, _| {
        let last = s.document.done.last().unwrap().id;
        s.not_cut(last).done
    }),
    ("the tick neither", |s, _| {
        let last = s.document.done.last().unwrap().id;
        s.not_cut(last).done
    }),
    ("nudge", |s, one| {
        s.nudge(&one.part, one.copy, 3.0, 0.0).done
    }),
    ("nudge back", |s, one| {
        s.nudge(&one.part, one.copy, -3.0, 0.0).done
    }),
    ("turn", |s, one| s.turn(&one.part, one.copy, 180.0).done),
    ("turn over", |s, one| s.turn_over(&one.part, one.copy).done),
    ("let go", |s, one| s.pin(&one.part, one.copy, false).done),
    ("pin", |s, one| s.pin(&one.part, one.copy, true).done),
    ("a held key", |s, one| {
        let held = s.drag_begin(&one.part, one.copy).held;
        (0..30).all(|_| s.nudge_held(-1.0, 0.5).held) && held && s.drag_end().done
    }),
    ("drag", |s, one| {
        let held = s.drag_begin(&one.part, one.copy);
        s.drag(
            held.x + 30.0,
            held.y + 4.0,
            held.turn,
            held.turned_over,
            true,
        );
        held.held && s.drag_end().done
    }),
    ("drag to where no saw can follow", |s, one| {
        let held = s.drag_begin(&one.part, one.copy);
        s.drag(
            held.x + 90.0,
            held.y,
            held.turn + 33.0,
            held.turned_over,
            false,
        );
        let ended = s.drag_end();
        held.held && ended.done && ended.announce.is_some()
    }),
    ("trestle", |s, one| s.to_trestle(&one.part, one.copy).done),
    ("lay", |s, one| {
        let boards: Vec<String> = s.job.boards.iter().map(|b| b.id.clone()).collect();
        boards
            .iter()
            .any(|b| s.lay_on(&one.part, one.copy, b, 1).done)
    }),
    ("saw by line", |s, one| {
        s.saw_by_line(&one.part, one.copy).done
    }),
    ("keep the plan", |s, _| s.keep_plan("mine").done),
    ("clear the boards", |s, _| s.clear_plan().done),
    ("show a plan", |s, _| s.show_plan("mine").done),
    ("forget a plan", |s, _| s.forget_plan("mine").done),
    ("move a board on the floor", |s, _| {
        let board = s.job.boards[0].id.clone();
        s.move_board(&board, 1, 100.0, 3_000.0).done
    }),
    ("title", |s, _| {
        s.set(&Thing::only(ThingKind::Job), "title", "Stool of mine")
            .done
    }),
    ("what matters most", |s, _| s.move_aim(1, 0).done),
    ("a note", |s, _| {
        s.set(&Thing::row(ThingKind::Part, 0), "note", "the best one")
            .done
    }),
    ("a thickness", |s, _| {
        s.set(&Thing::row(ThingKind::Part, 0), "thickness", "19")
            .done
    }),
    ("glue a part up", |s, _| {
        s.set(&Thing::row(ThingKind::Part, 0), "panel", "staves")
            .done
    }),
    ("a rule of the panel", |s, _| {
        s.set(&Thing::row(ThingKind::Part, 0), "panel.max_width", "90")
            .done
    }),
    ("rename a part", |s, _| {
        s.set(&Thing::row(ThingKind::Part, 0), "id", "p-1").done
    }),
    ("rename a board", |s, _| {
        s.set(&Thing::row(ThingKind::Board, 0), "id", "Z").done
    }),
    ("units", |s, _| {
        s.set(&Thing::only(ThingKind::Job), "units.length", "in")
            .done
    }),
    ("in one piece again", |s, _| {
        s.set(&Thing::row(ThingKind::Part, 0), "panel", "one").done
    }),
    ("add a part", |s, _| s.add(ThingKind::Part, None).done),
    ("double a part", |s, _| {
        s.duplicate(&Thing::row(ThingKind::Part, 0)).done
    }),
    ("move a part", |s, _| {
        s.move_in_list(&Thing::row(ThingKind::Part, 0), 2).done
    }),
    ("take a part away", |s, _| {
        s.remove(&Thing::row(ThingKind::Part, 0)).done
    }),
    ("paste parts", |s, _| {
        s.paste_parts("name\tlength\twidth\tthickness\nSlat\t12\t2\t1/2", &[])
            .done
    }),
    ("add a board", |s, _| s.add(ThingKind::Board, None).done),
    ("type a board", |s, _| s.take_boards("80 x 6 1").done),
    ("drop a mark", |s, _| {
        let lies = s.lying()[0].clone();
        let middle = lies.bounds.centre();
        let (id, copy) = (lies.board.board.clone(), lies.board.copy);
        s.drop_mark(&id, copy, middle.x, middle.y, MarkKind::Knot)
            .done
    }),
    ("double a board", |s, _| {
        s.duplicate(&Thing::row(ThingKind::Board, 0)).done
    }),
    ("move a board", |s, _| {
        s.move_in_list(&Thing::row(ThingKind::Board, 0), 1).done
    }),
    ("add a marked area", |s, _| {
        s.add(ThingKind::Zone, Some(&Thing::row(ThingKind::Board, 1)))
            .done
    }),
    ("shift a marked area", |s, _| {
        let last = s.document.boards[1].zones.len() - 1;
        s.shift_mark(&Thing::inner(ThingKind::Zone, 1, last), 60.0, 25.4)
            .done
    }),
    ("measure it by its corners", |s, _| {
        let last = s.document.boards[1].zones.len() - 1;
        let mark = Thing::inner(ThingKind::Zone, 1, last);
        s.set(&mark, "shape.form", "polygon").done
    }),
    ("take it away", |s, _| {
        let last = s.document.boards[1].zones.len() - 1;
        s.remove(&Thing::inner(ThingKind::Zone, 1, last)).done
    }),
    ("take a board away", |s, _| {
        s.remove(&Thing::row(ThingKind::Board, 0)).done
    }),
    ("add a tool", |s, _| s.add(ThingKind::Tool, None).done),
    ("double a tool", |s, _| {
        s.duplicate(&Thing::row(ThingKind::Tool, 0)).done
    }),
    ("take a tool away", |s, _| {
        s.remove(&Thing::row(ThingKind::Tool, 0)).done
    }),
    ("add a dimension", |s, _| {
        s.add(ThingKind::Dimension, None).done
    }),
    ("take a dimension away", |s, _| {
        let last = s.document.dimensions.len() - 1;
        s.remove(&Thing::row(ThingKind::Dimension, last)).done
    }),
    ("add a match", |s, _| s.add(ThingKind::Match, None).done),
    ("undo", |s, _| s.undo().done),
    ("redo", |s, _| s.redo().done),
];

#[test]
fn every_kind_of_edit_prepares_once_and_judges_once() {
    let mut session = set_out();
    let placed = session.document.plan.clone().unwrap();
    let one = placed.layouts[0].placements[0].part_copy();
    for (what, act) in ACTS {
        let before = session.work;
        assert!(act(&mut session, &one), "{what} was refused");
        let now = session.work;
        let work = (now.prepared - before.prepared, now.judged - before.judged);
        assert_eq!(work, (1, 1), "{what}");
        assert_as_from_nothing(&session, what);
    }
}

/// What was kept aside is forgotten by the edit that writes it anew; what is shown then must
/// not be what was worked out before.
#[test]
fn an_edit_that_mends_what_was_kept_aside_leaves_nothing_stale() {
    let mut whole: serde_json::Value = serde_json::from_str(STOOL).unwrap();
    whole["matches"] = serde_json::json!("none");
    let mut session = Session::default();
    assert!(session.open(&whole.to_string()).accepted);
    let aside = |s: &Session| s.diagnostics.iter().any(|d| d.code == "field-not-readable");
    assert!(aside(&session));
    assert!(session.add(ThingKind::Match, None).done);
    assert_eq!(session.diagnostics, prepare(&session.document).diagnostics);
    assert!(!aside(&session));
}

#[test]
fn a_board_is_searched_once_for_an_order_of_cuts() {
    let mut session = set_out();
    let placed = session.document.plan.clone().unwrap();
    let one = placed.layouts[0].placements[0].part_copy();
    let searched = |s: &mut Session, act: &dyn Fn(&mut Session)| {
        let before = s.cuts.searched;
        act(s);
        s.cuts.searched - before
    };
    let drop = |s: &mut Session, dx: f64| {
        let held = s.drag_begin(&one.part, one.copy);
        s.drag(held.x + dx, held.y, held.turn, held.turned_over, false);
        assert!(s.drag_end().done);
    };
    assert_eq!(searched(&mut session, &|s| drop(s, 25.0)), 1);
    // There and back again: both are known.
    session.undo();
    assert_eq!(searched(&mut session, &|s| drop(s, 25.0)), 0);
    // Another job is another question.
    assert!(
        session
            .set(&Thing::row(ThingKind::Tool, 0), "kerf", "2.5")
            .done
    );
    assert!(searched(&mut session, &|s| drop(s, 30.0)) > 0);
}

#[test]
fn opening_prepares_once_and_judges_once() {
    let mut session = Session::default();
    let before = session.work;
    assert!(session.open(STOOL).accepted);
    let work = (
        session.work.prepared - before.prepared,
        session.work.judged - before.judged,
    );
    assert_eq!(work, (1, 1));
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
