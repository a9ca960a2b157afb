//! Reads single fields of a document and notes what is wrong with them.

use heartside_geometry::{SortedMap, SortedSet};

use crate::diagnostic::{Diagnostic, Level, Place, Subject};
use crate::document::{Document, Length};
use crate::expression::{Definition, Expression, explain};
use crate::length::{
    LengthContext, LengthError, MAX_LENGTH_MM, Unit, read_length, read_signed_length, write_decimal,
};
use crate::words::shortened;

/// Writing and its remembered value may differ by this much, in mm, before it is said.
const SAME_MM: f64 = 0.001;

/// What is asked of a length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wanted {
    sign: Sign,
    context: LengthContext,
    most: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Sign {
    AboveNought,
    NotNegative,
    Either,
}

impl Wanted {
    /// A size: more than 0.
    pub(super) const SIZE: Wanted = Wanted {
        sign: Sign::AboveNought,
        context: LengthContext::Length,
        most: MAX_LENGTH_MM,
    };
    /// An allowance, margin or kerf: 0 or more.
    pub(super) const EXTRA: Wanted = Wanted {
        sign: Sign::NotNegative,
        ..Wanted::SIZE
    };
    /// A coordinate: either side of nothing.
    pub(super) const PLACE: Wanted = Wanted {
        sign: Sign::Either,
        ..Wanted::SIZE
    };
    /// The thickness of a finished part.
    pub(super) const FINISHED_THICKNESS: Wanted = Wanted {
        context: LengthContext::FinishedThickness,
        most: crate::defaults::MOST_THICKNESS,
        ..Wanted::SIZE
    };
    /// The thickness measured on a board.
    pub(super) const MEASURED_THICKNESS: Wanted = Wanted {
        context: LengthContext::MeasuredThickness,
        ..Wanted::FINISHED_THICKNESS
    };
    /// What a board was sold as; quarters may be written.
    pub(super) const NOMINAL_THICKNESS: Wanted = Wanted {
        context: LengthContext::NominalThickness,
        ..Wanted::FINISHED_THICKNESS
    };
}

/// The thing whose fields are read: its place without a field.
#[derive(Debug, Clone)]
pub(super) struct Thing {
    place: Place,
}

impl Thing {
    pub(super) fn job() -> Thing {
        Thing {
            place: Place {
                subject: Subject::Job,
                ..Place::default()
            },
        }
    }

    pub(super) fn of(subject: Subject) -> Thing {
        Thing {
            place: Place {
                subject,
                ..Place::default()
            },
        }
    }

    /// The board in a row of the document.
    pub(super) fn board(document: &Document, row: usize) -> Thing {
        let board = document.boards.get(row);
        let (id, name) = board.map_or(("", ""), |b| (b.id.as_str(), b.name.as_str()));
        Thing::row(Subject::Board, row, id, name)
    }

    /// One of a list, by its place there, its id and the name a person knows it by.
    pub(super) fn row(subject: Subject, row: usize, id: &str, name: &str) -> Thing {
        let some = |text: &str| (!text.trim().is_empty()).then(|| text.trim().to_owned());
        let name = &shortened(name);
        let place = Place {
            subject,
            row: Some(row),
            id: some(id),
            name: some(name).or_else(|| some(id)),
            ..Place::default()
        };
        Thing { place }
    }

    /// The place of one of its fields; the thing itself where `field` is empty.
    pub(super) fn field(&self, field: &str) -> Place {
        let field = (!field.is_empty()).then(|| field.to_owned());
        Place {
            field,
            ..self.place.clone()
        }
    }
}

/// Reads fields in one unit with one table of dimensions, and gathers diagnostics.
pub(super) struct Reading<'a> {
    pub(super) unit: Unit,
    pub(super) table: &'a SortedMap<String, Definition>,
    pub(super) values: &'a SortedMap<String, f64>,
    /// Names of dimensions that some expression used.
    pub(super) used: SortedSet<String>,
    pub(super) notes: Vec<Diagnostic>,
    errors: usize,
}

impl<'a> Reading<'a> {
    pub(super) fn new(
        unit: Unit,
        table: &'a SortedMap<String, Definition>,
        values: &'a SortedMap<String, f64>,
    ) -> Reading<'a> {
        Reading {
            unit,
            table,
            values,
            used: SortedSet::new(),
            notes: Vec::new(),
            errors: 0,
        }
    }

    pub(super) fn say(
        &mut self,
        level: Level,
        code: &str,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let hint = in_short(&hint.into());
        self.errors += usize::from(level == Level::Error);
        self.notes.push(Diagnostic {
            code: code.to_owned(),
            level,
            message: in_short(&message.into()),
            place,
            hint: (!hint.is_empty()).then_some(hint),
        });
    }

    pub(super) fn error(
        &mut self,
        code: &str,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.say(Level::Error, code, place, message, hint);
    }

    pub(super) fn warn(
        &mut self,
        code: &str,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.say(Level::Warning, code, place, message, hint);
    }

    /// How many errors there are so far; a thing is sound if reading it adds none.
    pub(super) fn errors(&self) -> usize {
        self.errors
    }

    /// Adds notes that another reading made.
    pub(super) fn add_notes(&mut self, notes: &[Diagnostic]) {
        self.errors += notes
            .iter()
            .filter(|note| note.level == Level::Error)
            .count();
        self.notes.extend_from_slice(notes);
    }

    /// A length that must be there.
    pub(super) fn needed(
        &mut self,
        place: Place,
        what: &str,
        length: Option<&Length>,
        wanted: Wanted,
    ) -> Option<f64> {
        match length {
            Some(length) => self.length(place, what, length, wanted),
            None => {
                self.error(
                    "length-missing",
                    place,
                    format!("the {what} is missing"),
                    "measure it and write it in",
                );
                None
            }
        }
    }

    /// A length with a usual value; nothing if it is there but faulty.
    pub(super) fn usual(
        &mut self,
        place: Place,
        what: &str,
        length: Option<&Length>,
        wanted: Wanted,
        usual: f64,
    ) -> Option<f64> {
        match length {
            Some(length) => self.length(place, what, length, wanted),
            None => Some(usual),
        }
    }

    /// A length that the thing can do without: what is wrong with it is a warning.
    pub(super) fn optional(
        &mut self,
        place: Place,
        what: &str,
        length: &Length,
        wanted: Wanted,
    ) -> Option<f64> {
        let before = self.notes.len();
        let mm = self.length(place, what, length, wanted);
        let errors = self
            .notes
            .iter_mut()
            .skip(before)
            .filter(|note| note.level == Level::Error);
        for note in errors {
            note.level = Level::Warning;
            self.errors -= 1;
        }
        mm
    }

    /// A length in millimetres, or nothing and a note of what is wrong with it.
    pub(super) fn length(
        &mut self,
        place: Place,
        what: &str,
        length: &Length,
        wanted: Wanted,
    ) -> Option<f64> {
        let mm = match length {
            Length::Mm(mm) => *mm,
            Length::Typed { mm, typed } => self.typed(&place, what, typed, *mm, wanted)?,
            Length::Expr { expr } => self.worked_out(&place, what, expr)?,
        };
        self.judged(place, what, mm, wanted)
    }

    fn typed(
        &mut self,
        place: &Place,
        what: &str,
        typed: &str,
        remembered: Option<f64>,
        wanted: Wanted,
    ) -> Option<f64> {
        match read_signed(typed, self.unit, wanted) {
            Ok(mm) => {
                if let Some(old) = remembered.filter(|old| (old - mm).abs() > SAME_MM) {
                    self.warn(
                        "length-disagrees",
                        place.clone(),
                        format!(
                            "the {what} is written \u{201c}{typed}\u{201d}, which is {} mm, \
                             but was kept as {} mm; the writing counts",
                            write_decimal(mm, 3),
                            write_decimal(old, 3)
                        ),
                        "write it again with its unit",
                    );
                }
                Some(mm)
            }
            Err(error) => match remembered.filter(|mm| once_read_as(&error, *mm)) {
                // Older files hold what was made of such a text then.
                Some(mm) => {
                    self.warn(
                        error.code(),
                        place.clone(),
                        format!(
                            "the {what} was taken as {} mm and still is: {error}",
                            write_decimal(mm, 3)
                        ),
                        error.hint(),
                    );
                    Some(mm)
                }
                None => {
                    self.error(
                        error.code(),
                        place.clone(),
                        format!("the {what} cannot be used: {error}"),
                        error.hint(),
                    );
                    None
                }
            },
        }
    }

    fn worked_out(&mut self, place: &Place, what: &str, text: &str) -> Option<f64> {
        let worked = Expression::read(text, self.unit).and_then(|expression| {
            self.used
                .extend(expression.names().into_iter().map(str::to_owned));
            expression.value(&|name| self.values.get(name).copied())
        });
        match worked {
            Ok(mm) => Some(mm),
            Err(error) => {
                let error = explain(error, self.table);
                self.error(
                    error.fault.code(),
                    place.clone(),
                    format!(
                        "the {what} \u{201c}{text}\u{201d} cannot be worked out: {} (at character {})",
                        error.fault,
                        error.at + 1
                    ),
                    error.fault.hint(),
                );
                None
            }
        }
    }

    fn judged(&mut self, place: Place, what: &str, mm: f64, wanted: Wanted) -> Option<f64> {
        let (code, reason, hint) = if !mm.is_finite() {
            (
                "length-not-readable",
                "is not a number".to_owned(),
                "write it in again".to_owned(),
            )
        } else if wanted.sign == Sign::AboveNought && mm <= 0.0 {
            (
                "length-not-positive",
                "must be more than 0".into(),
                "measure it again".into(),
            )
        } else if wanted.sign == Sign::NotNegative && mm < 0.0 {
            (
                "length-negative",
                "cannot be less than nothing".into(),
                "leave out the minus".into(),
            )
        } else if mm.abs() > wanted.most {
            (
                "length-too-long",
                format!(
                    "is {} m, more than can be",
                    crate::length::write_decimal(mm / 1000.0, 1)
                ),
                "check the unit".into(),
            )
        } else {
            return Some(mm);
        };
        self.error(code, place, format!("the {what} {reason}"), hint);
        None
    }

    /// A whole number from 1 to `most`.
    pub(super) fn count(
        &mut self,
        place: Place,
        what: &str,
        count: Option<f64>,
        most: u32,
    ) -> Option<u32> {
        let usable = usable_count(count, most);
        if usable.is_some() {
            return usable;
        }
        self.error(
            "count-not-usable",
            place,
            format!("the {what} must be a whole number from 1 to {most}"),
            "write in how many there are",
        );
        None
    }

    /// A plain number within limits, or nothing and a note.
    pub(super) fn number(
        &mut self,
        place: Place,
        what: &str,
        number: f64,
        (least, most): (f64, f64),
    ) -> Option<f64> {
        if number.is_finite() && (least..=most).contains(&number) {
            return Some(number);
        }
        let limits = if most == f64::INFINITY {
            format!("{least} or more")
        } else {
            format!("from {least} to {most}")
        };
        self.error(
            "number-out-of-range",
            place,
            format!("the {what} must be {limits}"),
            "",
        );
        None
    }
}

/// Whether a text that is refused now was once read as this many millimetres.
fn once_read_as(error: &LengthError, mm: f64) -> bool {
    let readings = match error {
        LengthError::TwoReadings {
            decimal, thousands, ..
        } => [decimal.parse().ok(), thousands.parse().ok()],
        LengthError::Nominal { mm, .. } => [Some(*mm), None],
        _ => [None, None],
    };
    readings
        .into_iter()
        .flatten()
        .any(|reading: f64| (reading - mm.abs()).abs() <= SAME_MM)
}

/// A whole number from 1 to `most`, 1 where none is written; nothing if it is no such number.
pub(super) fn usable_count(count: Option<f64>, most: u32) -> Option<u32> {
    let Some(count) = count else { return Some(1) };
    let usable =
        count.is_finite() && count >= 1.0 && count <= f64::from(most) && count.fract() == 0.0;
    usable.then_some(count as u32)
}

/// The longest quotation of what stands in a file, in characters; as much as shows which it is.
const LONGEST_QUOTATION: usize = 60;
/// The longest sentence; some quote several things.
const LONGEST_SENTENCE: usize = 300;

/// A sentence in which nothing quoted from a file, however long, fills the screen.
fn in_short(sentence: &str) -> String {
    let mut short = String::with_capacity(sentence.len().min(2 * LONGEST_SENTENCE));
    let (mut length, mut quoted) = (0, None);
    for c in sentence.chars() {
        match (c, quoted) {
            ('\u{201c}', None) => quoted = Some(0),
            ('\u{201d}', Some(_)) => quoted = None,
            (_, Some(place)) => quoted = Some(place + 1),
            (_, None) => {}
        }
        let left_out = quoted.filter(|place| *place > LONGEST_QUOTATION);
        match left_out {
            Some(place) if place > LONGEST_QUOTATION + 1 => continue,
            Some(_) => short.push('\u{2026}'),
            None => short.push(c),
        }
        length += 1;
        if length > LONGEST_SENTENCE {
            short.push('\u{2026}');
            break;
        }
    }
    short
}

/// A typed length that may carry a minus sign where a place either side of nothing is meant.
fn read_signed(typed: &str, unit: Unit, wanted: Wanted) -> Result<f64, LengthError> {
    match wanted.sign {
        Sign::Either => read_signed_length(typed, unit, wanted.context),
        Sign::AboveNought | Sign::NotNegative => read_length(typed, unit, wanted.context),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotations_are_short_and_the_reason_behind_them_stays() {
        let long = "x".repeat(100_000);
        let said = in_short(&format!(
            "the width \u{201c}{long}\u{201d} cannot be worked out: it is too long"
        ));
        assert!(
            said.ends_with("x\u{2026}\u{201d} cannot be worked out: it is too long"),
            "{said}"
        );
        assert!(said.chars().count() < 130, "{said}");
        assert_eq!(in_short(&long).chars().count(), LONGEST_SENTENCE + 2);
        let plain = "\u{201c}A\u{201d} and \u{201c}B\u{201d}: 3 \u{d7} 4";
        assert_eq!(in_short(plain), plain);
    }
}
