//! Writes random jobs with the plans that the engines make for them, each with the rules that our
//! own checker finds broken (none), one JSON object a line, for the outside oracle.
//!
//! `cargo run -p heartside-nest --example planned_jobs -- 1000 > plans.jsonl`

#![allow(clippy::print_stdout)]

use std::collections::BTreeSet;

use heartside_check::check;
use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{Chance, CutApart, JobSize, cut_apart, sawn_apart, workshop_job};
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::prepare::prepare;

fn main() {
    let count: u32 = std::env::args()
        .nth(1)
        .and_then(|n| n.parse().ok())
        .unwrap_or(100);
    for seed in 0..count {
        let mut chance = Chance::new(seed ^ 0x0b0b_0b0b);
        let (way, steps, mut document) = match seed % 8 {
            0 => (
                WayWanted::AsJob,
                120,
                workshop(seed, &mut chance, (3, 8), 40),
            ),
            1 => (
                WayWanted::Sawn,
                120,
                sawn_apart(seed, 2, 2 + chance.below(4)),
            ),
            2..=4 => (WayWanted::Straight, 800, apart(seed, &mut chance)),
            _ => (
                WayWanted::Straight,
                800,
                workshop(seed, &mut chance, (5, 20), 0),
            ),
        };
        document.plan = None;
        let job = prepare(&document).job;
        let settings = Settings {
            seed,
            way,
            ..Settings::default()
        };
        let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
        search.step(steps);
        let findings = check(&job, search.best());
        let broken = findings.iter().filter(|f| f.severity == Severity::Broken);
        let broken: BTreeSet<u8> = broken.map(|f| f.rule.number()).collect();
        document.plan = Some(search.best().clone());
        let messages: Vec<&str> = findings.iter().map(|f| f.message.as_str()).collect();
        let line = serde_json::json!({
            "case": seed, "way": format!("{way:?}"), "placed": search.best().placed_count(),
            "broken": broken, "messages": messages, "document": document,
        });
        println!("{line}");
    }
}

/// A job of up to so many boards and pieces more than the least.
fn workshop(
    seed: u32,
    chance: &mut Chance,
    (boards, pieces): (usize, usize),
    sawn: usize,
) -> Document {
    let size = JobSize {
        boards: 2 + chance.below(boards),
        pieces: 4 + chance.below(pieces),
        sawn,
    };
    workshop_job(seed, size)
}

fn apart(seed: u32, chance: &mut Chance) -> Document {
    let wanted = CutApart {
        boards: 1 + chance.below(3),
        parts_a_board: 2 + chance.below(6),
        ..CutApart::default()
    };
    cut_apart(seed, wanted)
}
