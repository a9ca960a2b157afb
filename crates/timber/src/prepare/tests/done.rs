//! Cuts that were made: what is gone, what is a piece of what, and every way to get it wrong.

use super::*;
use crate::diagnostic::Subject;

/// Board A ripped in two; its upper half crosscut; a leg in hand out of that.
fn cut_up() -> Value {
    let piece = |id: &str, done: u32, side: &str, [x0, y0, x1, y1]: [f64; 4]| {
        json!({"id": id, "thickness": 27, "from": {"done": done, "side": side},
            "outline": {"form": "polygon", "points": [[x0, y0], [x1, y0], [x1, y1], [x0, y1]],
                        "sides": ["straight", "straight", "straight", "straight"]}})
    };
    let mut job = small();
    job["boards"][0]["price"] = json!({"amount": 40});
    job["boards"][0]["count"] = json!(2);
    let boards = job["boards"].as_array_mut().expect("boards");
    boards.push(piece("A1", 1, "right", [0.0, -110.0, 2000.0, -2.0]));
    boards.push(piece("A2", 1, "left", [0.0, 1.0, 2000.0, 90.0]));
    boards.push(piece("leg-2", 2, "left", [0.0, 1.0, 512.0, 90.0]));
    boards[3]["holds"] = json!({"part": "leg", "copy": 2, "x": 6.0, "y": 3.0});
    boards.push(piece("A3", 2, "right", [515.0, 1.0, 2000.0, 90.0]));
    job["done"] = json!([
        {"id": 1, "board": "A", "board_copy": 2, "line": [[0, -0.5], [2000, -0.5]], "kerf": 3},
        {"id": 2, "board": "A2", "line": [[513.5, 1], [513.5, 90]], "kerf": 3, "tool": "saw"}]);
    job
}

fn with(change: impl FnOnce(&mut Value)) -> Document {
    let mut job = cut_up();
    change(&mut job);
    document(job)
}

#[test]
fn pieces_stand_in_for_what_was_cut() {
    let prepared = prepare(&document(cut_up()));
    assert_eq!(prepared.diagnostics, []);
    let job = prepared.job;
    let there: Vec<String> = job
        .board_copies()
        .iter()
        .map(|c| format!("{}/{}", c.board, c.copy))
        .collect();
    assert_eq!(there, ["A/1", "A1/1", "leg-2/1", "A3/1"]);
    assert_eq!((job.spent, job.boards[0].cost), (40.0, 40.0));
    assert!(job.boards[1..].iter().all(|b| b.cost == 0.0));
    let a3 = job.boards[4].from.as_ref().expect("a piece");
    assert_eq!((a3.root.board.as_str(), a3.root.copy), ("A", 2));
    assert_eq!(job.done[a3.done].pieces, [3, 4]);
    // The leg that was sawn counts, and its blank is offered to nobody.
    assert_eq!(job.parts[0].in_hand, [2]);
    assert_eq!(job.piece_count(), 1);
    assert_eq!(job.boards[3].usage, Use::Leave);
    let held = job.boards[3].from.as_ref().and_then(|f| f.holds.as_ref());
    assert_eq!(held.map(|h| h.copy), Some(2));
}

#[test]
fn what_is_in_hand_needs_no_pin_and_what_was_cut_takes_none() {
    let pin = |board: &str, copy: u32| json!({"part": "leg", "copy": copy, "board": board, "x": 9, "y": 9});
    let quiet = with(|job| job["pins"] = json!([pin("leg-2", 2), pin("A1", 1)]));
    let prepared = prepare(&quiet);
    assert_eq!(prepared.diagnostics, []);
    assert_eq!(prepared.job.pins.len(), 1);
    let cut = with(|job| job["pins"] = json!([pin("A2", 1)]));
    only(&cut, "pin-on-cut-board", "pins[0].board");
}

#[test]
fn a_cut_with_a_fault_is_left_out_but_what_it_cut_stays_cut() {
    for (change, value, code, field) in [
        (
            "/done/1/kerf",
            json!(-3),
            "number-out-of-range",
            "done[1].kerf",
        ),
        (
            "/done/1/line",
            json!([[3, 4]]),
            "cut-without-line",
            "done[1].line",
        ),
        (
            "/done/1/line",
            json!([]),
            "cut-without-line",
            "done[1].line",
        ),
        ("/done/1/id", json!(1), "cut-number-twice", "done[1].id"),
    ] {
        let prepared = prepare(&with(|job| {
            *job.pointer_mut(change).expect("it is there") = value.clone();
        }));
        let told = &prepared.diagnostics[0];
        assert_eq!(
            (told.code.as_str(), told.place.field.as_deref()),
            (code, Some(field))
        );
        assert_eq!(told.place.subject, Subject::Cut);
        assert!(prepared.job.boards[2].copies().next().is_none());
        assert_eq!(prepared.job.done.len(), 1);
        // Its pieces are boards of their own, which is told of each; the leg is still in hand.
        let told = codes(&prepared)[1..].to_vec();
        assert_eq!(told, ["piece-from-nowhere"; 2]);
        assert_eq!(prepared.job.parts[0].in_hand, [2]);
    }
}

#[test]
fn boards_that_cannot_have_been_cut_are_told() {
    let cut = |board: &str, copy: u32| {
        let board = board.to_owned();
        with(move |job| {
            let line = json!([[0, 0], [9, 9]]);
            let done =
                json!({"id": 7, "board": board, "board_copy": copy, "line": line, "kerf": 3});
            job["done"].as_array_mut().expect("cuts").push(done);
        })
    };
    only(&cut("A", 2), "board-cut-twice", "done[2].board");
    only(&cut("A", 3), "copy-unknown", "done[2].board");
    only(&cut("Z", 1), "board-unknown", "done[2].board");
    let prepared = only(&cut("leg-2", 1), "blank-was-cut", "holds");
    assert_eq!(prepared.job.piece_count(), 2);
}

#[test]
fn pieces_from_nowhere_or_in_a_circle_are_boards_of_their_own() {
    let nowhere = with(|job| job["boards"][4]["from"]["done"] = json!(9));
    let prepared = only(&nowhere, "piece-from-nowhere", "from");
    let a3 = &prepared.job.boards[4];
    assert!(a3.from.is_none() && a3.cost > 0.0 && a3.left() == 1);
    let circle = with(|job| job["boards"][2]["from"]["done"] = json!(2));
    let prepared = prepare(&circle);
    assert_eq!(codes(&prepared), ["piece-from-nowhere"; 3]);
    assert!(prepared.diagnostics[0].message.contains("from itself"));
    let many = with(|job| job["boards"][4]["count"] = json!(5));
    assert_eq!(only(&many, "piece-count", "count").job.boards[4].count, 1);
}

#[test]
fn a_blank_of_nothing_is_a_piece_again() {
    let held = |part: &str, copy: u32| {
        let held = json!({"part": part, "copy": copy, "x": 6, "y": 3});
        with(move |job| job["boards"][3]["holds"] = held)
    };
    for document in [held("leg", 3), held("arm", 1)] {
        let prepared = only(&document, "blank-of-no-part", "holds");
        assert_eq!(prepared.job.boards[3].usage, Use::Freely);
        assert_eq!(prepared.job.piece_count(), 2);
    }
    let twice = with(|job| {
        job["boards"][4]["holds"] = json!({"part": "leg", "copy": 2, "x": 520, "y": 3});
    });
    let prepared = only(&twice, "in-hand-twice", "holds");
    assert_eq!(prepared.job.piece_count(), 1);
    assert_eq!(prepared.job.boards[4].usage, Use::Freely);
}

#[test]
fn bent_grain_stays_where_it_was() {
    let mut job = cut_up();
    let lines = json!({"angle": 1.0, "lines": [[[0, 0], [900, 10], [2000, 90]]]});
    for board in job["boards"].as_array_mut().expect("boards") {
        board["grain"] = lines.clone();
    }
    let job = prepare(&document(job)).job;
    for place in 1..5 {
        assert_eq!(job.boards[place].grain, job.boards[0].grain);
    }
}

#[test]
fn a_size_that_a_part_in_hand_was_sawn_by_stays_as_cut() {
    let sized = |held: bool| {
        with(move |job| {
            job["dimensions"] = json!([
                {"name": "height", "preferred": 460, "least": 400, "most": 500},
                {"name": "leg", "preferred": {"expr": "height + 40"}, "least": 450, "most": 540},
                {"name": "depth", "preferred": 100, "least": 80, "most": 120}]);
            job["parts"][0]["shape"]["length"] = json!({"expr": "leg"});
            job["parts"]
                .as_array_mut()
                .expect("parts")
                .push(json!({"id": "rail", "name": "Rail", "thickness": 20,
                "shape": {"form": "rectangle", "length": 300, "width": {"expr": "depth"}}}));
            if !held {
                job["boards"][3]["holds"] = json!(null);
            }
        })
    };
    let ranges = |document: &Document| -> Vec<(f64, f64)> {
        let prepared = prepare(document);
        let codes: Vec<&str> = prepared
            .diagnostics
            .iter()
            .map(|d| d.code.as_str())
            .collect();
        assert_eq!(codes, ["range-of-worked-out"]);
        prepared
            .job
            .dimensions
            .iter()
            .map(|d| (d.least, d.most))
            .collect()
    };
    assert_eq!(
        ranges(&sized(true)),
        [(460.0, 460.0), (500.0, 500.0), (80.0, 120.0)]
    );
    assert_eq!(
        ranges(&sized(false)),
        [(400.0, 500.0), (450.0, 540.0), (80.0, 120.0)]
    );
}

/// Whatever refers to whatever: nothing panics or runs in a circle, and no wood is counted twice.
#[test]
fn pieces_and_cuts_at_random_come_to_an_end() {
    let mut state = 7_u64;
    let mut below = |n: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % n
    };
    let ids = ["A", "A1", "A2", "leg-2", "A3", "Z"];
    for _ in 0..3000 {
        let mut job = cut_up();
        for _ in 0..1 + below(4) {
            let (row, cut) = (below(5) as usize, below(2) as usize);
            let id = ids[below(6) as usize];
            match below(6) {
                0 => job["boards"][row]["from"] = json!({"done": below(4), "side": "left"}),
                1 => {
                    job["boards"][row]["holds"] =
                        json!({"part": "leg", "copy": below(4), "x": 0, "y": 0})
                }
                2 => job["boards"][row]["id"] = json!(id),
                3 => job["done"][cut]["board"] = json!(id),
                4 => job["done"][cut]["board_copy"] = json!(below(4)),
                _ => job["done"][cut]["id"] = json!(below(3)),
            }
        }
        let prepared = prepare(&document(job));
        let job = &prepared.job;
        for (place, board) in job.boards.iter().enumerate() {
            assert!(board.gone.is_sorted_by(|a, b| a < b));
            assert!(
                board
                    .gone
                    .iter()
                    .all(|copy| (1..=board.count).contains(copy))
            );
            if let Some(origin) = &board.from {
                assert!(job.done[origin.done].pieces.contains(&place));
                let root = job.board(&origin.root.board).expect("a root");
                assert!(root.from.is_none() && root.gone.contains(&origin.root.copy));
                assert_eq!(board.cost, 0.0);
            }
        }
        assert!(
            job.parts
                .iter()
                .all(|p| p.in_hand.is_sorted_by(|a, b| a < b))
        );
        assert!(job.spent.is_finite());
    }
}
