//! Builds, tests, opens and measures the project: `cargo xtask --help`.
//!
//! One file a subject: [`command`] starts other programs, [`needs`] knows what must be
//! installed, [`core_module`] builds the WebAssembly core, [`page`] and [`html`] turn it
//! into one HTML file, [`stages`] runs all tests and [`tally`] adds up what they report.

// Printing is what this program is for.
#![allow(clippy::print_stdout, clippy::print_stderr)]

mod bench;
mod by_kind;
mod command;
mod core_module;
mod fault;
mod html;
mod javascript;
mod needs;
mod packing;
mod page;
mod project;
mod rust_tests;
mod serve;
mod stages;
mod tally;
mod types;

use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};

use crate::command::Program;
use crate::core_module::Finish;
use crate::fault::Outcome;
use crate::needs::{Need, Permission};
use crate::project::Project;

/// Builds, tests, opens and measures Heartside.
///
/// Nothing outside the project folder is changed unless you say --install or CI=true is
/// set: what is missing is named with the command that brings it.
#[derive(Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask", version)]
struct Arguments {
    #[command(subcommand)]
    task: Task,
}

#[derive(Subcommand)]
enum Task {
    /// Build the page and open it in the browser with the demo job.
    Open {
        #[command(flatten)]
        install: Install,
        /// Build and print the page's path only.
        #[arg(long)]
        no_browser: bool,
    },
    /// Build the page into web/dist/heartside.html.
    Page {
        #[command(flatten)]
        install: Install,
        /// In seconds, to look at a change: larger than the page may be, and searching slower.
        #[arg(long)]
        quick: bool,
    },
    /// Run every test there is, as `.ci/run` does.
    Test {
        #[command(flatten)]
        install: Install,
        /// Run only this stage; may be given several times.
        #[arg(long, value_enum)]
        only: Vec<stages::Stage>,
    },
    /// Build the page again whenever one of its sources changes; needs no server, since the
    /// page is opened from disk: reload it there.
    Serve {
        #[command(flatten)]
        install: Install,
    },
    /// Write the TypeScript types of the core into web/src/protocol/generated.d.ts.
    Types {
        #[command(flatten)]
        install: Install,
        /// Change nothing; fail if the committed types are out of date.
        #[arg(long)]
        check: bool,
    },
    /// Run the Rust tests and let them rewrite their stored drawings; then look at the diff.
    Bless,
    /// Measure the budgets and print a table of them.
    Bench(bench::Options),
}

#[derive(Args)]
struct Install {
    /// Install what is missing: the wasm32 target with rustup, else packages with apt-get.
    #[arg(long)]
    install: bool,
}

impl Install {
    fn permission(&self) -> Permission {
        if self.install || project::in_ci() {
            Permission::Install
        } else {
            Permission::OnlyName
        }
    }
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    match Project::find().and_then(|project| perform(&arguments.task, &project)) {
        Ok(code) => code,
        Err(fault) => {
            eprintln!("{fault}");
            ExitCode::FAILURE
        }
    }
}

fn perform(task: &Task, project: &Project) -> Outcome<ExitCode> {
    match task {
        Task::Open {
            install,
            no_browser,
        } => {
            needs::provide(&Need::FOR_PAGE, install.permission())?;
            let built = page::build(project, Finish::Small)?;
            println!("{}", built.display());
            if !no_browser {
                page::show(&built)?;
            }
        }
        Task::Page { install, quick } => {
            needs::provide(&Need::FOR_PAGE, install.permission())?;
            let finish = if *quick { Finish::Quick } else { Finish::Small };
            println!("{}", page::build(project, finish)?.display());
        }
        Task::Test { install, only } => {
            return stages::run(project, only, install.permission());
        }
        Task::Serve { install } => {
            needs::provide(&Need::FOR_PAGE, install.permission())?;
            serve::run(project)?;
        }
        Task::Types { install, check } => {
            needs::provide(&Need::FOR_PAGE, install.permission())?;
            let core = core_module::build(project, Finish::Small)?;
            if *check {
                types::check(project, &core)?;
            } else {
                types::write(project, &core)?;
            }
        }
        Task::Bless => {
            Program::cargo(project)
                .arguments(["test", "--workspace", "--no-fail-fast"])
                .variable("HEARTSIDE_BLESS", "1")
                .run()?;
            println!("Stored results are rewritten. Look at `git diff` before you commit them.");
        }
        Task::Bench(options) => bench::run(project, options)?,
    }
    Ok(ExitCode::SUCCESS)
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_consistent() {
        super::Arguments::command().debug_assert();
    }
}
