//! A long search holds no more memory than a short one.
//!
//! Alone in its file: what is allocated is counted for the whole process. Parts lie along the
//! grain here, at a few turns, so that what the search keeps for later (differences of pairs,
//! forms at their turns) is all there early and far below its limits; the limits themselves are
//! tested beside it. What is held may only differ by the plans and trials that are at hand.

use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{JobSize, workshop_job};
use heartside_timber::prepare::prepare;
use peak_alloc::PeakAlloc;

#[global_allocator]
static HELD: PeakAlloc = PeakAlloc;

/// Bytes held by a search after some steps, and after ten times as many.
fn held(sawn: usize, way: WayWanted, steps: u64) -> [usize; 2] {
    let size = JobSize {
        boards: 4,
        pieces: 16,
        sawn,
    };
    let mut document = workshop_job(1, size);
    for part in &mut document.parts {
        part.grain.tolerance = Some(0.0);
    }
    let job = prepare(&document).job;
    assert_eq!(job.piece_count(), size.pieces as u64, "all parts are sound");
    let before = HELD.current_usage();
    let settings = Settings {
        way,
        ..Settings::default()
    };
    let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
    [steps, 9 * steps].map(|steps| {
        search.step(steps);
        HELD.current_usage() - before
    })
}

/// What plans and trials at hand may differ by, in bytes.
const MOST_MORE: usize = 8 << 20;

#[test]
fn ten_times_the_steps_hold_no_more() {
    for (sawn, way, steps) in [(100, WayWanted::Sawn, 400), (0, WayWanted::Straight, 4000)] {
        let [short, long] = held(sawn, way, steps);
        assert!(
            long <= short + MOST_MORE,
            "{way:?}: {short} bytes after {steps} steps, {long} after ten times as many"
        );
    }
}
