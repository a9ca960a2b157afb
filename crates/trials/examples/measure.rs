//! Measures the search on generated jobs or job files: what is placed, cost against bound, steps a second.
//!
//! `cargo run --release -p heartside-trials --example measure -- SECONDS [FILE...]`
#![allow(clippy::print_stdout)]

use std::time::Instant;

use heartside_nest::{Search, Settings, WayWanted};
use heartside_timber::finding::Severity;
use heartside_timber::job::Job;
use heartside_timber::prepare::prepare;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let seconds: f64 = arguments.next().map_or(Ok(2.0), |s| s.parse())?;
    let files: Vec<String> = arguments.collect();
    let mut jobs: Vec<(String, Job)> = Vec::new();
    for file in &files {
        let text = std::fs::read_to_string(file)?;
        if file.ends_with(".heartside.json") {
            jobs.push((file.clone(), prepare(&serde_json::from_str(&text)?).job));
        } else {
            let instance = heartside_trials::instance::Instance::read(&text, &Default::default())?;
            println!("best known {:?}", instance.best_known);
            jobs.push((file.clone(), instance.job));
        }
    }
    if files.is_empty() {
        for seed in 0..4 {
            let size = heartside_testkit::JobSize {
                boards: 12,
                pieces: 60,
                sawn: 0,
            };
            jobs.push((
                format!("12 boards, 60 pieces, {seed}"),
                prepare(&heartside_testkit::workshop_job(seed, size)).job,
            ));
        }
    }
    for (name, job) in jobs {
        let start = Instant::now();
        let mut search = Search::new(
            &job,
            Settings {
                way: WayWanted::Straight,
                beside: heartside_trials::ENGINES,
                ..Settings::default()
            },
        )?;
        let made = start.elapsed();
        let mut first = None;
        while start.elapsed().as_secs_f64() < seconds {
            let status = search.step(if first.is_none() { 1 } else { 500 });
            if status.improved && first.is_none() {
                first = Some((start.elapsed(), search.best().placed_count()));
            }
            if status.finished {
                break;
            }
        }
        let plan = search.best();
        let found = heartside_check::check(&job, plan)
            .iter()
            .filter(|f| f.severity == Severity::Broken)
            .count();
        println!(
            "{name}: made in {made:.1?}, first plan {first:?}, placed {} of {}, boards {}, score {:?}, bound {:.3}, proved {:?}, steps {}, broken {found}",
            plan.placed_count(),
            job.piece_count(),
            plan.layouts.len(),
            search.score(),
            search.bound().value,
            search.bound().proved_for,
            plan.made.steps,
        );
        for u in &plan.unplaced {
            println!(
                "   not placed: {} x{} {:?} {:?}",
                u.part,
                u.copies.len(),
                u.reason,
                u.least_board
            );
        }
    }
    Ok(())
}
