//! Easier twins: pairs of jobs of which the second is easier in one way, both searched.
//!
//! `cargo bench -p heartside-cli --bench twins -- --kept FOLDER [--pairs 5000] [--steps 40000]`
//! runs the pairs one after the other, appends each result to a file named for the engine and the
//! steps, and goes on after a break with the pairs that are not in it. `--from SEED` begins there.
//! `--only SEED` runs one pair alone and prints it; `--write FOLDER` beside it writes both jobs with
//! their plans there. `--only-told` runs nothing and prints what there is.
#![allow(clippy::print_stdout, missing_docs)]

#[path = "../../nest/tests/pairs/mod.rs"]
mod pairs;

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};

use pairs::{Pair, SHARES, Tally, run, share_of};
use serde_json::{Value, json};

/// The engine that is measured: a hash over its sources.
const ENGINE: &str = env!("HEARTSIDE_ENGINE");

fn main() {
    let steps = given("--steps", 40_000);
    if let Some(seed) = named("--only") {
        let seed = seed.parse().expect("--only takes the number of a pair");
        let pair = run(seed, steps);
        println!("{}", pair.told());
        if let Some(folder) = named("--write") {
            write(&pair, Path::new(&folder));
        }
        return;
    }
    let kept = named("--kept").map_or_else(|| PathBuf::from("target/tables"), PathBuf::from);
    fs::create_dir_all(&kept).expect("the folder of results can be made");
    let file = kept.join(format!("twins-{steps}-steps-engine-{ENGINE}.jsonl"));
    let mut results = read(&file);
    if !std::env::args().any(|a| a == "--only-told") {
        let done: BTreeSet<u64> = results.iter().filter_map(|r| r["seed"].as_u64()).collect();
        let from = given("--from", 0);
        let mut out = OpenOptions::new()
            .create(true)
            .append(true)
            .open(&file)
            .expect("the file of results can be opened");
        for seed in (from..from + given("--pairs", 5_000)).filter(|seed| !done.contains(seed)) {
            let pair = run(seed as u32, steps);
            if pair.is_exception() {
                println!("{}", pair.told());
            }
            let result = result(&pair);
            writeln!(out, "{result}").expect("the result can be written");
            results.push(result);
            if results.len().is_multiple_of(50) {
                println!("... {} pairs", results.len());
            }
        }
    }
    tell(&results, steps);
    println!("\nThe pairs are kept in {}.", file.display());
}

/// The number that follows an option, or what stands in for it.
fn given(name: &str, otherwise: u64) -> u64 {
    named(name)
        .and_then(|n| n.parse().ok())
        .unwrap_or(otherwise)
}

/// What follows an option.
fn named(name: &str) -> Option<String> {
    std::env::args().skip_while(|a| a != name).nth(1)
}

fn read(file: &Path) -> Vec<Value> {
    let text = fs::read_to_string(file).unwrap_or_default();
    text.lines()
        .filter_map(|line| serde_json::from_str(line).ok())
        .collect()
}

fn result(pair: &Pair) -> Value {
    json!({
        "seed": pair.seed,
        "share": pair.share,
        "easing": format!("{:?}", pair.twins.easing),
        "leaves_more": pair.leaves_more(),
        "costs_more": pair.costs_more(),
        "begun_is_worse": pair.begun.as_ref().map(|begun| begun.is_worse),
        "empty_board": !pair.could_lie.is_empty(),
        "exception": pair.is_exception(),
        "told": pair.told(),
    })
}

/// A row for each share, and for each way of easing at each share.
fn tell(results: &[Value], steps: u64) {
    let mut rows: BTreeMap<(u64, String), Tally> = BTreeMap::new();
    for result in results {
        let share = share_of(result["seed"].as_u64().unwrap_or(0) as u32) as u64;
        let easing = result["easing"].as_str().unwrap_or_default().to_owned();
        for name in [String::new(), easing] {
            rows.entry((share, name)).or_default().count(
                result["leaves_more"].as_u64().unwrap_or(0) as usize,
                result["costs_more"].as_f64(),
                result["begun_is_worse"].as_bool(),
                result["empty_board"] == true,
            );
        }
    }
    println!("\nEasier twins, {steps} steps, engine {ENGINE}.\n");
    for share in SHARES {
        for ((_, name), tally) in rows.iter().filter(|((s, _), _)| *s == share as u64) {
            let name = if name.is_empty() { "all" } else { name };
            println!("{share} %, {name}: {}", tally.told());
        }
    }
}

/// Both jobs as files, with the plans that were found.
fn write(pair: &Pair, folder: &Path) {
    fs::create_dir_all(folder).expect("the folder can be made");
    for (name, document, plan) in [
        ("harder", &pair.twins.harder, &pair.harder.plan),
        ("easier", &pair.twins.easier, &pair.easier.plan),
    ] {
        let mut document = document.clone();
        document.plan = Some(plan.clone());
        let file = folder.join(format!("twins-{}-{name}.heartside.json", pair.seed));
        let text = serde_json::to_string_pretty(&document).expect("a job can be written");
        fs::write(&file, text).expect("the file can be written");
        println!("{}", file.display());
    }
}
