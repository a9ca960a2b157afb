//! What the headings of a pasted list mean.

use heartside_timber::length::Unit;

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
    Tenons,
    Shoulder,
    Note,
    LeftOut,
    /// The width at the other end; this and what follows only boards have.
    FarWidth,
    Nominal,
    Surface,
    Moisture,
    Price,
}

/// What a column can be said to mean: the word to hand over and what a person reads.
pub const MEANINGS: &[(&str, &str)] = &[
    ("note", "a note"),
    ("name", "the name"),
    ("count", "how many"),
    ("length", "the length"),
    ("width", "the width"),
    ("thickness", "the thickness"),
    ("tenons", "a tenon at both ends"),
    ("tenon_start", "the tenon at the start"),
    ("tenon_end", "the tenon at the far end"),
    ("shoulder", "the length between shoulders"),
    ("species", "the species"),
    ("grain", "how the grain runs"),
    ("faces", "the faces seen"),
    ("cut", "how it is cut"),
    ("id", "the mark"),
    ("left_out", "nothing: leave it out"),
];

impl Field {
    /// The field that one of [`MEANINGS`] names.
    pub(super) fn of_meaning(word: &str) -> Option<Field> {
        Some(match word {
            "note" => Field::Note,
            "left_out" => Field::LeftOut,
            "tenons" => Field::Tenons,
            "tenon_start" => Field::TenonStart,
            "tenon_end" => Field::TenonEnd,
            "shoulder" => Field::Shoulder,
            _ => {
                return MEANINGS
                    .iter()
                    .find(|(known, _)| *known == word)
                    .and_then(|_| field(word));
            }
        })
    }
}

/// One column: its heading as written, and what it holds, if that is known.
pub(super) struct Column {
    pub(super) heading: String,
    pub(super) field: Option<Field>,
    /// What a person said that it holds, where the heading does not tell.
    pub(super) said: Option<Field>,
    /// The unit that the heading names.
    pub(super) unit: Option<Unit>,
}

impl Column {
    /// A column that typed lines have without a heading.
    pub(super) fn holding(field: Field) -> Column {
        Column {
            heading: String::new(),
            field: Some(field),
            said: None,
            unit: None,
        }
    }

    /// A column of a list of parts.
    pub(super) fn of(heading: &str) -> Column {
        Column::read(heading, field)
    }

    /// A column of a list of boards.
    pub(super) fn of_boards(heading: &str) -> Column {
        Column::read(heading, board_field)
    }

    fn read(heading: &str, field: fn(&str) -> Option<Field>) -> Column {
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
            said: None,
            unit,
        }
    }
}

fn field(words: &str) -> Option<Field> {
    Some(match words {
        "id" | "mark" | "ref" | "reference" | "part number" | "part no" | "item no" => Field::Id,
        "name" | "part" | "parts" | "part name" | "member" | "description" | "item"
        | "component" | "piece" | "label" | "title" => Field::Name,
        "count" | "quantity" | "qty" | "number" | "number off" | "no" | "nos" | "no off"
        | "off" | "how many" | "pieces" | "pcs" | "required" | "req" | "amount" => Field::Count,
        "length" | "long" | "l" | "len" | "lgth" | "finished length" | "finish length"
        | "net length" | "overall length" => Field::Length,
        "width" | "wide" | "w" | "wd" | "breadth" | "b" | "finished width" | "finish width"
        | "net width" => Field::Width,
        "thickness" | "thick" | "t" | "th" | "thk" | "thck" | "finished thickness"
        | "finish thickness" | "net thickness" => Field::Thickness,
        "species" | "wood" | "timber" | "material" | "mat" | "matl" | "mat l" | "wood species"
        | "wood type" | "stock" => Field::Species,
        "grain" | "grain direction" => Field::Grain,
        "faces" | "seen" | "seen faces" | "faces seen" | "show faces" | "show face" => Field::Faces,
        "cut" | "cut by" | "how cut" => Field::Cut,
        "priority" => Field::Priority,
        "tenon" | "tenons" | "tenon each end" | "tenon both ends" | "tenon length" => Field::Tenons,
        "tenon start" | "tenon at start" | "first tenon" | "tenon left" | "left tenon"
        | "tenon l" | "tenon 1" => Field::TenonStart,
        "tenon end" | "tenon at end" | "second tenon" | "tenon right" | "right tenon"
        | "tenon r" | "tenon 2" => Field::TenonEnd,
        "shoulder"
        | "shoulders"
        | "shoulder length"
        | "between shoulders"
        | "shoulder to shoulder" => Field::Shoulder,
        "note" | "notes" | "remark" | "remarks" | "comment" | "comments" => Field::Note,
        _ => return None,
    })
}

/// What a heading means in a list of boards.
fn board_field(words: &str) -> Option<Field> {
    Some(match words {
        "board" | "boards" | "plank" => Field::Name,
        "far width"
        | "width at far end"
        | "width at the far end"
        | "width far end"
        | "second width"
        | "other width"
        | "width 2"
        | "top width" => Field::FarWidth,
        "width 1" | "first width" | "width at start" | "width at the start" | "butt width" => {
            Field::Width
        }
        "nominal" | "sold as" | "nominal thickness" => Field::Nominal,
        "surface" | "faces" | "planed" => Field::Surface,
        "moisture" | "moisture content" | "mc" => Field::Moisture,
        "price" | "price each" | "cost" => Field::Price,
        _ => {
            return field(words).filter(|known| {
                matches!(
                    known,
                    Field::Id
                        | Field::Name
                        | Field::Count
                        | Field::Length
                        | Field::Width
                        | Field::Thickness
                        | Field::Species
                        | Field::Note
                )
            });
        }
    })
}
