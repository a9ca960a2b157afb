//! Measuring the budgets.

use std::fs;
use std::path::{self, PathBuf};

use clap::Args;

use crate::command::Program;
use crate::core_module::{self, Finish};
use crate::fault::{Fault, Outcome};
use crate::page;
use crate::project::Project;

/// What to measure.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Measure only crates whose name holds this word, or of a table only rows that do; without it, the budgets of the README too, natively and in Chromium.
    filter: Option<String>,
    /// Only the budgets of the README.
    #[arg(long)]
    budgets: bool,
    /// Only the comparison with the plain rules a maker might use.
    #[arg(long)]
    rules: bool,
    /// Only the floors under the cost against the best plans, of the writing desk and 50 workshop jobs. It takes ten minutes.
    #[arg(long)]
    floors: bool,
    /// Only the memory that searches hold over so many seconds, natively by steps and in Chromium.
    #[arg(long, value_name = "SECONDS", num_args = 0..=1, default_missing_value = "300")]
    memory: Option<u32>,
    /// Only the table of the straight engine: published instances and generated jobs. It takes two hours; broken off, it goes on where it was.
    #[arg(long, group = "table")]
    straight: bool,
    /// Only the table of the engine for sawn shapes, likewise. It takes four and a half hours.
    #[arg(long, group = "table")]
    sawn: bool,
    /// Only easier twins, so many pairs of jobs of which the second is easier in one way: what is left out more and what costs more. Broken off, it goes on where it was.
    #[arg(long, value_name = "PAIRS", num_args = 0..=1, default_missing_value = "5000")]
    twins: Option<u32>,
    /// Of the time that each row of the table has, run only this many per cent.
    #[arg(long, requires = "table", default_value_t = 100)]
    share: u32,
    /// Folder in which the results of a table are kept, each engine's apart; target/tables where not given.
    #[arg(long, requires = "table", value_name = "FOLDER")]
    kept: Option<PathBuf>,
    /// Run nothing: print the table of the results that are kept so far.
    #[arg(long, requires = "table")]
    only_told: bool,
}

/// Runs the benchmarks: the budgets natively and in Chromium, and those of every crate that has some.
pub(crate) fn run(project: &Project, options: &Options) -> Outcome<()> {
    let table = match (options.straight, options.sawn) {
        (true, _) => Some("straight"),
        (_, true) => Some("sawn"),
        _ => None,
    };
    let everything = options.filter.is_none()
        && !options.budgets
        && !options.rules
        && !options.floors
        && options.memory.is_none()
        && options.twins.is_none()
        && table.is_none();
    if options.budgets || everything {
        budgets(project)?;
    }
    if options.rules || everything {
        rules(project)?;
    }
    if options.floors {
        benchmark_of_the_command(project, "floors").run()?;
    }
    if let Some(seconds) = options.memory.or(everything.then_some(60)) {
        memory(project, seconds)?;
    }
    if let Some(pairs) = options.twins {
        twins(project, pairs)?;
    }
    if let Some(engine) = table {
        table_of(project, engine, options)?;
    }
    if (options.filter.is_some() && table.is_none()) || everything {
        crates(project, options)?;
    }
    Ok(())
}

/// The search against the longest part first and against random orders.
fn rules(project: &Project) -> Outcome<()> {
    benchmark_of_the_command(project, "rules").run()
}

/// Pairs of jobs of which the second is easier in one way, each result kept beside what is built.
fn twins(project: &Project, pairs: u32) -> Outcome<()> {
    benchmark_of_the_command(project, "twins")
        .arguments(["--", "--kept"])
        .argument(project.at("target/tables"))
        .arguments(["--pairs", &pairs.to_string()])
        .run()
}

/// What searches hold over a long run: natively for some steps, in Chromium for some seconds.
fn memory(project: &Project, seconds: u32) -> Outcome<()> {
    let jobs = project.at("target/memory/jobs");
    benchmark_of_the_command(project, "memory")
        .arguments(["--", "--jobs"])
        .argument(&jobs)
        .run()?;
    core_module::build(project, Finish::Small)?;
    Program::node()
        .argument(project.at("tests/measure/memory.mjs"))
        .argument(core_module::module_file(project))
        .argument(&jobs)
        .argument(seconds.to_string())
        .folder(&project.root)
        .run()
}

/// The table of an engine, its results kept beside what is built where no folder is chosen.
fn table_of(project: &Project, engine: &str, options: &Options) -> Outcome<()> {
    // The benchmark runs in a folder of its own, so the chosen one is told in full.
    let kept = match &options.kept {
        Some(folder) => path::absolute(folder)
            .map_err(|error| Fault::new(format!("--kept {}: {error}", folder.display())))?,
        None => project.at("target/tables"),
    };
    let only_told = options.only_told.then_some("--only-told");
    benchmark_of_the_command(project, engine)
        .arguments(["--", "--kept"])
        .argument(kept)
        .arguments(["--share", &options.share.to_string()])
        .arguments(["--rows", options.filter.as_deref().unwrap_or_default()])
        .arguments(only_told)
        .run()
}

fn benchmark_of_the_command(project: &Project, name: &str) -> Program {
    Program::cargo(project)
        .arguments(["bench", "--quiet", "--package", "heartside-cli", "--bench"])
        .argument(name)
}

/// The budgets of the README: the same jobs natively, and in Chromium by the built page's core.
fn budgets(project: &Project) -> Outcome<()> {
    let jobs = project.at("target/budgets/jobs");
    let native = benchmark_of_the_command(project, "budgets")
        .arguments(["--", "--jobs"])
        .argument(&jobs)
        .run_and_keep()?;
    native.end?;
    let kept = project.at("target/budgets/native.jsonl");
    crate::fault::write_file(&kept, native.text.as_bytes())?;
    let page = page::build(project, Finish::Small)?;
    Program::node()
        .argument(project.at("tests/measure/budgets.mjs"))
        .argument(page)
        .argument(core_module::module_file(project))
        .argument(&jobs)
        .argument(&kept)
        .folder(&project.root)
        .run()
}

/// The benchmarks of every crate that has some, in the release profile.
fn crates(project: &Project, options: &Options) -> Outcome<()> {
    let mut names: Vec<String> = fs::read_dir(project.at("crates"))
        .into_iter()
        .flatten()
        .flatten()
        .filter(|entry| entry.path().join("benches").is_dir())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        // The command's are the budgets, the rules and the tables.
        .filter(|name| name != "cli")
        .filter(|name| {
            options
                .filter
                .as_ref()
                .is_none_or(|word| name.contains(word))
        })
        .collect();
    names.sort();
    if names.is_empty() {
        println!("No crate has benchmarks yet.");
    }
    for name in names {
        Program::cargo(project)
            .arguments(["bench", "--package"])
            .argument(format!("heartside-{name}"))
            .run()?;
    }
    Ok(())
}
