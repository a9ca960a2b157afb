//! `heartside check`: the plan in a job against every rule.

use std::io::Write;
use std::path::PathBuf;

use heartside_timber::document::Document;
use heartside_timber::finding::{Finding, Severity};
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::prepare;

use crate::failure::{Failure, tell_diagnostics};

/// What to check.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// The job file, with a plan in it.
    job: PathBuf,
}

/// Prints the findings. 0: none; 1: some.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let document = open(&arguments.job)?;
    let Some(plan) = document.plan.clone() else {
        return Err(Failure::Unreadable {
            path: arguments.job.clone(),
            message: "there is no plan in this job; make one with: heartside set-out JOB -o FOLDER"
                .into(),
        });
    };
    let prepared = heartside_timber::prepare(&document);
    tell_diagnostics(&prepared.diagnostics);
    let findings = heartside_check::check(&prepared.job, &plan);
    let mut out = std::io::stdout().lock();
    for finding in &findings {
        writeln!(out, "{}", finding_text(finding))?;
    }
    if findings.is_empty() {
        let placed = plan.placed_count();
        writeln!(
            out,
            "Checked against every rule: nothing found. {placed} parts on {} boards.",
            plan.layouts.len()
        )?;
        return Ok(0);
    }
    Ok(1)
}

/// Reads a job file as a person may have written it; what is wrong with its form is told.
pub(crate) fn open(path: &PathBuf) -> Result<Document, Failure> {
    let text = std::fs::read_to_string(path).map_err(|cause| Failure::reading(path, cause))?;
    let opened = Document::open(&text).map_err(|error| Failure::Unreadable {
        path: path.clone(),
        message: error.to_string(),
    })?;
    tell_diagnostics(&opened.diagnostics);
    Ok(opened.document)
}

/// What the checker finds wrong with a plan, cautions left aside.
pub(crate) fn broken(job: &Job, plan: &Plan) -> Vec<Finding> {
    heartside_check::check(job, plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect()
}

/// A finding on one line.
pub(crate) fn finding_text(finding: &Finding) -> String {
    let head = match finding.severity {
        Severity::Broken => "broken",
        Severity::Caution => "caution",
        Severity::NotChecked => "not checked",
    };
    format!(
        "{head} (rule {}): {}",
        finding.rule.number(),
        finding.message
    )
}

/// The job of a document; what had to be left out is told.
pub(crate) fn job_of(document: &Document) -> Job {
    let prepared = prepare(document);
    tell_diagnostics(&prepared.diagnostics);
    prepared.job
}
