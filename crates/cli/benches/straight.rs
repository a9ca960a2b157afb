//! The table of the straight engine: published instances and generated jobs.
//!
//! `cargo bench -p heartside-cli --bench straight -- --kept FOLDER [--share N]` runs each row
//! for its full time, or for `N` per cent of it (what is counted in steps always in full), keeps every single result in the folder, and
//! goes on after a break with what is not there yet. A row is printed as soon as it is done;
//! `--only-told` runs nothing and prints what is there so far, and so does a break. Results
//! of another engine, which is known by its sources, are told and left out.
//! Instances and jobs go through `heartside trial` and `heartside set-out` with two workers;
//! the small boards and the workshop jobs are searched for a fixed number of steps.
#![allow(clippy::print_stdout, missing_docs)]

#[path = "shared/plain_rules.rs"]
mod plain_rules;
mod shared;
#[path = "shared/table.rs"]
mod table;

use std::process::ExitCode;

use heartside_check::check;
use heartside_nest::{Search, Settings, WayWanted, bound_of};
use heartside_testkit::{CutApart, SmallBoard, cut_apart};
use heartside_timber::finding::Severity;
use plain_rules::{RULES, Saving, saving};
use serde_json::{Value, json};
use shared::median;
use table::{RestsOn, Table, Trials, checked, count, found_again, named, numbers};

/// What a row tells of its results.
type Told = fn(&[Value]) -> String;

const TRIALS: [(Trials, Told); 7] = [
    (
        Trials {
            name: "gcut, any number of copies",
            folder: "knapsack-guillotine",
            files: &["gcut*"],
            arguments: &["--cuts", "straight"],
            seconds: 30,
            marks: &[],
            seeds: &[1],
        },
        optima,
    ),
    (
        Trials {
            name: "gcut, each part at most once",
            folder: "knapsack-guillotine",
            files: &["gcut*"],
            arguments: &["--cuts", "straight", "--rule", "once"],
            seconds: 60,
            marks: &[],
            seeds: &[1],
        },
        optima,
    ),
    (
        Trials {
            name: "cgcut and okp, limited copies",
            folder: "knapsack-guillotine",
            files: &["cgcut*", "okp*"],
            arguments: &["--cuts", "straight"],
            seconds: 60,
            marks: &[],
            seeds: &[1],
        },
        optima,
    ),
    (
        Trials {
            name: "strips t, not turned",
            folder: "strip-rect",
            files: &["t*"],
            arguments: &["--cuts", "straight", "--turns", "none"],
            seconds: 60,
            marks: &[],
            seeds: &[1],
        },
        gaps,
    ),
    (
        Trials {
            name: "strips c and n",
            folder: "strip-rect",
            files: &["c*", "n*"],
            arguments: &["--cuts", "straight"],
            seconds: 60,
            marks: &[],
            seeds: &[1],
        },
        gaps,
    ),
    (
        Trials {
            name: "unequal boards with costs",
            folder: "bin-rect",
            files: &["vsbpp*"],
            arguments: &["--cuts", "straight"],
            seconds: 60,
            marks: &[],
            seeds: &[1],
        },
        bound_gaps,
    ),
    (
        Trials {
            name: "glass plates, plain cuts",
            folder: "defects",
            files: &["glass*"],
            arguments: &["--cuts", "straight"],
            seconds: 180,
            marks: &[],
            seeds: &[1],
        },
        gaps,
    ),
];

fn main() -> ExitCode {
    let table = Table::begin("straight");
    for (trials, told) in &TRIALS {
        table.row_of(trials, &table.trials(trials), told);
    }
    for (boards, parts, seconds) in [(3, 4, 10), (12, 5, 30), (40, 5, 60)] {
        let seconds = table.seconds(seconds);
        let name = format!("cut apart: {} parts on {boards} boards", boards * parts);
        let results = table.seeds(&name, RestsOn::Engine, 10, |seed| {
            let wanted = CutApart {
                boards,
                parts_a_board: parts,
                ..CutApart::default()
            };
            table.again(cut_apart(seed, wanted), "straight", seed, seconds)
        });
        table.row(&name, &format!("{seconds}"), &results, 10, found_again);
    }
    let name = "small flawed boards against the exact reference";
    let results = table.seeds(name, RestsOn::Trials, 300, |seed| Some(small(seed)));
    table.row(name, "6,000 steps", &results, 300, as_the_reference);
    let name = "workshop jobs against plain rules";
    // Counted in steps, which take as long as they take: all of them, whatever the share.
    let steps = 20_000;
    let results = table.seeds(name, RestsOn::Trials, 50, |seed| {
        let figure = |saving: &Saving| match saving {
            Saving::Cost(percent) => json!(percent),
            Saving::LeftOut => json!("the rule left more out"),
            Saving::Worse => json!("the rule was better"),
        };
        let under = saving(seed, 0, steps);
        Some(json!({ "under": under.each_ref().map(figure), "checked": true }))
    });
    table.row(
        name,
        &format!("{steps} steps"),
        &results,
        50,
        under_the_rules,
    );
    table.end()
}

/// One small flawed board: the greatest value, what is found, and the bound.
fn small(seed: u32) -> Value {
    let small = SmallBoard::random(seed);
    let job = small.job().expect("a generated board is read");
    let settings = Settings {
        way: WayWanted::Straight,
        beside: heartside_trials::ENGINES,
        ..Settings::default()
    };
    let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
    search.step(6_000);
    let broken = |f: &heartside_timber::finding::Finding| f.severity == Severity::Broken;
    json!({
        "best": small.best(),
        "found": -search.score().missing[0],
        "proved": search.bound().proved_for.is_some(),
        "bound": bound_of(&job).value,
        "checked": !check(&job, search.best()).iter().any(broken),
    })
}

fn optima(results: &[Value]) -> String {
    let under: Vec<Value> = results
        .iter()
        .filter(|r| r["gap_percent"].as_f64().is_none_or(|gap| gap > 1e-6))
        .cloned()
        .collect();
    let rest = if under.is_empty() {
        String::new()
    } else {
        format!("; per cent under it: {}", named(&under, "gap_percent", 2))
    };
    format!(
        "published value on {} of {}, {} proved here, slowest {:.1} s{rest}; {}",
        results.len() - under.len(),
        results.len(),
        count(results, |r| r["proved"] == json!(true)),
        numbers(results, "seconds").into_iter().fold(0.0, f64::max),
        checked(results)
    )
}

fn gaps(results: &[Value]) -> String {
    let mut gaps = numbers(results, "gap_percent");
    let worst = gaps.iter().copied().fold(0.0, f64::max);
    format!(
        "gap to the published value: median {:.2} %, worst {worst:.2} %, none on {} of {}; {}",
        median(&mut gaps).unwrap_or(f64::NAN),
        count(results, |r| r["gap_percent"]
            .as_f64()
            .is_some_and(|gap| gap < 1e-6)),
        results.len(),
        checked(results)
    )
}

fn bound_gaps(results: &[Value]) -> String {
    let mut with: Vec<Value> = results.to_vec();
    for result in &mut with {
        if let (Some(value), Some(bound)) = (result["value"].as_f64(), result["bound"].as_f64()) {
            result["over_bound"] = json!(100.0 * (value / bound - 1.0));
        }
    }
    format!(
        "per cent over our own floor: {}; {}",
        named(&with, "over_bound", 2),
        checked(results)
    )
}

fn as_the_reference(results: &[Value]) -> String {
    let found_over = |r: &Value| {
        let (found, best) = (r["found"].as_f64().unwrap_or(0.0), r["best"].as_f64());
        (found, best.unwrap_or(0.0).max(1.0))
    };
    let worst = results
        .iter()
        .map(|r| 100.0 * (1.0 - found_over(r).0 / found_over(r).1))
        .fold(0.0, f64::max);
    let mut tight: Vec<f64> = results
        .iter()
        .map(|r| found_over(r).1 / r["bound"].as_f64().unwrap_or(f64::NAN).max(1.0))
        .collect();
    let high = tight.iter().copied().fold(0.0, f64::max);
    format!(
        "equal on {} of {}, better on {}, worst gap {worst:.2} %, {} proved; the optimum is {:.3} of the bound (median), at most {high:.3}; {}",
        count(results, |r| found_over(r).0 >= found_over(r).1 - 1e-9),
        results.len(),
        count(results, |r| found_over(r).0 > found_over(r).1 + 1e-9),
        count(results, |r| r["proved"] == json!(true)),
        median(&mut tight).unwrap_or(f64::NAN),
        checked(results)
    )
}

fn under_the_rules(results: &[Value]) -> String {
    let mut told = Vec::new();
    for (place, rule) in RULES.iter().enumerate() {
        let under = |r: &Value| r["under"][place].clone();
        let mut savings: Vec<f64> = results.iter().filter_map(|r| under(r).as_f64()).collect();
        told.push(format!(
            "timber cost {:.1} % under {rule} (median of {}; in {} the rule left more out, in {} it was better)",
            median(&mut savings).unwrap_or(f64::NAN),
            savings.len(),
            count(results, |r| under(r) == json!("the rule left more out")),
            count(results, |r| under(r) == json!("the rule was better")),
        ));
    }
    told.push(checked(results));
    told.join("; ")
}
