//! Measuring the budgets.

use std::fs;

use clap::Args;

use crate::command::Program;
use crate::fault::Outcome;
use crate::project::Project;

/// What to measure.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Measure only crates whose name holds this word.
    filter: Option<String>,
}

/// Runs the benchmarks of every crate that has some, in the release profile.
pub(crate) fn run(project: &Project, options: &Options) -> Outcome<()> {
    let mut names: Vec<String> = fs::read_dir(project.at("crates"))
        .into_iter()
        .flatten()
        .flatten()
        .filter(|entry| entry.path().join("benches").is_dir())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
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
