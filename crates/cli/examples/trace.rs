//! What the engines do natively, step by step, for the comparison with Chromium.
//!
//! `cargo run -p heartside-cli --example trace -- FOLDER` writes one file a job:
//! the job's text, the way, and after every thousand steps the best plan and the state of
//! the generators. The browser test `same-answer.spec.ts` runs the same in Chromium.

use std::path::Path;

use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{CutApart, JobSize, cut_apart, sawn_apart, workshop_job};
use heartside_timber::document::Document;
use heartside_timber::prepare::prepare;

/// Steps between two looks, and how many looks.
const EVERY: u64 = 1000;
const LOOKS: u64 = 2;

fn main() {
    let folder = std::env::args()
        .nth(1)
        .expect("name the folder to write to");
    std::fs::create_dir_all(&folder).expect("the folder can be made");
    for (index, (way, document)) in jobs().into_iter().enumerate() {
        let text = document.save();
        let job = prepare(
            &Document::open(&text)
                .expect("our own document opens")
                .document,
        )
        .job;
        let wanted = if way == "sawn" {
            WayWanted::Sawn
        } else {
            WayWanted::Straight
        };
        let settings = Settings {
            seed: index as u32,
            worker: 0,
            workers: 1,
            way: wanted,
            ..Settings::default()
        };
        let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
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

/// Thirty jobs, half of them for each engine.
fn jobs() -> Vec<(&'static str, Document)> {
    (0..30u32)
        .map(|seed| {
            let mut document = match seed % 6 {
                0 | 2 => workshop_job(
                    seed,
                    JobSize {
                        boards: 3,
                        pieces: 12,
                        sawn: 0,
                    },
                ),
                4 => cut_apart(seed, CutApart::default()),
                1 | 3 => workshop_job(
                    seed,
                    JobSize {
                        boards: 2,
                        pieces: 8,
                        sawn: 100,
                    },
                ),
                _ => sawn_apart(seed, 2, 4),
            };
            document.plan = None;
            (if seed % 2 == 0 { "straight" } else { "sawn" }, document)
        })
        .collect()
}
