//! Reads a list of parts or boards pasted from a spreadsheet, or parts typed as lines.
//!
//! The first line holds headings in plain English; columns may stand in any order. Cells
//! are parted by tabs, else by semicolons, else by commas. A heading may name the unit of
//! its bare numbers: `Length (mm)`, `Width in`. Nothing is dropped silently: a cell that
//! cannot be read stays in its field as written and is reported with its line; columns
//! that are not known go into the note, unless it is said what they mean.
//!
//! A list without headings is read as lines that a maker would type: `Leg 4 720 60 60`.

mod boards;
mod cells;
mod columns;
mod headings;
mod lines;
mod row;

pub use boards::{Racked, read_boards};
use cells::rows;
pub use columns::MEANINGS;
use columns::{Column, Field};
use headings::{MOST_LINES, tell_headings};
use heartside_timber::ids::TakenIds;
use heartside_timber::length::Unit;
pub use row::Pasted;
use row::RowReader;

/// Reads a pasted list. Bare numbers are in `unit` unless the heading says otherwise; ids
/// are taken from an id column or made from the names, and never from `taken`.
///
/// `meanings` says what columns hold that the list leaves open: for each in its order one of the
/// words of [`MEANINGS`], or nothing where its heading counts.
pub fn read_parts(text: &str, unit: Unit, taken: &mut TakenIds, meanings: &[String]) -> Pasted {
    let mut pasted = Pasted::default();
    let rows = rows(text);
    let Some((first_line, headings)) = rows.first() else {
        pasted.say(
            1,
            None,
            "paste-empty",
            "there is nothing to paste",
            "copy the list with its headings",
        );
        return pasted;
    };
    if rows.len() > MOST_LINES {
        let message = format!("{} lines are too many for one list", rows.len());
        pasted.say(1, None, "paste-too-long", message, "paste it in pieces");
        return pasted;
    }
    let mut columns: Vec<Column> = headings.iter().map(|heading| Column::of(heading)).collect();
    let headed = columns
        .iter()
        .any(|c| matches!(c.field, Some(Field::Length | Field::Width | Field::Name)));
    for (k, column) in columns.iter_mut().enumerate() {
        if column.field.is_none() && !column.heading.is_empty() {
            pasted.unknown.push((k, column.heading.clone()));
            column.said = meanings.get(k).and_then(|word| Field::of_meaning(word));
        }
    }
    if !headed {
        pasted.unknown.clear();
        return lines::read(text, unit, taken).unwrap_or_else(|| {
            pasted.say(
                *first_line,
                None,
                "paste-without-headings",
                "no line has a name and sizes, and the first does not say what the columns are",
                "type lines such as Leg 4 720 60 60 (how many, length, width, thickness), or begin with headings",
            );
            pasted
        });
    }
    tell_headings(*first_line, &columns, &mut pasted);
    for (line, cells) in &rows[1..] {
        let mut row = RowReader {
            line: *line,
            unit,
            pasted: &mut pasted,
        };
        let part = row.part(&columns, cells, taken);
        pasted.parts.push(part);
    }
    if pasted.parts.is_empty() {
        let hint = "copy the lines under the headings too";
        pasted.say(
            *first_line,
            None,
            "paste-empty",
            "there are headings but no parts",
            hint,
        );
    }
    pasted
}

#[cfg(test)]
mod tests;
