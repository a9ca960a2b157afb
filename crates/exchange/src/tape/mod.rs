//! Boards typed as lines, as they are called out along the rack:
//! `2680 x 128/110 131/110 128/112 27 oak`.
//!
//! A line holds, in this order:
//!
//! - a mark and a colon, where the board has one already: `C: 2680 x ...`; else the next free letter;
//! - the length, and `x`;
//! - widths along the board. `128/110` or `128+110` is what lies left and right of the chalk line;
//!   `140` alone is a whole width, half of it on either side. They are spaced evenly from end to
//!   end, unless `@` says where: `128/110 @900 131/110`. Two whole widths make a taper;
//! - the thickness, last of the sizes. An `x` before it parts it from a fraction: `8 x 3/4`;
//! - words: a wood, `3 alike`, `straight left` (or `right`, or just `straight` for both edges). All
//!   other words are its name. `of` before the wood and `called` before the name leave no doubt.
//!
//! Lengths are written as everywhere (`2.68 m`, `8' 9 1/2"`). A slash is a fraction of an inch where
//! it can be nothing else, and parts left from right where it can be nothing else; where it may be
//! either, the line is not taken and says how to write it. Nothing is dropped silently: a line
//! becomes a whole board or none, and whatever was guessed is told.

mod line;
mod reader;
mod scan;
mod spacing;
mod words;
mod write;

use heartside_timber::diagnostic::{Diagnostic, Level, Place, Subject};
use heartside_timber::document::Board;
use heartside_timber::ids::{TakenIds, is_safe_id};
use heartside_timber::length::Unit;
use heartside_timber::words::shortened;

use reader::Line;
pub use write::write_tape;

/// More lines than this at once are refused.
pub const MOST_TAPE_LINES: usize = 500;
/// Characters of the longest line that is read.
const MOST_CHARACTERS: usize = 2000;

/// The code of what is only missing because the line is not at its end yet.
pub const UNFINISHED: &str = "tape-unfinished";

/// What a line is read for.
#[derive(Debug, Clone, Copy)]
pub struct TapeReading<'a> {
    /// What a number without a unit means.
    pub unit: Unit,
    /// Woods of the job's own, known beside those of the table.
    pub woods: &'a [String],
}

/// One line, as it was understood.
#[derive(Debug, Clone, PartialEq)]
pub struct TapeLine {
    /// Its number, from 1.
    pub number: usize,
    /// The board; nothing where the line cannot be read.
    pub board: Option<Board>,
    /// What is wrong, or was guessed: each with its line and column from 1.
    pub diagnostics: Vec<Diagnostic>,
}

/// What is wrong at a place of a line.
#[derive(Debug)]
struct Fault {
    column: usize,
    code: &'static str,
    level: Level,
    message: String,
    hint: String,
}

impl Fault {
    /// Boxed: a line has many ways to be wrong, and each would move all of a fault about.
    fn new(column: usize, code: &'static str, message: &str, hint: &str) -> Box<Fault> {
        Box::new(Fault {
            column,
            code,
            level: Level::Error,
            message: message.to_owned(),
            hint: hint.to_owned(),
        })
    }

    fn at(self, line: usize) -> Diagnostic {
        Diagnostic {
            code: self.code.to_owned(),
            level: self.level,
            message: self.message,
            place: Place {
                subject: Subject::File,
                line: Some(line),
                column: Some(self.column),
                ..Place::default()
            },
            hint: Some(self.hint),
        }
    }
}

/// Reads boards from lines; empty ones are passed over. Boards without a mark get the first letters
/// that neither `taken` nor another line has; all marks given are added to `taken`.
///
/// # Errors
/// A line that cannot be read has no board and says why at its place; the others are read all the same.
///
/// # Cost
/// O(characters).
pub fn read_tape(text: &str, reading: &TapeReading<'_>, taken: &mut TakenIds) -> Vec<TapeLine> {
    let lines = text.lines().enumerate();
    let written: Vec<(usize, &str)> = lines
        .map(|(k, line)| (k + 1, line))
        .filter(|(_, line)| !line.trim().is_empty())
        .collect();
    if let Some((number, _)) = written.get(MOST_TAPE_LINES) {
        let message = format!("{} lines are too many at once", written.len());
        let hint = format!("take them in pieces of {MOST_TAPE_LINES} lines at most");
        let fault = Fault::new(1, "tape-too-many", &message, &hint).at(*number);
        return vec![TapeLine {
            number: *number,
            board: None,
            diagnostics: vec![fault],
        }];
    }
    let mut read: Vec<TapeLine> = written
        .into_iter()
        .map(|(number, line)| read_line(number, line, reading, taken))
        .collect();
    for board in read.iter_mut().filter_map(|line| line.board.as_mut()) {
        if board.id.is_empty() {
            board.id = taken.fresh_letter();
        }
    }
    read
}

/// One line; without a mark its board has none yet.
fn read_line(
    number: usize,
    line: &str,
    reading: &TapeReading<'_>,
    taken: &mut TakenIds,
) -> TapeLine {
    let mut notes = Vec::new();
    let board = whole_board(line, reading, taken, &mut notes);
    let (board, fault) = match board {
        Ok(board) => (Some(board), None),
        Err(fault) => (None, Some(fault)),
    };
    let told = fault.into_iter().map(|fault| *fault).chain(notes);
    TapeLine {
        number,
        board,
        diagnostics: told.map(|fault| fault.at(number)).collect(),
    }
}

fn whole_board(
    text: &str,
    reading: &TapeReading<'_>,
    taken: &mut TakenIds,
    notes: &mut Vec<Fault>,
) -> Result<Board, Box<Fault>> {
    if text.chars().count() > MOST_CHARACTERS {
        return Err(Fault::new(
            1,
            "tape-too-long",
            &format!("this line is longer than {MOST_CHARACTERS} characters"),
            "write one board in each line",
        ));
    }
    let mut line = Line::of(text, reading.unit);
    let mark = line.mark();
    let (outline, thickness) = line.sizes()?;
    let mut board = Board {
        outline: Some(outline),
        thickness: Some(thickness),
        ..Board::default()
    };
    words::read(line.rest(), reading, &mut board, notes)?;
    // Last, so that a line that cannot be used takes no mark.
    if let Some((column, mark)) = mark {
        board.id = mark_of(column, mark, taken)?;
    }
    Ok(board)
}

fn mark_of(column: usize, mark: String, taken: &mut TakenIds) -> Result<String, Box<Fault>> {
    if !is_safe_id(&mark) {
        return Err(Fault::new(
            column,
            "tape-mark",
            &format!("\u{201c}{}\u{201d} cannot be a mark", shortened(&mark)),
            "before the colon, use letters, figures, - and _, beginning with a letter or figure",
        ));
    }
    if !taken.take(&mark) {
        return Err(Fault::new(
            column,
            "tape-mark-taken",
            &format!("there is a board marked \u{201c}{mark}\u{201d} already"),
            "write another mark, or leave it out with its colon: then the next free letter is taken",
        ));
    }
    Ok(mark)
}

#[cfg(test)]
mod tests;
