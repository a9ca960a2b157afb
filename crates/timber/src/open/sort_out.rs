//! Parts what can be read from what cannot, without a second description of the form.
//!
//! The types themselves are asked: a value stands if a document with nothing else in it
//! can be read. So the innermost values that cannot stand are found one by one, whatever
//! the types become.

use serde_json::{Map, Value};

use super::restore::put_all_back;
use crate::document::Document;
use crate::keep::KEPT_ASIDE;
use crate::path::{Step, alone, at_mut, keeper, path_text};

/// What has to be kept aside.
struct Aside {
    path: Vec<Step>,
    value: Value,
    known: bool,
}

/// Reads a document; what cannot be read is kept aside in it.
pub(super) fn document(value: Value) -> Document {
    sorted_out(value, &mut read)
}

/// A sound document is read once; one that is not, once for each level of what is wrong.
fn sorted_out(value: Value, read: &mut Read<'_>) -> Document {
    let mut aside = Vec::new();
    let mut readable = value;
    // What an earlier program could not read may be readable now.
    put_all_back(&mut readable);
    let mut document = read(&readable);
    if document.is_none() {
        let mut sorter = Sorter {
            path: Vec::new(),
            aside: Vec::new(),
            read,
        };
        readable = sorter
            .sort(&readable)
            .unwrap_or_else(|| Value::Object(Map::new()));
        aside = sorter.aside;
        document = read(&readable);
    }
    let written = document
        .as_ref()
        .map(|document| serde_json::to_value(document).unwrap_or_default());
    let mut lost = Lost {
        path: Vec::new(),
        aside: Vec::new(),
    };
    lost.compare(&readable, &written.unwrap_or_default());
    aside.extend(lost.aside);
    if aside.is_empty() {
        return document.unwrap_or_default();
    }
    for entry in aside {
        keep(&mut readable, entry);
    }
    // Whatever was moved, what is left has been read before.
    read(&readable).unwrap_or_default()
}

/// Reads a document, if nothing in it is of the wrong form.
fn read(value: &Value) -> Option<Document> {
    serde::Deserialize::deserialize(value).ok()
}

type Read<'r> = dyn FnMut(&Value) -> Option<Document> + 'r;

struct Sorter<'s, 'r> {
    path: Vec<Step>,
    aside: Vec<Aside>,
    read: &'s mut Read<'r>,
}

impl Sorter<'_, '_> {
    fn stands(&mut self, value: Value) -> bool {
        (self.read)(&alone(&self.path, value)).is_some()
    }

    /// What of a value can stand; the rest is put aside.
    fn sort(&mut self, value: &Value) -> Option<Value> {
        if self.stands(value.clone()) {
            return Some(value.clone());
        }
        let sorted = match value {
            Value::Object(fields) if self.stands(Value::Object(Map::new())) => {
                Value::Object(self.sort_fields(fields))
            }
            Value::Array(rows) if self.stands(Value::Array(Vec::new())) => {
                Value::Array(self.sort_rows(rows))
            }
            _ => Value::Null,
        };
        if !sorted.is_null() && self.stands(sorted.clone()) {
            return Some(sorted);
        }
        // The whole of it goes aside, and nothing of its inside twice.
        let depth = self.path.len();
        self.aside
            .retain(|entry| !entry.path.starts_with(&self.path[..depth]));
        self.aside.push(Aside {
            path: self.path.clone(),
            value: value.clone(),
            known: true,
        });
        None
    }

    fn sort_fields(&mut self, fields: &Map<String, Value>) -> Map<String, Value> {
        let mut kept = Map::new();
        for (key, value) in fields {
            self.path.push(Step::Key(key.clone()));
            if let Some(value) = self.sort(value) {
                kept.insert(key.clone(), value);
            }
            self.path.pop();
        }
        kept
    }

    /// A row that cannot stand leaves an empty one behind where that can be, so that what
    /// it was keeps its place and its neighbours their numbers.
    fn sort_rows(&mut self, rows: &[Value]) -> Vec<Value> {
        let mut kept = Vec::with_capacity(rows.len());
        for (row, value) in rows.iter().enumerate() {
            self.path.push(Step::Row(row));
            match self.sort(value) {
                Some(value) => kept.push(value),
                None if self.stands(Value::Object(Map::new())) => {
                    kept.push(Value::Object(Map::new()));
                }
                None => {}
            }
            self.path.pop();
        }
        kept
    }
}

/// Finds what was there before reading and is not there after writing.
struct Lost {
    path: Vec<Step>,
    aside: Vec<Aside>,
}

impl Lost {
    fn compare(&mut self, before: &Value, after: &Value) {
        match (before, after) {
            (Value::Object(before), Value::Object(after)) => {
                for (key, value) in before {
                    self.path.push(Step::Key(key.clone()));
                    match after.get(key) {
                        Some(found) => self.compare(value, found),
                        None if says_nothing(value) => {}
                        None => self.aside.push(Aside {
                            path: self.path.clone(),
                            value: value.clone(),
                            known: false,
                        }),
                    }
                    self.path.pop();
                }
            }
            (Value::Array(before), Value::Array(after)) => {
                for (row, (value, found)) in before.iter().zip(after).enumerate() {
                    self.path.push(Step::Row(row));
                    self.compare(value, found);
                    self.path.pop();
                }
            }
            _ => {}
        }
    }
}

/// Empty values are left out on writing and mean the same as nothing.
fn says_nothing(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::String(text) => text.is_empty(),
        Value::Array(rows) => rows.is_empty(),
        _ => false,
    }
}

/// Adds an entry to the list of its keeper.
fn keep(document: &mut Value, entry: Aside) {
    let steps = keeper(&entry.path);
    let mut kept = Map::new();
    kept.insert(
        "field".into(),
        Value::String(path_text(&entry.path[steps..])),
    );
    kept.insert("value".into(), entry.value);
    kept.insert("known".into(), Value::Bool(entry.known));
    let Some(Value::Object(holder)) = at_mut(document, &entry.path[..steps]) else {
        return;
    };
    let list = holder
        .entry(KEPT_ASIDE)
        .or_insert_with(|| Value::Array(Vec::new()));
    if !list.is_array() {
        // A field of that name was there already: it becomes the first entry.
        *list = Value::Array(vec![list.take()]);
    }
    if let Value::Array(list) = list {
        list.push(Value::Object(kept));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reads_of(text: &str) -> usize {
        let mut reads = 0;
        let mut counting = |value: &Value| {
            reads += 1;
            read(value)
        };
        let found = sorted_out(serde_json::from_str(text).unwrap(), &mut counting);
        assert_eq!(found.boards.len(), 1);
        reads
    }

    #[test]
    fn a_sound_file_is_read_once() {
        assert_eq!(reads_of(r#"{ "boards": [{ "id": "A", "mine": 3 }] }"#), 1);
        assert!(reads_of(r#"{ "boards": [{ "id": "A", "thickness": [] }] }"#) > 1);
    }
}
