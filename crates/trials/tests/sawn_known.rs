//! Sawn shapes against known answers, in fixed steps: published strips and boards cut apart.
//!
//! The densities are what the engine reached in these steps when they were written down, a
//! little rounded down; the long runs belong to `cargo xtask bench --sawn`.

use heartside_check::check;
use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{SawnCutApart, published, sawn_cut_apart};
use heartside_timber::finding::is_sound;
use heartside_timber::job::Job;
use heartside_timber::prepare::prepare;
use heartside_trials::ENGINES;
use heartside_trials::instance::{Instance, Options};

fn search(job: &Job, seed: u32) -> Search {
    let settings = Settings {
        seed,
        way: WayWanted::Sawn,
        beside: ENGINES,
        ..Settings::default()
    };
    Search::new(job, settings).expect("worker 0 of some exists")
}

/// The value reached after some steps, on a plan that the checker accepts.
fn value(instance: &Instance, steps: u64) -> f64 {
    let mut search = search(&instance.job, 1);
    search.step(steps);
    assert!(is_sound(&check(&instance.job, search.best())));
    instance.value(search.best()).expect("all parts lie")
}

#[test]
fn published_strips_are_as_dense_as_before() {
    // Best published densities: 92.41, 89.26, 86.23 and 92.62 (see published-results.md).
    for (name, least) in [
        ("fu", 87.3),
        ("jakobs1", 83.33),
        ("shapes2", 75.6),
        ("trousers", 86.1),
    ] {
        if let Some(instance) = published(&format!("strip-irregular/{name}"), &Options::default()) {
            let density = value(&instance, 4000);
            assert!(density >= least, "{name}: {density} is below {least}");
            assert!(density <= 100.0);
        }
    }
}

#[test]
fn parts_turned_freely_are_laid_on_hides() {
    if let Some(instance) = published("irregular-defects/hide_test5", &Options::default()) {
        let used = value(&instance, 1500);
        assert!(used >= 57.2, "{used}");
    }
}

#[test]
fn boards_sawn_apart_are_found_again_whole() {
    for seed in 1..=3 {
        let wanted = SawnCutApart {
            boards: 2,
            parts: 12,
            tolerance: 5.0,
        };
        let job = prepare(&sawn_cut_apart(seed, wanted)).job;
        let mut search = search(&job, 1);
        let all = job.piece_count() as usize;
        while search.best().placed_count() < all && search.best().made.steps < 10_000 {
            search.step(100);
        }
        assert_eq!(search.best().placed_count(), all, "seed {seed}");
        assert!(is_sound(&check(&job, search.best())), "seed {seed}");
    }
}
