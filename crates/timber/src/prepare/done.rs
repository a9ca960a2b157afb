//! Cuts that were made, and the pieces that they left.
//!
//! A cut with a fault is left out of the job, but what it cut stays cut: nothing may be planned
//! on wood that is no longer there. A piece whose cut is left out is a board like any other.

use heartside_geometry::{Point, SortedMap, SortedSet};

use super::reading::{Reading, Thing};
use crate::diagnostic::Subject;
use crate::document::{self, BoardCopy, Document, Use};
use crate::job::{Board, DoneCut, Origin, Part};
use crate::length::MAX_LENGTH_MM;

/// Widest kerf that is believed, in mm; a planer's cut is told as its kerf too.
const MOST_KERF: f64 = 100.0;

/// Reads the cuts that were made: boards that are there no more, what is a piece of what, which
/// copies of parts are in hand, and what the boards cut so far cost.
pub(super) fn done(
    document: &Document,
    boards: &mut [Board],
    parts: &mut [Part],
    reading: &mut Reading<'_>,
) -> (Vec<DoneCut>, f64) {
    if document.done.is_empty() && document.boards.iter().all(is_whole) {
        return (Vec::new(), 0.0);
    }
    let places = SortedMap::from_iter(boards.iter().enumerate().map(|(k, b)| (b.id.clone(), k)));
    let rows = first_rows(document);
    let mut cuts = cuts(document, boards, &places, reading);
    pieces(document, &rows, boards, &places, &mut cuts, reading);
    in_hand(document, &rows, boards, parts, &places, reading);
    let whole = boards.iter().filter(|b| b.from.is_none());
    let spent = whole.map(|b| b.cost * b.gone.len() as f64).sum();
    (cuts, spent)
}

/// True for a board as it was bought, with nothing to be told about its past.
fn is_whole(board: &document::Board) -> bool {
    board.from.is_none() && board.holds.is_none()
}

/// The row of each id; of rows with the same id the first is the board of that id.
fn first_rows(document: &Document) -> SortedMap<&str, usize> {
    let rows = document.boards.iter().enumerate().rev();
    SortedMap::from_iter(rows.map(|(row, board)| (board.id.as_str(), row)))
}

/// The sound cuts. Every board copy that a cut names is gone, the cut sound or not.
fn cuts(
    document: &Document,
    boards: &mut [Board],
    places: &SortedMap<String, usize>,
    reading: &mut Reading<'_>,
) -> Vec<DoneCut> {
    let mut numbers = SortedSet::new();
    let mut cuts = Vec::with_capacity(document.done.len());
    for (row, source) in document.done.iter().enumerate() {
        let name = format!("cut {}", source.id);
        let thing = Thing::row(Subject::Cut, row, &source.id.to_string(), &name);
        let path = |field: &str| thing.field(&format!("done[{row}].{field}"));
        let before = reading.errors();
        if !numbers.insert(source.id) {
            let message = format!("two cuts that were made have the number {}", source.id);
            let hint = "give one of them another number; the first one counts";
            reading.error("cut-number-twice", path("id"), message, hint);
        }
        let far = |v: f64| !v.is_finite() || v.abs() > 2.0 * MAX_LENGTH_MM;
        if source.line.len() < 2 || source.line.iter().flatten().any(|v| far(*v)) {
            let message = "the line of this cut has fewer than two points on a board";
            let hint = "take the cut back, and make it again";
            reading.error("cut-without-line", path("line"), message, hint);
        }
        reading.number(path("kerf"), "kerf", source.kerf, (0.0, MOST_KERF));
        retire(source, document, boards, places, &thing, row, reading);
        if reading.errors() > before || !places.contains_key(&source.board) {
            continue;
        }
        cuts.push(DoneCut {
            id: source.id,
            board: BoardCopy {
                board: source.board.clone(),
                copy: source.board_copy,
            },
            line: source.line.iter().map(|&[x, y]| Point { x, y }).collect(),
            kerf: source.kerf,
            resawn: source.resawn,
            tool: source.tool.clone(),
            set_to: source.set_to.filter(|mm| mm.is_finite()),
            pieces: Vec::new(),
        });
    }
    cuts
}

/// Takes the board that was cut off the floor, or says why it cannot have been cut.
fn retire(
    source: &document::DoneCut,
    document: &Document,
    boards: &mut [Board],
    places: &SortedMap<String, usize>,
    thing: &Thing,
    row: usize,
    reading: &mut Reading<'_>,
) {
    let place = thing.field(&format!("done[{row}].board"));
    let id = source.board.as_str();
    let Some(board) = places.get(id).and_then(|k| boards.get_mut(*k)) else {
        if document.boards.iter().any(|b| b.id == id) {
            let message = format!("the board \u{201c}{id}\u{201d} must be mended first");
            reading.warn("board-not-sound", place, message, "see the board itself");
        } else {
            let message = format!("there is no board with the id \u{201c}{id}\u{201d}");
            let hint = "take the cut back, or give its board back its id";
            reading.error("board-unknown", place, message, hint);
        }
        return;
    };
    let copy = source.board_copy;
    if !(1..=board.count).contains(&copy) {
        let message = format!("there is no {} of number {copy}", board.name);
        let hint = format!("there are {}", board.count);
        reading.error("copy-unknown", place, message, hint);
        return;
    }
    match board.gone.binary_search(&copy) {
        Ok(_) => {
            let message = format!("{} was cut already by an earlier cut", board.name);
            let hint = "take one of the two cuts back; the first one counts";
            reading.error("board-cut-twice", place, message, hint);
        }
        Err(at) => board.gone.insert(at, copy),
    }
}

/// Says of every piece what it came from.
fn pieces(
    document: &Document,
    rows: &SortedMap<&str, usize>,
    boards: &mut [Board],
    places: &SortedMap<String, usize>,
    cuts: &mut [DoneCut],
    reading: &mut Reading<'_>,
) {
    let numbers = SortedMap::from_iter(cuts.iter().enumerate().map(|(k, c)| (c.id, k)));
    for (row, source) in document.boards.iter().enumerate() {
        let (Some(from), Some(&place)) = (&source.from, places.get(&source.id)) else {
            continue;
        };
        if rows.get(source.id.as_str()) != Some(&row) {
            continue;
        }
        let thing = Thing::board(document, row);
        let cut = numbers.get(&from.done).copied();
        let before = |id: &str| {
            let from = document.boards[*rows.get(id)?].from.as_ref()?;
            Some(&cuts[*numbers.get(&from.done)?].board)
        };
        let found = cut.and_then(|cut| Some((cut, root(&cuts[cut].board, cuts.len(), before)?)));
        let Some((done, root)) = found else {
            let (message, hint) = if cut.is_some() {
                (
                    "this piece would have come from itself".to_owned(),
                    "it counts as a board of its own: say what it cost",
                )
            } else if document.done.iter().any(|c| c.id == from.done) {
                (
                    format!("cut {}, that it came from, must be mended first", from.done),
                    "until then it counts as a board of its own",
                )
            } else {
                (
                    format!("cut {}, that it came from, is not in this job", from.done),
                    "it counts as a board of its own: say what it cost",
                )
            };
            reading.warn("piece-from-nowhere", thing.field("from"), message, hint);
            continue;
        };
        if boards[place].count > 1 {
            let message = "there can be only one of a piece that was cut off; one is counted";
            let hint = "enter boards that are like it as boards of their own";
            reading.warn("piece-count", thing.field("count"), message, hint);
        }
        // A bent field lies on cells counted from a board's corner: the piece has its board's.
        let bent = places.get(&root.board).filter(|k| {
            let first = rows.get(root.board.as_str());
            boards[**k].grain.is_bent()
                && first.is_some_and(|r| document.boards[*r].grain == source.grain)
        });
        let grain = bent.map(|k| boards[*k].grain.clone());
        let piece = &mut boards[place];
        if let Some(grain) = grain {
            piece.grain = grain;
        }
        piece.count = 1;
        piece.gone.retain(|copy| *copy == 1);
        piece.cost = 0.0;
        piece.cost_is_estimate = false;
        piece.from = Some(Origin {
            done,
            side: from.side,
            root,
            holds: None,
            leaves: Vec::new(),
            measured: source.measured,
        });
    }
    for (place, board) in boards.iter().enumerate() {
        if let Some(origin) = &board.from {
            cuts[origin.done].pieces.push(place);
        }
    }
}

/// The board as it was bought from which a board came by cuts, given what each came from; none
/// where they run in a circle.
fn root<'a>(
    board: &'a BoardCopy,
    cuts: usize,
    before: impl Fn(&str) -> Option<&'a BoardCopy>,
) -> Option<BoardCopy> {
    let mut here = board;
    // No chain is longer than there are cuts.
    for _ in 0..=cuts {
        match before(&here.board) {
            None => return Some(here.clone()),
            Some(earlier) => here = earlier,
        }
    }
    None
}

/// Notes which copies of parts are in hand; the pieces that they are stay out of every search.
fn in_hand(
    document: &Document,
    rows: &SortedMap<&str, usize>,
    boards: &mut [Board],
    parts: &mut [Part],
    places: &SortedMap<String, usize>,
    reading: &mut Reading<'_>,
) {
    let numbers = SortedMap::from_iter(parts.iter().enumerate().map(|(k, p)| (p.id.clone(), k)));
    let held = document.boards.iter().enumerate().flat_map(|(row, board)| {
        let all = board.holds.iter().chain(&board.leaves);
        all.map(move |held| (row, board, held))
    });
    for (row, source, held) in held {
        let Some(&place) = places.get(&source.id) else {
            continue;
        };
        if rows.get(source.id.as_str()) != Some(&row) {
            continue;
        }
        let thing = Thing::board(document, row);
        let (board, at) = (&mut boards[place], thing.field("holds"));
        if board.left() == 0 {
            let message = format!(
                "this piece was the blank of {}, but it was cut further",
                held.part
            );
            let hint = "take back the cut that was made in it; until then the part is still wanted";
            reading.error("blank-was-cut", at, message, hint);
            continue;
        }
        let Some(part) = numbers.get(&held.part).and_then(|k| parts.get_mut(*k)) else {
            if document.parts.iter().any(|p| p.id == held.part) {
                // Whatever is wrong with the part, its blank is not cut up for another.
                board.usage = Use::Leave;
                let message = format!(
                    "the part \u{201c}{}\u{201d} must be mended first",
                    held.part
                );
                reading.warn("part-not-sound", at, message, "see the part itself");
            } else {
                let message = format!(
                    "this piece was sawn for the part \u{201c}{}\u{201d}, which is not in this job",
                    held.part
                );
                let hint = "its wood is a piece like any other";
                reading.warn("blank-of-no-part", at, message, hint);
            }
            continue;
        };
        if !(1..=part.count).contains(&held.copy) {
            let message = format!("there is no {} of number {}", part.name, held.copy);
            let hint = format!(
                "there are {}; its wood is a piece like any other",
                part.count
            );
            reading.warn("blank-of-no-part", at, message, hint);
            continue;
        }
        let Err(free) = part.in_hand.binary_search(&held.copy) else {
            let message = format!("{} is in hand twice", part.copy_name(held.copy));
            let hint = "the first piece counts; the wood of this one is a piece like any other";
            reading.warn("in-hand-twice", at, message, hint);
            continue;
        };
        part.in_hand.insert(free, held.copy);
        board.usage = Use::Leave;
        if let Some(origin) = &mut board.from {
            match origin.holds {
                None => origin.holds = Some(held.clone()),
                Some(_) => origin.leaves.push(held.clone()),
            }
        }
    }
}
