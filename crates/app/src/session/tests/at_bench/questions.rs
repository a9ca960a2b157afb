//! Pieces measured, cuts of one's own, parts spoiled: each asked and answered as one step.

use heartside_cutting::{Becomes, Step};

use super::*;

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
    let (in_hand, to_saw, waiting) = counts(&bench(&mut session));
    let outcome = session.answer(&ask(
        AskKind::Cut,
        Some(piece.clone()),
        &[("from", "start"), ("distance", &half), ("angle", "3")],
    ));
    assert!(outcome.done, "{:?}", outcome.problem);
    let now = counts(&bench(&mut session));
    assert_eq!(now.0 + now.1 + now.2, in_hand + to_saw + waiting);
    let cut = session.document.done.last().unwrap().clone();
    assert_eq!(cut.board, piece.id);
    let row = bench(&mut session)
        .done
        .into_iter()
        .flat_map(|b| b.cuts)
        .find(|row| row.id == cut.id)
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
    let mut copies = parts.iter().flat_map(|p| &p.copies);
    let blank = copies.find(|c| c.part == held).unwrap();
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
    let lay = session.standing().places;
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
    let after = session.standing().places;
    let moved = lay
        .iter()
        .filter(|(part, place)| after.get(part) != Some(*place))
        .count();
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
        line: Some(FloorLine {
            x1: held.x1,
            y1: held.y1,
            x2: held.x2,
            y2: held.y2,
        }),
        ..Ask::default()
    };
    let title = session.ask(&asked).title;
    assert_eq!(title, format!("A cut {}", held.sentence));
    let before = session.document.clone();
    let outcome = session.answer(&asked);
    assert!(outcome.done, "{:?}", outcome.problem);
    assert!(session.undo().done);
    assert_eq!(session.document, before);
}

/// A line drawn where the plan has its last cut of a part sets that part free as well.
#[test]
fn a_cut_of_ones_own_along_a_blank_takes_it_in_hand() {
    let mut session = planned(DESK);
    let mut freed = 0;
    for _ in 0..40 {
        let steps = session.judged.as_ref().unwrap().steps.clone();
        let frees = |step: &&Step| {
            step.is_ready()
                && step.placement.is_none()
                && step
                    .yields
                    .iter()
                    .any(|y| matches!(y.becomes, Becomes::Blank { .. }))
        };
        let Some(step) = steps.iter().find(frees).cloned() else {
            let tick = bench(&mut session).next.expect("a cut is left");
            assert!(session.tick(&tick).done);
            continue;
        };
        let lying = session.lying();
        let place = lying.iter().find(|b| b.board == step.board).unwrap();
        let on_floor = |p: heartside_geometry::Point| (place.origin.x + p.x, place.origin.y - p.y);
        // The middle of the kerf, along the longer way of its band.
        let xs = step.band.iter().map(|p| p.x);
        let ys = step.band.iter().map(|p| p.y);
        let reach = |v: Vec<f64>| {
            let least = v.iter().copied().fold(f64::INFINITY, f64::min);
            (least, v.into_iter().fold(f64::NEG_INFINITY, f64::max))
        };
        let ((left, right), (low, high)) = (reach(xs.collect()), reach(ys.collect()));
        let point = |x, y| heartside_geometry::Point { x, y };
        let middle = match right - left > high - low {
            true => [left, right].map(|x| point(x, (low + high) / 2.0)),
            false => [low, high].map(|y| point((left + right) / 2.0, y)),
        };
        let [(x1, y1), (x2, y2)] = middle.map(on_floor);
        let asked = Ask {
            line: Some(FloorLine { x1, y1, x2, y2 }),
            ..ask(
                AskKind::Cut,
                Some(CopyOf::from(&step.board)),
                &[("tool", &step.tool)],
            )
        };
        let (in_hand, to_saw, waiting) = counts(&bench(&mut session));
        let before = session.document.clone();
        let outcome = session.answer(&asked);
        assert!(outcome.done, "{:?}", outcome.problem);
        let now = counts(&bench(&mut session));
        assert_eq!(now.0 + now.1 + now.2, in_hand + to_saw + waiting);
        if now.2 == waiting {
            assert!(now.0 > in_hand, "{:?}", bench(&mut session).wrong);
            freed += 1;
        }
        let done = session.document.done.last().unwrap().id;
        assert!(session.judged.as_ref().unwrap().is_sound());
        let after = session.document.clone();
        assert!(session.undo().done);
        assert_eq!(session.document, before);
        assert!(session.redo().done);
        assert_eq!(session.document, after);
        assert!(session.not_cut(done).done);
        assert_eq!(counts(&bench(&mut session)), (in_hand, to_saw, waiting));
        let tick = bench(&mut session).next.expect("a cut is left");
        assert!(session.tick(&tick).done);
        if freed > 3 {
            return;
        }
    }
    panic!("only {freed} came free");
}
