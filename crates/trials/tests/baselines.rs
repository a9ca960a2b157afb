//! The search against the plain rules: never worse, and by how much better.

use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit as testkit;
use heartside_timber::job::Job;
use heartside_timber::prepare::prepare;
use heartside_timber::score::Score;
use heartside_trials::baseline;

fn assert_no_worse(seed: u32, job: &Job, found: &Score, rule: &Score, name: &str) {
    assert!(
        !rule.better_than(found, &job.order),
        "job {seed}: the search's {found:?} is worse than {name}'s {rule:?}"
    );
}

/// Generated jobs compared.
const JOBS: u32 = 6;

#[test]
fn never_worse_than_the_plain_rules() {
    let (mut under_a, mut under_b) = (Vec::new(), Vec::new());
    for seed in 0..JOBS {
        let size = testkit::JobSize {
            boards: 10,
            pieces: 24,
            sawn: 0,
        };
        let job = prepare(&testkit::workshop_job(100 + seed, size)).job;
        let a = baseline::longest_first(&job);
        let b = baseline::best_of_random_orders(&job, 200, seed);
        let settings = Settings {
            seed,
            way: WayWanted::Straight,
            ..Settings::default()
        };
        let mut search = Search::new(&job, settings).unwrap();
        search.step(12_000);
        assert_no_worse(seed, &job, search.score(), &a, "longest first");
        assert_no_worse(seed, &job, search.score(), &b, "the best random order");
        if a.missing == search.score().missing {
            under_a.push(100.0 * (1.0 - search.score().cost / a.cost));
        }
        if b.missing == search.score().missing {
            under_b.push(100.0 * (1.0 - search.score().cost / b.cost));
        }
    }
    println!(
        "timber cost where as much is placed: under (a) longest first {:.1} % (median of {} jobs; in {} it left more pieces out), \
         under (b) the best of 200 random orders {:.1} % (median of {}; {})",
        median(&mut under_a),
        under_a.len(),
        JOBS as usize - under_a.len(),
        median(&mut under_b),
        under_b.len(),
        JOBS as usize - under_b.len(),
    );
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}
