//! `heartside sheets`: what leaves a plan for other programs, spreadsheets and paper.

mod files;
mod in_pdf;
mod kinds;
mod paper_wanted;

use std::io::Write;
use std::path::PathBuf;

use clap::ValueEnum;
use heartside_app::files_out::Leaving;
use heartside_app::sizes::sizes_that_gave;
use heartside_cutting::steps;
use heartside_drawing::Paper;
use heartside_exchange::csv::Separator;
use heartside_timber::length::Unit;

use crate::check::{Standing, left_out_lines, open_packed, prepared};
use crate::failure::{Failure, printable};
use files::{Files, told as files_told};
use kinds::Kind;
use paper_wanted::OnPaper;

/// What to write out.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// The job file, with a plan in it.
    job: PathBuf,
    /// Folder for the files; made if missing.
    #[arg(short, long, value_name = "FOLDER")]
    output: PathBuf,
    /// Only these kinds of files; all of them unless said.
    #[arg(long, value_enum, value_name = "KIND", num_args = 1..)]
    only: Vec<Kind>,
    /// Paper of the pages: A4, or Letter where the job is in inches, unless said.
    #[arg(long, value_enum)]
    paper: Option<PaperWanted>,
    /// What stands between the cells of lists; with semicolons, commas part decimals.
    #[arg(long, value_enum, default_value_t = SeparatorWanted::Comma)]
    separator: SeparatorWanted,
    #[command(flatten)]
    on_paper: OnPaper,
}

/// Paper, lying.
#[derive(Clone, Copy, ValueEnum)]
enum PaperWanted {
    /// 297 x 210 mm.
    A4,
    /// 420 x 297 mm.
    A3,
    /// 11 x 8 1/2 in.
    Letter,
}

/// What stands between the cells of a list.
#[derive(Clone, Copy, ValueEnum)]
enum SeparatorWanted {
    /// Commas; points part decimals.
    Comma,
    /// Semicolons; commas part decimals.
    Semicolon,
}

/// Writes the files. 0: of a plan that places everything and keeps every rule, cautions aside; 1: not so.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let (document, photos) = open_packed(&arguments.job)?;
    let asked_for = |message: &str| Failure::Unreadable {
        path: arguments.job.clone(),
        message: message.into(),
    };
    let Some(plan) = document.plan.clone() else {
        return Err(asked_for(
            "there is no plan in this job; make one with: heartside set-out JOB -o FOLDER, then take the plan.heartside.json in that folder",
        ));
    };
    if plan.layouts.iter().all(|l| l.placements.is_empty()) && plan.unplaced.is_empty() {
        return Err(asked_for(
            "the plan in this job places nothing; set it out anew with: heartside set-out JOB -o FOLDER",
        ));
    }
    let mut prepared = prepared(&document);
    prepared.job.photos.retain(|photo| photos.has(&photo.hash));
    let job = &prepared.job;
    let findings = heartside_check::check(job, &plan);
    let standing = Standing::of(&prepared, &plan, &findings);
    let paper = match (arguments.paper, job.units.unit) {
        (Some(PaperWanted::A4), _) | (None, Unit::Millimetres) => Paper::A4,
        (Some(PaperWanted::A3), _) => Paper::A3,
        (Some(PaperWanted::Letter), _) | (None, Unit::Inches) => Paper::Letter,
    };
    let on_paper = &arguments.on_paper;
    let leaving = Leaving {
        job,
        document: &document,
        plan: &plan,
        steps: &steps(job, &plan),
        findings: &findings,
        sizes: &sizes_that_gave(&document, job, &plan),
        paper,
        separator: match arguments.separator {
            SeparatorWanted::Comma => Separator::Comma,
            SeparatorWanted::Semicolon => Separator::Semicolon,
        },
        labels: on_paper.labels(paper, &job.units)?,
        overlap: on_paper.overlap(&job.units)?,
        date: &on_paper.date,
    };
    let folder = &arguments.output;
    let mut files = Files::new(folder);
    let mut told = String::new();
    for kind in Kind::value_variants() {
        if !arguments.only.is_empty() && !arguments.only.contains(kind) {
            continue;
        }
        let made = kind.files(&leaving, &photos, &mut files.names)?;
        told.push_str(&format!(
            "{}: {}\n",
            kind.words(&leaving),
            files_told(&made)
        ));
        files.add(made);
    }
    files.write()?;
    told.push_str(&format!("Written into {}\n", folder.display()));
    for path in files.left()? {
        told.push_str(&format!(
            "{} was not written now: if it is of an earlier plan, throw it away\n",
            path.display()
        ));
    }
    let (placed, verdict) = (standing.placed_words(), standing.verdict());
    told.push_str(&format!("The plan: {placed} parts placed, {verdict}\n"));
    if standing.exit_code() != 0 {
        for line in left_out_lines(&prepared) {
            told.push_str(&format!("{line}\n"));
        }
        told.push_str("Look at it before you cut: heartside check JOB tells more\n");
    }
    write!(std::io::stdout().lock(), "{}", printable(&told))?;
    Ok(standing.exit_code())
}
