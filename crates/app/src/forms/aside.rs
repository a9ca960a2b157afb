//! What cannot stand in its field is kept aside in its thing, as the reader of files keeps it.

use heartside_timber::keep::{KEPT_ASIDE, kept_in};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::path;

/// Puts what was kept aside back into its fields, wherever nothing else stands there now,
/// and tells those fields.
pub(super) fn bring_back(thing: &mut Value) -> Vec<String> {
    let Some(list) = thing.get(KEPT_ASIDE).cloned() else {
        return Vec::new();
    };
    let mut back = Vec::new();
    let mut left = Vec::new();
    for (kept, raw) in kept_in(&list)
        .into_iter()
        .zip(list.as_array().into_iter().flatten())
    {
        let free = kept.known && !kept.field.is_empty() && path::get(thing, &kept.field).is_none();
        if free && path::put(thing, &kept.field, kept.value) {
            back.push(kept.field);
        } else {
            left.push(raw.clone());
        }
    }
    put_list(thing, left);
    back
}

fn put_list(thing: &mut Value, list: Vec<Value>) {
    let Some(record) = thing.as_object_mut() else {
        return;
    };
    if list.is_empty() {
        record.remove(KEPT_ASIDE);
    } else {
        record.insert(KEPT_ASIDE.to_owned(), Value::Array(list));
    }
}

/// Reads a thing; of the doubtful fields those that cannot stand are kept aside.
///
/// Nothing where it cannot be read without them either.
/// A doubtful field that is empty takes the record along that cannot do without it.
pub(super) fn settle<T: DeserializeOwned>(thing: Value, doubtful: Vec<String>) -> Option<T> {
    if let Ok(sound) = T::deserialize(&thing) {
        return Some(sound);
    }
    let mut sound = thing;
    for field in &doubtful {
        // A record goes with the field that makes it one: without an amount there is no price.
        if path::get(&sound, field).is_none()
            && let Some((parent, _)) = field.rsplit_once('.')
        {
            path::take_away(&mut sound, parent);
        }
    }
    if let Ok(sound) = T::deserialize(&sound) {
        return Some(sound);
    }
    let thing = sound.clone();
    let mut out = Vec::new();
    for field in doubtful.into_iter().rev() {
        let Some(value) = path::get(&sound, &field).cloned() else {
            continue;
        };
        path::take_away(&mut sound, &field);
        out.push((field, value));
    }
    // A record that cannot do without one of its fields goes aside as a whole.
    while T::deserialize(&sound).is_err() {
        let (field, _) = out.last()?;
        let parent = field.rsplit_once('.')?.0.to_owned();
        let value = path::get(&thing, &parent)?.clone();
        path::take_away(&mut sound, &parent);
        out.pop();
        out.push((parent, value));
    }
    let mut list = thing
        .get(KEPT_ASIDE)
        .and_then(Value::as_array)
        .cloned()
        .unwrap_or_default();
    for (field, value) in out {
        let mut with = sound.clone();
        if path::put(&mut with, &field, value.clone()) && T::deserialize(&with).is_ok() {
            sound = with;
        } else {
            list.push(json!({ "field": field, "value": value, "known": true }));
        }
    }
    put_list(&mut sound, list);
    T::deserialize(&sound).ok()
}
