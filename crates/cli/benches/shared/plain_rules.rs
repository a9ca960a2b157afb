//! The search beside the plain rules a maker might use.

use heartside_check::check;
use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{JobSize, workshop_job};
use heartside_timber::finding::is_sound;
use heartside_timber::prepare::prepare;
use heartside_trials::baseline;

/// The plain rules, in the order of [`saving`]'s answer.
pub(crate) const RULES: [&str; 2] = ["longest first", "best of 200 random orders"];

/// How a search stands beside a plain rule.
pub(crate) enum Saving {
    /// Per cent of the rule's timber cost.
    Cost(f64),
    /// The rule leaves more pieces out.
    LeftOut,
    /// The rule is better.
    Worse,
}

/// Sets out one generated workshop job with more boards than it needs, by search and by rules.
pub(crate) fn saving(seed: u32, sawn: usize, steps: u64) -> [Saving; 2] {
    let size = JobSize {
        boards: 16,
        pieces: 24,
        sawn,
    };
    let job = prepare(&workshop_job(1000 + seed, size)).job;
    let rules = [
        baseline::longest_first(&job),
        baseline::best_of_random_orders(&job, 200, seed),
    ];
    let settings = Settings {
        seed,
        way: WayWanted::AsJob,
        ..Settings::default()
    };
    let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
    search.step(steps);
    let findings = check(&job, search.best());
    assert!(is_sound(&findings), "{findings:?}");
    let found = search.score();
    rules.map(|rule| {
        if rule.better_than(found, &job.order) {
            Saving::Worse
        } else if rule.missing == found.missing && rule.reluctant == found.reluctant {
            Saving::Cost(100.0 * (1.0 - found.cost / rule.cost))
        } else {
            Saving::LeftOut
        }
    })
}
