//! Cuts that are made, taken back and made otherwise; pieces measured; the rest set out again.
//!
//! Most of it is laws over random orders of what can be done.

use heartside_testkit::Chance;
use heartside_timber::document::Document;

use super::*;
use crate::session::at_bench::is_ready;

/// A demo job set out, as the page does.
fn planned(text: &str) -> Session {
    let mut session = opened(text);
    assert!(set_out(&mut session, 1, 1_000) > 0);
    assert!(session.judged.as_ref().unwrap().is_sound());
    session
}

fn bench(session: &mut Session) -> Bench {
    state(session, PageName::Bench).bench
}

/// The ticks of all cuts that can be made now.
fn ready(session: &Session) -> Vec<String> {
    let steps = &session.judged.as_ref().unwrap().steps;
    let ready = steps.iter().filter(|s| is_ready(s));
    ready.map(|s| session.tick_of(s)).collect()
}

fn tick_any(session: &mut Session, chance: &mut Chance) -> bool {
    let ready = ready(session);
    if ready.is_empty() {
        return false;
    }
    let tick = chance.one_of(&ready).clone();
    let outcome = session.tick(&tick);
    assert!(outcome.done, "{:?}", outcome.problem);
    assert!(outcome.announce.is_some());
    true
}

/// Makes cuts as they come until a part is in hand; which.
fn one_in_hand(session: &mut Session) -> CopyOf {
    for _ in 0..40 {
        let rows = bench(session).parts;
        let held = rows.iter().flat_map(|p| &p.copies);
        if let Some(copy) = held.into_iter().find(|c| c.state == PartState::InHand) {
            return copy.part.clone();
        }
        let tick = bench(session).next.expect("a cut is left");
        assert!(session.tick(&tick).done);
    }
    panic!("no part came free");
}

/// A document without its revisions: no number is given out twice.
fn without_revision(document: &Document) -> Document {
    let mut document = document.clone();
    document.revision = 0;
    if let Some(plan) = &mut document.plan {
        plan.revision = 0;
    }
    document
}

fn counts(bench: &Bench) -> (usize, usize, usize) {
    let copies = || bench.parts.iter().flat_map(|p| &p.copies);
    let of = |state| copies().filter(|c| c.state == state).count();
    (
        of(PartState::InHand),
        of(PartState::ToSaw),
        of(PartState::Waiting),
    )
}

#[test]
fn whatever_the_order_every_cut_keeps_the_rest_sound_and_undo_gives_the_document_back() {
    for (text, seed) in [(STOOL, 1), (STOOL, 2), (DESK, 3), (DESK, 4)] {
        let mut session = planned(text);
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
            assert!(judged.is_complete() && !session.is_stale());
            cuts -= 1;
            assert_eq!(
                judged.steps.len(),
                cuts,
                "the same cuts are still to be made"
            );
            let now = counts(&bench(&mut session));
            assert_eq!(now.0 + now.1 + now.2, all.1);
            assert_eq!(now.2, 0, "no cut makes a part wait");
            let totals = &session.judged.as_ref().unwrap().totals;
            assert!((totals.spent + totals.cost - cost).abs() < 1e-9);
        }
        assert_eq!(cuts, 0);
        assert_eq!(counts(&bench(&mut session)), (all.1, 0, 0));
        assert_eq!(bench(&mut session).next, None);
        assert!(!session.begin_set_out().ready, "nothing is left to set out");
    }
}

#[test]
fn cuts_taken_back_in_reverse_give_each_document_back() {
    for (text, seed) in [(STOOL, 5), (DESK, 6)] {
        let mut session = planned(text);
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
    let later = steps.iter().find(|s| !is_ready(s)).unwrap();
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
    let own = steps.iter().find(|s| s.board == step.board && is_ready(s));
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

fn ask(kind: AskKind, board: Option<CopyOf>, answers: &[(&str, &str)]) -> Ask {
    let answers = answers.iter().map(|(name, text)| Answer {
        name: (*name).to_owned(),
        text: (*text).to_owned(),
    });
    Ask {
        kind,
        board,
        answers: answers.collect(),
        ..Ask::default()
    }
}

/// A piece that lies there and is no blank.
fn a_piece(session: &mut Session) -> CopyOf {
    let mut chance = Chance::new(3);
    for _ in 0..6 {
        tick_any(session, &mut chance);
    }
    let pieces = session.job.boards.iter();
    let mut pieces = pieces.filter(|b| b.from.is_some() && b.is_usable());
    let widest = |b: &&heartside_timber::job::Board| b.outline.area() as u64;
    let piece = pieces
        .by_ref()
        .max_by_key(widest)
        .expect("a piece lies there");
    CopyOf {
        id: piece.id.clone(),
        copy: 1,
    }
}

#[test]
fn what_is_measured_wins_and_is_one_step() {
    let mut session = planned(DESK);
    let piece = a_piece(&mut session);
    let length = |s: &Session| s.job.board(&piece.id).unwrap().outline.bounds().width();
    let was = length(&session);
    let shorter = format!("{}", (was - 15.0).floor());
    let before = session.document.clone();
    let form = session.ask(&ask(AskKind::Measure, Some(piece.clone()), &[]));
    assert!(
        form.fields
            .iter()
            .any(|f| f.name == "length" && f.when_empty.is_some())
    );
    let asked = ask(
        AskKind::Measure,
        Some(piece.clone()),
        &[("length", &shorter)],
    );
    let outcome = session.answer(&asked);
    assert!(outcome.done, "{:?}", outcome.problem);
    assert!((length(&session) - (was - 15.0).floor()).abs() < 1e-6);
    let row = session
        .document
        .boards
        .iter()
        .find(|b| b.id == piece.id)
        .unwrap();
    assert!(row.measured);
    assert_eq!(bench(&mut session).changed.len(), 3);
    assert_eq!(
        session
            .state(PageName::Bench, &View::default())
            .undo
            .as_deref(),
        Some(format!("measuring {}", piece.id).as_str())
    );
    assert!(session.undo().done);
    assert_eq!(session.document, before);
    assert!(bench(&mut session).changed.is_empty());
}

#[test]
fn sizes_that_cannot_be_are_refused_at_their_field() {
    let mut session = planned(DESK);
    let piece = a_piece(&mut session);
    let before = session.document.clone();
    for (name, text) in [
        ("length", "0"),
        ("length", "-20"),
        ("width_middle", "0"),
        ("width_start", "twelve"),
        ("length", "99999"),
        ("thickness", "-1"),
        ("right_edge", "hollow"),
        ("found", "metal"),
    ] {
        let asked = ask(AskKind::Measure, Some(piece.clone()), &[(name, text)]);
        let outcome = session.answer(&asked);
        assert!(!outcome.done, "{name} {text}");
        assert!(outcome.problem.is_some_and(|p| p.len() > 10));
        assert_eq!(session.document, before);
    }
    let nothing = session.answer(&ask(AskKind::Measure, Some(piece), &[]));
    assert!(!nothing.done);
}

#[test]
fn an_edge_that_sprang_is_not_true_any_more_and_a_flaw_comes_and_goes() {
    let mut session = planned(DESK);
    let piece = a_piece(&mut session);
    let sides = |s: &Session| s.job.board(&piece.id).unwrap().sides.clone();
    let before = session.document.clone();
    let hollow = [("left_edge", "hollow"), ("left_gap", "2")];
    assert!(
        session
            .answer(&ask(AskKind::Measure, Some(piece.clone()), &hollow))
            .done
    );
    let area = |s: &Session| s.job.board(&piece.id).unwrap().outline.area();
    assert!(sides(&session).len() > 4);
    assert!(session.undo().done);
    let whole = area(&session);
    let found = [
        ("found", "wood"),
        ("begins", "20"),
        ("ends", "40"),
        ("near", "5"),
        ("far", "25"),
    ];
    let count = |s: &Session| s.job.board(&piece.id).unwrap().zones.len();
    let had = count(&session);
    assert!(
        session
            .answer(&ask(AskKind::Measure, Some(piece.clone()), &found))
            .done
    );
    assert_eq!(count(&session), had + 1);
    assert!((area(&session) - whole).abs() < 1e-6);
    let gone = had.to_string();
    let outcome = session.answer(&ask(
        AskKind::Measure,
        Some(piece.clone()),
        &[("gone", &gone)],
    ));
    assert!(outcome.done, "{:?}", outcome.problem);
    assert_eq!(count(&session), had);
    assert!(session.undo().done && session.undo().done);
    assert_eq!(session.document, before);
}

#[test]
fn a_cut_of_ones_own_leaves_what_lies_on_its_pieces_and_lets_the_others_wait() {
    let mut session = planned(DESK);
    let piece = a_piece(&mut session);
    let before = session.document.clone();
    let bounds = session.job.board(&piece.id).unwrap().outline.bounds();
    let half = format!("{}", (bounds.width() / 2.0).round());
    let (_, to_saw, waiting) = counts(&bench(&mut session));
    let outcome = session.answer(&ask(
        AskKind::Cut,
        Some(piece.clone()),
        &[("from", "start"), ("distance", &half), ("angle", "3")],
    ));
    assert!(outcome.done, "{:?}", outcome.problem);
    let now = counts(&bench(&mut session));
    assert_eq!(now.1 + now.2, to_saw + waiting);
    let cut = session.document.done.last().unwrap().clone();
    assert_eq!(cut.board, piece.id);
    let row = bench(&mut session)
        .done
        .into_iter()
        .flat_map(|b| b.cuts)
        .last()
        .unwrap();
    assert_eq!(row.pieces.len(), 2, "{row:?}");
    // Everything that waits is told with the way on.
    if now.2 > waiting {
        assert!(bench(&mut session).rest.is_some());
    }
    assert!(session.not_cut(cut.id).done);
    assert_eq!(session.document.boards, before.boards);
    assert_eq!(session.document.done, before.done);
    assert!(session.undo().done && session.undo().done);
    assert_eq!(session.document, before);
}

#[test]
fn cuts_that_miss_or_run_through_a_part_in_hand_are_refused() {
    let mut session = planned(STOOL);
    let held = one_in_hand(&mut session);
    let parts = bench(&mut session).parts;
    let copies = parts.iter().flat_map(|p| &p.copies);
    let blank = copies.into_iter().find(|c| c.part == held).unwrap();
    let board = blank.board.clone();
    let before = session.document.clone();
    let through = ask(AskKind::Cut, board, &[("distance", "30")]);
    let outcome = session.answer(&through);
    assert!(outcome.problem.unwrap().contains("is in hand"));
    for answers in [
        &[("distance", "1000000")][..],
        &[("distance", "-5")],
        &[("distance", "100"), ("angle", "89")],
        &[("distance", "100"), ("angle", "steep")],
        &[("board", "nothing#1"), ("distance", "100")],
    ] {
        let outcome = session.answer(&ask(AskKind::Cut, None, answers));
        assert!(!outcome.done && outcome.problem.is_some(), "{answers:?}");
    }
    assert_eq!(session.document, before);
}

#[test]
fn a_part_that_was_spoiled_is_wanted_again_and_the_rest_is_set_out_around_what_holds() {
    let mut session = planned(STOOL);
    let held = one_in_hand(&mut session);
    let before = session.document.clone();
    let (in_hand, ..) = counts(&bench(&mut session));
    let lay: Vec<_> = session.standing_places();
    let outcome = session.spoil(&held.id, held.copy);
    assert!(outcome.done, "{:?}", outcome.problem);
    let now = counts(&bench(&mut session));
    assert_eq!((now.0, now.2), (in_hand - 1, 1));
    assert!(
        !session.spoil(&held.id, held.copy).done,
        "it is not in hand any more"
    );
    let spoiled = session.document.clone();
    assert!(session.begin_set_out().rest);
    session.end_set_out();
    set_out(&mut session, 1, 2_000);
    let judged = session.judged.as_ref().unwrap();
    assert!(judged.is_sound(), "{:?}", judged.findings);
    let after = session.standing_places();
    let moved = lay.iter().filter(|place| !after.contains(place)).count();
    let changed = bench(&mut session).changed;
    assert_eq!(changed.len(), 3);
    if counts(&bench(&mut session)).2 == 1 {
        assert_eq!(moved, 0, "nothing moves for nothing: {changed:?}");
        assert!(changed[2].contains("has no place"), "{changed:?}");
    }
    while session.document != spoiled {
        assert!(session.undo().done);
    }
    assert!(session.undo().done);
    assert_eq!(session.document, before);
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
    let piece = session
        .document
        .boards
        .iter()
        .position(|b| b.from.is_some() && !session.document.is_gone(&b.id, 1));
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
fn pieces_lie_where_their_board_lay_and_no_board_moves() {
    let mut session = planned(DESK);
    let mut chance = Chance::new(9);
    let view = view(PageName::Bench);
    let before = session.scene(&view).boards;
    for _ in 0..8 {
        tick_any(&mut session, &mut chance);
        let scene = session.scene(&view);
        for place in &scene.boards {
            let of = heartside_timber::document::BoardCopy {
                board: place.board.id.clone(),
                copy: place.board.copy,
            };
            assert!(
                session
                    .job
                    .board(&of.board)
                    .unwrap()
                    .copies()
                    .any(|c| c == of.copy)
            );
            let root = session.job.root(&of);
            let was = before
                .iter()
                .find(|b| b.board.id == root.board && b.board.copy == root.copy);
            let (was, now) = (&was.unwrap().bounds, &place.bounds);
            assert!(now.x >= was.x - 1e-6 && now.y >= was.y - 1e-6);
            assert!(now.x + now.width <= was.x + was.width + 1e-6);
            assert!(now.y + now.height <= was.y + was.height + 1e-6);
        }
    }
    let again = session.scene(&View {
        reset: true,
        ..view
    });
    assert!(again.fragments.iter().any(|f| f.svg.contains("in hand")));
    // A piece that is dragged takes the whole board along.
    let piece = again.boards.iter().find(|b| {
        let board = session.job.board(&b.board.id);
        board.is_some_and(|b| b.from.is_some())
    });
    let piece = piece.unwrap().clone();
    let (id, copy) = (piece.board.id.clone(), piece.board.copy);
    assert!(
        session
            .move_board(&id, copy, piece.bounds.x + 5000.0, piece.bounds.y)
            .done
    );
    let moved = session.scene(&view_again()).boards;
    let now = moved.iter().find(|b| b.board == piece.board).unwrap();
    assert!((now.bounds.x - piece.bounds.x - 5000.0).abs() < 1.0);
    assert!((now.bounds.y - piece.bounds.y).abs() < 1.0);
}

fn view_again() -> View {
    View {
        reset: true,
        ..view(PageName::Bench)
    }
}

#[test]
fn each_cut_has_its_piece_alone_and_what_to_look_at_once_a_board() {
    let mut session = planned(DESK);
    let all = bench(&mut session);
    let steps: Vec<&BenchStep> = all.set_ups.iter().flat_map(|s| &s.steps).collect();
    let mut looks = 0;
    let mut marked = Vec::new();
    for step in &steps {
        let picture = session.step_picture(&step.tick);
        assert!(picture.svg.starts_with("<g") && picture.svg.ends_with("</g>"));
        assert!(picture.bounds.width > 0.0 && picture.bounds.height > 0.0);
        assert!(
            picture.description.contains("is kept"),
            "{}",
            picture.description
        );
        looks += usize::from(step.look.is_some());
        marked.extend(
            step.marks
                .iter()
                .map(|m| m.split(':').next().unwrap().to_owned()),
        );
    }
    let mut boards: Vec<&str> = steps.iter().map(|s| s.board.id.as_str()).collect();
    boards.sort_unstable();
    boards.dedup();
    assert!(looks > 0 && looks <= boards.len());
    let count = marked.len();
    marked.sort();
    marked.dedup();
    assert_eq!(count, marked.len(), "each part is marked once");
    assert_eq!(session.step_picture("nonsense"), StepPicture::default());
    assert!(all.parts.iter().all(|p| p.work.len() >= 5));
}

#[test]
fn board_by_board_every_board_has_its_cuts_together() {
    let mut session = planned(DESK);
    let across = bench(&mut session);
    session.order_cuts(true);
    let by_board = bench(&mut session);
    let ticks = |b: &Bench| {
        let mut ticks: Vec<String> = b
            .set_ups
            .iter()
            .flat_map(|s| &s.steps)
            .map(|s| s.tick.clone())
            .collect();
        ticks.sort();
        ticks
    };
    assert_eq!(ticks(&across), ticks(&by_board));
    assert_eq!(across.saves, by_board.saves);
    let mut seen: Vec<CopyOf> = Vec::new();
    for step in by_board.set_ups.iter().flat_map(|s| &s.steps) {
        if seen.last() != Some(&step.board) {
            assert!(!seen.contains(&step.board), "{:?} comes twice", step.board);
            seen.push(step.board.clone());
        }
    }
    let headed = by_board.set_ups.iter().filter(|s| s.board.is_some());
    assert_eq!(headed.count(), seen.len());
    let tick = by_board.next.unwrap();
    assert!(session.tick(&tick).done);
}

#[test]
fn a_line_over_the_floor_is_drawn_square_and_told() {
    let mut session = planned(DESK);
    let scene = session.scene(&view(PageName::Bench));
    let place = &scene.boards[0];
    let x = place.bounds.x + place.bounds.width * 0.4;
    let line = FloorLine {
        x1: x,
        y1: place.bounds.y - 20.0,
        x2: x + 6.0,
        y2: place.bounds.y + place.bounds.height + 20.0,
    };
    let held = session.hold_line(&line, true);
    assert!(held.fits, "{}", held.sentence);
    assert_eq!(held.board.as_ref(), Some(&place.board));
    assert!((held.x1 - held.x2).abs() < 1e-6 && held.snapped);
    assert!(held.sentence.starts_with("across "));
    let free = session.hold_line(&line, false);
    assert!((free.x1 - free.x2).abs() > 0.1);
    let aside = FloorLine {
        x1: -9000.0,
        y1: -9000.0,
        x2: -8000.0,
        y2: -8000.0,
    };
    let missed = session.hold_line(&aside, true);
    assert!(!missed.fits && missed.sentence.contains("misses"));
    let asked = Ask {
        kind: AskKind::Cut,
        line: Some(line),
        ..Ask::default()
    };
    assert!(session.ask(&asked).title.contains("across"));
    let before = session.document.clone();
    let outcome = session.answer(&asked);
    assert!(outcome.done, "{:?}", outcome.problem);
    assert!(session.undo().done);
    assert_eq!(session.document, before);
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
