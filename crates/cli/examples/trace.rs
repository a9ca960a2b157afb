//! What the engines do natively, step by step, for the comparison with Chromium.
//!
//! `cargo run -p heartside-cli --example trace -- FOLDER` writes one file a job:
//! the job's text, the way, and after every few hundred steps the best plan and the state of
//! the generators. The browser test `same-answer.spec.ts` runs the same in Chromium.

// What is skipped is said.
#![allow(clippy::print_stdout)]

#[path = "../tests/same_plans/jobs.rs"]
#[allow(dead_code)] // Names and steps are the record's.
mod recorded;

use std::path::Path;
use std::sync::Arc;

use heartside_app::figure::judge_figure;
use heartside_nest::{Giving, Remake, Settings, WayWanted};
use heartside_timber::document::Document;
use heartside_timber::plan::Way;
use heartside_timber::prepare::{prepare, prepare_with};

/// Steps between two looks, and how many looks.
const EVERY: u64 = 200;
const LOOKS: u64 = 2;

fn main() {
    let folder = std::env::args()
        .nth(1)
        .expect("name the folder to write to");
    std::fs::create_dir_all(&folder).expect("the folder can be made");
    for (index, (way, document)) in jobs().into_iter().enumerate() {
        let text = document.save();
        let opened = Document::open(&text).expect("our own document opens");
        let mut job = prepare(&opened.document).job;
        // As the page's search begins.
        judge_figure(&mut job);
        let remake: Remake = Arc::new(move |choices| prepare_with(&opened.document, choices).job);
        let wanted = match way {
            "sawn" => WayWanted::Sawn,
            "straight" => WayWanted::Straight,
            _ => WayWanted::AsJob,
        };
        let settings = Settings {
            seed: index as u32,
            worker: 0,
            workers: 1,
            way: wanted,
            ..Settings::default()
        };
        let mut search = Giving::new(&job, settings, remake).expect("worker 0 of 1 exists");
        let looks: Vec<serde_json::Value> = (0..LOOKS)
            .map(|_| {
                let status = search.step(EVERY);
                serde_json::json!({
                    "steps": status.steps,
                    "state": search.fingerprint(),
                    "plan": serde_json::to_string(search.best()).expect("a plan can be written"),
                })
            })
            .collect();
        let line = serde_json::json!({
            "way": way, "seed": index, "every": EVERY, "job": text, "looks": looks,
        });
        let path = Path::new(&folder).join(format!("{index:02}.json"));
        std::fs::write(path, line.to_string()).expect("the folder can be written");
    }
}

/// The jobs whose plans are recorded.
fn jobs() -> Vec<(&'static str, Document)> {
    let published = recorded::instances().into_iter().map(|(instance, _)| {
        let way = match instance.way {
            Way::Straight => WayWanted::Straight,
            Way::Sawn => WayWanted::Sawn,
        };
        (way, recorded::as_document(&instance))
    });
    recorded::fixtures()
        .into_iter()
        .chain(recorded::generated())
        .map(|r| (r.way, r.document))
        .chain(published)
        .map(|(way, mut document)| {
            document.plan = None;
            let way = match way {
                WayWanted::AsJob => "as_job",
                WayWanted::Straight => "straight",
                WayWanted::Sawn => "sawn",
            };
            (way, document)
        })
        .collect()
}
