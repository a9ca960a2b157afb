//! Boards cut apart by a legal tree: how much of the full answer is found again.
//!
//! `cargo run --release -p heartside-nest --example measure_cut_apart -- SECONDS BOARDS PARTS_A_BOARD`
#![allow(clippy::print_stdout)]

use std::time::Instant;

use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{CutApart, cut_apart};
use heartside_timber::prepare::prepare;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let mut next = |otherwise: f64| arguments.next().map_or(Ok(otherwise), |s| s.parse::<f64>());
    let (seconds, boards, parts) = (next(5.0)?, next(3.0)? as usize, next(4.0)? as usize);
    let mut full = 0;
    for seed in 0..10 {
        let wanted = CutApart {
            boards,
            parts_a_board: parts,
            ..CutApart::default()
        };
        let job = prepare(&cut_apart(seed, wanted)).job;
        let settings = Settings {
            seed,
            way: WayWanted::Straight,
            ..Settings::default()
        };
        let start = Instant::now();
        let mut search = Search::new(&job, settings)?;
        while start.elapsed().as_secs_f64() < seconds
            && search.best().placed_count() < job.piece_count() as usize
        {
            search.step(500);
        }
        let area = |p: &heartside_timber::job::Part| p.length() * p.width();
        let all: f64 = job.parts.iter().map(|p| f64::from(p.count) * area(p)).sum();
        let laid = search.best().layouts.iter().flat_map(|l| &l.placements);
        let placed: f64 = laid.filter_map(|p| job.part(&p.part)).map(area).sum();
        full += usize::from(search.best().unplaced.is_empty());
        println!(
            "seed {seed}: {} of {} pieces, {:.1} % of the area, {} steps, {:.1?}",
            search.best().placed_count(),
            job.piece_count(),
            100.0 * placed / all,
            search.best().made.steps,
            start.elapsed(),
        );
    }
    println!("full answers: {full} of 10");
    Ok(())
}
