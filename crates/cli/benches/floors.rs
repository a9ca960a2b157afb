//! The floor under the cost against the best plan that is known: how much of it is proved.
//!
//! `cargo bench -p heartside-cli --bench floors -- [--jobs N] [--seconds N]` sets out the writing desk and
//! generated workshop jobs and prints, for each, what the plan costs, and how near to it the floor by
//! areas and the floor by prices come; last the medians over the workshop jobs. Plans that leave a part
//! out, or are not of the floor's class, are told and not counted.
#![allow(clippy::print_stdout, missing_docs)]

mod shared;

use std::sync::Arc;
use std::time::{Duration, Instant};

use heartside_nest::{Floor, Giving, ROUND_STEPS, Settings, bound_of, is_square};
use heartside_testkit::{JobSize, workshop_job};
use heartside_timber::document::Document;
use heartside_timber::prepare::{prepare, prepare_with};
use shared::{given, median};

/// Beyond so many steps no job of this size goes on.
const MOST_STEPS: u32 = 20_000;

const DESK: &str = include_str!("../../../fixtures/writing-desk.heartside.json");

/// What a job's floors come to, as shares of what its plan costs: by areas, by prices.
struct Shares {
    by_areas: f64,
    by_prices: f64,
}

fn main() {
    let (jobs, seconds) = (given("--jobs", 50), given("--seconds", 10));
    let time = Duration::from_secs(seconds);
    if let Ok(desk) = Document::open(DESK) {
        compared("writing desk", &desk.document, time);
    }
    let (mut by_areas, mut by_prices) = (Vec::new(), Vec::new());
    for seed in 0..u32::try_from(jobs).unwrap_or(u32::MAX) {
        let size = JobSize {
            boards: 4 + seed as usize % 9,
            pieces: 12 + 2 * seed as usize % 40,
            sawn: if seed % 3 == 2 { 15 } else { 0 },
        };
        let name = format!("workshop job {seed}");
        if let Some(shares) = compared(&name, &workshop_job(seed, size), time) {
            by_areas.push(shares.by_areas);
            by_prices.push(shares.by_prices);
        }
    }
    let counted = by_areas.len();
    let words = |m: Option<f64>| m.map_or_else(|| "-".to_owned(), |m| format!("{m:.3}"));
    println!(
        "medians of {counted} jobs: {} by areas, {} by prices",
        words(median(&mut by_areas)),
        words(median(&mut by_prices)),
    );
}

fn compared(name: &str, document: &Document, time: Duration) -> Option<Shares> {
    let job = prepare(document).job;
    let asked = document.clone();
    let remake = Arc::new(move |choices: &_| prepare_with(&asked, choices).job);
    let mut search = Giving::new(&job, Settings::default(), remake).ok()?;
    let until = Instant::now() + time;
    while Instant::now() < until && !search.step(ROUND_STEPS).finished {}
    let (job, plan) = (search.job(), search.best());
    let cost = search.score().cost;
    if !plan.unplaced.is_empty() {
        println!("{name}: not whole");
        return None;
    }
    let by_areas = bound_of(job).value;
    let (mut steps, mut work, mut longest) = (0, Duration::ZERO, Duration::ZERO);
    let mut floor = Floor::of(job, plan)?;
    while !floor.is_finished() && steps < MOST_STEPS {
        let begun = Instant::now();
        floor.step(job);
        let took = begun.elapsed();
        (steps, work, longest) = (steps + 1, work + took, longest.max(took));
    }
    let shares = Shares {
        by_areas: by_areas / cost,
        by_prices: by_areas.max(floor.bound().value) / cost,
    };
    let is_of_class = is_square(job, plan);
    println!(
        "{name}: {cost:.2}; {:.3} by areas, {:.3} by prices{} ({steps} steps in {:.0} ms, the longest {:.1} ms)",
        shares.by_areas,
        shares.by_prices,
        if is_of_class {
            ""
        } else {
            ", not of its class"
        },
        work.as_secs_f64() * 1e3,
        longest.as_secs_f64() * 1e3,
    );
    is_of_class.then_some(shares)
}
