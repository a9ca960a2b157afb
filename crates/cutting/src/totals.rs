//! Sums over a plan: yield, volume, cost, sawing, set-ups.

use heartside_timber::job::{Board, Job};
use heartside_timber::length::{Unit, write_decimal, write_money, write_percent, write_volume};
use heartside_timber::plan::{Plan, UnplacedReason};
use heartside_timber::score::{Score, pieces_placed, wood_in_parts};
use serde::Serialize;

use crate::brief::set_up_count;
use crate::naming::board_label;
use crate::step::Step;

/// Sums over a plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Totals {
    /// Boards cut.
    pub boards: usize,
    /// Pieces of the job placed, each counted once.
    pub placed: usize,
    /// Pieces wanted, with those whose part has a problem.
    pub wanted: u64,
    /// Finished volume over the volume of the boards cut, 0 to 1.
    pub wood_in_parts: f64,
    /// Cost of the boards cut less the value of kept offcuts, in the job's unit.
    pub cost: f64,
    /// What the boards that are cut already cost: it is spent, and not among the cost.
    pub spent: f64,
    /// Volume of the boards cut in cubic millimetres.
    pub timber_mm3: f64,
    /// Weight of the boards cut in kilograms, of those whose density is known.
    pub weight_kg: f64,
    /// Cuts in all.
    pub cuts: usize,
    /// How often tool or fence have to be set.
    pub set_ups: usize,
    /// How often the tool changes.
    pub tool_changes: usize,
    /// Length of all cuts in millimetres.
    pub sawn_mm: f64,
    /// The same in words, ready to show: what, value.
    pub rows: Vec<(String, String)>,
}

/// Sums over a plan and its steps.
pub fn totals(job: &Job, plan: &Plan, steps: &[Step]) -> Totals {
    let used: Vec<&Board> = plan
        .layouts
        .iter()
        .filter(|l| !l.placements.is_empty())
        .filter_map(|l| job.board(&l.board.board))
        .collect();
    let mut totals = Totals {
        boards: used.len(),
        placed: pieces_placed(job, plan) as usize,
        wanted: job.piece_count() + pieces_left_out(job, plan),
        wood_in_parts: wood_in_parts(job, plan),
        cost: Score::of(job, plan).cost,
        spent: job.spent,
        timber_mm3: used.iter().map(|b| b.volume()).sum(),
        weight_kg: used.iter().map(|b| b.volume() * 1e-9 * b.density).sum(),
        cuts: steps.len(),
        set_ups: set_up_count(steps),
        tool_changes: steps.windows(2).filter(|w| w[0].tool != w[1].tool).count()
            + usize::from(!steps.is_empty()),
        sawn_mm: steps.iter().map(|s| s.sawn_length).sum(),
        rows: Vec::new(),
    };
    totals.rows = rows(job, &totals);
    totals
}

/// Pieces that the plan lists as not placed because their part has a problem: the job does not know them.
fn pieces_left_out(job: &Job, plan: &Plan) -> u64 {
    plan.unplaced
        .iter()
        .filter(|u| u.reason == UnplacedReason::PartNotSound && job.part(&u.part).is_none())
        .map(|u| u.copies.len() as u64)
        .sum()
}

fn rows(job: &Job, totals: &Totals) -> Vec<(String, String)> {
    let row = |what: &str, value: String| (what.to_owned(), value);
    let sawn = match job.units.unit {
        Unit::Millimetres => format!("{} m", write_decimal(totals.sawn_mm / 1000.0, 1)),
        Unit::Inches => format!("{} ft", write_decimal(totals.sawn_mm / 304.8, 1)),
    };
    vec![
        row(
            "Parts placed",
            format!("{} of {}", totals.placed, totals.wanted),
        ),
        // In the middle of a job pieces are boards like others, and what is cut already is listed elsewhere.
        row(
            match job.done.is_empty() {
                true => "Boards cut",
                false => "Boards and pieces to cut",
            },
            totals.boards.to_string(),
        ),
        row("Timber used", timber_words(job, totals.cost)),
        row("Volume", write_volume(totals.timber_mm3, &job.units)),
        row("Wood in parts", write_percent(totals.wood_in_parts)),
        row("Cuts", totals.cuts.to_string()),
        row("Set-ups", totals.set_ups.to_string()),
        row("Sawn", sawn),
    ]
}

/// The cost of a plan with what is spent: "116.30", "116.30: 60.00 spent, 56.30 still to spend".
pub fn timber_words(job: &Job, cost: f64) -> String {
    let all = cost_words(job, job.spent + cost);
    spent_words(job, cost).map_or(all.clone(), |parts| format!("{all}: {parts}"))
}

/// "60.00 spent, 56.30 still to spend"; none before the first cut.
pub fn spent_words(job: &Job, cost: f64) -> Option<String> {
    let (spent, left) = (cost_words(job, job.spent), cost_words(job, cost));
    let verb = if job.cost_is_volume { "use" } else { "spend" };
    let done = if job.cost_is_volume { "cut" } else { "spent" };
    (job.spent > 0.0).then(|| format!("{spent} {done}, {left} still to {verb}"))
}

/// A cost in the job's words: money, or a volume where no price is known.
pub fn cost_words(job: &Job, cost: f64) -> String {
    if job.cost_is_volume {
        write_volume(cost * 1e9, &job.units)
    } else {
        write_money(cost, &job.currency)
    }
}

/// The boards cut, in the plan's order, by their labels.
pub fn boards_cut(job: &Job, plan: &Plan) -> Vec<String> {
    plan.layouts
        .iter()
        .filter(|l| !l.placements.is_empty())
        .map(|l| board_label(job, &l.board))
        .collect()
}
