//! Measures the engine for sawn boards.
//!
//! `cargo run --release -p heartside-trials --example sawn -- SECONDS SEED [FILE...]`
//! reads published instances; `apart:N:BOARDS:PARTS` in place of a file is job N of so many parts cut out of so many
//! boards (40 out of 6), whose value is the share of their area found again in per cent; `offcuts:FILE`
//! keeps the largest clear offcut of hides whole and measures the area used without it. Without files it
//! generates workshop jobs of 12 boards and 60 sawn parts.
#![allow(clippy::print_stdout, clippy::disallowed_methods)]

use heartside_nest::{Search, Settings, WayWanted};
use heartside_timber::finding::Severity;
use heartside_timber::job::Job;
use heartside_timber::prepare::prepare;
use heartside_trials::instance::{Instance, Options};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let seconds: f64 = arguments.next().map_or(Ok(10.0), |s| s.parse())?;
    let seed: u32 = arguments.next().map_or(Ok(1), |s| s.parse())?;
    let files: Vec<String> = arguments.collect();
    let mut sum = 0.0;
    for file in &files {
        if let Some(number) = file.strip_prefix("apart:") {
            let mut numbers = number.split(':');
            let mut next = |otherwise: usize| numbers.next().map_or(Ok(otherwise), |n| n.parse());
            let number = next(1)? as u32;
            let wanted = heartside_testkit::SawnCutApart {
                boards: next(6)?,
                parts: next(40)?,
                tolerance: 5.0,
            };
            let document = heartside_testkit::sawn_cut_apart(number, wanted);
            sum += measure(file, &prepare(&document).job, None, seconds, seed)?;
            continue;
        }
        let options = Options {
            keeps_offcuts: file.starts_with("offcuts:"),
            ..Options::default()
        };
        let file = file.trim_start_matches("offcuts:");
        let text = std::fs::read_to_string(file)?;
        if file.ends_with(".heartside.json") {
            let job = prepare(&serde_json::from_str(&text)?).job;
            measure(file, &job, None, seconds, seed)?;
        } else {
            let instance = Instance::read(&text, &options)?;
            sum += measure(
                &instance.name,
                &instance.job,
                Some(&instance),
                seconds,
                seed,
            )?;
        }
    }
    if files.is_empty() {
        for seed in 0..4 {
            let size = heartside_testkit::JobSize {
                boards: 12,
                pieces: 60,
                sawn: 100,
            };
            let job = prepare(&heartside_testkit::workshop_job(seed, size)).job;
            measure(&format!("workshop {seed}"), &job, None, seconds, seed)?;
        }
    } else {
        println!("mean {:.3}", sum / files.len() as f64);
    }
    Ok(())
}

/// Seconds of processor time used so far, where the system tells them (others on the machine do not count then); else by the clock.
fn seconds_used() -> f64 {
    static START: std::sync::OnceLock<std::time::Instant> = std::sync::OnceLock::new();
    let start = START.get_or_init(std::time::Instant::now);
    std::fs::read_to_string("/proc/self/schedstat")
        .ok()
        .and_then(|text| text.split(' ').next()?.parse::<f64>().ok())
        .map_or_else(|| start.elapsed().as_secs_f64(), |nanos| nanos * 1e-9)
}

fn measure(
    name: &str,
    job: &Job,
    instance: Option<&Instance>,
    seconds: f64,
    seed: u32,
) -> Result<f64, Box<dyn std::error::Error>> {
    let start = seconds_used();
    let settings = Settings {
        seed,
        way: WayWanted::Sawn,
        beside: heartside_trials::ENGINES,
        ..Settings::default()
    };
    let mut search = Search::new(job, settings)?;
    let made = seconds_used() - start;
    let mut first = None;
    while seconds_used() - start < seconds {
        let status = search.step(if first.is_none() { 1 } else { 100 });
        if first.is_none() && search.best().placed_count() > 0 {
            let value = instance.and_then(|i| i.value(search.best()));
            first = Some((
                1e3 * (seconds_used() - start),
                value,
                search.score().cost,
                search.best().placed_count(),
            ));
        }
        if status.finished {
            break;
        }
    }
    let plan = search.best();
    let broken: Vec<_> = heartside_check::check(job, plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect();
    let area = |p: &heartside_timber::job::Part| p.outline.area();
    let all: f64 = job.parts.iter().map(|p| f64::from(p.count) * area(p)).sum();
    let laid = plan.layouts.iter().flat_map(|l| &l.placements);
    let placed: f64 = laid.filter_map(|p| job.part(&p.part)).map(area).sum();
    let value = match instance {
        Some(instance) => instance.value(plan).unwrap_or(0.0),
        None => 100.0 * placed / all,
    };
    println!(
        "{name}: {value:.3} (known {:?}) placed {}/{} boards {} cost {:.3}, made {:.1} ms, first {first:.1?}, steps {}, broken {}",
        instance.and_then(|i| i.best_known),
        plan.placed_count(),
        job.piece_count(),
        plan.layouts.len(),
        search.score().cost,
        1e3 * made,
        plan.made.steps,
        broken.len()
    );
    for finding in broken.iter().take(3) {
        println!("   {}", finding.message);
    }
    Ok(value)
}
