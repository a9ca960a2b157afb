//! Paths into JSON: `outline.stations[2].left`.

use heartside_timber::path::{Step, at, at_mut, read_path};
use serde_json::{Map, Value};

/// No list of a job is longer; a far index is a mistake of the caller.
const MOST_ROWS: usize = 5000;

/// What stands at a path.
pub(super) fn get<'a>(value: &'a Value, path: &str) -> Option<&'a Value> {
    at(value, &read_path(path)?).filter(|found| !found.is_null())
}

/// Puts a value at a path and makes the records on the way.
///
/// A list that lags behind its fellow (the sides behind the corners) is filled up with
/// what counts where nothing is said: a raw side, a swell of 0. False where something
/// else stands in the way.
pub(super) fn put(value: &mut Value, path: &str, new: Value) -> bool {
    let Some(steps) = read_path(path) else {
        return false;
    };
    let mut place = value;
    for step in steps {
        match step {
            Step::Key(key) => {
                if place.is_null() {
                    *place = Value::Object(Map::new());
                }
                let Some(record) = place.as_object_mut() else {
                    return false;
                };
                place = record.entry(key).or_insert(Value::Null);
            }
            Step::Row(index) => {
                if place.is_null() {
                    *place = Value::Array(Vec::new());
                }
                let Some(list) = place.as_array_mut() else {
                    return false;
                };
                if index > MOST_ROWS {
                    return false;
                }
                let neutral = if new.is_string() {
                    Value::from("raw")
                } else {
                    Value::from(0.0)
                };
                while list.len() <= index {
                    list.push(neutral.clone());
                }
                place = &mut list[index];
            }
        }
    }
    *place = new;
    true
}

/// Takes away what stands at a path of keys, and records on the way that are empty then.
pub(super) fn take_away(value: &mut Value, path: &str) {
    let (parent, key) = match path.rfind('.') {
        Some(dot) => (&path[..dot], &path[dot + 1..]),
        None => ("", path),
    };
    let Some(record) = read_path(parent)
        .and_then(|steps| at_mut(value, &steps))
        .and_then(Value::as_object_mut)
    else {
        return;
    };
    record.remove(key);
    let empty = record.is_empty();
    if empty && !parent.is_empty() && !parent.ends_with(']') {
        take_away(value, parent);
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn paths_reach_keys_and_rows() {
        let mut value = json!({"a": {"b": [{"c": 1}, {"c": 2}]}});
        assert_eq!(get(&value, "a.b[1].c"), Some(&json!(2)));
        assert!(put(&mut value, "a.b[1].c", json!(3)));
        assert!(put(&mut value, "sides[2]", json!("straight")));
        assert_eq!(
            get(&value, "sides"),
            Some(&json!(["raw", "raw", "straight"]))
        );
        assert_eq!(get(&value, "a.b[1].c"), Some(&json!(3)));
        assert!(!put(&mut value, "a.b[900000].c", json!(3)));
        assert!(!put(&mut value, "a.b.c", json!(3)));
    }

    #[test]
    fn taking_away_leaves_no_empty_record() {
        let mut value = json!({"a": {"b": {"c": 1}}, "d": 2});
        take_away(&mut value, "a.b.c");
        assert_eq!(value, json!({"d": 2}));
        take_away(&mut value, "x.y");
        assert_eq!(value, json!({"d": 2}));
    }
}
