//! `heartside set-out`: a plan, its drawings and a summary.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use clap::ValueEnum;
use heartside_app::figure::judge_figure;
use heartside_app::sizes::sizes_that_gave;
use heartside_app::still_sound::begun_from;
use heartside_cutting::{Step, cost_words, steps};
use heartside_drawing::{Options, board_svg, overview_svg};
use heartside_nest::{Remake, Settings, WayWanted};
use heartside_timber::job::Job;
use heartside_timber::plan::{Bound, Layout, Plan, UnplacedReason};
use heartside_timber::prepare::{Prepared, prepare, prepare_with};

use crate::check::{Standing, open_packed, prepared};
use crate::failure::{Failure, printable};
use crate::folder::{clear_earlier, sealed, write};
use crate::photos::Photos;
use crate::progress::Progress;
use crate::summary::{Told, summary};
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
    /// Starting number of the search: the same one gives the same plan again, another one goes another way.
    #[arg(long, alias = "seed", value_name = "NUMBER", default_value_t = 1)]
    start: u32,
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

/// Sets the job out. 0: everything placed and every rule kept, cautions aside; 1: not so.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let started = Instant::now();
    let limits = limits(arguments.steps, arguments.seconds, arguments.workers)?;
    let (mut document, photos) = open_packed(&arguments.job)?;
    let mut first = prepared(&document);
    judge_figure(&mut first.job);
    let earlier = begun_from(&document, &mut first.job);
    let job = &first.job;
    let asked = document.clone();
    let remake: Remake = Arc::new(move |choices| prepare_with(&asked, choices).job);
    let mut team = Team::new(
        (job, &remake),
        Settings {
            seed: arguments.start,
            workers: arguments.workers,
            way: arguments.cuts.into(),
            ..Settings::default()
        },
        limits,
        &earlier,
    )
    .map_err(|error| Failure::Option(error.to_string()))?;
    let progress = Progress::new(limits);
    let searching = team.run(started, |team, elapsed| {
        let plan = team.plan();
        let message = format!(
            "{} of {} parts, {}",
            plan.placed_count(),
            first.wanted(),
            cost_words(job, job.spent + plan.cost)
        );
        progress.round(team.steps(), elapsed, message);
    });
    progress.done();
    let bound = team.bound();
    let plan = finished(team.plan(), &bound, &first, document.revision);
    // The plan is safe on disk and told before anything is drawn: thousands of drawings take
    // their time.
    let folder = &arguments.output;
    std::fs::create_dir_all(folder).map_err(|cause| Failure::writing(folder, cause))?;
    document.plan = Some(plan.clone());
    // The plan may have chosen sizes and staves: it is told and drawn with the parts that it has.
    let mut prepared = prepare(&document);
    judge_figure(&mut prepared.job);
    prepared.job.photos.retain(|photo| photos.has(&photo.hash));
    let job = &prepared.job;
    write(&folder.join("plan.heartside.json"), &document.save())?;
    let findings = heartside_check::check(job, &plan);
    let steps = steps(job, &plan);
    let standing = Standing::of(&prepared, &plan, &findings);
    let sizes = sizes_that_gave(&document, job, &plan);
    let told = summary(&Told {
        prepared: &prepared,
        plan: &plan,
        sizes: &sizes,
        steps: &steps,
        bound: &bound,
        findings: &findings,
        standing: &standing,
        all: started.elapsed(),
        searching,
    });
    let mut out = std::io::stdout().lock();
    // Whoever stops reading here still gets the drawings.
    let told = write!(out, "{}", printable(&told)).and_then(|()| out.flush());
    let options = Options {
        findings: Some(&findings),
        sizes: &sizes,
        ..Options::default()
    };
    let stay = !photos.is_empty();
    let output = Output { folder, photos };
    let left = draw(&output, job, &plan, &steps, &options)?;
    told?;
    let mut told = format!("Drawings and plan are in {}\n", folder.display());
    if stay {
        told.push_str(&format!(
            "The photographs stay in {}: the plan's own file has none\n",
            arguments.job.display()
        ));
    }
    for path in left {
        told.push_str(&format!(
            "{} is not of this plan; it was made or changed elsewhere and is left there\n",
            path.display()
        ));
    }
    write!(out, "{}", printable(&told))?;
    Ok(standing.exit_code())
}

/// The plan with what only the whole of the run knows: the bound, the revision of the job, and
/// the parts that could not take part in the search.
fn finished(plan: Plan, bound: &Bound, prepared: &Prepared, revision: u64) -> Plan {
    let mut plan = Plan {
        bound: Some(bound.clone()),
        revision,
        ..plan
    };
    if plan.made.steps == 0 {
        for unplaced in &mut plan.unplaced {
            if unplaced.reason == UnplacedReason::NoRoom {
                unplaced.reason = UnplacedReason::NotTried;
            }
        }
    }
    plan.unplaced.extend(prepared.unplaced_parts());
    plan
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

/// Where drawings go, and the pictures that they hold.
struct Output<'a> {
    folder: &'a Path,
    photos: Photos,
}

impl Output<'_> {
    fn write(&self, name: &str, svg: &str) -> Result<(), Failure> {
        write(&self.folder.join(name), &sealed(&self.photos.inlined(svg)))
    }
}

/// Writes the drawings, and takes away what an earlier run left of them. Returns files beside
/// them that look like drawings of boards and are not its own.
fn draw(
    output: &Output<'_>,
    job: &Job,
    plan: &Plan,
    steps: &[Step],
    options: &Options,
) -> Result<Vec<PathBuf>, Failure> {
    let boards = plan.layouts.iter().filter(|l| !l.placements.is_empty());
    let boards: Vec<&Layout> = boards.collect();
    let draw_some = |some: &[&Layout]| -> Result<Vec<String>, Failure> {
        let mut written = Vec::new();
        for layout in some {
            let Some(drawing) = board_svg(job, plan, &layout.board, steps, options) else {
                continue;
            };
            let name = format!("{}.svg", drawing.name);
            output.write(&name, &drawing.svg)?;
            written.push(name);
        }
        Ok(written)
    };
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let share = boards.len().div_ceil(threads).max(1);
    let shares: Vec<Result<Vec<String>, Failure>> = std::thread::scope(|scope| {
        let running: Vec<_> = boards
            .chunks(share)
            .map(|some| scope.spawn(|| draw_some(some)))
            .collect();
        let ended = running.into_iter().map(std::thread::ScopedJoinHandle::join);
        // A thread that panicked has a mistake of ours in it: go on with the panic.
        ended
            .map(|end| end.unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    });
    let mut written = Vec::new();
    for names in shares {
        written.extend(names?);
    }
    output.write("overview.svg", &overview_svg(job, plan, steps, options).svg)?;
    Ok(clear_earlier(output.folder, &written)?.left)
}
