//! What a run came to, in a page of text.

use std::fmt::Write;
use std::time::Duration;

use heartside_app::figure::figure_words;
use heartside_cutting::{
    Step, Totals, cost_words, least_board_words, reason_words, ripped_words, totals, waiting,
};
use heartside_timber::finding::Finding;
use heartside_timber::job::Job;
use heartside_timber::length::write_money;
use heartside_timber::plan::{Bound, Plan};
use heartside_timber::prepare::Prepared;
use heartside_timber::score::Score;
use heartside_timber::words::counted;

use crate::check::{Standing, finding_text, left_out_lines};

/// What is told of a run.
pub(crate) struct Told<'a> {
    pub(crate) prepared: &'a Prepared,
    pub(crate) plan: &'a Plan,
    /// Sentences for each size that gave way.
    pub(crate) sizes: &'a [String],
    pub(crate) steps: &'a [Step],
    pub(crate) bound: &'a Bound,
    pub(crate) findings: &'a [Finding],
    pub(crate) standing: &'a Standing,
    /// From the start of the command to now.
    pub(crate) all: Duration,
    /// Of it, what went into steps of the search.
    pub(crate) searching: Duration,
}

/// The summary, line by line.
pub(crate) fn summary(told: &Told<'_>) -> String {
    let Told { prepared, plan, .. } = told;
    let job = &prepared.job;
    let mut text = format!("{}\n  {}\n", job.title, told.standing.verdict());
    let rows = rows(told);
    let long = rows.iter().map(|(what, _)| what.chars().count());
    let width = long.max().unwrap_or(0).max(16);
    for (what, value) in rows {
        line(&mut text, format_args!("  {what:width$}  {value}"));
    }
    if !told.sizes.is_empty() {
        line(&mut text, format_args!("\nSizes that gave way:"));
        for said in told.sizes {
            line(&mut text, format_args!("  {said}"));
        }
    }
    if !plan.unplaced.is_empty() {
        line(&mut text, format_args!("\nNot placed:"));
        for row in waiting(job, plan) {
            let count = row.pieces();
            let left_out = prepared.left_out.iter().find(|l| l.id == row.of[0].part);
            let name = left_out.map_or(row.name.as_str(), |l| l.name.as_str());
            let reason = reason_words(job, row.of[0]);
            let least = match least_board_words(job, row.least()) {
                words if words.is_empty() => words,
                words => format!("; least board: {words}"),
            };
            line(
                &mut text,
                format_args!("  {count} x {name}: {reason}{least}"),
            );
        }
    }
    let staves = job.boards.iter().filter(|board| board.left() > 0);
    let staves: Vec<(&str, String)> = staves
        .filter_map(|board| Some((board.id.as_str(), ripped_words(job, board)?)))
        .collect();
    if !staves.is_empty() {
        line(
            &mut text,
            format_args!("\nCupped boards, ripped into staves first, finish at:"),
        );
        for (board, words) in staves {
            line(&mut text, format_args!("  {board}: {words}"));
        }
    }
    let left_out = left_out_lines(prepared);
    if !left_out.is_empty() {
        line(&mut text, format_args!("\nPlanned without:"));
        for words in left_out {
            line(&mut text, format_args!("  {words}"));
        }
    }
    if !told.findings.is_empty() {
        line(&mut text, format_args!("\nFound by the checker:"));
        for finding in told.findings {
            line(&mut text, format_args!("  {}", finding_text(finding)));
        }
    }
    let made = &plan.made;
    let (all, searching) = (told.all.as_secs_f64(), told.searching.as_secs_f64());
    line(
        &mut text,
        format_args!(
            "\nTo repeat it: --start {} --steps {} --workers {}   ({all:.1} s, {searching:.1} s of it searching)",
            made.seed, made.steps, made.workers
        ),
    );
    text
}

/// Adds a line; writing to a string cannot fail.
fn line(text: &mut String, words: std::fmt::Arguments<'_>) {
    let _ = writeln!(text, "{words}");
}

fn rows(told: &Told<'_>) -> Vec<(String, String)> {
    let job = &told.prepared.job;
    let totals: Totals = totals(job, told.plan, told.steps);
    let mut rows = totals.rows;
    for row in &mut rows {
        if row.0 == "Parts placed" {
            row.1 = told.standing.placed_words();
        }
    }
    if let Some(estimate) = estimated(job, told.plan) {
        let after = rows.iter().position(|(what, _)| what == "Timber used");
        rows.insert(
            after.map_or(rows.len(), |k| k + 1),
            ("Estimated".into(), estimate),
        );
    }
    if let Some(figure) = figure_words(job, told.plan, &Score::of(job, told.plan)) {
        let after = rows.iter().position(|(what, _)| what == "Volume");
        rows.insert(
            after.map_or(rows.len(), |k| k + 1),
            ("Figure".into(), figure),
        );
    }
    rows.splice(0..0, cut_already(job));
    // A plan that lacks parts may well cost less: the floor is one under plans of all of them.
    let bound = told.bound;
    let is_whole = told.standing.placed == told.standing.wanted;
    let what = if is_whole {
        "No plan under"
    } else {
        "All parts: not under"
    };
    let class = bound
        .class
        .as_ref()
        .map_or(String::new(), |c| format!(" for plans {c}"));
    let least = cost_words(job, job.spent + bound.value);
    rows.push((what.into(), format!("{least}{class} ({})", bound.because)));
    if let Some(class) = &bound.proved_for {
        rows.push(("Proved best".into(), class.clone()));
    }
    rows
}

/// What is done, in hand and left; nothing before the first cut.
fn cut_already(job: &Job) -> Vec<(String, String)> {
    if job.done.is_empty() {
        return Vec::new();
    }
    let row = |what: &str, value: String| (what.to_owned(), value);
    let boards: usize = job
        .boards
        .iter()
        .filter(|b| b.from.is_none())
        .map(|b| b.gone.len())
        .sum();
    let in_hand: usize = job.parts.iter().map(|p| p.in_hand.len()).sum();
    let left = job.piece_count() as usize;
    vec![
        row(
            "Cuts made",
            format!(
                "{}, in {}",
                job.done.len(),
                counted(boards, "board", "boards")
            ),
        ),
        row("In hand", counted(in_hand, "part", "parts")),
        row("Still to saw", counted(left, "part", "parts")),
    ]
}

/// How much of the cost is a guess, and how it was made; nothing where every board cut has a price.
fn estimated(job: &Job, plan: &Plan) -> Option<String> {
    let used = plan.layouts.iter().filter(|l| !l.placements.is_empty());
    let used = used.filter_map(|l| job.board(&l.board.board));
    // Those that are cut already were to be paid for too, their pieces are not.
    let cut = job.boards.iter();
    let cut = cut.flat_map(|b| b.gone.iter().map(move |_| b));
    let mut guessed: Vec<(&str, f64, f64)> = Vec::new();
    for board in used.chain(cut) {
        if board.cost_is_estimate && board.from.is_none() {
            guessed.push((&board.id, board.cost, board.volume()));
        }
    }
    let sum: f64 = guessed.iter().map(|(_, cost, _)| cost).sum();
    let volume: f64 = guessed.iter().map(|(.., volume)| volume * 1e-9).sum();
    let mut names: Vec<&str> = guessed.iter().map(|(id, ..)| *id).collect();
    names.dedup();
    let (boards, have) = match names.as_slice() {
        [] => return None,
        [one] => (format!("board {one}"), "has"),
        several if several.len() > 6 => (format!("{} boards", several.len()), "have"),
        several => (format!("boards {}", several.join(", ")), "have"),
    };
    let rate = write_money(sum / volume.max(f64::MIN_POSITIVE), &job.currency);
    Some(format!(
        "{} of it: {boards} {have} no price and count{} at what the others cost on average, {rate} a cubic metre",
        cost_words(job, sum),
        if names.len() == 1 { "s" } else { "" },
    ))
}
