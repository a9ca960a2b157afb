//! What cannot be: told in words at its place, with nothing changed and nothing lost.

use heartside_timber::diagnostic::Diagnostic;
use serde_json::{Value, json};

use super::*;

/// Asks and answers; the refusal, after which all is as it was; what the form says of it is the same.
#[track_caller]
fn refused(session: &mut Session, asked: &Ask) -> String {
    let before = session.document.clone();
    let form = session.ask(asked);
    let outcome = session.answer(asked);
    assert!(!outcome.done, "{asked:?}");
    assert_eq!(session.document, before, "{asked:?}");
    let why = outcome.problem.expect("why");
    let mut told = form.fields.iter().filter_map(|f| f.problem.as_ref());
    assert!(
        told.any(|t| why.contains(t.as_str())) || form.problems.iter().all(|p| *p == why),
        "the form says {:?}, the answer {why}",
        form.problems
    );
    why
}

#[test]
fn sizes_that_cannot_be_are_told_at_their_field() {
    let mut session = planned(DESK);
    let piece = a_piece(&mut session);
    for (answers, says) in [
        (
            &[("length", "9000")][..],
            "longer than what it was cut from",
        ),
        (
            &[("width_middle", "900")],
            "wider than what it was cut from",
        ),
        (&[("thickness", "99")], "thicker than what it was cut from"),
        (&[("length", "0")], "Length: this must be more than nothing"),
        (
            &[("length", "-5")],
            "Length: this must be more than nothing",
        ),
        (
            &[("width_end", "0")],
            "Width at the far end: this must be more than nothing",
        ),
        (
            &[("thickness", "-1")],
            "Thickness: this must be more than nothing",
        ),
        (&[("length", "abc")], "Length: \u{201c}abc\u{201d}"),
        (&[("cup", "abc")], "Hollow across: \u{201c}abc\u{201d}"),
        (&[("cup", "-2")], "Hollow across: a size cannot be negative"),
        (&[("left_edge", "round")], "Left edge: say by how much"),
        (
            &[("left_edge", "round"), ("left_gap", "0")],
            "must be more than nothing",
        ),
        (
            &[("left_edge", "hollow"), ("left_gap", "3000")],
            "a gap is a few millimetres",
        ),
        (&[("found", "metal")], "It begins: say where the flaw lies"),
        (
            &[
                ("found", "metal"),
                ("begins", "50"),
                ("ends", "20"),
                ("near", "1"),
                ("far", "9"),
            ],
            "a flaw ends further on than it begins",
        ),
        (
            &[
                ("found", "metal"),
                ("begins", "90000"),
                ("ends", "90020"),
                ("near", "1"),
                ("far", "9"),
            ],
            "would not lie on",
        ),
    ] {
        let asked = ask(AskKind::Measure, Some(piece.clone()), answers);
        let why = refused(&mut session, &asked);
        assert!(why.contains(says), "{answers:?}: {why}");
    }
}

/// Each piece may be no larger than its board, and yet they hold more wood than it did.
#[test]
fn pieces_together_are_no_larger_than_their_board() {
    let mut session = planned(DESK);
    let mut chance = Chance::new(11);
    while session.document.done.is_empty() || session.job.done[0].pieces.len() < 2 {
        assert!(tick_any(&mut session, &mut chance));
    }
    let cut = session.job.done[0].clone();
    let whole = session
        .job
        .board(&cut.board.board)
        .unwrap()
        .outline
        .bounds();
    let mut refusals = Vec::new();
    for place in cut.pieces {
        let piece = &session.job.boards[place];
        let own = piece.outline.bounds();
        let id = piece.id.clone();
        let (name, size) = match own.width() < whole.width() - 1.0 {
            true => ("length", whole.width()),
            false => ("width_middle", whole.height()),
        };
        let asked = ask(
            AskKind::Measure,
            Some(CopyOf { id, copy: 1 }),
            &[(name, &format!("{size}"))],
        );
        let before = session.document.clone();
        let outcome = session.answer(&asked);
        if !outcome.done {
            assert_eq!(session.document, before);
            refusals.extend(outcome.problem);
        }
    }
    assert!(
        refusals
            .iter()
            .any(|why| why.contains("would hold more wood")),
        "{refusals:?}"
    );
}

#[test]
fn lines_that_are_no_cut_are_refused_in_words() {
    let mut session = planned(DESK);
    let scene = session.scene(&view(PageName::Bench));
    let place = scene.boards[0].clone();
    let (x, y) = (place.bounds.x + 300.0, place.bounds.y);
    let line = |x1: f64, y1: f64, x2: f64, y2: f64| Ask {
        line: Some(FloorLine { x1, y1, x2, y2 }),
        ..ask(AskKind::Cut, None, &[])
    };
    let measured = |answers| ask(AskKind::Cut, Some(place.board.clone()), answers);
    for (asked, says) in [
        (line(x, y, x, y), "draw the line across the board"),
        (line(x, y, f64::NAN, y), "a cut can only run over the floor"),
        (line(-9e5, -9e5, -8e5, -9e5), "the line misses the boards"),
        (
            Ask {
                board: Some(place.board.clone()),
                ..line(-9e5, -9e5, -8e5, -9e5)
            },
            "the line misses board",
        ),
        (measured(&[("distance", "90000")]), "the line misses"),
        (
            measured(&[("distance", "0")]),
            "Distance: this must be more than nothing",
        ),
        (
            measured(&[("distance", "-3")]),
            "Distance: this must be more than nothing",
        ),
        (
            measured(&[("distance", "abc")]),
            "Distance: \u{201c}abc\u{201d}",
        ),
        (
            measured(&[("distance", "300"), ("other_distance", "abc")]),
            "At the other end of the line: \u{201c}abc\u{201d}",
        ),
        (
            measured(&[("distance", "300"), ("angle", "abc")]),
            "\u{201c}abc\u{201d} is not an angle",
        ),
        (
            measured(&[("distance", "300"), ("angle", "89")]),
            "at most 80 degrees",
        ),
        (measured(&[]), "say how far"),
    ] {
        let why = refused(&mut session, &asked);
        assert!(why.contains(says), "{asked:?}: {why}");
    }
}

#[test]
fn what_was_cut_already_is_neither_measured_nor_cut_nor_taken_back_twice() {
    let mut session = planned(DESK);
    let tick = ready(&session)[0].clone();
    assert!(session.tick(&tick).done);
    let done = session.document.done[0].clone();
    let gone = Some(CopyOf {
        id: done.board.clone(),
        copy: done.board_copy,
    });
    let why = refused(
        &mut session,
        &ask(AskKind::Measure, gone.clone(), &[("length", "500")]),
    );
    assert!(why.contains("cut already"), "{why}");
    // A screw that is marked on what is there no more would warn nobody.
    let found = [
        ("found", "metal"),
        ("begins", "20"),
        ("ends", "40"),
        ("near", "5"),
        ("far", "25"),
    ];
    let why = refused(&mut session, &ask(AskKind::Measure, gone.clone(), &found));
    assert!(why.contains("cut already"), "{why}");
    let row = session
        .document
        .boards
        .iter()
        .position(|b| b.id == done.board);
    let board = Thing::row(ThingKind::Board, row.unwrap());
    if session.job.board(&done.board).unwrap().left() == 0 {
        let why = session.add(ThingKind::Zone, Some(&board)).problem.unwrap();
        assert!(why.contains("mark it on its pieces"), "{why}");
    }
    let why = refused(
        &mut session,
        &ask(AskKind::Cut, gone, &[("distance", "500")]),
    );
    assert!(why.contains("cut already"), "{why}");
    assert!(session.not_cut(done.id).done);
    let before = session.document.clone();
    let again = session.not_cut(done.id);
    assert_eq!(
        again.problem.unwrap(),
        "this cut is not among those that were made"
    );
    let part = session.document.parts[0].id.clone();
    let why = session.spoil(&part, 1).problem.unwrap();
    assert!(why.contains("is not in hand"), "{why}");
    assert!(session.spoil("nobody", 7).problem.is_some());
    assert_eq!(session.document, before);
}

/// A job in the middle of the sawing, written, damaged and read again; what is told.
fn damaged(change: impl Fn(&mut Value)) -> (Session, Vec<Diagnostic>) {
    let mut session = planned(STOOL);
    one_in_hand(&mut session);
    let mut file: Value = serde_json::from_str(&session.save()).unwrap();
    change(&mut file);
    let rows = file["boards"].as_array().unwrap().len();
    let mut session = opened(&file.to_string());
    assert_eq!(session.document.boards.len(), rows, "nothing is lost");
    let kept: Value = serde_json::from_str(&session.save()).unwrap();
    assert_eq!(
        (&kept["boards"], &kept["done"]),
        (&file["boards"], &file["done"])
    );
    // Whatever it holds, it is shown, and what can be done can be undone.
    assert!(!session.scene(&view(PageName::Bench)).boards.is_empty());
    let before = session.document.clone();
    for tick in ready(&session) {
        if session.tick(&tick).done {
            assert!(session.undo().done);
        }
        assert_eq!(session.document, before);
    }
    for id in 0..9 {
        if session.not_cut(id).done {
            assert!(session.undo().done);
        }
        assert_eq!(session.document, before);
    }
    bench(&mut session);
    let told = session.diagnostics.clone();
    (session, told)
}

/// The row of a piece that lies there, in hand or not.
fn piece_of(file: &Value, in_hand: bool) -> usize {
    let boards = file["boards"].as_array().unwrap();
    let done = file["done"].as_array().unwrap();
    let is_it = |b: &Value| {
        let is_there = done.iter().all(|cut| cut["board"] != b["id"]);
        is_there && !b["from"].is_null() && b["holds"].is_null() != in_hand
    };
    boards.iter().position(is_it).unwrap()
}

#[test]
fn a_file_whose_pieces_come_from_nowhere_or_from_themselves_is_told_of_and_kept() {
    let (_, told) = damaged(|_| {});
    let usual = told.len();
    for (what, says) in [
        ("nowhere", "that it came from, is not in this job"),
        ("circle", "would have come from itself"),
        ("twice", "is in hand twice"),
        ("nobody", "which is not in this job"),
        ("cut twice", "was cut already by an earlier cut"),
    ] {
        let (_, told) = damaged(|file| match what {
            "nowhere" => {
                let k = piece_of(file, false);
                file["boards"][k]["from"]["done"] = json!(4711);
            }
            "circle" => {
                let k = piece_of(file, false);
                let (own, from) = (
                    file["boards"][k]["id"].clone(),
                    &file["boards"][k]["from"]["done"],
                );
                let from = from.clone();
                let cuts = file["done"].as_array_mut().unwrap();
                let cut = cuts.iter_mut().find(|c| c["id"] == from).unwrap();
                cut["board"] = own;
            }
            "twice" => {
                let (held, free) = (piece_of(file, true), piece_of(file, false));
                file["boards"][free]["holds"] = file["boards"][held]["holds"].clone();
            }
            "nobody" => {
                let held = piece_of(file, true);
                file["boards"][held]["holds"]["part"] = json!("nobody");
            }
            _ => {
                let mut again = file["done"][0].clone();
                again["id"] = json!(77);
                file["done"].as_array_mut().unwrap().push(again);
            }
        });
        assert!(told.len() > usual, "{what}");
        let found = told.iter().find(|d| d.message.contains(says));
        let found = found.unwrap_or_else(|| panic!("{what}: {told:#?}"));
        assert!(found.hint.is_some(), "{what}");
    }
}

#[test]
fn there_are_no_fewer_of_a_board_than_were_cut() {
    let mut session = planned(DESK);
    let tick = ready(&session)[0].clone();
    assert!(session.tick(&tick).done);
    let mut file: Value = serde_json::from_str(&session.save()).unwrap();
    let id = file["done"][0]["board"].clone();
    let boards = file["boards"].as_array_mut().unwrap();
    let row = boards.iter().position(|b| b["id"] == id).unwrap();
    boards[row]["count"] = json!(3);
    file["done"][0]["board_copy"] = json!(2);
    let mut session = opened(&file.to_string());
    let board = Thing::row(ThingKind::Board, row);
    assert!(session.set(&board, "count", "2").done);
    let before = session.document.clone();
    let why = session.set(&board, "count", "1").problem.unwrap();
    assert!(why.contains("take its cuts back first"), "{why}");
    assert_eq!(session.document, before);
}

/// Of two flaws that are alike the one that was named goes, whatever was measured with it.
#[test]
fn the_screw_that_is_gone_is_the_one_that_was_named() {
    let mut session = planned(DESK);
    let piece = a_piece(&mut session);
    let length = |s: &Session| s.job.board(&piece.id).unwrap().outline.bounds().width();
    let long = length(&session);
    let screws = |s: &Session| -> Vec<(usize, f64)> {
        let board = s.job.board(&piece.id).unwrap();
        let metal = board.zones.iter().filter(|z| z.note == "screw");
        let start = board.outline.bounds().min.x;
        metal
            .map(|z| (z.index, z.shape.bounds().min.x - start))
            .collect()
    };
    // The first lies at the far end, which is sawn off.
    for begins in [long - 12.0, 20.0, 40.0] {
        let (begins, ends) = (begins.to_string(), (begins + 8.0).to_string());
        let found = [
            ("found", "metal"),
            ("begins", &begins),
            ("ends", &ends),
            ("near", "5"),
            ("far", "15"),
        ];
        let asked = ask(AskKind::Measure, Some(piece.clone()), &found);
        assert!(session.answer(&asked).done);
    }
    let gone = screws(&session)[2].0.to_string();
    let short = (long - 100.0).to_string();
    let answers = [("gone", gone.as_str()), ("length", &short)];
    let outcome = session.answer(&ask(AskKind::Measure, Some(piece.clone()), &answers));
    assert!(outcome.done, "{:?}", outcome.problem);
    let left = screws(&session);
    assert!(
        left.len() == 1 && (left[0].1 - 20.0).abs() < 0.5,
        "{left:?}"
    );
}
