//! The search against the plain rules a maker might use: how much timber it saves.
//!
//! `cargo bench -p heartside-cli --bench rules -- [--jobs N] [--steps N]` sets out generated
//! workshop jobs with more boards than they need, and prints for each way of cutting the
//! median saving under (a) the longest part first into the first board it fits and (b) the
//! best of 200 random orders of the same rule. Every plan compared is checked.
#![allow(clippy::print_stdout, missing_docs)]

use heartside_check::check;
use heartside_nest::{Search, Settings, WayWanted, baseline};
use heartside_testkit::{JobSize, workshop_job};
use heartside_timber::finding::is_sound;
use heartside_timber::prepare::prepare;
use heartside_timber::score::Score;

/// What came of one job under one rule.
#[derive(Default)]
struct Compared {
    /// Per cent of the rule's cost, where the rule places as many pieces.
    savings: Vec<f64>,
    /// Jobs in which the rule leaves more pieces out.
    left_out: u32,
    /// Jobs in which the rule is better.
    worse: u32,
}

fn main() {
    let given = |name: &str, otherwise: u64| {
        let mut arguments = std::env::args().skip_while(|a| a != name);
        arguments
            .nth(1)
            .and_then(|n| n.parse().ok())
            .unwrap_or(otherwise)
    };
    let jobs = u32::try_from(given("--jobs", 20)).unwrap_or(u32::MAX);
    let steps = given("--steps", 20_000);
    for (name, sawn) in [("straight parts only", 0), ("40 % sawn parts", 40)] {
        let mut under = [Compared::default(), Compared::default()];
        for seed in 0..jobs {
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
            for (plan, compared) in rules.iter().zip(&mut under) {
                let rule = Score::of(&job, plan);
                if rule.better_than(found, &job.order) {
                    compared.worse += 1;
                }
                if rule.missing == found.missing && rule.reluctant == found.reluctant {
                    compared
                        .savings
                        .push(100.0 * (1.0 - found.cost / rule.cost));
                } else {
                    compared.left_out += 1;
                }
            }
        }
        for (rule, compared) in ["longest first", "best of 200 random orders"]
            .iter()
            .zip(&mut under)
        {
            compared.savings.sort_by(f64::total_cmp);
            let median = compared.savings.get(compared.savings.len() / 2);
            println!(
                "{name}: timber cost under {rule}: {} (median of {} jobs; in {} the rule placed fewer pieces, in {} it was better)",
                median.map_or_else(|| "-".to_owned(), |m| format!("{m:.1} %")),
                compared.savings.len(),
                compared.left_out,
                compared.worse,
            );
        }
    }
}
