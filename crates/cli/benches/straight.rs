//! The table of the straight engine: published instances and generated jobs.
//!
//! `cargo bench -p heartside-cli --bench straight -- --kept FOLDER [--share N]` runs each row
//! for its full time, or for `N` per cent of it (what is counted in steps always in full), keeps every single result in the folder, and
//! goes on after a break with what is not there yet. The table is printed after each row.
//! Instances and jobs go through `heartside trial` and `heartside set-out` with two workers;
//! the small boards and the workshop jobs are searched for a fixed number of steps.
#![allow(clippy::print_stdout, missing_docs)]

mod shared;

use std::collections::BTreeMap;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use heartside_check::check;
use heartside_nest::{Search, Settings, WayWanted, bound_of};
use heartside_testkit::{CutApart, SmallBoard, cut_apart};
use heartside_timber::document::Document;
use heartside_timber::finding::{Severity, is_sound};
use heartside_timber::prepare::prepare;
use serde_json::{Value, json};
use shared::{Saving, given, median, saving};

/// Instances of one row.
struct Trials {
    name: &'static str,
    /// Folder and beginnings of the files' names.
    folder: &'static str,
    begin: &'static [&'static str],
    arguments: &'static [&'static str],
    seconds: u64,
    told: fn(&[Value]) -> String,
}

const TRIALS: [Trials; 7] = [
    Trials {
        name: "gcut, any number of copies",
        folder: "knapsack-guillotine",
        begin: &["gcut"],
        arguments: &[],
        seconds: 30,
        told: optima,
    },
    Trials {
        name: "gcut, each part at most once",
        folder: "knapsack-guillotine",
        begin: &["gcut"],
        arguments: &["--rule", "once"],
        seconds: 60,
        told: optima,
    },
    Trials {
        name: "cgcut and okp, limited copies",
        folder: "knapsack-guillotine",
        begin: &["cgcut", "okp"],
        arguments: &[],
        seconds: 60,
        told: optima,
    },
    Trials {
        name: "strips t, not turned",
        folder: "strip-rect",
        begin: &["t"],
        arguments: &["--turns", "none"],
        seconds: 60,
        told: gaps,
    },
    Trials {
        name: "strips c and n",
        folder: "strip-rect",
        begin: &["c", "n"],
        arguments: &[],
        seconds: 60,
        told: gaps,
    },
    Trials {
        name: "unequal boards with costs",
        folder: "bin-rect",
        begin: &["vsbpp"],
        arguments: &[],
        seconds: 60,
        told: bound_gaps,
    },
    Trials {
        name: "glass plates, plain cuts",
        folder: "defects",
        begin: &["glass"],
        arguments: &[],
        seconds: 180,
        told: gaps,
    },
];

fn main() {
    let share = given("--share", 100);
    let instances = std::env::var_os("HEARTSIDE_INSTANCES").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/benchmarks"),
        PathBuf::from,
    );
    let kept = std::env::args()
        .skip_while(|a| a != "--kept")
        .nth(1)
        .map_or_else(|| PathBuf::from("target/tables"), PathBuf::from)
        .join(format!("straight-{share}"));
    fs::create_dir_all(&kept).expect("the folder of results can be made");
    println!("| what | seconds each | result |\n|---|---:|---|");
    for trials in &TRIALS {
        let seconds = trials.seconds as f64 * share as f64 / 100.0;
        let results = trials.run(&instances, &kept, seconds);
        row(trials.name, &format!("{seconds}"), &(trials.told)(&results));
    }
    for (boards, parts, seconds) in [(3, 4, 10), (12, 5, 30)] {
        let seconds = seconds as f64 * share as f64 / 100.0;
        let name = format!("cut apart: {} parts on {boards} boards", boards * parts);
        let results = rows_of_seeds(&kept, &name, 10, |seed| {
            again(&kept, seed, boards, parts, seconds)
        });
        row(&name, &format!("{seconds}"), &found_again(&results));
    }
    let name = "small flawed boards against the exact reference";
    let results = rows_of_seeds(&kept, name, 300, small);
    row(name, "6,000 steps", &as_the_reference(&results));
    let name = "workshop jobs against plain rules";
    // Counted in steps, which take as long as they take: all of them, whatever the share.
    let steps = 20_000;
    let results = rows_of_seeds(&kept, name, 50, |seed| {
        let figure = |saving: &Saving| match saving {
            Saving::Cost(percent) => json!(percent),
            Saving::LeftOut => json!("the rule left more out"),
            Saving::Worse => json!("the rule was better"),
        };
        json!({ "under": saving(seed, 0, steps).each_ref().map(figure), "checked": true })
    });
    row(name, &format!("{steps} steps"), &under_the_rules(&results));
}

fn row(name: &str, effort: &str, told: &str) {
    println!("| {name} | {effort} | {told} |");
}

impl Trials {
    /// The results of every instance of the row, those of an earlier run included.
    fn run(&self, instances: &Path, kept: &Path, seconds: f64) -> Vec<Value> {
        let mut files: Vec<PathBuf> = fs::read_dir(instances.join(self.folder))
            .map(|entries| entries.flatten().map(|entry| entry.path()).collect())
            .unwrap_or_default();
        files.retain(|file| {
            let name = file.file_name().unwrap_or_default().to_string_lossy();
            self.begin.iter().any(|begin| name.starts_with(begin))
        });
        files.sort();
        if files.is_empty() {
            return Vec::new();
        }
        let results = kept.join(format!("{}.jsonl", file_name(self.name)));
        let ended = Command::new(env!("CARGO_BIN_EXE_heartside"))
            .arg("trial")
            .args(&files)
            .args(["--cuts", "straight", "--workers", "2", "--seconds"])
            .arg(seconds.to_string())
            .args(self.arguments)
            .arg("--append")
            .arg(&results)
            .stdout(Stdio::null())
            .status();
        assert!(ended.is_ok(), "the command starts");
        lines(&results)
    }
}

/// One result a seed, those of an earlier run taken as they are.
fn rows_of_seeds(
    kept: &Path,
    name: &str,
    seeds: u32,
    mut run: impl FnMut(u32) -> Value,
) -> Vec<Value> {
    let path = kept.join(format!("{}.jsonl", file_name(name)));
    let mut known: BTreeMap<u64, Value> = lines(&path)
        .into_iter()
        .filter_map(|line| Some((line.get("seed")?.as_u64()?, line)))
        .collect();
    for seed in 0..seeds {
        if known.contains_key(&u64::from(seed)) {
            continue;
        }
        let mut line = run(seed);
        line["seed"] = json!(seed);
        let mut file = OpenOptions::new()
            .create(true)
            .append(true)
            .open(&path)
            .expect("the file of results can be written");
        writeln!(file, "{line}").expect("the file of results can be written");
        known.insert(u64::from(seed), line);
    }
    known.into_values().collect()
}

/// The whole lines of a file of results; one that a break cut short is left out.
fn lines(path: &Path) -> Vec<Value> {
    fs::read_to_string(path)
        .unwrap_or_default()
        .lines()
        .filter_map(|line| serde_json::from_str(line).ok())
        .collect()
}

fn file_name(name: &str) -> String {
    name.replace([' ', ',', ':'], "-")
}

/// Sets out boards that were cut apart, and says how much of the full answer is found again.
fn again(kept: &Path, seed: u32, boards: usize, parts_a_board: usize, seconds: f64) -> Value {
    let wanted = CutApart {
        boards,
        parts_a_board,
        ..CutApart::default()
    };
    let mut document = cut_apart(seed, wanted);
    document.plan = None;
    let folder = kept.join("job");
    fs::create_dir_all(&folder).expect("the folder of results can be made");
    let file = folder.join("job.heartside.json");
    fs::write(&file, document.save()).expect("the folder of results can be written");
    let ended = Command::new(env!("CARGO_BIN_EXE_heartside"))
        .arg("set-out")
        .arg(&file)
        .arg("-o")
        .arg(&folder)
        .args(["--cuts", "straight", "--workers", "2", "--seed"])
        .arg(seed.to_string())
        .arg("--seconds")
        .arg(seconds.to_string())
        .stdout(Stdio::null())
        .status();
    assert!(ended.is_ok(), "the command starts");
    let planned = fs::read_to_string(folder.join("plan.heartside.json")).expect("a plan is there");
    let planned = Document::open(&planned)
        .expect("the plan's file opens")
        .document;
    let job = prepare(&planned).job;
    let plan = planned.plan.expect("a plan is there");
    let area = |p: &heartside_timber::job::Part| p.length() * p.width();
    let all: f64 = job.parts.iter().map(|p| f64::from(p.count) * area(p)).sum();
    let laid = plan.layouts.iter().flat_map(|l| &l.placements);
    let placed: f64 = laid.filter_map(|p| job.part(&p.part)).map(area).sum();
    json!({ "share": 100.0 * placed / all, "checked": is_sound(&check(&job, &plan)) })
}

/// One small flawed board: the greatest value, what is found, and the bound.
fn small(seed: u32) -> Value {
    let small = SmallBoard::random(seed);
    let job = small.job().expect("a generated board is read");
    let settings = Settings {
        way: WayWanted::Straight,
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

fn numbers(results: &[Value], key: &str) -> Vec<f64> {
    results.iter().filter_map(|r| r[key].as_f64()).collect()
}

fn count(results: &[Value], holds: impl Fn(&Value) -> bool) -> usize {
    results.iter().filter(|r| holds(r)).count()
}

/// What every row ends with: whether the checker found fault with anything.
fn checked(results: &[Value]) -> String {
    match count(results, |r| r["checked"] != json!(true)) {
        _ if results.is_empty() => "nothing run: the instances are missing".to_owned(),
        0 => "all checked".to_owned(),
        wrong => format!("{wrong} NOT SOUND"),
    }
}

fn named(results: &[Value], key: &str, digits: usize) -> String {
    let name = |r: &Value| r["name"].as_str().unwrap_or("?").to_owned();
    let told: Vec<String> = results
        .iter()
        .map(|r| match r[key].as_f64() {
            Some(number) => format!("{} {number:.digits$}", name(r)),
            None => format!("{} not complete", name(r)),
        })
        .collect();
    told.join(", ")
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

fn found_again(results: &[Value]) -> String {
    let shares = numbers(results, "share");
    format!(
        "full answer in {} of {}, mean {:.1} % of the area, least {:.1} %; {}",
        count(results, |r| r["share"]
            .as_f64()
            .is_some_and(|share| share > 99.999)),
        results.len(),
        shares.iter().sum::<f64>() / shares.len().max(1) as f64,
        shares.iter().copied().fold(f64::INFINITY, f64::min),
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
    for (place, rule) in shared::RULES.iter().enumerate() {
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
