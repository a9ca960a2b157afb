//! Choices that make an outline over: what is known of the old one goes into the new.

use heartside_timber::document::{Guide, PITH, Tool, Zone};
use serde_json::{Value, json};

use super::path;
use super::reading::Reader;

/// Millimetres to either side of the pith that are marked with it.
const PITH_HALF: f64 = 15.0;

fn form_of(thing: &Value, at: &str) -> String {
    path::get(thing, &format!("{at}.form"))
        .and_then(Value::as_str)
        .unwrap_or("none")
        .to_owned()
}

/// Lengths of the old outline, whatever it was: along and across.
struct Size {
    along: Value,
    across: Value,
}

fn first(thing: &Value, at: &str, names: &[&str]) -> Option<Value> {
    names
        .iter()
        .find_map(|name| path::get(thing, &format!("{at}.{name}")).cloned())
}

fn extent(points: &Value, axis: usize, reader: &Reader<'_>) -> Option<(f64, f64)> {
    let mut values = points
        .as_array()?
        .iter()
        .filter_map(|p| reader.millimetres(p.get(axis)?));
    let start = values.next()?;
    Some(values.fold((start, start), |(low, high), v| (low.min(v), high.max(v))))
}

fn size(thing: &Value, at: &str, reader: &Reader<'_>) -> Size {
    let unmeasured = || json!({ "typed": "" });
    if let Some(points) = path::get(thing, &format!("{at}.points")) {
        let span = |axis| {
            extent(points, axis, reader).map_or_else(unmeasured, |(low, high)| json!(high - low))
        };
        return Size {
            along: span(0),
            across: span(1),
        };
    }
    Size {
        along: first(thing, at, &["length", "diameter"]).unwrap_or_else(unmeasured),
        across: first(thing, at, &["width", "start_width", "diameter"]).unwrap_or_else(unmeasured),
    }
}

fn corners(size: &Size, reader: &Reader<'_>) -> Value {
    // Corners need numbers; where none is known yet a hand's breadth is there to be typed over.
    let along = reader
        .millimetres(&size.along)
        .filter(|v| *v > 0.0)
        .unwrap_or(100.0);
    let across = reader
        .millimetres(&size.across)
        .filter(|v| *v > 0.0)
        .unwrap_or(100.0);
    json!([[0.0, 0.0], [along, 0.0], [along, across], [0.0, across]])
}

pub(super) fn part_shape_now(part: &Value) -> String {
    match form_of(part, "shape").as_str() {
        "none" => "rectangle".to_owned(),
        form => form.to_owned(),
    }
}

/// Gives a part another shape of about the same size.
pub(super) fn part_shape(part: &mut Value, form: &str, reader: &Reader<'_>) {
    let size = size(part, "shape", reader);
    let holes = path::get(part, "shape.holes").cloned();
    let mut shape = match form {
        "taper" => {
            json!({ "form": form, "length": size.along, "start_width": size.across, "end_width": size.across })
        }
        "disc" => json!({ "form": form, "diameter": size.along }),
        "ellipse" => json!({ "form": form, "length": size.along, "width": size.across }),
        "arc_sided" => {
            json!({ "form": form, "points": corners(&size, reader), "swells": [0.0, 0.0, 0.0, 0.0] })
        }
        "polygon" => json!({ "form": form, "points": corners(&size, reader) }),
        _ => json!({ "form": "rectangle", "length": size.along, "width": size.across }),
    };
    if let (Some(points), "arc_sided" | "polygon") =
        (path::get(part, "shape.points").cloned(), form)
    {
        if form == "arc_sided" {
            let straight = vec![json!(0.0); points.as_array().map_or(0, Vec::len)];
            shape["swells"] = Value::Array(straight);
        }
        shape["points"] = points;
        if let Some(holes) = holes {
            shape["holes"] = holes;
        }
    }
    part["shape"] = shape;
}

pub(super) fn made_now(part: &Value) -> String {
    if path::get(part, "panel").is_some() {
        "staves"
    } else {
        "one"
    }
    .to_owned()
}

/// Makes a part a panel, by the usual rules until others are written in, or a part in one piece again.
pub(super) fn made(part: &mut Value, way: &str, _reader: &Reader<'_>) {
    if way == "staves" {
        part["panel"] = json!({});
    } else if let Some(record) = part.as_object_mut() {
        record.remove("panel");
    }
}

pub(super) fn board_outline_now(board: &Value) -> String {
    match form_of(board, "outline").as_str() {
        "none" => "tape".to_owned(),
        form => form.to_owned(),
    }
}

/// Gives a board the other way of being measured.
pub(super) fn board_outline(board: &mut Value, form: &str, reader: &Reader<'_>) {
    let outline = if form == "polygon" {
        from_tape(board, reader)
    } else {
        to_tape(board, reader)
    };
    board["outline"] = outline;
}

fn from_tape(board: &Value, reader: &Reader<'_>) -> Value {
    let mm = |v: Option<&Value>| v.and_then(|v| reader.millimetres(v));
    let length = mm(path::get(board, "outline.length")).unwrap_or(1000.0);
    let stations: Vec<(f64, f64, f64)> = path::get(board, "outline.stations")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(|s| Some((mm(s.get("at"))?, mm(s.get("left"))?, mm(s.get("right"))?)))
        .collect();
    let stations = match stations.as_slice() {
        [] => vec![(0.0, 50.0, 50.0), (length, 50.0, 50.0)],
        [only] => vec![(0.0, only.1, only.2), (length, only.1, only.2)],
        several => several.to_vec(),
    };
    let edge = |name: &str| {
        path::get(board, &format!("outline.{name}"))
            .cloned()
            .unwrap_or_else(|| json!("raw"))
    };
    let (mut points, mut sides) = (Vec::new(), Vec::new());
    let last = stations.len() - 1;
    for (i, (at, _, right)) in stations.iter().enumerate() {
        points.push(json!([at, -right]));
        sides.push(if i == last {
            edge("end")
        } else {
            edge("right")
        });
    }
    for (i, (at, left, _)) in stations.iter().enumerate().rev() {
        points.push(json!([at, left]));
        sides.push(if i == 0 { edge("start") } else { edge("left") });
    }
    json!({ "form": "polygon", "points": points, "sides": sides })
}

fn to_tape(board: &Value, reader: &Reader<'_>) -> Value {
    let points = path::get(board, "outline.points")
        .cloned()
        .unwrap_or(Value::Null);
    let (low, high) = extent(&points, 1, reader).unwrap_or((-50.0, 50.0));
    let (start, end) = extent(&points, 0, reader).unwrap_or((0.0, 1000.0));
    // The chalk line lies at y = 0 where the board has it inside, else along its right-hand edge.
    let (left, right) = if low <= 0.0 && high >= 0.0 {
        (high, -low)
    } else {
        (high - low, 0.0)
    };
    json!({
        "form": "tape",
        "length": end - start,
        "stations": [
            { "at": 0.0, "left": left, "right": right },
            { "at": end - start, "left": left, "right": right },
        ],
    })
}

pub(super) fn zone_shape_now(zone: &Value) -> String {
    match form_of(zone, "shape").as_str() {
        "none" => "span".to_owned(),
        form => form.to_owned(),
    }
}

/// Gives a zone another way of being measured.
pub(super) fn zone_shape(zone: &mut Value, form: &str, reader: &Reader<'_>) {
    let size = size(zone, "shape", reader);
    let shape = match form {
        "span" => json!({
            "form": "span", "oval": true, "begins": 0.0, "ends": size.along, "near": 0.0, "far": size.across,
        }),
        "strip" => json!({ "form": "strip", "side": "right", "width": size.across }),
        "polygon" => {
            let mm = |name: &str| {
                path::get(zone, &format!("shape.{name}")).and_then(|v| reader.millimetres(v))
            };
            let (along, across) = (mm("along").unwrap_or(100.0), mm("across").unwrap_or(0.0));
            let half = |v: &Value| reader.millimetres(v).filter(|v| *v > 0.0).unwrap_or(40.0) / 2.0;
            let (l, w) = (half(&size.along), half(&size.across));
            json!({ "form": "polygon", "points": [
                [along - l, across - w], [along + l, across - w], [along + l, across + w], [along - l, across + w],
            ]})
        }
        _ => {
            let middle = |axis| {
                let points = path::get(zone, "shape.points")?;
                extent(points, axis, reader).map(|(low, high)| (low + high) / 2.0)
            };
            let from = if path::get(zone, "shape.points").is_some() {
                "chalk_line"
            } else {
                "right_edge"
            };
            json!({
                "form": "spot", "oval": true, "from": from,
                "along": middle(0).unwrap_or(100.0), "across": middle(1).unwrap_or(30.0),
                "length": size.along, "width": size.across,
            })
        }
    };
    zone["shape"] = shape;
}

pub(super) fn warp_now(board: &Value) -> String {
    if path::get(board, "warp").is_some() {
        "measured"
    } else {
        "unknown"
    }
    .to_owned()
}

/// Says that the warp was measured (and found to be nothing until gaps are written in), or was not.
pub(super) fn warp(board: &mut Value, state: &str, _reader: &Reader<'_>) {
    if state == "measured" {
        board["warp"] = json!({});
    } else if let Some(record) = board.as_object_mut() {
        record.remove("warp");
    }
}

fn is_pith(zone: &Value) -> bool {
    serde_json::from_value::<Zone>(zone.clone()).is_ok_and(|zone| zone.is_pith())
}

pub(super) fn pith_now(board: &Value) -> String {
    let zones = path::get(board, "zones").and_then(Value::as_array);
    if zones.is_some_and(|zones| zones.iter().any(is_pith)) {
        "marked"
    } else if path::get(board, "rings.pith_allowed") == Some(&json!(true)) {
        "allowed"
    } else {
        "open"
    }
    .to_owned()
}

/// Marks the pith of a boxed heart as a defect along the middle of the board, or allows it in parts, or
/// leaves it open again.
pub(super) fn pith(board: &mut Value, state: &str, reader: &Reader<'_>) {
    let zone = json!({
        "kind": "defect",
        "note": PITH,
        "shape": along_the_middle(board, reader),
    });
    let mut zones = path::get(board, "zones").cloned().unwrap_or_default();
    if let Value::Array(zones) = &mut zones {
        zones.retain(|zone| !is_pith(zone));
    } else {
        zones = json!([]);
    }
    if let (Value::Array(zones), "marked") = (&mut zones, state) {
        zones.push(zone);
    }
    board["zones"] = zones;
    board["rings"]["pith_allowed"] = json!(state == "allowed");
}

/// A strip from end to end, as wide as pith and the checks round it mostly are: common practice
/// without a source, to be typed over.
fn along_the_middle(board: &Value, reader: &Reader<'_>) -> Value {
    let mm = |v: Option<&Value>| v.and_then(|v| reader.millimetres(v));
    let points = path::get(board, "outline.points");
    let of_points = |axis| points.and_then(|points| extent(points, axis, reader));
    let stations = path::get(board, "outline.stations").and_then(Value::as_array);
    let middles: Vec<f64> = stations
        .into_iter()
        .flatten()
        .filter_map(|s| Some((mm(s.get("left"))? - mm(s.get("right"))?) / 2.0))
        .collect();
    let length = mm(path::get(board, "outline.length"));
    let length = length.or_else(|| of_points(0).map(|(low, high)| high - low));
    let middle = match of_points(1) {
        Some((low, high)) => (low + high) / 2.0,
        None => middles.iter().sum::<f64>() / middles.len().max(1) as f64,
    };
    let middle = middle.round();
    json!({
        "form": "span",
        "oval": false,
        "begins": 0.0,
        "ends": length.unwrap_or(1000.0),
        "edge": "chalk_line",
        "near": middle - PITH_HALF,
        "far": middle + PITH_HALF,
    })
}

/// A tool as far as it can be read.
pub(super) fn as_tool(tool: &Value) -> Tool {
    let readable = ["does", "guide", "work_moves", "leaves_true_edge"]
        .into_iter()
        .filter_map(|field| {
            let one = json!({ field: path::get(tool, field)? });
            serde_json::from_value::<Tool>(one.clone()).ok()?;
            Some((field.to_owned(), one.get(field)?.clone()))
        });
    serde_json::from_value(Value::Object(readable.collect())).unwrap_or_default()
}

/// What guides the cut, in one word for guide and movement.
pub(super) fn guide_now(tool: &Value) -> String {
    let tool = as_tool(tool);
    match tool.guide {
        Guide::None => "hand",
        Guide::Along if tool.moves_the_work() => "rip_fence",
        Guide::Along => "rail",
        Guide::Square => "square",
    }
    .to_owned()
}

/// Sets what guides the cut. Along a guide the work either moves or stays; else it stays as it
/// was until then, or is the usual.
pub(super) fn guide(tool: &mut Value, word: &str, _reader: &Reader<'_>) {
    let was_along = as_tool(tool).guide == Guide::Along;
    let (guide, moves) = match word {
        "rip_fence" => ("along", Some(true)),
        "rail" => ("along", Some(false)),
        "square" => ("square", None),
        _ => ("none", None),
    };
    tool["guide"] = json!(guide);
    match moves {
        Some(moves) => tool["work_moves"] = json!(moves),
        None if was_along => {
            if let Some(record) = tool.as_object_mut() {
                record.remove("work_moves");
            }
        }
        None => {}
    }
}

pub(super) fn work_moves_now(tool: &Value) -> String {
    if as_tool(tool).moves_the_work() {
        "moves"
    } else {
        "stays"
    }
    .to_owned()
}

pub(super) fn work_moves(tool: &mut Value, word: &str, _reader: &Reader<'_>) {
    tool["work_moves"] = json!(word == "moves");
}

pub(super) fn true_edge_now(tool: &Value) -> String {
    if as_tool(tool).edge_is_true() {
        "yes"
    } else {
        "no"
    }
    .to_owned()
}

pub(super) fn true_edge(tool: &mut Value, word: &str, _reader: &Reader<'_>) {
    tool["leaves_true_edge"] = json!(word == "yes");
}

/// Whether the maker wants to see a figure.
pub(super) fn wanted_now(zone: &Value) -> String {
    let weight = path::get(zone, "weight").and_then(Value::as_f64);
    let word = match weight.unwrap_or(1.0) {
        weight if weight > 0.0 => "wanted",
        weight if weight < 0.0 => "unwanted",
        _ => "either",
    };
    word.to_owned()
}

/// Makes a figure wanted or not; how much, as a file may say it, stays while the word does.
pub(super) fn wanted(zone: &mut Value, word: &str, _reader: &Reader<'_>) {
    if word == wanted_now(zone) {
        return;
    }
    match word {
        "unwanted" => path::put(zone, "weight", json!(-1)),
        "either" => path::put(zone, "weight", json!(0)),
        _ => {
            path::take_away(zone, "weight");
            true
        }
    };
}
