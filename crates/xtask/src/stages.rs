//! All tests, stage by stage, cheapest news first.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use clap::ValueEnum;

use crate::command::Program;
use crate::core_module::{self, CoreModule, Finish};
use crate::fault::{Fault, Outcome, read_text};
use crate::needs::{self, Need, Permission};
use crate::project::Project;
use crate::tally::{Tally, failed_of_playwright};
use crate::{javascript, page, rust_tests, types};

/// A stage of `cargo xtask test`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Stage {
    /// Formatting of the Rust sources.
    Format,
    /// Clippy without a warning.
    Lint,
    /// Rust tests of all crates, examples in documentation included.
    Rust,
    /// The core compiled for the page.
    Core,
    /// The committed TypeScript types are those of the core.
    Types,
    /// Type check of the page and of the browser tests.
    Typescript,
    /// The page built, within its budget of size.
    Page,
    /// The core's messages, seen from Node.js.
    Node,
    /// The built page in a browser, opened from disk.
    Browser,
    /// Whole plans checked again by an independent program in Python.
    Oracle,
}

impl Stage {
    const ALL: [Self; 10] = [
        Self::Format,
        Self::Lint,
        Self::Rust,
        Self::Core,
        Self::Types,
        Self::Typescript,
        Self::Page,
        Self::Node,
        Self::Browser,
        Self::Oracle,
    ];

    /// Those that need the core as the page has it.
    const OF_CORE: [Self; 6] = [
        Self::Core,
        Self::Types,
        Self::Typescript,
        Self::Page,
        Self::Node,
        Self::Browser,
    ];

    fn heading(self) -> &'static str {
        match self {
            Self::Format => "Formatting",
            Self::Lint => "Lints",
            Self::Rust => "Rust tests",
            Self::Core => "Core for the page",
            Self::Types => "Types of the core",
            Self::Typescript => "Types of the page",
            Self::Page => "Page",
            Self::Node => "Core in Node.js",
            Self::Browser => "Page in the browser",
            Self::Oracle => "Independent oracle",
        }
    }

    fn needs(self) -> &'static [Need] {
        match self {
            Self::Format | Self::Lint => &[],
            Self::Rust => &[Need::XmlCheck],
            Self::Core | Self::Types | Self::Typescript | Self::Page | Self::Node => {
                &Need::FOR_PAGE
            }
            Self::Browser => &[
                Need::WasmCompiler,
                Need::Node,
                Need::Browser,
                Need::Fonts,
                Need::XmlCheck,
                Need::PdfPictures,
                Need::SvgPictures,
            ],
            Self::Oracle => &[Need::Python],
        }
    }
}

/// What became of a stage.
enum End {
    Done(Tally),
    /// Its folder does not exist (yet).
    Absent(&'static str),
}

struct Report {
    stage: Stage,
    took: Duration,
    end: Outcome<End>,
    tally: Tally,
}

/// Runs the stages asked for, or all, and ends with the sum of the runners' own counts.
///
/// A failing stage does not keep later ones from running. A stage that fails without a failed
/// test of its own (a lint, say) counts as one failed test, so the last line never sounds
/// better than the run was.
pub(crate) fn run(project: &Project, only: &[Stage], permission: Permission) -> Outcome<ExitCode> {
    let stages: Vec<Stage> = Stage::ALL
        .into_iter()
        .filter(|stage| only.is_empty() || only.contains(stage))
        .collect();
    let mut wanted: Vec<Need> = Need::FOR_TESTS.to_vec();
    wanted.retain(|need| stages.iter().any(|stage| stage.needs().contains(need)));
    needs::provide(&wanted, permission)?;

    let mut bench = Workbench {
        project,
        early: Some(Early {
            core: stages.iter().any(|stage| Stage::OF_CORE.contains(stage)),
            python: stages.contains(&Stage::Oracle),
        }),
        core: None,
        page: None,
    };
    let reports: Vec<Report> = stages
        .into_iter()
        .map(|stage| bench.report(stage))
        .collect();
    Ok(summarise(&reports))
}

fn summarise(reports: &[Report]) -> ExitCode {
    println!("\n== Summary");
    let mut sum = Tally::default();
    let mut failed = false;
    for report in reports {
        let verdict = match &report.end {
            Ok(End::Done(tally)) if *tally == Tally::default() => "good".to_owned(),
            Ok(End::Done(tally)) => tally.to_string(),
            Ok(End::Absent(folder)) => format!("not there yet ({folder})"),
            Err(_) => {
                failed = true;
                format!("FAILED ({})", report.tally)
            }
        };
        println!(
            "{:>7.1} s  {:<20} {verdict}",
            report.took.as_secs_f64(),
            report.stage.heading()
        );
        sum += report.tally;
    }
    // Once more at the end, where whoever reads only that finds it.
    for fault in reports
        .iter()
        .filter_map(|report| report.end.as_ref().err())
    {
        println!("{fault}");
    }
    println!("{sum}");
    if failed {
        ExitCode::FAILURE
    } else {
        ExitCode::SUCCESS
    }
}

/// What stages hand on to later ones.
struct Workbench<'project> {
    project: &'project Project,
    /// What later stages need and is begun while the Rust tests run.
    early: Option<Early>,
    core: Option<CoreModule>,
    page: Option<PathBuf>,
}

/// Work of later stages that keeps to one core for minutes, or waits for the network. Done while
/// the Rust tests run it costs little; where it fails, the stage that needs it tries again and says so.
struct Early {
    core: bool,
    python: bool,
}

impl Early {
    fn run(self, project: &Project) {
        if self.core {
            let _ = core_module::build(project, Finish::Small);
        }
        if self.python {
            let _ = oracle_python(project);
        }
    }
}

impl Workbench<'_> {
    fn report(&mut self, stage: Stage) -> Report {
        println!("\n== {}", stage.heading());
        let start = Instant::now();
        let mut tally = Tally::default();
        let end = self.perform(stage, &mut tally);
        let took = start.elapsed();
        if let Err(fault) = &end {
            eprintln!("{fault}");
            tally.failed = tally.failed.max(1);
        }
        println!("-- {} took {:.1} s", stage.heading(), took.as_secs_f64());
        Report {
            stage,
            took,
            end,
            tally,
        }
    }

    /// Runs one stage; `tally` takes its counts even where it fails.
    fn perform(&mut self, stage: Stage, tally: &mut Tally) -> Outcome<End> {
        let project = self.project;
        match stage {
            Stage::Format => Program::cargo(project)
                .arguments(["fmt", "--all", "--check"])
                .run()?,
            Stage::Lint => Program::cargo(project)
                .arguments([
                    "clippy",
                    "--quiet",
                    "--keep-going",
                    "--workspace",
                    "--all-targets",
                    "--",
                    "-D",
                    "warnings",
                ])
                .run()?,
            Stage::Rust => {
                let early = self.early.take();
                rust_tests::run(project, tally, || {
                    if let Some(early) = early {
                        early.run(project);
                    }
                })?;
            }
            Stage::Core => drop(self.core()?),
            Stage::Types => types::check(project, self.core()?)?,
            Stage::Typescript => {
                // The page imports the core's JavaScript side, which building it writes.
                self.core()?;
                javascript::fetch_tools(project)?;
                check_types(project, "web/tsconfig.json")?;
                if project.at("tests/browser/tsconfig.json").is_file() {
                    check_types(project, "tests/browser/tsconfig.json")?;
                }
            }
            Stage::Page => drop(self.page()?),
            Stage::Node => return self.node_tests(tally),
            Stage::Browser => return self.browser_tests(tally),
            Stage::Oracle => return oracle_tests(project, tally),
        }
        Ok(End::Done(*tally))
    }

    fn core(&mut self) -> Outcome<&CoreModule> {
        if self.core.is_none() {
            self.core = Some(core_module::build(self.project, Finish::Small)?);
        }
        self.core
            .as_ref()
            .ok_or_else(|| Fault::new("the core was not built"))
    }

    fn page(&mut self) -> Outcome<&Path> {
        if self.page.is_none() {
            let project = self.project;
            self.page = Some(page::build_with(project, self.core()?)?);
        }
        self.page
            .as_deref()
            .ok_or_else(|| Fault::new("the page was not built"))
    }

    fn node_tests(&mut self, tally: &mut Tally) -> Outcome<End> {
        let folder = self.project.at("tests/wasm");
        let mut files: Vec<PathBuf> = list(&folder)
            .into_iter()
            .filter(|path| path.to_string_lossy().ends_with(".test.mjs"))
            .collect();
        if files.is_empty() {
            return Ok(End::Absent("tests/wasm"));
        }
        files.sort();
        self.core()?;
        let kept = Program::node()
            .arguments(["--test", "--test-reporter=spec"])
            .arguments(files)
            .variable("HEARTSIDE_CORE", core_module::module_file(self.project))
            .folder(&self.project.root)
            .run_and_keep()?;
        *tally = Tally::of_node(&kept.text);
        kept.end?;
        Ok(End::Done(*tally))
    }

    fn browser_tests(&mut self, tally: &mut Tally) -> Outcome<End> {
        let project = self.project;
        if !project.at("tests/browser").is_dir() {
            return Ok(End::Absent("tests/browser"));
        }
        self.page()?;
        let report = project.at("tests/results/browser.json");
        // An old report must not speak for a run that wrote none.
        let _ = fs::remove_file(&report);
        let end = javascript::tool(project, "@playwright/test/cli.js")
            .argument("test")
            .variable("HEARTSIDE_CORE", core_module::module_file(self.project))
            .run();
        let report = read_text(&report).unwrap_or_default();
        *tally = Tally::of_playwright(&report)
            .ok_or_else(|| Fault::new("the browser tests wrote no report"))?;
        let failed = failed_of_playwright(&report);
        if !failed.is_empty() {
            return Err(Fault::new(format!(
                "tests failed in the browser:\n    {}",
                failed.join("\n    ")
            )));
        }
        end?;
        Ok(End::Done(*tally))
    }
}

fn check_types(project: &Project, settings: &str) -> Outcome<()> {
    javascript::tool(project, "typescript/bin/tsc")
        .argument("--project")
        .argument(project.at(settings))
        .run()
}

fn oracle_tests(project: &Project, tally: &mut Tally) -> Outcome<End> {
    let folder = project.at("tests/oracle");
    if !folder.is_dir() {
        return Ok(End::Absent("tests/oracle"));
    }
    let python = oracle_python(project)?;
    let kept = Program::new(python)
        .arguments(["-m", "pytest", "-p", "no:cacheprovider", "-q"])
        // Tests of the same cases stay together (conftest.py), so that those are made once.
        .arguments(["--numprocesses", "auto", "--dist", "loadgroup"])
        .argument(&folder)
        .variable("PYTHONDONTWRITEBYTECODE", "1")
        .folder(&project.root)
        .run_and_keep()?;
    *tally = Tally::of_pytest(&kept.text);
    kept.end?;
    Ok(End::Done(*tally))
}

/// Python of a private environment that holds exactly the pinned requirements.
fn oracle_python(project: &Project) -> Outcome<PathBuf> {
    let requirements = &project.at("tests/oracle/requirements.txt");
    let environment = project.at("tests/.venv");
    let python = environment.join(if cfg!(windows) {
        "Scripts/python.exe"
    } else {
        "bin/python"
    });
    let wanted = read_text(requirements)?;
    let installed = environment.join("heartside-requirements.txt");
    if fs::read_to_string(&installed).is_ok_and(|old| old == wanted) {
        return Ok(python);
    }
    println!("Preparing the oracle's Python ...");
    Program::new("python3")
        .arguments(["-m", "venv", "--clear"])
        .argument(&environment)
        .run()?;
    Program::new(&python)
        .arguments([
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
            "-r",
        ])
        .argument(requirements)
        .run()?;
    fs::write(&installed, wanted)
        .map_err(|error| Fault::about_file("write", &installed, &error))?;
    Ok(python)
}

fn list(folder: &Path) -> Vec<PathBuf> {
    fs::read_dir(folder)
        .map(|entries| entries.flatten().map(|entry| entry.path()).collect())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_stage_is_run_once() {
        assert_eq!(Stage::ALL.as_slice(), Stage::value_variants());
    }
}
