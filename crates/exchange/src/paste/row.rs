//! One line of a list becomes a part; what cannot be read is kept and told.

use heartside_timber::diagnostic::{Diagnostic, Level, Place, Subject};
use heartside_timber::document::{Faces, GrainAxis, Length, Part, PartCut, Shape, Tenon};
use heartside_timber::ids::{TakenIds, is_safe_id};
use heartside_timber::length::{LengthContext, LengthError, Unit, doubt_kept, read_length};
use heartside_timber::words::shortened;

use super::columns::{Column, Field};

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

impl Pasted {
    pub(super) fn say(
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

/// Reads the cells of one line.
pub(super) struct RowReader<'a> {
    pub(super) line: usize,
    pub(super) unit: Unit,
    pub(super) pasted: &'a mut Pasted,
}

impl RowReader<'_> {
    pub(super) fn part(
        &mut self,
        columns: &[Column],
        cells: &[String],
        taken: &mut TakenIds,
    ) -> Part {
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
                // No heading of a list of parts means the rest.
                _ => notes.push(format!("{}: {cell}", column.heading)),
            }
        }
        if let Some(between) = shoulder {
            // Tenons are added to the length of a part, which is thus that between its shoulders.
            if let Some(overall) = length.replace(between.clone())
                && let (Some(all), Some(inner)) = (overall.plain_mm(), between.plain_mm())
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
            self.id_refused(&wanted, "part", &part.id);
        }
        if part.name.trim().is_empty() {
            part.name.clone_from(&part.id);
        }
    }

    /// Tells that a thing could not have the id that it was to have.
    pub(super) fn id_refused(&mut self, wanted: &str, thing: &str, instead: &str) {
        if !wanted.is_empty() {
            let message = format!(
                "the id \u{201c}{}\u{201d} cannot be used or is taken",
                shortened(wanted)
            );
            let hint = format!("the {thing} is called {instead} instead");
            self.say("id", "paste-id", message, hint);
        }
    }

    /// A length as written; a bare number gets the unit of its column if that is another
    /// than the job's.
    pub(super) fn length(
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

    pub(super) fn whole(
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

    pub(super) fn word(&mut self, field: &str, cell: &str, choices: &str, notes: &mut Vec<String>) {
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

    pub(super) fn say(
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
