use heartside_timber::document::{Aim, Document};
use heartside_timber::plan::Plan;

use super::*;
use crate::protocol::*;
use crate::search::Search;

const DESK: &str = include_str!("../../../../fixtures/writing-desk.heartside.json");
const STOOL: &str = include_str!("../../../../fixtures/step-stool.heartside.json");
const BENCH: &str = include_str!("../../../../fixtures/bench-that-does-not-fit.heartside.json");

fn opened(text: &str) -> Session {
    let mut session = Session::default();
    let opened = session.open(text);
    assert!(opened.accepted, "{:?}", opened.problems);
    session
}

fn view(place: PageName) -> View {
    View {
        place,
        ..View::default()
    }
}

fn state(session: &mut Session, place: PageName) -> State {
    session.state(place, &View::default())
}

fn board(row: usize) -> Thing {
    Thing::row(ThingKind::Board, row)
}

fn part(row: usize) -> Thing {
    Thing::row(ThingKind::Part, row)
}

/// Sets a job out with one worker's search, as the page does; the number of plans taken.
fn set_out(session: &mut Session, rounds: u32, steps: u32) -> usize {
    let start = session.begin_set_out();
    assert!(start.ready, "{:?}", start.problem);
    let mut search = Search::new(
        &start.document,
        &SearchSettings {
            seed: 1,
            worker: 0,
            workers: 1,
            ..Default::default()
        },
    );
    assert_eq!(search.problem(), None);
    let mut taken = 0;
    for _ in 0..rounds {
        let status = search.step(steps);
        if let Some(best) = search.best() {
            let offered = session.offer(&best, start.revision);
            assert_eq!(offered.problem, None);
            taken += usize::from(offered.taken);
        }
        if status.finished {
            break;
        }
    }
    session.end_set_out();
    taken
}

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
        assert_eq!(row.copies.len() as u32, row.count);
    }
}

#[test]
fn a_set_out_is_one_step_and_is_checked() {
    let mut session = opened(STOOL);
    let first = session.document.clone();
    let taken = set_out(&mut session, 20, 200);
    assert!(taken >= 1);
    let state = state(&mut session, PageName::SettingOut);
    let plan = state.plan.unwrap();
    assert_eq!(plan.verdict, VerdictKind::Checked, "{:?}", state.findings);
    assert!(plan.sentence.starts_with("All "), "{}", plan.sentence);
    assert!(plan.made.is_some());
    assert_eq!(plan.progress.unwrap().points.len(), taken);
    assert!(state.trestle.is_empty());
    assert_eq!(state.undo.as_deref(), Some("set out"));
    assert!(session.undo().done);
    assert_eq!(session.document, first);
}

#[test]
fn plans_for_an_older_job_are_dropped() {
    let mut session = opened(STOOL);
    let start = session.begin_set_out();
    let mut search = Search::new(
        &start.document,
        &SearchSettings {
            seed: 1,
            worker: 0,
            workers: 1,
            ..Default::default()
        },
    );
    search.step(500);
    let best = search.best().unwrap();
    assert!(session.set(&board(0), "thickness", "60").done);
    let offered = session.offer(&best, start.revision);
    assert!(!offered.taken && offered.problem.is_some());
    // Also where the old number would fit again by undoing.
    session.undo();
    session.begin_set_out();
    assert!(!session.offer(&best, start.revision).taken);
    assert!(session.document.plan.is_none());
}

#[test]
fn what_no_plan_depends_on_does_not_stop_a_set_out() {
    let mut session = opened(STOOL);
    let start = session.begin_set_out();
    let settings = SearchSettings {
        workers: 1,
        ..Default::default()
    };
    let mut search = Search::new(&start.document, &settings);
    search.step(500);
    assert_eq!(
        state(&mut session, PageName::SettingOut).revision,
        start.revision
    );
    assert!(
        session
            .set(&Thing::only(ThingKind::Job), "title", "Another")
            .done
    );
    assert!(session.offer(&search.best().unwrap(), start.revision).taken);
    let id = session.document.boards[0].id.clone();
    assert!(session.move_board(&id, 1, 5.0, 5.0).done);
    assert!(state(&mut session, PageName::SettingOut).setting_out);
    session.end_set_out();
    let labels: Vec<_> = (0..3).map(|_| session.undo().announce.unwrap()).collect();
    assert!(labels[1].contains("set out"), "{labels:?}");
    assert!(!session.undo().done);
}

#[test]
fn what_an_edit_does_not_concern_stays_where_it_lay() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let others = |plan: &Plan| {
        let laid = plan.layouts.iter();
        let mut list: Vec<String> = laid
            .flat_map(|l| l.placements.iter().map(|p| format!("{:?} {p:?}", l.board)))
            .filter(|line| !line.contains("rail"))
            .collect();
        list.sort();
        list
    };
    let before = others(session.document.plan.as_ref().unwrap());
    assert_eq!(before.len(), 4);
    session.set(&part(2), "shape.length", "330 mm");
    let start = session.begin_set_out();
    let settings = SearchSettings {
        workers: 1,
        ..Default::default()
    };
    let mut search = Search::new(&start.document, &settings);
    let begun: Plan = serde_json::from_str(&search.best().unwrap()).unwrap();
    assert_eq!(others(&begun), before);
    assert_eq!(
        begun.placed_count(),
        4,
        "the shorter rail is to be cut anew"
    );
    search.step(400);
    let offered = session.offer(&search.best().unwrap(), start.revision);
    assert!(offered.taken, "{:?}", offered.problem);
    assert_eq!(session.document.plan.as_ref().unwrap().placed_count(), 5);
}

#[test]
fn broken_and_unreadable_plans_are_never_shown() {
    let mut session = opened(STOOL);
    let start = session.begin_set_out();
    let mut search = Search::new(
        &start.document,
        &SearchSettings {
            seed: 1,
            worker: 0,
            workers: 1,
            ..Default::default()
        },
    );
    search.step(500);
    let mut plan: Plan = serde_json::from_str(&search.best().unwrap()).unwrap();
    plan.layouts[0].placements[0].at.x -= 400.0;
    let offered = session.offer(&serde_json::to_string(&plan).unwrap(), start.revision);
    assert!(!offered.taken);
    assert!(offered.problem.unwrap().contains("checker"));
    assert!(!session.offer("{not a plan", start.revision).taken);
    assert!(session.document.plan.is_none());
    assert!(!session.better("x", &search.best().unwrap()));
    assert!(session.better(&search.best().unwrap(), "x"));
}

#[test]
fn an_edit_freezes_the_plan_and_says_so() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    assert_eq!(
        state(&mut session, PageName::SettingOut)
            .plan
            .unwrap()
            .stale,
        None
    );
    session.set(&part(0), "shape.length", "100 mm");
    let plan = state(&mut session, PageName::SettingOut).plan.unwrap();
    assert!(plan.stale.unwrap().contains("before your last change"));
    // The title of the piece is nothing that a plan depends on.
    session.undo();
    session.set(&Thing::only(ThingKind::Job), "title", "Another stool");
    assert_eq!(
        state(&mut session, PageName::SettingOut)
            .plan
            .unwrap()
            .stale,
        None
    );
}

#[test]
fn what_does_not_fit_is_told_with_the_least_board() {
    let mut session = opened(BENCH);
    set_out(&mut session, 5, 200);
    let plan = state(&mut session, PageName::SettingOut).plan.unwrap();
    assert_eq!(
        plan.verdict,
        VerdictKind::NotAllPlaced,
        "{}",
        plan.verdict_text
    );
    assert!(!plan.unplaced.is_empty());
    for row in &plan.unplaced {
        assert!(!row.reason.is_empty() && !row.name.is_empty());
    }
    assert!(plan.unplaced.iter().any(|r| r.least_board.is_some()));
}

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

#[test]
fn plans_are_kept_shown_compared_and_forgotten() {
    let mut session = opened(STOOL);
    assert!(!session.keep_plan("x").done);
    set_out(&mut session, 10, 200);
    assert!(session.keep_plan("First").done);
    assert!(session.keep_plan("").done);
    let kept = state(&mut session, PageName::SettingOut).kept;
    assert_eq!(kept.len(), 2);
    assert!(
        kept.iter()
            .all(|k| k.shown && k.verdict == VerdictKind::Checked)
    );
    session.clear_plan();
    let compared = session.compare("First", "");
    assert!(compared.rows.iter().any(|r| r.better == -1), "{compared:?}");
    assert!(compared.sentence.starts_with("First"));
    assert!(session.show_plan("First").done);
    assert!(!session.show_plan("no such").done);
    assert!(session.forget_plan("First").done);
    assert!(!session.forget_plan("First").done);
    assert!(!session.compare("First", "").sentence.is_empty());
}

/// What was pinned when a plan was kept is pinned again when it is shown, under its new names.
#[test]
fn kept_plans_keep_their_pins() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let placed = session.document.plan.as_ref().unwrap().layouts[0].placements[0].clone();
    assert!(session.pin(&placed.part, placed.copy, true).done);
    let pins = session.document.pins.len();
    assert!(session.keep_plan("First").done);
    assert!(session.pin(&placed.part, placed.copy, false).done);
    assert!(session.clear_plan().done);
    let row = session
        .document
        .parts
        .iter()
        .position(|p| p.id == placed.part)
        .unwrap();
    assert!(session.set(&part(row), "id", "renamed").done);
    let mut again = opened(&session.save());
    for session in [&mut session, &mut again] {
        assert!(session.show_plan("First").done);
        assert_eq!(session.document.pins.len(), pins);
        assert!(session.is_pinned("renamed", placed.copy));
    }
}

#[test]
fn the_scene_sends_only_what_changed() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let whole = session.scene(&View {
        reset: true,
        ..view(PageName::SettingOut)
    });
    assert!(whole.fragments.iter().any(|f| f.id.starts_with("part-")));
    assert!(whole.bounds.width > 0.0);
    assert_eq!(
        whole.boards.len(),
        session
            .job
            .boards
            .iter()
            .map(|b| b.count as usize)
            .sum::<usize>()
    );
    let again = session.scene(&view(PageName::SettingOut));
    assert!(again.fragments.is_empty() && again.removed.is_empty());
    let timber = session.scene(&view(PageName::Timber));
    assert!(timber.removed.iter().any(|id| id.starts_with("part-")));
    let back = session.scene(&view(PageName::SettingOut));
    assert!(back.fragments.iter().any(|f| f.id.starts_with("part-")));
    for fragment in &whole.fragments {
        assert!(fragment.svg.starts_with("<g"), "{}", fragment.svg);
        if let Some(part) = &fragment.part {
            let thing = session.thing_of(&fragment.id).unwrap();
            assert_eq!(session.document.parts[thing.at()].id, part.id);
        }
    }
    assert_eq!(session.thing_of("no-such"), None);
}

#[test]
fn boards_move_on_the_floor_and_nothing_else_does() {
    let mut session = opened(STOOL);
    let id = session.document.boards[0].id.clone();
    let before = session.scene(&view(PageName::Timber)).boards;
    assert!(session.move_board(&id, 1, 1234.0, 567.0).done);
    let after = session.scene(&view(PageName::Timber)).boards;
    assert_eq!(
        (after[0].bounds.x, after[0].bounds.y.round()),
        (1234.0, 567.0)
    );
    assert_eq!(before[1], after[1]);
    assert!(!session.move_board("no-such", 1, 0.0, 0.0).done);
    assert!(!session.move_board(&id, 1, f64::NAN, 0.0).done);
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
fn drawings_and_sheets_stand_alone() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let id = session.document.plan.as_ref().unwrap().layouts[0]
        .board
        .board
        .clone();
    let one = session.svg_board(&id, 1, "25 November 2026");
    assert!(one.svg.contains("<svg") && one.svg.contains("mm\""));
    assert!(one.name.ends_with(".svg") && !one.name.contains('/'));
    assert!(one.svg.contains("25 November 2026"));
    assert!(session.svg_all("").svg.contains("<svg"));
    for paper in [Paper::A4, Paper::Letter] {
        let sheets = session.sheets(paper, "");
        assert!(!sheets.is_empty());
        assert!(sheets.iter().all(|s| s.svg.contains("<svg")));
    }
    assert!(session.svg_board("../x", 1, "").svg.is_empty());
    assert!(Session::default().svg_all("").name.ends_with(".svg"));
    assert_eq!(Session::default().svg_all("").svg, "");
}

#[test]
fn the_bench_lists_every_cut_once_in_order() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let bench = state(&mut session, PageName::Bench).bench;
    let steps: Vec<_> = bench.set_ups.iter().flat_map(|s| &s.steps).collect();
    let numbers: Vec<u32> = steps.iter().map(|s| s.number).collect();
    assert!(!numbers.is_empty());
    assert_eq!(numbers, (1..=numbers.len() as u32).collect::<Vec<_>>());
    assert!(
        steps
            .iter()
            .all(|s| !s.brief.is_empty() && !s.lines.is_empty())
    );
    assert!(
        bench
            .set_ups
            .iter()
            .all(|s| !s.steps.is_empty() && !s.heading.is_empty())
    );
    assert!(
        bench
            .heading
            .starts_with(&format!("{} cuts, ", numbers.len()))
    );
    assert_eq!(bench.wrong, Vec::<String>::new());
}

/// What stands in the closed list, counted as words.
fn bench_words(bench: &Bench) -> usize {
    let of_step =
        |s: &BenchStep| format!("{} {} {} {}", s.number, s.brief, s.gives, s.grave.join(" "));
    let mut text = bench.heading.clone();
    for caution in &bench.cautions {
        text = format!("{text} {}", caution.label);
    }
    for set_up in &bench.set_ups {
        let steps: Vec<String> = set_up.steps.iter().map(of_step).collect();
        text = format!("{text} {} {}", set_up.heading, steps.join(" "));
    }
    text.split_whitespace().count()
}

#[test]
fn the_bench_of_the_desk_is_told_in_few_words() {
    let mut session = opened(DESK);
    set_out(&mut session, 20, 100);
    let bench = state(&mut session, PageName::Bench).bench;
    let steps: Vec<&BenchStep> = bench.set_ups.iter().flat_map(|s| &s.steps).collect();
    assert!(steps.len() > 40, "{}", steps.len());
    let words = bench_words(&bench);
    assert!(
        words <= 12 * steps.len() + 100,
        "{words} words, {} cuts",
        steps.len()
    );
    assert!(words <= 800, "{words} words");
    for step in &steps {
        assert!(!step.gives.contains("waste"), "{step:?}");
        // All that is left out of the line is one tap away, and what can hurt is not left out.
        let short = |c: &String| {
            !bench
                .cautions
                .iter()
                .any(|l| l.value.starts_with(c.as_str()))
        };
        assert!(step.cautions.iter().all(|c| !short(c)), "{step:?}");
        assert_eq!(step.cautions.len(), step.grave.len() + step.care.len());
        assert!(step.lines.len() >= 2, "{step:?}");
    }
    // Nothing here weighs half of what one person lifts.
    assert!(
        steps
            .iter()
            .all(|s| s.lines.iter().all(|l| !l.contains(" kg")))
    );
}

#[test]
fn a_wrong_board_is_named_and_its_cuts_are_not_shown() {
    let mut session = opened(DESK);
    set_out(&mut session, 20, 100);
    let before = state(&mut session, PageName::Bench).bench;
    let first = before.set_ups[0].steps[0].board.clone();
    // Everything on the board is shifted off it.
    let plan = session.document.plan.as_mut().unwrap();
    let layout = plan
        .layouts
        .iter_mut()
        .find(|l| l.board.board == first.id)
        .unwrap();
    layout.placements[0].at.x += 5000.0;
    let text = session.document.save();
    let mut session = opened(&text);
    let bench = state(&mut session, PageName::Bench).bench;
    assert!(
        bench.wrong[0].starts_with(&format!("Board {}", first.id)),
        "{:?}",
        bench.wrong
    );
    let mut steps = bench.set_ups.iter().flat_map(|s| &s.steps).peekable();
    assert!(steps.peek().is_some());
    assert!(steps.all(|s| s.board != first));
    // A board without an order of cuts is named too.
    let plan = session.document.plan.as_mut().unwrap();
    let layout = plan
        .layouts
        .iter_mut()
        .find(|l| l.board.board == first.id)
        .unwrap();
    layout.placements[0].at.x -= 5000.0;
    layout.cuts = None;
    let text = session.document.save();
    let mut session = opened(&text);
    let bench = state(&mut session, PageName::Bench).bench;
    assert!(
        bench
            .wrong
            .iter()
            .any(|w| w.starts_with(&format!("Board {}", first.id))),
        "{:?}",
        bench.wrong
    );
}

#[test]
fn ticks_hold_as_long_as_their_board_is_cut_alike() {
    let mut session = opened(DESK);
    set_out(&mut session, 20, 100);
    let bench = state(&mut session, PageName::Bench).bench;
    let steps: Vec<BenchStep> = bench.set_ups.into_iter().flat_map(|s| s.steps).collect();
    let mut ticks: Vec<String> = steps.iter().map(|s| s.tick.clone()).collect();
    ticks.sort();
    ticks.dedup();
    assert_eq!(ticks.len(), steps.len(), "every cut has its own");
    let all = session.ticked(&ticks);
    assert_eq!(
        all.iter().map(|t| t.cuts as usize).sum::<usize>(),
        steps.len()
    );
    let part = all[0].parts[0].clone();
    assert!(session.to_trestle(&part.id, part.copy).done);
    let after = session.ticked(&ticks);
    assert!(
        after.iter().all(|t| t.board != all[0].board),
        "its ticks are gone"
    );
    assert_eq!(after.len(), all.len() - 1, "the others' stay");
    assert!(session.undo().done);
    assert_eq!(session.ticked(&ticks), all, "undo brings them back");
    assert!(session.ticked(&[]).is_empty());
}

#[test]
fn lengths_are_read_as_the_job_would() {
    let session = opened(STOOL);
    assert_eq!(session.read_length("1.4 m").mm, Some(1400.0));
    let bad = session.read_length("1,400");
    assert!(bad.mm.is_none() && bad.problem.is_some());
}

#[test]
fn a_search_says_why_it_cannot_be() {
    let search = Search::new("{", &SearchSettings::default());
    assert!(search.problem().is_some());
    let mut lame = Search::new(
        STOOL,
        &SearchSettings {
            worker: 3,
            workers: 2,
            ..Default::default()
        },
    );
    assert!(lame.problem().is_some());
    assert!(lame.step(10).finished);
    assert_eq!(lame.best(), None);
    assert!(!lame.adopt("{}"));
    assert_eq!(lame.figures(), SearchFigures::default());
}

#[test]
fn the_same_search_makes_the_same_plan_in_any_slices() {
    let settings = SearchSettings {
        seed: 7,
        worker: 1,
        workers: 2,
        ..Default::default()
    };
    let mut whole = Search::new(STOOL, &settings);
    let mut sliced = Search::new(STOOL, &settings);
    whole.step(600);
    for _ in 0..6 {
        sliced.step(100);
    }
    assert_eq!(whole.best(), sliced.best());
}

#[test]
fn markup_in_names_is_never_markup_in_pictures() {
    let mut session = opened(STOOL);
    session.set(&part(0), "name", "<script>alert(1)</script>");
    session.set(&board(0), "name", "<img src=x onerror=alert(1)>");
    set_out(&mut session, 5, 200);
    let scene = session.scene(&View {
        reset: true,
        ..view(PageName::SettingOut)
    });
    let all: String = scene.fragments.iter().map(|f| f.svg.as_str()).collect();
    let state = state(&mut session, PageName::SettingOut);
    let trestle: String = state
        .trestle
        .iter()
        .map(|t| session.trestle_picture(&t.part.id, t.part.copy))
        .collect();
    for text in [all, trestle, session.svg_all("").svg] {
        assert!(
            !text.contains("<script") && !text.contains("<img"),
            "markup came through"
        );
    }
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
        let mut session = opened(DESK);
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

/// What opening an older file changes is among the problems, once.
#[test]
fn opening_an_older_file_tells_what_changed() {
    let older = include_str!("../../../timber/tests/form-1/writing-desk.heartside.json");
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

#[test]
fn a_part_with_a_problem_counts_and_is_not_placed() {
    let mut session = opened(STOOL);
    session.document.parts[0].count = Some(2.5);
    session.refresh();
    set_out(&mut session, 2, 300);
    let plan = state(&mut session, PageName::SettingOut).plan.unwrap();
    assert_eq!(plan.verdict, VerdictKind::NotAllPlaced);
    assert_eq!((plan.placed_count, plan.wanted_count), (3, 4));
}

#[test]
fn a_marked_area_stays_where_it_is_however_it_is_measured() {
    let text = r#"{"format": "heartside-job", "version": 2, "boards": [{"id": "A", "thickness": 27,
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

/// "14 of 2 parts" can be read nowhere, whatever is edited under a plan.
#[test]
fn no_more_parts_are_placed_than_are_wanted() {
    let told = |session: &mut Session| {
        let state = state(session, PageName::SettingOut);
        let plan = state.plan.clone().unwrap();
        let kept = state.kept.iter().map(|k| k.text.clone());
        let sums = session.judged.as_ref().unwrap().totals.rows.clone();
        let words = [plan.sentence.clone(), state.tabs.setting_out.clone()];
        let words = words
            .into_iter()
            .chain(kept)
            .chain(sums.into_iter().map(|r| r.1));
        for sentence in words {
            let numbers: Vec<u64> = sentence
                .split(" of ")
                .take(2)
                .filter_map(|w| w.split(' ').find_map(|n| n.parse().ok()))
                .collect();
            if let ([placed, wanted], true) = (numbers.as_slice(), sentence.contains(" of ")) {
                assert!(placed <= wanted, "{sentence}");
            }
        }
        assert!(plan.placed_count <= plan.wanted_count);
    };
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 100);
    session.keep_plan("first");
    told(&mut session);
    for row in 0..session.document.parts.len() {
        for count in ["1", "0", "x", "3", ""] {
            session.set(&part(row), "count", count);
            told(&mut session);
        }
    }
    while session.document.parts.len() > 1 {
        session.remove(&part(0));
        told(&mut session);
    }
    while session.undo().done && session.judged.is_some() {
        if state(&mut session, PageName::SettingOut).plan.is_some() {
            told(&mut session);
        }
    }
}
