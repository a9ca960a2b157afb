//! `heartside trial`: published instances through the same engines and the same checker.

use std::collections::BTreeSet;
use std::fs::{File, OpenOptions};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use clap::ValueEnum;
use heartside_nest::{Remake, Settings};
use heartside_timber::plan::Way;
use heartside_trials::WITH_PRICES;
use heartside_trials::instance::{Instance, Options};
use heartside_trials::solution::solution;
use serde::Serialize;

use crate::check::{broken, finding_text};
use crate::failure::{Failure, printable};
use crate::marks::{Marks, Standing, marks};
use crate::progress::Progress;
use crate::set_out::limits;
use crate::team::{Limits, Team};

/// What to run.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// Instance files, or folders of them.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// How boards are cut; straight for rectangles and sawn for other shapes where not given.
    #[arg(long, value_enum)]
    cuts: Option<CutsWanted>,
    /// Which turns parts may have: as the file says, or none.
    #[arg(long, value_enum, default_value_t = TurnsWanted::File)]
    turns: TurnsWanted,
    /// Another rule of the instance, by its name or part of it.
    #[arg(long)]
    rule: Option<String>,
    /// Keep the largest clear offcut of hides whole, and measure the area used without it.
    #[arg(long)]
    offcuts: bool,
    /// Stop each after this many seconds (10 where neither is given).
    #[arg(long)]
    seconds: Option<f64>,
    /// Stop each after this many steps of each worker.
    #[arg(long)]
    steps: Option<u64>,
    /// Tell also what had been found by these seconds of the run, such as 10,60: the best plan of the last whole round that had ended by then.
    #[arg(
        long,
        value_name = "SECONDS",
        value_delimiter = ',',
        conflicts_with = "steps",
        allow_negative_numbers = true
    )]
    marks: Vec<f64>,
    /// Starting number of the search.
    #[arg(long, alias = "seed", value_name = "NUMBER", default_value_t = 1)]
    start: u32,
    /// How many searches share the work.
    #[arg(long, default_value_t = 2)]
    workers: u32,
    /// One JSON object a line instead of a table.
    #[arg(long)]
    json: bool,
    /// Also add each result to this file as JSON; instances already in it are passed over.
    #[arg(long, value_name = "FILE")]
    append: Option<PathBuf>,
    /// Write each solution to this folder.
    #[arg(long, value_name = "FOLDER")]
    solutions: Option<PathBuf>,
}

/// How boards are cut.
#[derive(Clone, Copy, ValueEnum)]
enum CutsWanted {
    /// By straight cuts.
    Straight,
    /// By line.
    Sawn,
}

/// Which turns parts may have.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum TurnsWanted {
    /// As the file says.
    File,
    /// None.
    None,
}

/// One result.
#[derive(Debug, Serialize)]
struct Outcome {
    name: String,
    kind: String,
    cuts: &'static str,
    measure: &'static str,
    value: Option<f64>,
    best_known: Option<f64>,
    gap_percent: Option<f64>,
    bound: f64,
    proved: bool,
    steps: u64,
    seconds: f64,
    checked: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    marks: Vec<AtMark>,
}

/// What had been found by a mark.
#[derive(Debug, Serialize)]
struct AtMark {
    /// Seconds of the run that were marked.
    at: f64,
    value: Option<f64>,
    /// Steps of each worker that repeat it.
    steps: u64,
    /// When the round that it comes from had ended.
    seconds: f64,
    checked: bool,
}

/// Runs the instances. 0: every result checked; 1: one was found broken or incomplete.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let limits = limits(arguments.steps, arguments.seconds, arguments.workers)?;
    let marks = marks(
        &arguments.marks,
        limits.by_the_clock().unwrap_or(f64::INFINITY),
    )?;
    let options = Options {
        way: arguments.cuts.map(|cuts| match cuts {
            CutsWanted::Straight => Way::Straight,
            CutsWanted::Sawn => Way::Sawn,
        }),
        no_turns: arguments.turns == TurnsWanted::None,
        rule: arguments.rule.clone(),
        keeps_offcuts: arguments.offcuts,
    };
    let done = already_done(arguments.append.as_deref())?;
    let mut out = std::io::stdout().lock();
    let mut all_good = true;
    if !arguments.json {
        writeln!(
            out,
            "{:24} {:10} {:>14} {:>14} {:>9} {:>9} {:>8}  checked",
            "name", "measure", "value", "published", "gap %", "steps", "seconds"
        )?;
    }
    for path in instance_files(&arguments.files)? {
        let text =
            std::fs::read_to_string(&path).map_err(|cause| Failure::reading(&path, cause))?;
        let instance = Instance::read(&text, &options).map_err(|error| Failure::Unreadable {
            path: path.clone(),
            message: error.to_string(),
        })?;
        if done.contains(&instance.name) {
            continue;
        }
        let outcome = run_one(&instance, arguments, limits, &marks)?;
        all_good &= outcome.checked && outcome.value.is_some();
        all_good &= outcome.marks.iter().all(|mark| mark.checked);
        let line = serde_json::to_string(&outcome).map_err(std::io::Error::other)?;
        if let Some(path) = &arguments.append {
            let mut file = OpenOptions::new()
                .create(true)
                .append(true)
                .open(path)
                .map_err(|cause| Failure::writing(path, cause))?;
            // In one go, so that a break leaves no half of a line.
            file.write_all(format!("{line}\n").as_bytes())
                .map_err(|cause| Failure::writing(path, cause))?;
        }
        if arguments.json {
            writeln!(out, "{line}")?;
        } else {
            writeln!(out, "{}", printable(&table_row(&outcome)))?;
            for mark in &outcome.marks {
                writeln!(out, "{}", mark_row(mark))?;
            }
        }
        out.flush()?;
    }
    Ok(u8::from(!all_good))
}

fn run_one(
    instance: &Instance,
    arguments: &Arguments,
    limits: Limits,
    marks: &[f64],
) -> Result<Outcome, Failure> {
    let started = Instant::now();
    let job = instance.job.clone();
    let same: Remake = Arc::new(move |_| job.clone());
    let mut team = Team::new(
        (&instance.job, &same),
        Settings {
            seed: arguments.start,
            workers: arguments.workers,
            beside: WITH_PRICES,
            ..Settings::default()
        },
        limits,
        &[],
    )
    .map_err(|error| Failure::Option(error.to_string()))?;
    let progress = Progress::new(limits);
    let mut marks = Marks::new(marks.to_vec(), team.plan());
    team.run(started, |team, elapsed| {
        let plan = team.plan();
        let value = instance
            .value(&plan)
            .map_or_else(|| "not all placed".into(), |v| format!("{v:.3}"));
        progress.round(
            team.steps(),
            elapsed,
            printable(&format!("{} {value}", instance.name)),
        );
        marks.round(plan, elapsed);
    });
    let elapsed = started.elapsed();
    progress.done();
    let plan = team.plan();
    let wrong = broken(&instance.job, &plan);
    tell_wrong(instance, &wrong);
    if let Some(folder) = &arguments.solutions {
        std::fs::create_dir_all(folder).map_err(|cause| Failure::writing(folder, cause))?;
        let path = folder.join(format!(
            "{}.json",
            heartside_drawing::safe_file_name(&instance.name)
        ));
        let text =
            serde_json::to_string(&solution(instance, &plan)).map_err(std::io::Error::other)?;
        std::fs::write(&path, text + "\n").map_err(|cause| Failure::writing(&path, cause))?;
    }
    let value = instance.value(&plan);
    let bound = team.bound();
    Ok(Outcome {
        name: instance.name.clone(),
        kind: instance.kind.clone(),
        cuts: match instance.way {
            Way::Straight => "straight",
            Way::Sawn => "sawn",
        },
        measure: instance.measure.name(),
        value,
        best_known: instance.best_known,
        gap_percent: value.and_then(|v| instance.gap_percent(v)),
        proved: bound.proved_for.is_some(),
        bound: bound.value,
        steps: team.steps(),
        seconds: milliseconds(elapsed),
        checked: wrong.is_empty(),
        marks: marks
            .stood()
            .into_iter()
            .map(|(at, standing)| at_mark(instance, at, &standing))
            .collect(),
    })
}

/// Judges what stood at a mark, when the clock no longer counts.
fn at_mark(instance: &Instance, at: f64, standing: &Standing) -> AtMark {
    let wrong = broken(&instance.job, &standing.plan);
    tell_wrong(instance, &wrong);
    AtMark {
        at,
        value: instance.value(&standing.plan),
        steps: standing.plan.made.steps,
        seconds: milliseconds(standing.ended),
        checked: wrong.is_empty(),
    }
}

/// Seconds, rounded to thousandths.
fn milliseconds(time: Duration) -> f64 {
    (time.as_secs_f64() * 1000.0).round() / 1000.0
}

#[allow(clippy::print_stderr)]
fn tell_wrong(instance: &Instance, wrong: &[heartside_timber::finding::Finding]) {
    for finding in wrong.iter().take(5) {
        let told = format!("{}: {}", instance.name, finding_text(finding));
        eprintln!("{}", printable(&told));
    }
    if wrong.len() > 5 {
        let told = format!("{}: and {} more", instance.name, wrong.len() - 5);
        eprintln!("{}", printable(&told));
    }
}

fn number(value: Option<f64>) -> String {
    value.map_or_else(|| "-".to_owned(), |v| format!("{v:.3}"))
}

fn mark_row(mark: &AtMark) -> String {
    format!(
        "{:35} {:>14} {:>14} {:>9} {:>9} {:>8.1}  {}",
        format!("  by {} s", mark.at),
        number(mark.value),
        "",
        "",
        mark.steps,
        mark.seconds,
        if mark.checked { "yes" } else { "NO" },
    )
}

fn table_row(o: &Outcome) -> String {
    format!(
        "{:24} {:10} {:>14} {:>14} {:>9} {:>9} {:>8.1}  {}{}",
        o.name,
        o.measure,
        number(o.value),
        number(o.best_known),
        number(o.gap_percent),
        o.steps,
        o.seconds,
        if o.checked { "yes" } else { "NO" },
        if o.proved { ", proved" } else { "" },
    )
}

/// Names of the instances that a file of results already holds.
fn already_done(path: Option<&Path>) -> Result<BTreeSet<String>, Failure> {
    let Some(path) = path.filter(|p| p.exists()) else {
        return Ok(BTreeSet::new());
    };
    let file = File::open(path).map_err(|cause| Failure::reading(path, cause))?;
    let mut names = BTreeSet::new();
    for line in BufReader::new(file).lines() {
        let line = line.map_err(|cause| Failure::reading(path, cause))?;
        // A line that a break cut short is run again.
        if let Ok(value) = serde_json::from_str::<serde_json::Value>(&line)
            && let Some(name) = value.get("name").and_then(|n| n.as_str())
        {
            names.insert(name.to_owned());
        }
    }
    Ok(names)
}

/// The files named, and the `.json` files of the folders named, in order.
fn instance_files(paths: &[PathBuf]) -> Result<Vec<PathBuf>, Failure> {
    let mut files = Vec::new();
    for path in paths {
        if !path.is_dir() {
            files.push(path.clone());
            continue;
        }
        let mut found = Vec::new();
        for entry in std::fs::read_dir(path).map_err(|cause| Failure::reading(path, cause))? {
            let entry = entry.map_err(|cause| Failure::reading(path, cause))?.path();
            if entry.extension().is_some_and(|e| e == "json") {
                found.push(entry);
            }
        }
        found.sort();
        files.extend(found);
    }
    Ok(files)
}
