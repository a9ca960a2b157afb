//! What stands on a label: of a part that is to be found again, and of an offcut that is kept.

use heartside_cutting::{
    Becomes, Step, board_words, finished_size, holds_words, is_scrap, write_rough,
};
use heartside_timber::blank::is_seen;
use heartside_timber::document::{BoardCopy, Faces, PartCopy};
use heartside_timber::job::{Board, GrainRule, Job, Part};
use heartside_timber::length::write_length;
use heartside_timber::plan::Plan;
use heartside_timber::words::{listed, plural};

/// What stands on one label.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Label {
    /// Its heading: "Leg 2".
    pub name: String,
    /// What else is said, what matters most first.
    pub facts: Vec<String>,
    /// The grain runs along the label's lines, or across them; none where it does not matter.
    pub grain_is_across: Option<bool>,
    /// A seen face lies up, and down, on the board.
    pub seen: (bool, bool),
}

/// A label for every copy of every part, in the job's order; parts of a panel are its staves, and the panel has
/// its own from [`panel_labels`](super::panel_labels).
///
/// A label reads along the part with its start on the left: there stands what is told of its left end.
pub fn part_labels(job: &Job, plan: &Plan) -> Vec<Label> {
    let copies = job
        .parts
        .iter()
        .flat_map(|part| (1..=part.count).map(move |copy| (part, copy)));
    copies
        .map(|(part, copy)| of_part(job, plan, part, copy))
        .collect()
}

/// Labels for what is kept: first pieces that lie there and that no part comes from, then offcuts as
/// the steps make them. The date is text.
pub fn offcut_labels(job: &Job, plan: &Plan, steps: &[Step], date: &str) -> Vec<Label> {
    let pieces = job.boards.iter().filter(|b| lies_idle(job, plan, b));
    let mut labels: Vec<Label> = pieces
        .map(|piece| {
            let copy = BoardCopy {
                board: piece.id.clone(),
                copy: 1,
            };
            let extent = piece.outline.bounds();
            let size = format!(
                "{} × {}",
                write_rough(extent.width(), &job.units),
                write_rough(extent.height(), &job.units)
            );
            let name = format!("offcut {}", heartside_cutting::board_label(job, &copy));
            of_offcut(job, name, size, Some(piece), String::new(), date)
        })
        .collect();
    for step in steps {
        let board = job.board(&step.board.board);
        for offcut in step.yields.iter().filter(|y| y.becomes == Becomes::Offcut) {
            let holds = match offcut.holds.is_empty() {
                true => String::new(),
                false => holds_words(&offcut.holds),
            };
            labels.push(of_offcut(
                job,
                offcut.name.clone(),
                offcut.size.clone(),
                board,
                holds,
                date,
            ));
        }
    }
    labels
}

/// A piece of a cut board that is worth keeping and that the plan leaves alone.
fn lies_idle(job: &Job, plan: &Plan, board: &Board) -> bool {
    let is_used = plan
        .layout(&board.id, 1)
        .is_some_and(|l| !l.placements.is_empty());
    board.from.is_some()
        && board.left() > 0
        && !board.is_in_hand()
        && !is_used
        && !is_scrap(job, Some(plan), board)
}

fn of_offcut(
    job: &Job,
    name: String,
    size: String,
    board: Option<&Board>,
    holds: String,
    date: &str,
) -> Label {
    let thick = board.map(|b| format!("{} thick", write_length(b.thickness, &job.units)));
    let species = board.map(|b| b.species.clone()).unwrap_or_default();
    let facts = [
        size,
        thick.unwrap_or_default(),
        // Metal left in the wood is told before anything else that could be left out.
        holds,
        species,
        date.to_owned(),
        job.title.clone(),
    ];
    Label {
        name,
        facts: told(facts),
        grain_is_across: board.and_then(grain_of),
        ..Label::default()
    }
}

/// Whether the grain of a board runs across the lines of a label that reads along it; none where it bends, or
/// runs neither along nor across within 20 degrees.
fn grain_of(board: &Board) -> Option<bool> {
    let angle = board.grain.base_angle().rem_euclid(180.0);
    match angle.min(180.0 - angle) {
        _ if board.grain.is_bent() => None,
        small if small <= 20.0 => Some(false),
        steep if steep >= 70.0 => Some(true),
        _ => None,
    }
}

pub(super) fn told(facts: impl IntoIterator<Item = String>) -> Vec<String> {
    facts.into_iter().filter(|f| !f.trim().is_empty()).collect()
}

fn of_part(job: &Job, plan: &Plan, part: &Part, copy: u32) -> Label {
    let own = PartCopy {
        part: part.id.clone(),
        copy,
    };
    let (board, turned_over) = whence(job, plan, &own);
    let seen = match (part.faces, turned_over) {
        (Faces::Both, _) => (true, true),
        (_, Some(over)) => (
            is_seen(part.faces, over, true),
            is_seen(part.faces, over, false),
        ),
        (_, None) => (false, false),
    };
    let faces = match (part.faces, seen) {
        (Faces::Both, _) => "both faces seen",
        (Faces::One, (true, _)) => "seen face up",
        (Faces::One, (_, true)) => "seen face underneath",
        (Faces::One, _) => "one face seen",
        (Faces::Painted, _) => "painted",
        (Faces::Hidden, _) => "no face seen",
    };
    let size = finished_size(job, part);
    let thick = write_length(part.thickness, &job.units);
    let name = job
        .name_of(&own)
        .filter(|name| !name.trim().is_empty())
        .unwrap_or_else(|| part.id.clone());
    Label {
        name,
        facts: told([
            size,
            format!("{thick} thick"),
            board,
            tenons(job, part),
            joints(job, part),
            faces.to_owned(),
            job.title.clone(),
        ]),
        grain_is_across: grain_is_across(part),
        seen,
    }
}

/// Whether the grain of a part runs across its length; none where it may lie anyhow or bends.
pub(super) fn grain_is_across(part: &Part) -> Option<bool> {
    match part.grain {
        GrainRule::Axis { across, .. } => Some(across),
        GrainRule::Any | GrainRule::Turns(_) => None,
    }
}

/// The board that a copy comes out of, in words, and whether it lies turned over there.
fn whence(job: &Job, plan: &Plan, own: &PartCopy) -> (String, Option<bool>) {
    let held = job.boards.iter().find_map(|board| {
        let from = board.from.as_ref()?;
        let lying = from.held().find(|p| p.part_copy() == *own)?;
        Some((&from.root, lying.at.turned_over))
    });
    if let Some((root, over)) = held {
        return (
            format!("in hand, from {}", board_words(job, root)),
            Some(over),
        );
    }
    match plan.find(&own.part, own.copy) {
        Some((layout, place)) => {
            let layout = &plan.layouts[layout];
            let over = layout.placements[place].at.turned_over;
            (board_words(job, &layout.board), Some(over))
        }
        None => ("no board yet".to_owned(), None),
    }
}

/// "tenon 30 mm left", where the job has any.
pub(super) fn tenons(job: &Job, part: &Part) -> String {
    let show = |mm: f64| write_length(mm, &job.units);
    match part.tenon {
        (left, right) if left > 0.0 && left == right => {
            format!("tenons {} both ends", show(left))
        }
        (left, right) if left > 0.0 && right > 0.0 => {
            format!("tenons {} left, {} right", show(left), show(right))
        }
        (left, _) if left > 0.0 => format!("tenon {} left", show(left)),
        (_, right) if right > 0.0 => format!("tenon {} right", show(right)),
        _ => String::new(),
    }
}

/// "joint to staves 2 and 4": what a stave is glued to.
fn joints(job: &Job, part: &Part) -> String {
    let Some(stave) = &part.stave else {
        return String::new();
    };
    let choice = job
        .panels
        .get(stave.panel)
        .and_then(|panel| panel.copies.iter().find(|c| c.panel.copy == stave.copy));
    let Some(choice) = choice else {
        return String::new();
    };
    let Some(at) = choice.staves.iter().position(|s| s.number == stave.number) else {
        return String::new();
    };
    let beside = [at.checked_sub(1), Some(at + 1)];
    let staves: Vec<u32> = beside
        .into_iter()
        .flatten()
        .filter_map(|k| Some(choice.staves.get(k)?.number))
        .collect();
    let count = choice.staves[at].pieces.len() as u32;
    let ends = [stave.piece.saturating_sub(1), stave.piece.saturating_add(1)];
    let pieces: Vec<u32> = match stave.piece {
        0 => Vec::new(),
        _ => ends
            .into_iter()
            .filter(|k| (1..=count).contains(k))
            .collect(),
    };
    let to: Vec<String> = [("stave", "staves", staves), ("piece", "pieces", pieces)]
        .into_iter()
        .filter(|(_, _, numbers)| !numbers.is_empty())
        .map(|(one, several, numbers)| {
            let all: Vec<String> = numbers.iter().map(u32::to_string).collect();
            format!("{} {}", plural(numbers.len(), one, several), listed(&all))
        })
        .collect();
    match to.is_empty() {
        true => String::new(),
        false => format!("joint to {}", to.join(", ")),
    }
}
