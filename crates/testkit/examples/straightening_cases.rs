//! Writes marks of photographs for the outside oracle, with where our straightening finds the board's
//! corners, one JSON object a line.
//!
//! `cargo run -p heartside-testkit --example straightening_cases -- 300 > cases.jsonl`

#![allow(clippy::print_stdout)]

use heartside_figure::{Given, straighten};
use heartside_geometry::Bounds;
use heartside_testkit::{PhotoSettings, photo_marks};
use serde_json::{Value, json};

fn main() {
    let count = std::env::args().nth(1).and_then(|n| n.parse().ok());
    for case in 0..count.unwrap_or(300) {
        if let Some(line) = told(case) {
            println!("{line}");
        }
    }
}

/// A photograph with four to eight marks, off by up to two pixels, some lenses bent.
fn told(case: u32) -> Option<Value> {
    let settings = PhotoSettings {
        length: 600.0 + f64::from(case % 7) * 400.0,
        width: 90.0 + f64::from(case % 5) * 60.0,
        size: if case.is_multiple_of(4) {
            [3000, 4000]
        } else {
            [4000, 3000]
        },
        bend: if case.is_multiple_of(9) { -0.01 } else { 0.0 },
        marks: 4 + case as usize % 5,
        spanning: 0.4 + 0.1 * f64::from(case % 6),
        marks_off: 0.5 * f64::from(case / 5 % 5),
        ..PhotoSettings::default()
    };
    let (camera, marks) = photo_marks(case, &settings);
    let board = Bounds::of_size(settings.length, settings.width);
    let found = straighten(&Given {
        marks: &marks,
        checks: &[],
        board,
        size: settings.size,
    });
    let view = found.ok()?.view;
    let mut off = 0.0_f64;
    let mut corners = Vec::new();
    for corner in board.corners() {
        let spot = camera.spot_of(corner);
        let place = view.place_of(spot)?;
        off = off.max(place.distance(corner));
        corners.push(json!({ "seen": [spot.x, spot.y], "place": [place.x, place.y] }));
    }
    let marks: Vec<Value> = marks
        .iter()
        .map(|m| json!({ "seen": [m.seen.x, m.seen.y], "place": [m.place.x, m.place.y] }))
        .collect();
    let given = marks.len();
    Some(json!({ "case": case, "given": given, "off": off, "marks": marks, "corners": corners }))
}
