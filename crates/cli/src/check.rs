//! `heartside check`: the plan in a job against every rule.

use std::io::Write;
use std::path::{Path, PathBuf};

use heartside_drawing::Verdict;
use heartside_timber::diagnostic::Subject;
use heartside_timber::document::Document;
use heartside_timber::finding::{Finding, Outcome, Severity};
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::{LeftOut, Prepared, prepare};
use heartside_timber::score::pieces_placed;
use heartside_timber::words::{capital, counted};

use crate::failure::{
    Failure, printable, tell_diagnostics, tell_opening, tell_passed_over, thing_words,
};
use crate::photos::{self, Photos};

/// What to check.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// The job file, with a plan in it.
    job: PathBuf,
}

/// Prints the findings. 0: all is placed and every rule kept, cautions aside; 1: not so.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let document = open(&arguments.job)?;
    let Some(plan) = document.plan.clone() else {
        return Err(Failure::Unreadable {
            path: arguments.job.clone(),
            message: "there is no plan in this job; make one with: heartside set-out JOB -o FOLDER"
                .into(),
        });
    };
    let prepared = prepared(&document);
    let findings = heartside_check::check(&prepared.job, &plan);
    let mut told = String::new();
    for finding in &findings {
        told.push_str(&finding_text(finding));
        told.push('\n');
    }
    let stand = Standing::of(&prepared, &plan, &findings);
    told.push_str(&stand.sentence(&plan));
    for line in left_out_lines(&prepared) {
        told.push_str(&format!("\n{line}"));
    }
    writeln!(std::io::stdout().lock(), "{}", printable(&told))?;
    Ok(stand.exit_code())
}

/// How a plan stands: what was found, and what of the job it places. Both commands end by it.
pub(crate) struct Standing {
    outcome: Outcome,
    verdict: Verdict,
    /// Pieces that have a place.
    pub(crate) placed: u64,
    /// Pieces that the job asks for, with those whose part has a problem.
    pub(crate) wanted: u64,
    /// Some part that is left out does not say how many there are.
    at_least: bool,
}

impl Standing {
    pub(crate) fn of(prepared: &Prepared, plan: &Plan, findings: &[Finding]) -> Standing {
        let parts = prepared
            .left_out
            .iter()
            .filter(|l| l.subject == Subject::Part);
        Standing {
            outcome: Outcome::of(findings),
            verdict: Verdict::of(Some(findings), None),
            placed: pieces_placed(&prepared.job, plan),
            wanted: prepared.wanted(),
            at_least: parts.into_iter().any(|l| l.count.is_none()),
        }
    }

    /// "checked against every rule", or what stands in the way of that.
    pub(crate) fn verdict(&self) -> String {
        if self.placed == 0 && self.wanted > 0 && self.outcome == Outcome::Checked {
            return "nothing is placed".into();
        }
        self.verdict.words(self.wanted.saturating_sub(self.placed))
    }

    /// "5 of 5", "3 of at least 4".
    pub(crate) fn placed_words(&self) -> String {
        let least = if self.at_least { "at least " } else { "" };
        format!("{} of {least}{}", self.placed, self.wanted)
    }

    fn sentence(&self, plan: &Plan) -> String {
        let mut verdict = self.verdict();
        if let Some(first) = verdict.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        let boards = plan.layouts.iter().filter(|l| !l.placements.is_empty());
        let boards = counted(boards.count(), "board", "boards");
        format!("{verdict}. {} parts on {boards}.", self.placed_words())
    }

    /// 0 if everything is placed and every rule was looked at and is kept; cautions alone change
    /// nothing. Else 1.
    pub(crate) fn exit_code(&self) -> u8 {
        let all_well = self.outcome == Outcome::Checked && self.placed == self.wanted;
        u8::from(!all_well)
    }
}

/// A line for each board and part that the job is planned without.
pub(crate) fn left_out_lines(prepared: &Prepared) -> Vec<String> {
    let line = |thing: &LeftOut| {
        let what = thing_words(thing.subject, &thing.id, &thing.name);
        let what = capital(&what);
        let without = match thing.subject {
            Subject::Board => "nothing is cut from it",
            _ => "it is not placed",
        };
        format!(
            "{what} has a problem, and until that is mended {without}: {}",
            thing.because
        )
    };
    prepared.left_out.iter().map(line).collect()
}

/// Reads a job file as a person may have written it; what is wrong with its form is told.
pub(crate) fn open(path: &Path) -> Result<Document, Failure> {
    Ok(open_packed(path)?.0)
}

/// The same with the photographs that are packed with it.
pub(crate) fn open_packed(path: &Path) -> Result<(Document, Photos), Failure> {
    let packed = photos::read(path)?;
    let opened = Document::open(&packed.job).map_err(|error| Failure::Unreadable {
        path: path.to_owned(),
        message: error.to_string(),
    })?;
    tell_opening(&opened.diagnostics);
    tell_passed_over(path, &packed.others);
    Ok((opened.document, packed.photos))
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

/// The job of a document; what is wrong with it is told.
pub(crate) fn prepared(document: &Document) -> Prepared {
    let prepared = prepare(document);
    tell_diagnostics(&prepared.diagnostics, &prepared.left_out);
    prepared
}
