//! Cuts made as planned, in any order, and taken back.

use super::*;

#[test]
fn whatever_the_order_every_cut_keeps_the_rest_sound_and_undo_gives_the_document_back() {
    let demos = [(STOOL, 1), (DESK, 2)].map(|(text, seed)| (text.to_owned(), seed));
    let made = (3..7).map(|seed| (generated(seed), seed));
    let made = made.chain((20..26).map(|seed| (with_leaves(seed), seed)));
    let mut resawn = 0;
    for (text, seed) in demos.into_iter().chain(made) {
        let mut session = planned(&text);
        let mut chance = Chance::new(seed);
        let all = counts(&bench(&mut session));
        let cost = session.judged.as_ref().unwrap().totals.cost;
        let mut cuts = session.judged.as_ref().unwrap().steps.len();
        loop {
            let before = session.document.clone();
            if !tick_any(&mut session, &mut chance) {
                break;
            }
            let after = session.document.clone();
            assert!(session.undo().done);
            assert_eq!(session.document, before, "seed {seed}");
            assert!(session.redo().done);
            assert_eq!(session.document, after, "seed {seed}");
            let judged = session.judged.as_ref().unwrap();
            assert!(judged.is_sound(), "seed {seed}: {:?}", judged.findings);
            assert!(!session.is_stale());
            cuts -= 1;
            assert_eq!(
                judged.steps.len(),
                cuts,
                "the same cuts are still to be made"
            );
            let now = counts(&bench(&mut session));
            assert_eq!(now.0 + now.1, all.1, "seed {seed}");
            assert_eq!(now.2, all.2, "no cut makes a part wait");
            let totals = &session.judged.as_ref().unwrap().totals;
            assert!((totals.spent + totals.cost - cost).abs() < 1e-9);
        }
        resawn += session
            .document
            .done
            .iter()
            .filter(|cut| cut.resawn)
            .count();
        assert_eq!(cuts, 0);
        assert_eq!(counts(&bench(&mut session)), (all.1, 0, all.2));
        assert_eq!(bench(&mut session).next, None);
        assert_eq!(session.begin_set_out().ready, all.2 > 0);
    }
    assert!(resawn >= 4, "only {resawn} blanks were resawn");
}

#[test]
fn cuts_taken_back_in_reverse_give_each_document_back() {
    let demos = [(STOOL, 5), (DESK, 6)].map(|(text, seed)| (text.to_owned(), seed));
    let made = (7..10).map(|seed| (generated(seed), seed));
    let made = made.chain((26..32).map(|seed| (with_leaves(seed), seed)));
    for (text, seed) in demos.into_iter().chain(made) {
        let mut session = planned(&text);
        let mut chance = Chance::new(seed);
        let mut before = Vec::new();
        for _ in 0..12 {
            let now = without_revision(&session.document);
            if !tick_any(&mut session, &mut chance) {
                break;
            }
            before.push((session.document.done.last().unwrap().id, now));
        }
        for (id, then) in before.into_iter().rev() {
            let outcome = session.not_cut(id);
            assert!(outcome.done, "{:?}", outcome.problem);
            assert_eq!(without_revision(&session.document), then, "seed {seed}");
        }
    }
}

/// A board that others were cut after can be taken back too, as long as its own pieces are whole.
#[test]
fn a_cut_is_taken_back_after_others_but_not_under_its_own_pieces() {
    let mut session = planned(DESK);
    let mut chance = Chance::new(7);
    for _ in 0..10 {
        tick_any(&mut session, &mut chance);
    }
    let rows: Vec<DoneRow> = bench(&mut session)
        .done
        .into_iter()
        .flat_map(|b| b.cuts)
        .collect();
    let (mut free, mut held) = (0, 0);
    for row in rows {
        let before = session.document.clone();
        let outcome = session.not_cut(row.id);
        assert_eq!(outcome.done, row.stays_because.is_none(), "{row:?}");
        match &row.stays_because {
            Some(why) => {
                held += 1;
                assert_eq!(outcome.problem.as_ref(), Some(why));
                assert_eq!(session.document, before);
            }
            None => {
                free += 1;
                assert!(session.judged.as_ref().unwrap().is_sound());
                assert!(session.undo().done);
                assert_eq!(session.document, before);
            }
        }
    }
    assert!(free > 0 && held > 0, "{free}, {held}");
}

#[test]
fn done_cuts_are_kept_in_the_file() {
    let mut session = planned(STOOL);
    let mut chance = Chance::new(8);
    for _ in 0..6 {
        tick_any(&mut session, &mut chance);
        let text = session.save();
        let mut other = opened(&text);
        assert_eq!(other.document, session.document);
        assert_eq!(other.job, session.job);
        assert_eq!(bench(&mut other), bench(&mut session));
        assert_eq!(other.save(), text);
    }
}

#[test]
fn ticks_out_of_order_and_twice_are_refused_with_a_word() {
    let mut session = planned(DESK);
    let steps = session.judged.as_ref().unwrap().steps.clone();
    let later = steps.iter().find(|s| !s.is_ready()).unwrap();
    let before = session.document.clone();
    let outcome = session.tick(&session.tick_of(later));
    assert!(!outcome.done);
    let why = outcome.problem.unwrap();
    assert!(
        why.starts_with("first cut ") && why.contains("still part of"),
        "{why}"
    );
    assert_eq!(session.document, before);
    let tick = ready(&session)[0].clone();
    assert!(session.tick(&tick).done);
    let after = session.document.clone();
    let again = session.tick(&tick);
    assert!(!again.done);
    assert!(again.problem.unwrap().contains("is cut already"));
    assert!(!session.tick("nonsense").done);
    assert!(!session.not_cut(4711).done);
    assert_eq!(session.document, after);
}

#[test]
fn a_board_with_a_broken_plan_is_not_cut() {
    let mut session = planned(STOOL);
    let step = session.judged.as_ref().unwrap().steps[0].clone();
    let plan = session.document.plan.as_ref().unwrap();
    let placed = plan.layouts[step.layout].placements[0].clone();
    assert!(session.nudge(&placed.part, placed.copy, 0.0, 4000.0).done);
    assert!(!session.judged.as_ref().unwrap().is_sound());
    let before = session.document.clone();
    let steps = session.judged.as_ref().unwrap().steps.clone();
    let own = steps.iter().find(|s| s.board == step.board && s.is_ready());
    if let Some(own) = own {
        let outcome = session.tick(&session.tick_of(own));
        assert!(
            outcome
                .problem
                .unwrap()
                .contains("is not to be cut like this")
        );
    }
    assert_eq!(session.document, before);
    let wrong = bench(&mut session);
    assert!(!wrong.wrong.is_empty());
}

#[test]
fn a_part_in_hand_is_not_moved_and_its_board_not_taken_away() {
    let mut session = planned(STOOL);
    let held = one_in_hand(&mut session);
    let before = session.document.clone();
    let refused = session.drag_begin(&held.id, held.copy);
    assert!(refused.problem.unwrap().contains("is in hand"));
    assert!(!session.nudge(&held.id, held.copy, 1.0, 0.0).done);
    assert!(!session.to_trestle(&held.id, held.copy).done);
    let cut = session.document.done[0].board.clone();
    let row = session.document.boards.iter().position(|b| b.id == cut);
    assert!(
        session
            .remove(&board(row.unwrap()))
            .problem
            .unwrap()
            .contains("was cut")
    );
    let document = &session.document;
    let mut boards = document.boards.iter();
    let piece = boards.position(|b| b.from.is_some() && !document.is_gone(&b.id, 1));
    assert!(
        session
            .remove(&board(piece.unwrap()))
            .problem
            .unwrap()
            .contains("piece of")
    );
    assert_eq!(session.document, before);
    let rows = state(&mut session, PageName::Timber).boards;
    assert!(rows.iter().any(|r| r.gone && r.state == "cut up"));
    assert!(rows.iter().any(|r| r.state.ends_with("in hand")));
}

#[test]
fn offcuts_are_boards_of_a_new_job() {
    let mut session = planned(DESK);
    assert_eq!(session.offcuts_home().count, 0);
    let mut chance = Chance::new(10);
    while tick_any(&mut session, &mut chance) {}
    let home = session.offcuts_home();
    assert!(home.count > 0, "{}", home.sentence);
    let next = opened(&home.job);
    assert_eq!(next.job.boards.len(), home.count as usize);
    assert!(
        next.document
            .boards
            .iter()
            .all(|b| b.from.is_none() && !b.note.is_empty())
    );
    assert_eq!(next.document.workshop, session.document.workshop);
    assert!(next.document.parts.is_empty() && next.document.done.is_empty());
}

#[test]
fn a_plan_that_was_kept_before_a_cut_says_so_and_is_not_shown() {
    let mut session = planned(STOOL);
    assert!(session.keep_plan("Whole").done);
    let whole = session.document.clone();
    let tick = ready(&session)[0].clone();
    assert!(session.tick(&tick).done);
    let cut = session.document.plan.clone();
    let outcome = session.show_plan("Whole");
    let why = outcome.problem.unwrap();
    assert!(why.contains("is no longer there as it was"), "{why}");
    assert_eq!(session.document.plan, cut);
    let row = session.kept_rows().remove(0);
    assert!(row.text.contains("from before board "), "{}", row.text);
    // With the cut taken back it is a plan like any other.
    let id = session.document.done[0].id;
    assert!(session.not_cut(id).done);
    assert!(session.show_plan("Whole").done);
    assert_eq!(
        session.document.plan.unwrap().layouts,
        whole.plan.unwrap().layouts
    );
}

#[test]
fn the_wood_of_a_part_that_is_taken_out_of_the_job_is_not_sawn_up_unasked() {
    let mut session = planned(STOOL);
    let held = one_in_hand(&mut session);
    let row = session
        .document
        .parts
        .iter()
        .position(|p| p.id == held.id)
        .unwrap();
    let wood = |session: &Session, id: &str| {
        let mut boards = session.document.boards.iter();
        let piece = boards.find(|b| b.holds.as_ref().is_some_and(|p| p.part == id));
        piece.map(|b| b.id.clone())
    };
    let piece = wood(&session, &held.id).unwrap();
    let thing = Thing {
        kind: ThingKind::Part,
        row: row as u32,
        ..Thing::default()
    };
    assert!(session.remove(&thing).done);
    let board = session
        .document
        .boards
        .iter()
        .find(|b| b.id == piece)
        .unwrap();
    assert_eq!(board.holds, None);
    assert_eq!(board.usage, heartside_timber::document::Use::Leave);
    assert!(session.undo().done);
    assert_eq!(wood(&session, &held.id), Some(piece));
}
