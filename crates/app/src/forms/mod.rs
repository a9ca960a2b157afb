//! Forms: every field of every thing of a job, as tables of plain words.
//!
//! A thing is edited as the JSON that stands in its file: a field is a path such as
//! `outline.stations[2].left`, the same path that problems name. A [`Spec`] says how the
//! field is called, read and shown; the tables in this folder hold nothing else. Text
//! that cannot be read is kept where it was typed, so that nothing typed is lost, and
//! `prepare` names it.

mod aside;
mod asking;
mod board;
mod job;
mod part;
mod path;
mod reading;
mod several;
mod spec;
mod switches;
mod wishes;
mod workshop;
mod zone;

pub(crate) use job::{Glued, Head, glued_of, head_of, put_glued, put_head};
pub(crate) use reading::{Reader, UsualText};
pub(crate) use spec::Sheet;

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
    sheet
        .fields
        .iter()
        .filter(|spec| (spec.when)(thing))
        .map(|spec| spec.field(spec.path, thing, reader))
        .collect()
}

/// The tables of a thing as they stand.
pub(crate) fn tables(sheet: &Sheet, thing: &Value, of: &Thing, reader: &Reader<'_>) -> Vec<Table> {
    sheet
        .tables
        .iter()
        .filter(|rows| (rows.when)(thing))
        .map(|rows| {
            let count = path::get(thing, rows.list)
                .and_then(Value::as_array)
                .map_or(0, Vec::len);
            Table {
                label: rows.label.to_owned(),
                columns: rows
                    .columns
                    .iter()
                    .map(|c| c.spec.label.to_owned())
                    .collect(),
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
                goes_on: rows.kind == ThingKind::Station && board::far_end_is_open(thing, reader),
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

/// A thing as its file has it, with what was kept aside back in its fields.
pub(crate) fn as_typed<T: Serialize>(thing: &T) -> Value {
    let mut value = serde_json::to_value(thing).unwrap_or(Value::Null);
    aside::bring_back(&mut value);
    value
}

/// Types a text into a field of a thing.
pub(crate) fn type_into<T>(
    kind: ThingKind,
    thing: &T,
    field: &str,
    text: &str,
    reader: &Reader<'_>,
) -> Typed<T>
where
    T: Serialize + DeserializeOwned,
{
    let Some(spec) = sheet(kind).and_then(|s| s.find(field)) else {
        return Typed::Refused(format!("there is no field \u{201c}{field}\u{201d} here"));
    };
    let Ok(mut value) = serde_json::to_value(thing) else {
        return Typed::Refused("this cannot be edited".to_owned());
    };
    let mut doubtful = aside::bring_back(&mut value);
    if spec.text_of(field, &value, reader) == text {
        return Typed::Same;
    }
    let problem = match spec.put(field, &mut value, text, reader) {
        Ok(problem) => problem,
        Err(refused) => return Typed::Refused(refused),
    };
    if !doubtful.iter().any(|f| f == field) {
        doubtful.push(field.to_owned());
    }
    match aside::settle(value, doubtful) {
        Some(thing) => Typed::Taken {
            thing,
            label: spec.name_in_undo(),
            problem,
        },
        None => Typed::Refused(problem.unwrap_or_else(|| "this cannot be put here".to_owned())),
    }
}

#[cfg(test)]
mod tests;
