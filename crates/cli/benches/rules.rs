//! The search against the plain rules a maker might use: how much timber it saves.
//!
//! `cargo bench -p heartside-cli --bench rules -- [--jobs N] [--steps N]` sets out generated
//! workshop jobs with more boards than they need, and prints for each way of cutting the
//! median saving under (a) the longest part first into the first board it fits and (b) the
//! best of 200 random orders of the same rule. Every plan compared is checked.
#![allow(clippy::print_stdout, missing_docs)]

#[path = "shared/plain_rules.rs"]
mod plain_rules;
mod shared;

use plain_rules::{RULES, Saving, saving};
use shared::{given, median};

/// What came of the jobs under one rule.
#[derive(Default)]
struct Compared {
    savings: Vec<f64>,
    left_out: u32,
    worse: u32,
}

fn main() {
    let jobs = u32::try_from(given("--jobs", 20)).unwrap_or(u32::MAX);
    let steps = given("--steps", 20_000);
    for (name, sawn) in [("straight parts only", 0), ("40 % sawn parts", 40)] {
        let mut under = [Compared::default(), Compared::default()];
        for seed in 0..jobs {
            for (saving, compared) in saving(seed, sawn, steps).iter().zip(&mut under) {
                match saving {
                    Saving::Cost(percent) => compared.savings.push(*percent),
                    Saving::LeftOut => compared.left_out += 1,
                    Saving::Worse => compared.worse += 1,
                }
            }
        }
        for (rule, compared) in RULES.iter().zip(&mut under) {
            let median = median(&mut compared.savings);
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
