//! What stands behind the sizes of a line: the wood, how many, straight edges, the name.

use heartside_timber::defaults::MOST_COPIES;
use heartside_timber::diagnostic::Level;
use heartside_timber::document::{Board, BoardOutline, EdgeKind};
use heartside_timber::shared_names::woods_called;
use heartside_timber::species::find_wood;
use heartside_timber::words::shortened;

use super::{Fault, TapeReading};

/// Words after a number that say how many boards are alike.
pub(super) const COUNT_WORDS: [&str; 6] = ["alike", "off", "boards", "pieces", "pcs", "copies"];

/// A word or a comma, and its column.
struct Piece {
    column: usize,
    text: String,
}

/// Reads the words behind the sizes into the board. `rest`: the column at which they begin, and they
/// themselves. What was guessed goes into the notes.
pub(super) fn read(
    (column, rest): (usize, String),
    reading: &TapeReading<'_>,
    board: &mut Board,
    notes: &mut Vec<Fault>,
) -> Result<(), Box<Fault>> {
    let pieces = pieces(column, &rest);
    let mut name: Vec<&str> = Vec::new();
    let mut named_at = column;
    let mut at = 0;
    while let Some(piece) = pieces.get(at) {
        let word = |k: usize| pieces.get(k).map_or("", |p| p.text.as_str());
        let lower = |k: usize| word(k).to_lowercase();
        let comma_after = |k: usize| {
            let rest = pieces.get(k..).unwrap_or(&[]);
            k + rest.iter().take_while(|p| p.text != ",").count()
        };
        match lower(at).as_str() {
            "," => at += 1,
            "called" if name.is_empty() => {
                let from = pieces.get(at + 1).map_or(usize::MAX, |p| p.column);
                let all: String = rest.chars().skip(from.saturating_sub(column)).collect();
                board.name = all.trim().to_owned();
                return if board.name.is_empty() {
                    Err(missing(
                        piece,
                        "the name is missing",
                        "write it behind \u{201c}called\u{201d}",
                    ))
                } else {
                    Ok(())
                };
            }
            "of" => {
                let called = (at + 1..pieces.len()).find(|k| lower(*k) == "called");
                let end = comma_after(at + 1).min(called.unwrap_or(pieces.len()));
                let words: Vec<&str> = (at + 1..end).map(word).collect();
                if words.is_empty() {
                    return Err(missing(
                        piece,
                        "the wood is missing",
                        "write it behind \u{201c}of\u{201d}",
                    ));
                }
                species(board, words.join(" "), piece)?;
                at = end;
            }
            "straight" => {
                let side = lower(at + 1);
                let (left, right) = (side != "right", side != "left");
                at += 1 + usize::from(matches!(side.as_str(), "left" | "right" | "edges"));
                straight(board, left, right);
            }
            lowered => {
                if let Some((count, taken)) = count(lowered, &lower(at + 1)) {
                    set_count(board, count, piece)?;
                    at += taken;
                } else if let Some((wood, taken)) = wood(&pieces[at..], reading) {
                    species(board, wood, piece)?;
                    at += taken;
                } else {
                    if name.is_empty() {
                        named_at = piece.column;
                    }
                    name.push(&piece.text);
                    at += 1;
                }
            }
        }
    }
    if !name.is_empty() {
        board.name = name.join(" ");
        let mut note = Fault::new(
            named_at,
            "tape-name",
            &format!(
                "\u{201c}{}\u{201d} is taken as the board's name",
                shortened(&board.name)
            ),
            "a wood that is not known is written with \u{201c}of\u{201d} before it",
        );
        note.level = Level::Note;
        notes.push(*note);
    }
    Ok(())
}

fn pieces(column: usize, rest: &str) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut open = false;
    for (k, character) in rest.chars().enumerate() {
        let parts = character.is_whitespace();
        let comma = matches!(character, ',' | ';');
        match pieces.last_mut().filter(|_| open && !parts && !comma) {
            Some(piece) => piece.text.push(character),
            None if parts => {}
            None => pieces.push(Piece {
                column: column + k,
                text: if comma {
                    ",".to_owned()
                } else {
                    character.to_string()
                },
            }),
        }
        open = !parts && !comma;
    }
    pieces
}

/// `3 alike`, `x3`: how many, and how many words say it.
fn count<'a>(word: &'a str, next: &str) -> Option<(&'a str, usize)> {
    if COUNT_WORDS.contains(&next) && word.starts_with(|c: char| c.is_ascii_digit()) {
        return Some((word, 2));
    }
    let figures = word.strip_prefix(['x', '\u{d7}'])?;
    let is_number = figures.starts_with(|c: char| c.is_ascii_digit());
    is_number.then_some((figures, 1))
}

fn set_count(board: &mut Board, count: &str, piece: &Piece) -> Result<(), Box<Fault>> {
    let number = count.parse::<u32>();
    match number {
        Ok(number) if (1..=MOST_COPIES).contains(&number) && board.count.is_none() => {
            board.count = Some(f64::from(number));
            Ok(())
        }
        Ok(_) if board.count.is_some() => Err(twice(piece, "how many there are")),
        _ => Err(Fault::new(
            piece.column,
            "tape-count",
            &format!(
                "\u{201c}{}\u{201d} is not a whole number from 1 to {MOST_COPIES}",
                shortened(count)
            ),
            "write how many boards are alike, such as 3 alike",
        )),
    }
}

fn species(board: &mut Board, wood: String, piece: &Piece) -> Result<(), Box<Fault>> {
    if board.species.is_empty() {
        board.species = wood;
        return Ok(());
    }
    Err(twice(piece, "the wood"))
}

fn straight(board: &mut Board, left: bool, right: bool) {
    if let Some(BoardOutline::Tape {
        left: on_left,
        right: on_right,
        ..
    }) = &mut board.outline
    {
        for (side, wanted) in [(on_left, left), (on_right, right)] {
            if wanted {
                *side = EdgeKind::Straight;
            }
        }
    }
}

/// The longest run of words, from the first on, that names a wood, and how many they are.
fn wood(pieces: &[Piece], reading: &TapeReading<'_>) -> Option<(String, usize)> {
    (1..=pieces.len().min(4)).rev().find_map(|n| {
        let words: Vec<&str> = pieces[..n].iter().map(|p| p.text.as_str()).collect();
        let name = words.join(" ");
        (!words.contains(&",") && is_known(&name, reading)).then_some((name, n))
    })
}

/// Whether a name is that of a wood, in the table or of the job's own.
pub(super) fn is_known(name: &str, reading: &TapeReading<'_>) -> bool {
    let lower = name.to_lowercase();
    let mut own = reading.woods.iter();
    own.any(|wood| wood.trim().to_lowercase() == lower)
        || find_wood(name).is_some()
        || !woods_called(name).is_empty()
}

fn missing(piece: &Piece, message: &str, hint: &str) -> Box<Fault> {
    Fault::new(piece.column, super::UNFINISHED, message, hint)
}

fn twice(piece: &Piece, what: &str) -> Box<Fault> {
    Fault::new(
        piece.column,
        "tape-twice",
        &format!("this says {what} a second time"),
        "leave one of them out; a name is written last, behind \u{201c}called\u{201d}",
    )
}
