//! Writes a document; what was kept aside goes back to its place where that is free.

use serde_json::{Map, Value};

use crate::document::{Document, Unknown};
use crate::keep::KEPT_ASIDE;
use crate::path::{Step, alone, at, at_mut, read_path};

/// The text of the file.
pub(super) fn text(document: &Document) -> String {
    // Written straight from the type, fields keep the order in which they are described.
    let plain = if keeps_nothing(document) {
        serde_json::to_string_pretty(document)
    } else {
        let mut value = serde_json::to_value(document).unwrap_or_default();
        put_all_back(&mut value);
        serde_json::to_string_pretty(&value)
    };
    // A document holds no map with keys other than strings, so that writing cannot fail.
    let mut text = plain.unwrap_or_default();
    text.push('\n');
    text
}

fn keeps_nothing(document: &Document) -> bool {
    let nothing = |unknown: &Unknown| !unknown.contains_key(KEPT_ASIDE);
    nothing(&document.unknown)
        && document
            .workshop
            .tools
            .iter()
            .all(|row| nothing(&row.unknown))
        && document.dimensions.iter().all(|row| nothing(&row.unknown))
        && document.species.iter().all(|row| nothing(&row.unknown))
        && document
            .boards
            .iter()
            .all(|row| nothing(&row.unknown) && row.zones.iter().all(|zone| nothing(&zone.unknown)))
        && document.parts.iter().all(|row| nothing(&row.unknown))
        && document.panels.iter().all(|row| nothing(&row.unknown))
        && document.plans.iter().all(|row| nothing(&row.unknown))
        && document.done.iter().all(|row| nothing(&row.unknown))
        && document.photos.iter().all(|row| nothing(&row.unknown))
        && document.figure_maps.iter().all(|row| nothing(&row.unknown))
}

/// Puts everything back that finds its place free, the innermost rows first.
pub(super) fn put_all_back(document: &mut Value) {
    for row in 0..count(document, "/boards") {
        rows(document, &[key("boards"), Step::Row(row), key("zones")]);
    }
    rows(document, &[key("workshop"), key("tools")]);
    for list in [
        "dimensions",
        "species",
        "boards",
        "parts",
        "panels",
        "plans",
        "done",
        "photos",
        "figure_maps",
    ] {
        rows(document, &[key(list)]);
    }
    put_back(document, &[]);
}

fn key(name: &str) -> Step {
    Step::Key(name.to_owned())
}

fn count(document: &Value, pointer: &str) -> usize {
    document
        .pointer(pointer)
        .and_then(Value::as_array)
        .map_or(0, Vec::len)
}

fn rows(document: &mut Value, list: &[Step]) {
    let rows = at(document, list)
        .and_then(Value::as_array)
        .map_or(0, Vec::len);
    for row in 0..rows {
        let mut path = list.to_vec();
        path.push(Step::Row(row));
        put_back(document, &path);
    }
}

/// What reading and writing makes of a value alone at a path; nothing if it cannot stand.
fn settled(path: &[Step], value: Value) -> Option<Value> {
    let document: Document = serde::Deserialize::deserialize(&alone(path, value)).ok()?;
    let written = serde_json::to_value(document).ok()?;
    // Alone in its list, every row is the first.
    let first: Vec<Step> = path
        .iter()
        .map(|step| {
            if matches!(step, Step::Row(_)) {
                Step::Row(0)
            } else {
                step.clone()
            }
        })
        .collect();
    at(&written, &first).cloned()
}

/// The value that stands in a field of which nothing was said.
fn usual(path: &[Step]) -> Option<Value> {
    let (last, parents) = path.split_last()?;
    at(
        &settled(parents, Value::Object(Map::new()))?,
        std::slice::from_ref(last),
    )
    .cloned()
}

/// Puts back what the row at `holder` keeps aside, in the order in which it was found.
/// What finds its place taken stays in the list.
fn put_back(document: &mut Value, holder: &[Step]) {
    let Some(Value::Object(fields)) = at_mut(document, holder) else {
        return;
    };
    // Anything but a list with something in it was not made here and stays as it is.
    let Some(Value::Array(list)) = fields.get(KEPT_ASIDE).filter(|l| has_rows(l)).cloned() else {
        return;
    };
    fields.remove(KEPT_ASIDE);
    let mut left = Vec::new();
    let mut whole: Option<(Value, Value)> = None;
    for entry in list {
        let path = entry
            .get("field")
            .and_then(Value::as_str)
            .and_then(read_path);
        match (path, entry.get("value").cloned()) {
            (Some(path), Some(value))
                if path.is_empty() && !holder.is_empty() && whole.is_none() =>
            {
                whole = Some((value, entry));
            }
            (Some(path), Some(value)) if !path.is_empty() => {
                let full: Vec<Step> = holder.iter().chain(&path).cloned().collect();
                if !put_one_back(document, &full, value) {
                    left.push(entry);
                }
            }
            _ => left.push(entry),
        }
    }
    if let Some((value, entry)) = whole {
        let there = at(document, holder).cloned().unwrap_or_default();
        let untouched = settled(holder, there) == settled(holder, Value::Object(Map::new()));
        match at_mut(document, holder) {
            Some(row) if untouched && left.is_empty() => *row = value,
            _ => left.push(entry),
        }
    }
    if let Some(Value::Object(fields)) = at_mut(document, holder).filter(|_| !left.is_empty()) {
        fields.insert(KEPT_ASIDE.to_owned(), Value::Array(left));
    }
}

fn has_rows(list: &Value) -> bool {
    list.as_array().is_some_and(|rows| !rows.is_empty())
}

/// True if the value could go back to its place.
fn put_one_back(document: &mut Value, path: &[Step], value: Value) -> bool {
    let Some((last, parents)) = path.split_last() else {
        return false;
    };
    match (at_mut(document, parents), last) {
        (Some(Value::Object(fields)), Step::Key(key)) => {
            let free = fields
                .get(key)
                .is_none_or(|there| there.is_null() || Some(there) == usual(path).as_ref());
            if free {
                fields.insert(key.clone(), value);
            }
            free
        }
        (Some(Value::Array(rows)), Step::Row(row)) => {
            rows.insert((*row).min(rows.len()), value);
            true
        }
        // A list that is empty is left out on writing.
        (None, Step::Row(_)) => match parents.split_last() {
            Some((Step::Key(key), above)) => match at_mut(document, above) {
                Some(Value::Object(fields)) if !fields.contains_key(key) => {
                    fields.insert(key.clone(), Value::Array(vec![value]));
                    true
                }
                _ => false,
            },
            _ => false,
        },
        _ => false,
    }
}
