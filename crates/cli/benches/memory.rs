//! The memory that a search holds over a long run, natively. `cargo xtask bench --memory` runs
//! this and the same in Chromium.
//!
//! `cargo bench -p heartside-cli --bench memory -- [--jobs FOLDER] [--steps NUMBER]`: bytes that
//! are allocated and not given back after a tenth of the steps, two tenths and so on, a hundred
//! times as many with straight cuts, which are as much quicker; with a folder, the jobs are
//! written there for the browser's run. Results are JSON lines.
#![allow(clippy::print_stdout, missing_docs)]

use std::path::Path;

use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{JobSize, workshop_job};
use heartside_timber::prepare::prepare;
use peak_alloc::PeakAlloc;

#[global_allocator]
static HELD: PeakAlloc = PeakAlloc;

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let value = |name: &str| {
        let place = arguments.iter().position(|a| a == name)?;
        arguments.get(place + 1)
    };
    let steps: u64 = value("--steps").map_or(20_000, |n| n.parse().expect("a number of steps"));
    for (name, sawn, way, steps) in [
        ("straight", 0, WayWanted::Straight, 100 * steps),
        ("sawn", 100, WayWanted::Sawn, steps),
    ] {
        let size = JobSize {
            boards: 12,
            pieces: 60,
            sawn,
        };
        let document = workshop_job(1, size);
        if let Some(folder) = value("--jobs").map(Path::new) {
            std::fs::create_dir_all(folder).expect("the folder can be made");
            std::fs::write(folder.join(format!("{name}.json")), document.save()).expect("written");
        }
        let job = prepare(&document).job;
        let before = HELD.current_usage();
        let settings = Settings {
            way,
            ..Settings::default()
        };
        let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
        for tenth in 1..=10 {
            search.step(steps / 10);
            println!(
                "{}",
                serde_json::json!({
                    "way": name,
                    "steps": tenth * (steps / 10),
                    "held": HELD.current_usage() - before,
                })
            );
        }
    }
}
