//! Forms: every field of every thing of a job, as tables of plain words.
//!
//! A thing is edited as the JSON that stands in its file: a field is a path such as
//! `outline.stations[2].left`, the same path that problems name. A [`Spec`] says how the
//! field is called, read and shown; the tables in this folder hold nothing else. Text
//! that cannot be read is kept where it was typed, so that nothing typed is lost, and
//! `prepare` names it.

mod board;
mod job;
mod part;
mod path;
mod reading;
mod spec;
mod switches;
mod workshop;
mod zone;

pub(crate) use job::{Head, head_of, put_head};
pub(crate) use reading::Reader;
pub(crate) use spec::{Column, Sheet, Spec};

use serde::{Serialize, de::DeserializeOwned};
use serde_json::Value;

use crate::protocol::{Field, Table, TableRow, Thing, ThingKind};

/// The fields and tables of a kind of thing.
pub(crate) fn sheet(kind: ThingKind) -> Option<&'static Sheet> {
    match kind {
        ThingKind::Job => Some(&job::JOB),
        ThingKind::Workshop => Some(&workshop::WORKSHOP),
        ThingKind::Allowances => Some(&workshop::ALLOWANCES),
        ThingKind::Board => Some(&board::BOARD),
        ThingKind::Zone => Some(&zone::ZONE),
        ThingKind::Part => Some(&part::PART),
        ThingKind::Tool => Some(&workshop::TOOL),
        ThingKind::Dimension => Some(&job::DIMENSION),
        ThingKind::Match => Some(&job::MATCH),
        ThingKind::Species => Some(&job::SPECIES),
        ThingKind::Station | ThingKind::Corner => None,
    }
}

/// The fields of a thing as they stand.
pub(crate) fn fields(sheet: &Sheet, thing: &Value, reader: &Reader<'_>) -> Vec<Field> {
    sheet.fields.iter().filter(|spec| (spec.when)(thing)).map(|spec| spec.field(spec.path, thing, reader)).collect()
}

/// The tables of a thing as they stand.
pub(crate) fn tables(sheet: &Sheet, thing: &Value, of: &Thing, reader: &Reader<'_>) -> Vec<Table> {
    sheet
        .tables
        .iter()
        .filter(|rows| (rows.when)(thing))
        .map(|rows| {
            let count = path::get(thing, rows.list).and_then(Value::as_array).map_or(0, Vec::len);
            Table {
                label: rows.label.to_owned(),
                columns: rows.columns.iter().map(|c| c.spec.label.to_owned()).collect(),
                rows: (0..count)
                    .map(|index| TableRow {
                        thing: Thing {
                            kind: rows.kind,
                            row: of.row,
                            index: Some(index as u32),
                            of_part: of.kind == ThingKind::Part,
                        },
                        title: format!("{} {}", rows.row_label, index + 1),
                        cells: rows
                            .columns
                            .iter()
                            .map(|c| c.spec.field(&c.path(index), thing, reader))
                            .collect(),
                    })
                    .collect(),
                adds: rows.kind,
                add_label: rows.add_label.to_owned(),
                opens: rows.opens,
                hint: (!rows.hint.is_empty()).then(|| rows.hint.to_owned()),
            }
        })
        .collect()
}

/// What typing a text into a field came to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Typed<T> {
    /// The thing with the text in it. It may be wrong in that field: then why.
    Taken {
        /// The thing.
        thing: T,
        /// "length", for the label of the undo step.
        label: String,
        /// What is wrong with the text, which is kept.
        problem: Option<String>,
    },
    /// The text is what stands there already.
    Same,
    /// Nothing is changed, and why.
    Refused(String),
}

/// Types a text into a field of a thing.
pub(crate) fn type_into<T>(kind: ThingKind, thing: &T, field: &str, text: &str, reader: &Reader<'_>) -> Typed<T>
where
    T: Serialize + DeserializeOwned + KeepsBadText,
{
    let Some(spec) = sheet(kind).and_then(|s| s.find(field)) else {
        return Typed::Refused(format!("there is no field \u{201c}{field}\u{201d} here"));
    };
    let Ok(mut value) = serde_json::to_value(thing) else {
        return Typed::Refused("this cannot be edited".to_owned());
    };
    if spec.text_of(field, &value, reader) == text {
        return Typed::Same;
    }
    let problem = match spec.put(field, &mut value, text, reader) {
        Ok(problem) => problem,
        Err(refused) => return Typed::Refused(refused),
    };
    match serde_json::from_value::<T>(value.clone()) {
        Ok(thing) => Typed::Taken { thing, label: spec.name_in_undo(), problem },
        Err(_) => match T::keep_bad(value, field) {
            Some(thing) => Typed::Taken { thing, label: spec.name_in_undo(), problem },
            None => Typed::Refused(problem.unwrap_or_else(|| "this cannot be put here".to_owned())),
        },
    }
}

/// A thing that can hold a text where its type wants something else: as an unknown field
/// of the same name, which is how the reader of files keeps such a value too.
pub(crate) trait KeepsBadText: Sized {
    /// The thing with the misfit of this field kept, or nothing where it cannot be.
    fn keep_bad(value: Value, field: &str) -> Option<Self>;
}

macro_rules! keeps_bad_text {
    ($($type:ty),* $(,)?) => {
        $(impl KeepsBadText for $type {
            fn keep_bad(mut value: Value, field: &str) -> Option<Self> {
                let key = field.split(['.', '[']).next()?;
                let misfit = value.as_object_mut()?.remove(key)?;
                let mut thing: Self = serde_json::from_value(value).ok()?;
                let written = serde_json::to_value(&thing).ok()?;
                if written.get(key).is_some() {
                    // It is always written: a second one of the name would spoil the file.
                    return None;
                }
                thing.unknown.insert(key.to_owned(), misfit);
                Some(thing)
            }
        })*
    };
}

use heartside_timber::document as doc;
keeps_bad_text!(doc::Board, doc::Zone, doc::Tool, doc::Workshop, doc::Allowances, doc::Dimension, doc::Species);

impl KeepsBadText for Head {
    fn keep_bad(mut value: Value, field: &str) -> Option<Self> {
        let misfit = value.as_object_mut()?.remove(field)?;
        let mut head: Head = serde_json::from_value(value).ok()?;
        head.unknown.insert(field.to_owned(), misfit);
        Some(head)
    }
}

impl KeepsBadText for doc::Part {
    fn keep_bad(mut value: Value, field: &str) -> Option<Self> {
        if let Some(inner) = field.strip_prefix("grain.") {
            let misfit = value.get_mut("grain")?.as_object_mut()?.remove(inner)?;
            let mut part: doc::Part = serde_json::from_value(value).ok()?;
            part.grain.unknown.insert(inner.to_owned(), misfit);
            return Some(part);
        }
        let misfit = value.as_object_mut()?.remove(field)?;
        let mut part: doc::Part = serde_json::from_value(value).ok()?;
        part.unknown.insert(field.to_owned(), misfit);
        Some(part)
    }
}

impl KeepsBadText for doc::Match {
    fn keep_bad(_value: Value, _field: &str) -> Option<Self> {
        None
    }
}

#[cfg(test)]
mod tests;
