//! Values that no field can hold, kept beside the thing they belong to.
//!
//! A value of the wrong form (`"surface": 5`), or a field inside something that has no room
//! for strangers, is moved into the list `kept_aside` of the nearest board, part, tool or
//! other row, so that it is named, shown and never lost. On saving it goes back where it was
//! unless something else stands there now.

use serde_json::Value;

use crate::document::Unknown;

/// The name of the list.
pub const KEPT_ASIDE: &str = "kept_aside";

/// One value kept aside.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Path of the field from the thing that keeps it, such as `outline.stations[2].note`;
    /// empty for the whole thing.
    pub field: String,
    /// The value, to the letter.
    pub value: Value,
    /// It is a field of this version that could not be read, rather than an unknown one.
    pub known: bool,
}

/// The entries of a `kept_aside` list; whatever else stands there counts as unknown.
pub fn kept_in(list: &Value) -> Vec<Kept> {
    let Some(list) = list.as_array() else {
        return vec![Kept {
            field: KEPT_ASIDE.into(),
            value: list.clone(),
            known: false,
        }];
    };
    list.iter()
        .map(|entry| {
            let field = entry.get("field").and_then(Value::as_str);
            match (field, entry.get("value")) {
                (Some(field), Some(value)) => Kept {
                    field: field.to_owned(),
                    value: value.clone(),
                    known: entry.get("known") == Some(&Value::Bool(true)),
                },
                _ => Kept {
                    field: KEPT_ASIDE.into(),
                    value: entry.clone(),
                    known: false,
                },
            }
        })
        .collect()
}

/// Fields without which a thing can be used all the same.
const HARMLESS: [&str; 7] = [
    "name",
    "note",
    "price",
    "moisture",
    "heart_side",
    "rings",
    "from",
];

/// Whether something that matters for a layout could not be read.
pub(crate) fn lacks_something(unknown: &Unknown) -> bool {
    unknown.get(KEPT_ASIDE).is_some_and(|list| {
        kept_in(list).iter().any(|kept| {
            let first = kept.field.split(['.', '[']).next().unwrap_or_default();
            kept.known && !HARMLESS.contains(&first)
        })
    })
}
