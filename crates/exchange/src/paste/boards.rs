//! Boards from a table: straight-edged ones, by length, width and thickness.

use heartside_timber::diagnostic::Diagnostic;
use heartside_timber::document::{Board, BoardOutline, Length, Price, PricePer, Station, Surface};
use heartside_timber::ids::{TakenIds, is_safe_id};
use heartside_timber::length::{LengthContext, Unit, read_length};
use heartside_timber::words::shortened;

use super::cells::rows;
use super::columns::{Column, Field};
use super::headings::{MOST_LINES, tell_headings};
use super::row::{Pasted, RowReader};

/// Longer boards, in millimetres, are mostly written in another unit.
const LONGEST: f64 = 20_000.0;

/// The boards of a table, and what is wrong with it by line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Racked {
    /// One board for every line that says something.
    pub boards: Vec<Board>,
    /// Problems, each with its line from 1.
    pub diagnostics: Vec<Diagnostic>,
}

/// Reads a table of boards: headings, then a line for each (`Mark, Length, Width, Far width,
/// Thickness, Species, Count, Price`, in any order; cells parted by tabs, semicolons or commas).
///
/// Bare numbers are in `unit` unless the heading says otherwise. A board lies half to each side of
/// its middle line, and tapers evenly where it has two widths. Boards without a mark get letters.
pub fn read_boards(text: &str, unit: Unit, taken: &mut TakenIds) -> Racked {
    let mut pasted = Pasted::default();
    let mut boards = Vec::new();
    let rows = rows(text);
    let first_line = rows.first().map_or(1, |(line, _)| *line);
    let columns: Vec<Column> = rows.first().map_or_else(Vec::new, |(_, headings)| {
        headings.iter().map(|h| Column::of_boards(h)).collect()
    });
    let headed = |field| columns.iter().any(|c| c.field == Some(field));
    if rows.len() > MOST_LINES {
        let message = format!("{} lines are too many for one table", rows.len());
        pasted.say(1, None, "paste-too-long", message, "take it in in pieces");
    } else if !(headed(Field::Length) && headed(Field::Width)) {
        let message = "the first line does not say which columns are length and width";
        let hint = "begin with headings, such as Mark, Length, Width, Thickness, Species";
        pasted.say(first_line, None, "paste-without-headings", message, hint);
    } else {
        tell_headings(first_line, &columns, &mut pasted);
        for (line, cells) in &rows[1..] {
            let mut row = RowReader {
                line: *line,
                unit,
                pasted: &mut pasted,
            };
            boards.push(row.board(&columns, cells, taken));
        }
        if boards.is_empty() {
            let (message, hint) = (
                "there are headings but no boards",
                "give a line to each board",
            );
            pasted.say(first_line, None, "paste-empty", message, hint);
        }
    }
    Racked {
        boards,
        diagnostics: pasted.diagnostics,
    }
}

impl RowReader<'_> {
    fn board(&mut self, columns: &[Column], cells: &[String], taken: &mut TakenIds) -> Board {
        let mut board = Board::default();
        let (mut length, mut width, mut far) = (None, None, None);
        let mut notes: Vec<String> = Vec::new();
        for (k, cell) in cells.iter().enumerate().filter(|(_, c)| !c.is_empty()) {
            let Some(column) = columns.get(k) else {
                notes.push(cell.clone());
                let message = format!("\u{201c}{}\u{201d} has no heading", shortened(cell));
                self.say(
                    "",
                    "paste-cell-without-heading",
                    message,
                    "it goes into the note",
                );
                continue;
            };
            let plain = LengthContext::Length;
            match column.field {
                Some(Field::Id) => board.id = cell.clone(),
                Some(Field::Name) => board.name = cell.clone(),
                Some(Field::Species) => board.species = cell.clone(),
                Some(Field::Count) => {
                    board.count = self.whole("count", "the count", cell, &mut notes);
                }
                Some(Field::Length) => length = Some(self.length("length", cell, column, plain)),
                Some(Field::Width) => width = Some(self.length("width", cell, column, plain)),
                Some(Field::FarWidth) => far = Some(self.length("far width", cell, column, plain)),
                Some(Field::Thickness) => self.thickness(&mut board, cell, column),
                Some(Field::Nominal) => {
                    let nominal = LengthContext::NominalThickness;
                    board.nominal = Some(self.length("thickness sold as", cell, column, nominal));
                }
                Some(Field::Surface) => match cell.to_lowercase().as_str() {
                    "planed" | "yes" => board.surface = Surface::Planed,
                    "sawn" | "rough" | "no" => board.surface = Surface::Sawn,
                    _ => self.word("surface", cell, "planed or sawn", &mut notes),
                },
                Some(Field::Moisture) => {
                    board.moisture =
                        self.number("moisture", cell.trim_end_matches('%'), &mut notes);
                }
                Some(Field::Price) => {
                    let amount = self.number("price", cell, &mut notes);
                    board.price = amount.map(|amount| Price {
                        amount,
                        per: PricePer::Board,
                    });
                }
                Some(Field::Note) => notes.insert(0, cell.clone()),
                _ if column.heading.is_empty() => notes.push(cell.clone()),
                _ => notes.push(format!("{}: {cell}", column.heading)),
            }
        }
        let missing = [
            ("length", length.is_none()),
            ("width", width.is_none() && far.is_none()),
            (
                "thickness",
                board.thickness.is_none() && board.nominal.is_none(),
            ),
        ];
        for (what, _) in missing.into_iter().filter(|(_, missing)| *missing) {
            let message = format!("the {what} is missing");
            self.say(what, "paste-size-missing", message, "write it in");
        }
        let mm = length.as_ref().and_then(|length| length.plain_mm());
        if mm.is_some_and(|mm| mm > LONGEST) {
            let message = "no board is longer than 20 m";
            let hint = "check the length and its unit";
            self.say("length", "paste-long", message, hint);
        }
        board.outline = outline(length, width.or_else(|| far.clone()), far);
        board.note = notes.join("; ");
        let wanted = std::mem::take(&mut board.id);
        if is_safe_id(&wanted) && taken.take(&wanted) {
            board.id = wanted;
        } else {
            board.id = taken.fresh_letter();
            self.id_refused(&wanted, "board", &board.id);
        }
        board
    }

    /// The measured thickness; one in quarters is what the board was sold as.
    fn thickness(&mut self, board: &mut Board, cell: &str, column: &Column) {
        let unit = column.unit.unwrap_or(self.unit);
        let measured = read_length(cell, unit, LengthContext::MeasuredThickness);
        let nominal = read_length(cell, unit, LengthContext::NominalThickness);
        match nominal {
            Ok(mm) if measured.is_err() => {
                board.nominal = Some(Length::Typed {
                    mm: Some(mm),
                    typed: cell.to_owned(),
                });
                let message = format!(
                    "{} is the thickness that the board was sold as",
                    shortened(cell)
                );
                self.say(
                    "thickness",
                    "paste-nominal",
                    message,
                    "measure it, and write that in",
                );
            }
            _ => {
                let context = LengthContext::MeasuredThickness;
                board.thickness = Some(self.length("thickness", cell, column, context));
            }
        }
    }

    /// A number from 0 up, with a point or a comma.
    fn number(&mut self, field: &str, cell: &str, notes: &mut Vec<String>) -> Option<f64> {
        let number = cell.trim().replacen(',', ".", 1).parse::<f64>().ok();
        let number = number.filter(|n| n.is_finite() && *n >= 0.0);
        if number.is_none() {
            self.word(field, cell, "a number", notes);
        }
        number
    }
}

/// A board that lies half to each side of its middle line.
fn outline(
    length: Option<Length>,
    width: Option<Length>,
    far: Option<Length>,
) -> Option<BoardOutline> {
    let open = || Length::Typed {
        mm: None,
        typed: String::new(),
    };
    if length.is_none() && width.is_none() {
        return None;
    }
    let station = |at: Length, width: Length| {
        let (left, right) = match width.plain_mm() {
            Some(mm) => (Length::Mm(0.5 * mm), Length::Mm(0.5 * mm)),
            // What cannot be read stays there to be mended.
            None => (width, Length::Mm(0.0)),
        };
        Station { at, left, right }
    };
    let length = length.unwrap_or_else(open);
    let mut stations = vec![station(Length::Mm(0.0), width.unwrap_or_else(open))];
    stations.extend(far.map(|far| station(length.clone(), far)));
    Some(BoardOutline::Tape {
        length,
        stations,
        left: Default::default(),
        right: Default::default(),
        start: Default::default(),
        end: Default::default(),
    })
}
