//! What the headings of a pasted list mean.

use crate::length::Unit;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    Id,
    Name,
    Count,
    Length,
    Width,
    Thickness,
    Species,
    Grain,
    Faces,
    Cut,
    Priority,
    TenonStart,
    TenonEnd,
    Note,
}

/// One column: its heading as written, and what it holds, if that is known.
pub(super) struct Column {
    pub(super) heading: String,
    pub(super) field: Option<Field>,
    /// The unit that the heading names.
    pub(super) unit: Option<Unit>,
}

impl Column {
    pub(super) fn of(heading: &str) -> Column {
        let plain: String = heading
            .to_lowercase()
            .chars()
            .map(|c| {
                if c.is_alphanumeric() || c == '"' {
                    c
                } else {
                    ' '
                }
            })
            .collect();
        let mut words: Vec<&str> = plain.split_whitespace().collect();
        let mut unit = None;
        // The last word may be a unit, unless it is all there is.
        if let Some((last, rest)) = words.split_last().filter(|(_, rest)| !rest.is_empty()) {
            unit = match *last {
                "mm" | "millimetres" | "millimeters" => Some(Unit::Millimetres),
                "in" | "inch" | "inches" | "\"" => Some(Unit::Inches),
                _ => None,
            };
            if unit.is_some() {
                words = rest.to_vec();
            }
        }
        if words.last() == Some(&"in") && words.len() > 1 {
            words.pop();
        }
        Column {
            heading: heading.trim().to_owned(),
            field: field(&words.join(" ")),
            unit,
        }
    }
}

fn field(words: &str) -> Option<Field> {
    Some(match words {
        "id" | "mark" => Field::Id,
        "name" | "part" | "part name" | "member" | "description" => Field::Name,
        "count" | "quantity" | "qty" | "number" | "no" | "how many" | "pieces" => Field::Count,
        "length" | "long" | "l" | "finished length" => Field::Length,
        "width" | "wide" | "w" | "breadth" | "finished width" => Field::Width,
        "thickness" | "thick" | "t" | "finished thickness" => Field::Thickness,
        "species" | "wood" | "timber" | "material" => Field::Species,
        "grain" | "grain direction" => Field::Grain,
        "faces" | "seen" | "seen faces" | "show faces" | "show face" => Field::Faces,
        "cut" | "cut by" | "how cut" => Field::Cut,
        "priority" => Field::Priority,
        "tenon start" | "tenon at start" | "first tenon" => Field::TenonStart,
        "tenon end" | "tenon at end" | "second tenon" => Field::TenonEnd,
        "note" | "notes" | "remark" | "remarks" | "comment" => Field::Note,
        _ => return None,
    })
}
