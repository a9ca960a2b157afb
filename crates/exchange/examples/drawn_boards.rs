//! Reads drawings for the outside oracle: what boards each file gives, one JSON object a line.
//!
//! `cargo run -p heartside-exchange --example drawn_boards -- board.svg board.dxf`

#![allow(clippy::print_stdout)]

use heartside_exchange::outlines::{Read, Said, read_dxf, read_svg};
use heartside_geometry::{Point, Ring};
use heartside_timber::document::{Board, BoardOutline, Length, ZoneShape};
use heartside_timber::ids::TakenIds;
use serde_json::{Value, json};

fn main() -> std::io::Result<()> {
    for path in std::env::args().skip(1) {
        let text = heartside_exchange::text_of(&std::fs::read(&path)?);
        let reader = if path.ends_with(".svg") {
            read_svg
        } else {
            read_dxf
        };
        let told = match reader(&text, &Said::default(), &mut TakenIds::default()) {
            Read::AskUnit { extent } => json!({ "file": path, "asked": extent }),
            Read::Boards(read) => json!({
                "file": path,
                "boards": read.boards.iter().map(board).collect::<Vec<Value>>(),
                "messages": read.diagnostics.iter().map(|d| d.code.clone()).collect::<Vec<_>>(),
            }),
        };
        println!("{told}");
    }
    Ok(())
}

fn board(board: &Board) -> Value {
    let Some(BoardOutline::Polygon { points, holes, .. }) = &board.outline else {
        return Value::Null;
    };
    let zones = board.zones.iter().map(|zone| match &zone.shape {
        Some(ZoneShape::Polygon { points }) => {
            json!({ "kind": zone.kind, "note": zone.note, "area": area(points) })
        }
        _ => Value::Null,
    });
    json!({
        "outer": area(points),
        "corners": points.len(),
        "holes": holes.iter().map(|hole| area(hole)).collect::<Vec<f64>>(),
        "zones": zones.collect::<Vec<Value>>(),
    })
}

fn area(points: &[[Length; 2]]) -> f64 {
    let at = |length: &Length| length.plain_mm().unwrap_or(f64::NAN);
    let points = points.iter().map(|[x, y]| Point::new(at(x), at(y)));
    Ring::new(points.collect()).map_or(f64::NAN, |ring| ring.signed_area())
}
