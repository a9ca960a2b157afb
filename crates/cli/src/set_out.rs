//! `heartside set-out`: a plan, its drawings and a summary.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::ValueEnum;
use heartside_check::still_sound;
use heartside_cutting::{Step, cost_words, least_board_words, reason_words, steps, totals};
use heartside_drawing::{Drawing, Options, board_svg, overview_svg};
use heartside_nest::{Settings, WayWanted};
use heartside_timber::document::Document;
use heartside_timber::finding::Finding;
use heartside_timber::job::Job;
use heartside_timber::plan::{Bound, Plan};

use crate::check::{broken, finding_text, job_of, open};
use crate::failure::Failure;
use crate::progress::Progress;
use crate::team::{Limits, Team};

/// What to set out.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// The job file.
    job: PathBuf,
    /// Folder for the plan and the drawings; made if missing.
    #[arg(short, long, value_name = "FOLDER")]
    output: PathBuf,
    /// Stop after this many steps of each worker.
    #[arg(long)]
    steps: Option<u64>,
    /// Stop after this many seconds (10 where neither is given).
    #[arg(long)]
    seconds: Option<f64>,
    /// Seed of the search: another seed, another course.
    #[arg(long, default_value_t = 1)]
    seed: u32,
    /// How many searches share the work.
    #[arg(long, default_value_t = 2)]
    workers: u32,
    /// How boards are cut.
    #[arg(long, value_enum, default_value_t = CutsWanted::AsJob)]
    cuts: CutsWanted,
}

/// How boards are cut.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CutsWanted {
    /// By straight cuts right across.
    Straight,
    /// By line, with a bandsaw or jigsaw.
    Sawn,
    /// As each board of the job says.
    AsJob,
}

impl From<CutsWanted> for WayWanted {
    fn from(wanted: CutsWanted) -> WayWanted {
        match wanted {
            CutsWanted::Straight => WayWanted::Straight,
            CutsWanted::Sawn => WayWanted::Sawn,
            CutsWanted::AsJob => WayWanted::AsJob,
        }
    }
}

/// Sets the job out. 0: everything placed and nothing found; 1: not so.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let limits = limits(arguments.steps, arguments.seconds, arguments.workers)?;
    let mut document = open(&arguments.job)?;
    let job = job_of(&document);
    let earlier = document.plan_before_edits();
    let earlier = earlier.map_or_else(Vec::new, |plan| still_sound(&job, plan));
    let mut team = Team::new(
        &job,
        Settings {
            seed: arguments.seed,
            workers: arguments.workers,
            way: arguments.cuts.into(),
            ..Settings::default()
        },
        &earlier,
    )
    .map_err(|error| Failure::Option(error.to_string()))?;
    let progress = Progress::new(limits);
    let elapsed = team.run(limits, |team, elapsed| {
        let plan = team.plan();
        let message = format!(
            "{} of {} parts, {}",
            plan.placed_count(),
            job.piece_count(),
            cost_words(&job, plan.cost)
        );
        progress.round(team.steps(), elapsed, message);
    });
    progress.done();
    let mut plan = team.plan();
    plan.bound = Some(team.bound());
    plan.revision = document.revision;
    let findings = heartside_check::check(&job, &plan);
    write_files(&arguments.output, &mut document, &job, &plan, &findings)?;
    summary(
        &arguments.output,
        &job,
        &plan,
        &team.bound(),
        &findings,
        elapsed.as_secs_f64(),
    )?;
    let sound = broken(&job, &plan).is_empty();
    Ok(u8::from(
        !(sound && plan.placed_count() as u64 == job.piece_count()),
    ))
}

/// The limits of a run.
///
/// # Errors
/// For no workers, and for seconds that are not a positive number.
pub(crate) fn limits(
    steps: Option<u64>,
    seconds: Option<f64>,
    workers: u32,
) -> Result<Limits, Failure> {
    if !(1..=64).contains(&workers) {
        return Err(Failure::Option(format!(
            "--workers {workers}: give a number from 1 to 64"
        )));
    }
    if let Some(seconds) = seconds.filter(|s| !s.is_finite() || *s < 0.0) {
        return Err(Failure::Option(format!(
            "--seconds {seconds}: give a number of seconds, such as 10"
        )));
    }
    Ok(Limits { steps, seconds })
}

fn write_files(
    folder: &Path,
    document: &mut Document,
    job: &Job,
    plan: &Plan,
    findings: &[Finding],
) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|cause| Failure::writing(folder, cause))?;
    document.plan = Some(plan.clone());
    write(&folder.join("plan.heartside.json"), &document.save())?;
    let steps = steps(job, plan);
    let options = Options {
        findings: Some(findings),
        ..Options::default()
    };
    for drawing in drawings(job, plan, &steps, &options) {
        write(&folder.join(format!("{}.svg", drawing.name)), &drawing.svg)?;
    }
    write(
        &folder.join("overview.svg"),
        &overview_svg(job, plan, &steps, &options).svg,
    )
}

fn drawings(job: &Job, plan: &Plan, steps: &[Step], options: &Options) -> Vec<Drawing> {
    plan.layouts
        .iter()
        .filter(|layout| !layout.placements.is_empty())
        .filter_map(|layout| board_svg(job, plan, &layout.board, steps, options))
        .collect()
}

fn write(path: &Path, text: &str) -> Result<(), Failure> {
    std::fs::write(path, text).map_err(|cause| Failure::writing(path, cause))
}

fn summary(
    folder: &Path,
    job: &Job,
    plan: &Plan,
    bound: &Bound,
    findings: &[Finding],
    seconds: f64,
) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{}", job.title)?;
    let verdict = if heartside_timber::finding::is_sound(findings) {
        "checked against every rule".to_owned()
    } else {
        format!(
            "{} things are wrong with this plan",
            broken(job, plan).len()
        )
    };
    writeln!(out, "  {verdict}")?;
    let totals = totals(job, plan, &steps(job, plan));
    let width = totals
        .rows
        .iter()
        .map(|(what, _)| what.chars().count())
        .max()
        .unwrap_or(0)
        .max(16);
    let mut rows = totals.rows.clone();
    rows.push((
        "No plan under".into(),
        format!("{} ({})", cost_words(job, bound.value), bound.because),
    ));
    if let Some(class) = &bound.proved_for {
        rows.push(("Proved best".into(), class.clone()));
    }
    for (what, value) in rows {
        writeln!(out, "  {what:width$}  {value}")?;
    }
    if !plan.unplaced.is_empty() {
        writeln!(out, "\nNot placed:")?;
        for unplaced in &plan.unplaced {
            let name = job
                .part(&unplaced.part)
                .map_or(unplaced.part.as_str(), |p| p.name.as_str());
            let count = unplaced.copies.len();
            let reason = reason_words(unplaced.reason);
            writeln!(
                out,
                "  {count} x {name}: {reason}; least board: {}",
                least_board_words(job, unplaced)
            )?;
        }
    }
    if !findings.is_empty() {
        writeln!(out, "\nFound by the checker:")?;
        for finding in findings {
            writeln!(out, "  {}", finding_text(finding))?;
        }
    }
    let made = &plan.made;
    writeln!(
        out,
        "\nTo repeat it: --seed {} --steps {} --workers {}   ({seconds:.1} s)",
        made.seed, made.steps, made.workers
    )?;
    writeln!(out, "Drawings and plan are in {}", folder.display())?;
    Ok(())
}
