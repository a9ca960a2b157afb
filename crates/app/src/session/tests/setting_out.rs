//! Plans offered, kept and compared.

use super::*;

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
fn a_part_with_a_problem_counts_and_is_not_placed() {
    let mut session = opened(STOOL);
    session.document.parts[0].count = Some(2.5);
    session.refresh();
    set_out(&mut session, 2, 300);
    let plan = state(&mut session, PageName::SettingOut).plan.unwrap();
    assert_eq!(plan.verdict, VerdictKind::NotAllPlaced);
    assert_eq!((plan.placed_count, plan.wanted_count), (3, 4));
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
