//! Reads a list of parts pasted from a spreadsheet or typed as lines.
//!
//! The first line holds headings in plain English; columns may stand in any order. Cells
//! are parted by tabs, else by semicolons, else by commas. A heading may name the unit of
//! its bare numbers: `Length (mm)`, `Width in`. Nothing is dropped silently: a cell that
//! cannot be read stays in its field as written and is reported with its line; columns
//! that are not known go into the note, unless it is said what they mean.
//!
//! A list without headings is read as lines that a maker would type: `Leg 4 720 60 60`.

mod cells;
mod columns;
mod lines;

use cells::rows;
pub use columns::MEANINGS;
use columns::{Column, Field};
use heartside_timber::diagnostic::{Diagnostic, Level, Place, Subject};
use heartside_timber::document::{Faces, GrainAxis, Length, Part, PartCut, Shape, Tenon};
use heartside_timber::ids::{TakenIds, is_safe_id};
use heartside_timber::length::{LengthContext, LengthError, Unit, doubt_kept, read_length};
use heartside_timber::words::shortened;

/// More lines than this are refused: no piece has so many different parts.
pub const MOST_LINES: usize = 20_000;

/// The parts of a pasted list, and what is wrong with it by line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pasted {
    /// One part for every line that says something.
    pub parts: Vec<Part>,
    /// Problems, each with its line from 1.
    pub diagnostics: Vec<Diagnostic>,
    /// Columns whose headings are not known: where each stands, from 0, and its heading.
    pub unknown: Vec<(usize, String)>,
}

/// Reads a pasted list. Bare numbers are in `unit` unless the heading says otherwise; ids
/// are taken from an id column or made from the names, and never from `taken`.
pub fn read_parts(text: &str, unit: Unit, taken: &mut TakenIds) -> Pasted {
    read_parts_as(text, unit, taken, &[])
}

/// As [`read_parts`], with what columns mean that the list leaves open: for each in its order
/// one of the words of [`MEANINGS`], or nothing where its heading counts.
pub fn read_parts_as(text: &str, unit: Unit, taken: &mut TakenIds, meanings: &[String]) -> Pasted {
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
    for (k, column) in columns.iter().enumerate() {
        let says = |c: &Column| {
            c.field.or(c
                .said
                .filter(|f| !matches!(f, Field::Note | Field::LeftOut)))
        };
        let again = columns[..k]
            .iter()
            .any(|c| says(c).is_some() && says(c) == says(column));
        if again {
            let message = format!(
                "two columns are headed \u{201c}{}\u{201d}",
                shortened(&column.heading)
            );
            pasted.say(
                *first_line,
                None,
                "paste-column-twice",
                message,
                "the last one that says something counts",
            );
        } else if column.field.or(column.said).is_none() && !column.heading.is_empty() {
            let message = format!(
                "the column \u{201c}{}\u{201d} is not known",
                shortened(&column.heading)
            );
            pasted.say(
                *first_line,
                None,
                "paste-column-unknown",
                message,
                "its cells go into the note",
            );
        }
    }
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

impl Pasted {
    fn say(
        &mut self,
        line: usize,
        field: Option<&str>,
        code: &str,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.diagnostics.push(Diagnostic {
            code: code.into(),
            level: Level::Warning,
            message: message.into(),
            place: Place {
                subject: Subject::File,
                line: Some(line),
                field: field.map(str::to_owned),
                ..Place::default()
            },
            hint: Some(hint.into()),
        });
    }
}

fn known(length: &Length) -> Option<f64> {
    match length {
        Length::Mm(mm) => Some(*mm),
        Length::Typed { mm, .. } => *mm,
        Length::Expr { .. } => None,
    }
}

struct RowReader<'a> {
    line: usize,
    unit: Unit,
    pasted: &'a mut Pasted,
}

impl RowReader<'_> {
    fn part(&mut self, columns: &[Column], cells: &[String], taken: &mut TakenIds) -> Part {
        let mut part = Part::default();
        let (mut length, mut width, mut shoulder) = (None, None, None);
        let mut tenon = Tenon::default();
        let mut notes: Vec<String> = Vec::new();
        for (k, cell) in cells
            .iter()
            .enumerate()
            .filter(|(_, cell)| !cell.is_empty())
        {
            let Some(column) = columns.get(k) else {
                notes.push(cell.clone());
                self.say(
                    "",
                    "paste-cell-without-heading",
                    format!("\u{201c}{}\u{201d} has no heading", shortened(cell)),
                    "it goes into the note",
                );
                continue;
            };
            match column.field.or(column.said) {
                Some(Field::Id) => part.id = cell.clone(),
                Some(Field::Name) => part.name = cell.clone(),
                Some(Field::Count) => {
                    part.count = self.whole("count", "the count", cell, &mut notes)
                }
                Some(Field::Priority) => {
                    part.priority = self.whole("priority", "the priority", cell, &mut notes)
                }
                Some(Field::Length) => {
                    length = Some(self.length("length", cell, column, LengthContext::Length))
                }
                Some(Field::Width) => {
                    width = Some(self.length("width", cell, column, LengthContext::Length))
                }
                Some(Field::Thickness) => {
                    part.thickness = Some(self.length(
                        "thickness",
                        cell,
                        column,
                        LengthContext::FinishedThickness,
                    ));
                }
                Some(Field::TenonStart) => {
                    tenon.start =
                        Some(self.length("tenon at the start", cell, column, LengthContext::Length))
                }
                Some(Field::TenonEnd) => {
                    tenon.end =
                        Some(self.length("tenon at the end", cell, column, LengthContext::Length))
                }
                Some(Field::Species) => {
                    part.species = cell
                        .split(['/', '|'])
                        .map(|s| s.trim().to_owned())
                        .filter(|s| !s.is_empty())
                        .collect();
                }
                Some(Field::Grain) => match cell.to_lowercase().as_str() {
                    "along" | "length" | "long" => part.grain.axis = GrainAxis::Along,
                    "across" | "width" => part.grain.axis = GrainAxis::Across,
                    "any" | "either" => part.grain.axis = GrainAxis::Any,
                    _ => self.word("grain", cell, "along, across or any", &mut notes),
                },
                Some(Field::Faces) => match cell.to_lowercase().as_str() {
                    "both" | "2" | "two" => part.faces = Faces::Both,
                    "one" | "1" => part.faces = Faces::One,
                    "none" | "0" | "hidden" => part.faces = Faces::Hidden,
                    "painted" => part.faces = Faces::Painted,
                    _ => self.word("faces", cell, "both, one, none or painted", &mut notes),
                },
                Some(Field::Cut) => match cell.to_lowercase().as_str() {
                    "straight" => part.cut = PartCut::Straight,
                    "sawn" | "by line" => part.cut = PartCut::Sawn,
                    _ => self.word("cut", cell, "straight or sawn", &mut notes),
                },
                Some(Field::Tenons) => {
                    let both =
                        self.length("tenon at both ends", cell, column, LengthContext::Length);
                    tenon.start = Some(both.clone());
                    tenon.end = Some(both);
                }
                Some(Field::Shoulder) => {
                    let what = "length between shoulders";
                    shoulder = Some(self.length(what, cell, column, LengthContext::Length));
                }
                Some(Field::Note) if column.said.is_some() => {
                    notes.push(format!("{}: {cell}", column.heading))
                }
                Some(Field::Note) => notes.insert(0, cell.clone()),
                Some(Field::LeftOut) => {}
                None if column.heading.is_empty() => notes.push(cell.clone()),
                None => notes.push(format!("{}: {cell}", column.heading)),
            }
        }
        if let Some(between) = shoulder {
            // Tenons are added to the length of a part, which is thus that between its shoulders.
            if let Some(overall) = length.replace(between.clone())
                && let (Some(all), Some(inner)) = (known(&overall), known(&between))
                && tenon == Tenon::default()
                && all > inner
            {
                let each = Length::Mm((all - inner) / 2.0);
                tenon.start = Some(each.clone());
                tenon.end = Some(each);
            }
        }
        part.shape = self.shape(length, width);
        if part.thickness.is_none() {
            self.say(
                "thickness",
                "paste-size-missing",
                "the thickness is missing",
                "write it in",
            );
        }
        part.tenon = (tenon != Tenon::default()).then_some(tenon);
        part.note = notes.join("; ");
        self.give_id(&mut part, taken);
        part
    }

    /// A rectangle; a missing side stays open as a text that cannot be read.
    fn shape(&mut self, length: Option<Length>, width: Option<Length>) -> Option<Shape> {
        for (side, what) in [(&length, "length"), (&width, "width")] {
            if side.is_none() {
                self.say(
                    what,
                    "paste-size-missing",
                    format!("the {what} is missing"),
                    "write it in",
                );
            }
        }
        let open = || Length::Typed {
            mm: None,
            typed: String::new(),
        };
        (length.is_some() || width.is_some()).then(|| Shape::Rectangle {
            length: length.unwrap_or_else(open),
            width: width.unwrap_or_else(open),
        })
    }

    fn give_id(&mut self, part: &mut Part, taken: &mut TakenIds) {
        let wanted = std::mem::take(&mut part.id);
        if is_safe_id(&wanted) && taken.take(&wanted) {
            part.id = wanted;
        } else {
            let from = if part.name.trim().is_empty() {
                &wanted
            } else {
                &part.name
            };
            part.id = taken.fresh(from, "part");
            if !wanted.is_empty() {
                let message = format!(
                    "the id \u{201c}{}\u{201d} cannot be used or is taken",
                    shortened(&wanted)
                );
                let hint = format!("the part is called {} instead", part.id);
                self.say("id", "paste-id", message, hint);
            }
        }
        if part.name.trim().is_empty() {
            part.name.clone_from(&part.id);
        }
    }

    /// A length as written; a bare number gets the unit of its column if that is another
    /// than the job's.
    fn length(
        &mut self,
        what: &str,
        cell: &str,
        column: &Column,
        context: LengthContext,
    ) -> Length {
        let unit = column.unit.unwrap_or(self.unit);
        match read_length(cell, unit, context) {
            Ok(mm) if read_length(cell, self.unit, context) == Ok(mm) => Length::Typed {
                mm: Some(mm),
                typed: cell.to_owned(),
            },
            Ok(mm) => {
                let word = if unit == Unit::Inches { "in" } else { "mm" };
                Length::Typed {
                    mm: Some(mm),
                    typed: format!("{cell} {word}"),
                }
            }
            Err(error) => {
                let message = format!("the {what} cannot be used: {error}");
                let typed = match error {
                    // In another unit than its column's it would be read without a question.
                    LengthError::TwoReadings { .. } if unit != self.unit => doubt_kept(cell),
                    _ => cell.to_owned(),
                };
                self.say(what, error.code(), message, error.hint());
                Length::Typed { mm: None, typed }
            }
        }
    }

    fn whole(
        &mut self,
        field: &str,
        what: &str,
        cell: &str,
        notes: &mut Vec<String>,
    ) -> Option<f64> {
        let number = cell.trim_end_matches(['x', '\u{d7}']).trim().parse::<u32>();
        match number {
            Ok(number) if number >= 1 => Some(f64::from(number)),
            _ => {
                let message = format!(
                    "{what} \u{201c}{}\u{201d} is not a whole number from 1 up",
                    shortened(cell)
                );
                self.say(
                    field,
                    "paste-count",
                    message,
                    "it is taken as 1 and kept in the note",
                );
                notes.push(format!("{field}: {cell}"));
                None
            }
        }
    }

    fn word(&mut self, field: &str, cell: &str, choices: &str, notes: &mut Vec<String>) {
        let message = format!(
            "\u{201c}{}\u{201d} means nothing as {field}",
            shortened(cell)
        );
        self.say(
            field,
            "paste-word",
            message,
            format!("write {choices}; it is kept in the note"),
        );
        notes.push(format!("{field}: {cell}"));
    }

    fn say(
        &mut self,
        field: &str,
        code: &str,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let field = (!field.is_empty()).then_some(field);
        self.pasted.say(self.line, field, code, message, hint);
    }
}

#[cfg(test)]
mod tests;
