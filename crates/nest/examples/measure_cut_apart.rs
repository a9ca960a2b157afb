//! Boards cut apart by a legal tree: how much of the full answer is found again in so many steps.
//!
//! `cargo run --release -p heartside-nest --example measure_cut_apart -- STEPS BOARDS PARTS_A_BOARD [JOBS [WASTE]]`
#![allow(clippy::print_stdout)]

use std::sync::Mutex;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Instant;

use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{CutApart, cut_apart};
use heartside_timber::prepare::prepare;

/// What came of one job.
struct Found {
    seed: u32,
    pieces: (usize, u64),
    share: f64,
    steps: u64,
    seconds: f64,
    slowest: f64,
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let mut next = |otherwise: u64| arguments.next().map_or(Ok(otherwise), |s| s.parse::<u64>());
    let (steps, boards, parts) = (next(1_000_000)?, next(12)? as usize, next(5)? as usize);
    let (jobs, waste) = (next(10)? as u32, next(12)? as usize);
    let wanted = CutApart {
        boards,
        parts_a_board: parts,
        waste,
        ..CutApart::default()
    };
    let (turn, all) = (AtomicU32::new(0), Mutex::new(Vec::new()));
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                loop {
                    let seed = turn.fetch_add(1, Ordering::Relaxed);
                    if seed >= jobs {
                        break;
                    }
                    let found = search_for(seed, wanted, steps);
                    all.lock().expect("no thread panics").push(found);
                }
            });
        }
    });
    let mut all = all.into_inner()?;
    all.sort_by_key(|found| found.seed);
    for f in &all {
        println!(
            "seed {}: {} of {} pieces, {:.1} % of the area, {} steps, {:.1} s, slowest 100 steps {:.1} ms",
            f.seed, f.pieces.0, f.pieces.1, f.share, f.steps, f.seconds, f.slowest
        );
    }
    let mean = |of: fn(&Found) -> f64| all.iter().map(of).sum::<f64>() / all.len() as f64;
    println!(
        "full answers: {} of {jobs}, mean {:.2} % of the area, {:.2} pieces missing, {:.1} s",
        all.iter().filter(|f| f.share > 99.999).count(),
        mean(|f| f.share),
        mean(|f| f.pieces.1 as f64 - f.pieces.0 as f64),
        mean(|f| f.seconds),
    );
    Ok(())
}

fn search_for(seed: u32, wanted: CutApart, steps: u64) -> Found {
    let job = prepare(&cut_apart(seed, wanted)).job;
    let settings = Settings {
        seed,
        way: WayWanted::Straight,
        ..Settings::default()
    };
    let start = Instant::now();
    let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
    let mut slowest = 0.0f64;
    let all = job.piece_count();
    while search.best().made.steps < steps && (search.best().placed_count() as u64) < all {
        let begin = Instant::now();
        search.step(100);
        slowest = slowest.max(begin.elapsed().as_secs_f64() * 1e3);
    }
    let area = |p: &heartside_timber::job::Part| p.length() * p.width();
    let wanted: f64 = job.parts.iter().map(|p| f64::from(p.count) * area(p)).sum();
    let laid = search.best().layouts.iter().flat_map(|l| &l.placements);
    let placed: f64 = laid.filter_map(|p| job.part(&p.part)).map(area).sum();
    Found {
        seed,
        pieces: (search.best().placed_count(), all),
        share: 100.0 * placed / wanted,
        steps: search.best().made.steps,
        seconds: start.elapsed().as_secs_f64(),
        slowest,
    }
}
