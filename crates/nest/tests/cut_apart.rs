//! Boards cut apart by a legal tree are put together again: the full answer is known.

use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{CutApart, cut_apart};
use heartside_timber::prepare::prepare;

/// The share of the parts' area that is placed after so many steps, or once all of it is.
fn share_found(seed: u32, wanted: CutApart, steps: u64) -> f64 {
    let job = prepare(&cut_apart(seed, wanted)).job;
    let settings = Settings {
        seed,
        way: WayWanted::Straight,
        ..Settings::default()
    };
    let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
    while search.best().made.steps < steps && !search.best().unplaced.is_empty() {
        search.step(1_000);
    }
    let area = |p: &heartside_timber::job::Part| p.length() * p.width();
    let all: f64 = job.parts.iter().map(|p| f64::from(p.count) * area(p)).sum();
    let laid = search.best().layouts.iter().flat_map(|l| &l.placements);
    let placed: f64 = laid.filter_map(|p| job.part(&p.part)).map(area).sum();
    placed / all
}

#[test]
fn sixty_parts_on_twelve_boards_are_found_again() {
    let wanted = CutApart {
        boards: 12,
        parts_a_board: 5,
        ..CutApart::default()
    };
    // Jobs that are found again soon; which they are is chance, so not all three need be whole for good.
    let shares = [3, 8, 9].map(|seed| share_found(seed, wanted, 500_000));
    println!("{shares:.4?}");
    let whole = shares.iter().filter(|share| **share > 0.999_99).count();
    let mean = shares.iter().sum::<f64>() / shares.len() as f64;
    assert!(whole >= 2 && mean > 0.97, "{shares:.4?}");
}
