//! Texts of fields that hold a choice of two, several words, points or parts: how they are read and shown.

use heartside_timber::length::LengthContext;
use serde_json::{Value, json};

use super::reading::{LengthKind, Reader, Written};

pub(super) fn flag_word(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

pub(super) fn read_flag(text: &str) -> Result<bool, String> {
    match text {
        "yes" => Ok(true),
        "no" => Ok(false),
        _ => Err(format!("\u{201c}{text}\u{201d} is neither yes nor no")),
    }
}

pub(super) fn words(text: &str) -> Written {
    let list: Vec<Value> = text
        .split(',')
        .map(str::trim)
        .filter(|w| !w.is_empty())
        .map(|w| json!(w))
        .collect();
    if list.is_empty() {
        Written::nothing()
    } else {
        Written::good(Value::Array(list))
    }
}

/// Reads chains of points. Along and across are parted by a comma, points by a semicolon.
pub(super) fn chains(text: &str, reader: &Reader<'_>) -> Written {
    let kind = LengthKind {
        signed: true,
        needed: true,
        context: LengthContext::Length,
    };
    let number = |piece: &str| reader.read_signed(piece, reader.units.unit, kind).ok();
    let point = |piece: &str| {
        let (along, across) = piece.split_once(',')?;
        Some(json!([number(along.trim())?, number(across.trim())?]))
    };
    let lines: Vec<&str> = text
        .lines()
        .map(str::trim)
        .filter(|l| !l.is_empty())
        .collect();
    if lines.is_empty() {
        return Written::nothing();
    }
    let read: Option<Vec<Value>> = lines
        .iter()
        .map(|line| {
            let points: Option<Vec<Value>> = line
                .split(';')
                .map(str::trim)
                .filter(|p| !p.is_empty())
                .map(point)
                .collect();
            points.map(Value::Array)
        })
        .collect();
    match read {
        Some(list) => Written::good(Value::Array(list)),
        None => Written {
            value: Some(json!(text)),
            problem: Some(
                "write one chain of points a line, like 0, 0; 200, 15; 400, 0 (along, across)"
                    .to_owned(),
            ),
        },
    }
}

pub(super) fn chains_text(value: &Value, reader: &Reader<'_>) -> String {
    if let Some(text) = value.as_str() {
        return text.to_owned();
    }
    let number = |v: Option<&Value>| {
        v.map(|v| match v.as_f64() {
            Some(mm) => reader.unrounded(mm),
            None => reader.length_text(v).replace(',', "."),
        })
        .unwrap_or_default()
    };
    let chain = |list: &Value| {
        let points: Vec<String> = list
            .as_array()
            .into_iter()
            .flatten()
            .map(|p| format!("{}, {}", number(p.get(0)), number(p.get(1))))
            .collect();
        points.join("; ")
    };
    value
        .as_array()
        .into_iter()
        .flatten()
        .map(chain)
        .collect::<Vec<_>>()
        .join("\n")
}

/// Reads copies of parts by id or name: `Leg 1, Leg 2` or `leg 1; rail`.
pub(super) fn copies(text: &str, reader: &Reader<'_>) -> Result<Value, String> {
    let mut list = Vec::new();
    for piece in text
        .split([',', ';', '\n'])
        .map(str::trim)
        .filter(|p| !p.is_empty())
    {
        let known = |name: &str| {
            reader
                .parts
                .iter()
                .find(|(id, called)| id == name || called.eq_ignore_ascii_case(name))
                .map(|(id, _)| id.clone())
        };
        let with_number = piece
            .rsplit_once(' ')
            .and_then(|(name, number)| Some((known(name.trim())?, number.parse::<u32>().ok()?)));
        let found = known(piece).map(|id| (id, 1)).or(with_number);
        let Some((id, copy)) = found else {
            return Err(format!(
                "there is no part called \u{201c}{piece}\u{201d}; write names from the list of parts with the number of the copy, like Leg 1, Leg 2"
            ));
        };
        list.push(json!({ "part": id, "copy": copy }));
    }
    Ok(Value::Array(list))
}

pub(super) fn copies_text(value: &Value, reader: &Reader<'_>) -> String {
    let one = |copy: &Value| {
        let id = copy.get("part").and_then(Value::as_str).unwrap_or_default();
        let name = reader
            .parts
            .iter()
            .find(|(known, _)| known == id)
            .map_or(id, |(_, name)| name);
        // A name with a comma would be read as two.
        let name = if name.contains([',', ';']) { id } else { name };
        format!(
            "{name} {}",
            copy.get("copy").and_then(Value::as_u64).unwrap_or(1)
        )
    };
    value
        .as_array()
        .into_iter()
        .flatten()
        .map(one)
        .collect::<Vec<_>>()
        .join(", ")
}
