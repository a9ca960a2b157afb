//! Paths of fields, such as `outline.stations[2].note`.

use serde_json::{Map, Value};

/// One step into a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Into a field.
    Key(String),
    /// Into a row of a list.
    Row(usize),
}

/// The path as text. A key that holds one of the signs `.[]"\` is quoted, so that every
/// path reads back.
pub fn path_text(steps: &[Step]) -> String {
    let mut text = String::new();
    for step in steps {
        match step {
            Step::Key(key) => {
                if !text.is_empty() {
                    text.push('.');
                }
                if key.is_empty() || key.contains(['.', '[', ']', '"', '\\']) {
                    text.push_str(&Value::String(key.clone()).to_string());
                } else {
                    text.push_str(key);
                }
            }
            Step::Row(row) => text.push_str(&format!("[{row}]")),
        }
    }
    text
}

/// Reads a path back; nothing if it is not one.
pub fn read_path(text: &str) -> Option<Vec<Step>> {
    let mut steps = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        if let Some(after) = rest.strip_prefix('[') {
            let (row, after) = after.split_once(']')?;
            steps.push(Step::Row(row.parse().ok()?));
            rest = after;
            continue;
        }
        if !steps.is_empty() {
            rest = rest.strip_prefix('.')?;
        }
        if rest.starts_with('"') {
            let mut quoted = serde_json::Deserializer::from_str(rest).into_iter::<String>();
            steps.push(Step::Key(quoted.next()?.ok()?));
            rest = &rest[quoted.byte_offset()..];
        } else {
            let end = rest.find(['.', '[']).unwrap_or(rest.len());
            if end == 0 {
                return None;
            }
            steps.push(Step::Key(rest[..end].to_owned()));
            rest = &rest[end..];
        }
    }
    Some(steps)
}

/// The value at the end of a path.
pub fn at<'a>(value: &'a Value, steps: &[Step]) -> Option<&'a Value> {
    steps.iter().try_fold(value, |value, step| match step {
        Step::Key(key) => value.get(key),
        Step::Row(row) => value.get(row),
    })
}

/// The value at the end of a path, to be changed.
pub fn at_mut<'a>(value: &'a mut Value, steps: &[Step]) -> Option<&'a mut Value> {
    steps.iter().try_fold(value, |value, step| match step {
        Step::Key(key) => value.get_mut(key),
        Step::Row(row) => value.get_mut(row),
    })
}

/// A value with nothing in it but `leaf` at the end of the path; lists have one row.
pub(crate) fn alone(steps: &[Step], leaf: Value) -> Value {
    steps.iter().rev().fold(leaf, |inner, step| match step {
        Step::Key(key) => Value::Object(Map::from_iter([(key.clone(), inner)])),
        Step::Row(_) => Value::Array(vec![inner]),
    })
}

/// How many steps lead to the row that keeps what is at the end of a path aside: the
/// innermost board, zone, part, tool or other row with room for it; 0 for the job itself.
pub(crate) fn keeper(steps: &[Step]) -> usize {
    const LISTS: [&str; 11] = [
        "boards",
        "zones",
        "parts",
        "tools",
        "dimensions",
        "species",
        "panels",
        "plans",
        "done",
        "photos",
        "figure_maps",
    ];
    let mut found = 0;
    for (k, pair) in steps.windows(2).enumerate() {
        match pair {
            [Step::Key(key), Step::Row(_)] if LISTS.contains(&key.as_str()) => found = k + 2,
            // A row without room ends the search: what is inside has no keeper of its own.
            [Step::Key(_), Step::Row(_)] => break,
            _ => {}
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(name: &str) -> Step {
        Step::Key(name.into())
    }

    #[test]
    fn paths_read_back() {
        for steps in [
            vec![],
            vec![key("a")],
            vec![
                key("a"),
                Step::Row(3),
                key("b"),
                Step::Row(0),
                Step::Row(12),
            ],
            vec![key("a.b"), key(""), key("[0]"), key("q\"\\")],
            vec![Step::Row(2), key("é x")],
        ] {
            assert_eq!(read_path(&path_text(&steps)), Some(steps));
        }
        for bad in ["a..b", "a[x]", "a[1", ".a", "[1]b", "\"a", "a\"b\"."] {
            let read = read_path(bad);
            assert!(
                read.is_none() || read.map(|s| path_text(&s)) != Some(bad.into()),
                "{bad}"
            );
        }
    }

    #[test]
    fn the_innermost_row_with_room_keeps_things_aside() {
        let path = |text: &str| read_path(text).expect("a path");
        assert_eq!(keeper(&path("title")), 0);
        assert_eq!(keeper(&path("boards[1].thickness")), 2);
        assert_eq!(keeper(&path("boards[1].zones[2].shape")), 4);
        assert_eq!(keeper(&path("boards[1].outline.stations[2].note")), 2);
        assert_eq!(keeper(&path("workshop.tools[0].kerf")), 3);
        assert_eq!(keeper(&path("matches[0].kind")), 0);
        assert_eq!(keeper(&path("plans[0].plan.layouts[3]")), 2);
    }
}
