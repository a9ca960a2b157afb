//! The reason against a better value of a size than the plan has chosen.

use heartside_cutting::cost_words;
use heartside_geometry::Point;
use heartside_timber::choices::Choices;
use heartside_timber::document::{BoardCopy, Document};
use heartside_timber::job::{Dimension, Job};
use heartside_timber::length::write_dimension;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare_with;
use heartside_timber::score::Score;
use heartside_timber::words::counted;

use super::hindrance::{Hindrance, in_the_way};

/// Where a size has no steps, the next better value is so far away, in mm.
const FINEST: f64 = 1.0;

/// Why a plan has not chosen a better value of a dimension.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// A sentence without its full stop: "As the parts lie now, 1500 would leave the end of Top in the dowels
    /// of board E, 70 mm from its end; 1462 is clear".
    pub text: String,
    /// The board that it speaks of.
    pub board: Option<BoardCopy>,
    /// Where on it, in its frame.
    pub place: Option<Point>,
}

/// Why a plan has not chosen a better value of a dimension; none where it has the one preferred, or
/// where the job knows no such dimension that gives.
///
/// The parts are laid where the plan has them, once with the size preferred and once with the next
/// better one, and what the checker says first about the wood is the reason; laid elsewhere they may well
/// be clear of it, so it is told of the parts as they lie. Where the wood would take them it is room
/// between parts that is missing, and the reason is what the search found with the better size
/// ([`Plan::tried`]).
pub fn why_not(document: &Document, plan: &Plan, dimension: &str) -> Option<Reason> {
    let here = prepare_with(document, &Choices::of(plan)).job;
    let of_name = |d: &&Dimension| d.value.name == dimension && d.gives();
    let size = here.dimensions.iter().find(of_name)?;
    let (chosen, preferred) = (size.value.value, size.preferred);
    let away = preferred - chosen;
    let grid = if size.step > 0.0 { size.step } else { FINEST };
    if away.abs() < 1e-6 {
        return None;
    }
    let written = |mm: f64| write_dimension(mm, &here.units);
    let next = chosen + away.signum() * grid.min(away.abs());
    for value in [preferred, next] {
        if let Some(found) = against(document, (&here, plan), dimension, value) {
            let is_clear = if found.is_cleared { "is clear" } else { "fits" };
            let (value, words) = (written(value), found.words());
            return Some(Reason {
                text: format!(
                    "{AS_THEY_LIE}, {value} {words}; {} {is_clear}",
                    written(chosen)
                ),
                board: Some(found.board),
                place: found.at,
            });
        }
    }
    Some(Reason {
        text: other_plan(&here, plan, size),
        board: None,
        place: None,
    })
}

/// How far a reason that speaks of the wood holds.
pub(crate) const AS_THEY_LIE: &str = "As the parts lie now";

/// What the wood has against another value of a dimension, all else as the plan has it in its job; none
/// where nothing is in the way but other parts.
pub(crate) fn against(
    document: &Document,
    (here, plan): (&Job, &Plan),
    dimension: &str,
    value: f64,
) -> Option<Hindrance> {
    let mut choices = Choices::of(plan);
    for chosen in choices
        .dimensions
        .iter_mut()
        .filter(|d| d.name == dimension)
    {
        chosen.value = value;
    }
    let there = prepare_with(document, &choices).job;
    in_the_way(&there, here, plan)
}

/// What the search found with the value nearest to the one preferred: "The best plan found with 1500 needs 1
/// more board: 42 more".
fn other_plan(job: &Job, plan: &Plan, size: &Dimension) -> String {
    let written = |mm: f64| write_dimension(mm, &job.units);
    let Some(tried) = plan.tried.iter().find(|t| t.name == size.value.name) else {
        return format!("{} was not tried yet", written(size.preferred));
    };
    let value = written(tried.value);
    let missing: f64 = Score::of(job, plan).missing.iter().sum();
    let left_out = (tried.missing - missing).ceil();
    let found = format!("The best plan found with {value}");
    if left_out >= 1.0 {
        let parts = counted(left_out as usize, "more part", "more parts");
        return format!("{found} leaves out {parts}");
    }
    if tried.cost <= plan.cost + 1e-9 {
        return format!("{value} was tried and did not come out better");
    }
    let more = cost_words(job, tried.cost - plan.cost);
    let cut = plan.layouts.iter().filter(|l| !l.placements.is_empty());
    match (tried.boards as usize).saturating_sub(cut.count()) {
        0 => format!("{found} costs {more} more timber"),
        n => {
            let boards = counted(n, "more board", "more boards");
            format!("{found} needs {boards}: {more} more")
        }
    }
}
