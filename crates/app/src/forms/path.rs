//! Paths into JSON: `outline.stations[2].left`.

use serde_json::{Map, Value};

/// No list of a job is longer; a far index is a mistake of the caller.
const MOST_ROWS: usize = 5000;

enum Step<'a> {
    Key(&'a str),
    Index(usize),
}

fn steps(path: &str) -> Vec<Step<'_>> {
    let mut found = Vec::new();
    for piece in path.split('.') {
        let mut rest = piece;
        if let Some(open) = rest.find('[') {
            if open > 0 {
                found.push(Step::Key(&rest[..open]));
            }
            rest = &rest[open..];
            for index in rest.split(['[', ']']).filter(|s| !s.is_empty()) {
                match index.parse() {
                    Ok(index) => found.push(Step::Index(index)),
                    Err(_) => found.push(Step::Key(index)),
                }
            }
        } else {
            found.push(Step::Key(rest));
        }
    }
    found
}

/// What stands at a path.
pub(super) fn get<'a>(value: &'a Value, path: &str) -> Option<&'a Value> {
    let mut at = value;
    for step in steps(path) {
        at = match step {
            Step::Key(key) => at.get(key)?,
            Step::Index(index) => at.get(index)?,
        };
    }
    (!at.is_null()).then_some(at)
}

/// Puts a value at a path and makes the records on the way.
///
/// A list that lags behind its fellow (the sides behind the corners) is filled up with
/// what counts where nothing is said: a raw side, a swell of 0. False where something
/// else stands in the way.
pub(super) fn put(value: &mut Value, path: &str, new: Value) -> bool {
    let mut at = value;
    for step in steps(path) {
        match step {
            Step::Key(key) => {
                if at.is_null() {
                    *at = Value::Object(Map::new());
                }
                let Some(record) = at.as_object_mut() else {
                    return false;
                };
                at = record.entry(key.to_owned()).or_insert(Value::Null);
            }
            Step::Index(index) => {
                if at.is_null() {
                    *at = Value::Array(Vec::new());
                }
                let Some(list) = at.as_array_mut() else {
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
                at = &mut list[index];
            }
        }
    }
    *at = new;
    true
}

/// Takes away what stands at a path of keys, and records on the way that are empty then.
pub(super) fn take_away(value: &mut Value, path: &str) {
    let (parent, key) = match path.rfind('.') {
        Some(dot) => (&path[..dot], &path[dot + 1..]),
        None => ("", path),
    };
    let Some(record) = target(value, parent).and_then(Value::as_object_mut) else {
        return;
    };
    record.remove(key);
    let empty = record.is_empty();
    if empty && !parent.is_empty() && !parent.ends_with(']') {
        take_away(value, parent);
    }
}

fn target<'a>(value: &'a mut Value, path: &str) -> Option<&'a mut Value> {
    if path.is_empty() {
        return Some(value);
    }
    let mut at = value;
    for step in steps(path) {
        at = match step {
            Step::Key(key) => at.get_mut(key)?,
            Step::Index(index) => at.get_mut(index)?,
        };
    }
    Some(at)
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
