//! Writes blocks of maps and what our correlation makes of them for the outside oracle, one JSON object a line.
//!
//! `cargo run -p heartside-testkit --example correlation_cases -- 12 > cases.jsonl`

#![allow(clippy::print_stdout)]

use heartside_figure::map::Layer;
use heartside_figure::matching::correlated;
use heartside_testkit::{AnsweringSettings, Chance, answering_boards};
use serde_json::json;

fn main() {
    let count = std::env::args().nth(1).and_then(|n| n.parse().ok());
    let settings = AnsweringSettings {
        stave: [240.0, 60.0],
        board: [500.0, 160.0],
        both_faces: 0,
        ..AnsweringSettings::default()
    };
    for case in 0..count.unwrap_or(12) {
        let boards = answering_boards(case, &settings);
        let mut chance = Chance::new(case);
        let large = &boards.maps[1].light;
        let small = block(&boards.maps[0].light, &mut chance);
        let values = |layer: &Layer| -> Vec<Option<f64>> {
            let value = |l: &u8| (*l > 0).then(|| (f64::from(*l) - 128.0) / 128.0);
            layer.levels.iter().map(value).collect()
        };
        let (a, b) = (values(&small), values(large));
        let least = (a.len() / 2) as f64;
        let [alike, turned] = correlated((&a, small.columns), (&b, large.columns), least);
        println!(
            "{}",
            json!({
                "case": case,
                "small": a, "small_columns": small.columns,
                "large": b, "large_columns": large.columns,
                "least": least,
                "alike": alike, "turned": turned,
            })
        );
    }
}

/// A part of a layer, some of its cells made unseen.
fn block(layer: &Layer, chance: &mut Chance) -> Layer {
    let (columns, rows) = (30 + chance.below(20), 8 + chance.below(8));
    let left = chance.below(layer.columns - columns);
    let low = chance.below(layer.rows() - rows);
    let mut levels = Vec::new();
    for row in low..low + rows {
        levels.extend(&layer.levels[row * layer.columns + left..][..columns]);
    }
    for level in &mut levels {
        if chance.percent(10) {
            *level = 0;
        }
    }
    Layer {
        columns,
        levels,
        ..layer.clone()
    }
}
