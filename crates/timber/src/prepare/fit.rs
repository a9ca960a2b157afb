//! Parts that fit no board at all: said before anything is planned.
//!
//! Only what is certain is said; whether a part finds room beside others is for the plan.

use super::part;
use super::reading::Reading;
use crate::blank::greatest_finished_thickness;
use crate::document::Document;
use crate::job::{Board, GrainRule, Job, Part};
use crate::length::{write_angle, write_length};
use crate::misfit::{Boards, Hull, Misfit, RuledOut, certain_bend};

/// Parts with boards that are compared: beyond it nothing is said before planning. A comparison takes less
/// than a microsecond, and most parts fit the first board they are compared with.
const MOST_COMPARED: usize = 1_000_000;

pub(super) fn note_misfits(document: &Document, job: &Job, reading: &mut Reading<'_>) {
    let boards = Boards::of(job);
    let mut rows = document.parts.iter().enumerate();
    let most = MOST_COMPARED / job.boards.len().max(1);
    for part in job.parts.iter().take(most) {
        // Parts of the job follow the document's order, faulty ones left out.
        let row = rows
            .by_ref()
            .find(|(_, source)| source.id == part.id)
            .map(|(row, _)| row);
        let Some(row) = row.filter(|_| part.wanted_count() > 0) else {
            continue;
        };
        let Err(ruled_out) = boards.open_to(part, 1) else {
            continue;
        };
        if let Some((code, field, message, hint)) = told(job, part, ruled_out) {
            reading.warn(code, part::thing(document, row).field(field), message, hint);
        }
    }
}

type Told = (&'static str, &'static str, String, String);

/// What is said of a part that no board takes; nothing where there are no boards yet.
fn told(job: &Job, part: &Part, ruled_out: RuledOut) -> Option<Told> {
    let (code, field, message, hint) = match ruled_out {
        RuledOut::NoBoards => return None,
        RuledOut::Species => (
            "part-no-species",
            "species",
            format!("no board to be used is {}", part.species.join(" or ")),
            "let it be made of another wood, or add a board",
        ),
        RuledOut::Misfit(Misfit::Thickness) => (
            "part-too-thick",
            "thickness",
            too_thick(job, part),
            "make it thinner or shorter, plane less, or add a thicker board",
        ),
        RuledOut::Misfit(Misfit::Length) => (
            "part-too-long",
            "shape",
            "no board thick enough is long enough for it".into(),
            "make it shorter, or add a longer board",
        ),
        RuledOut::Misfit(Misfit::Width) => (
            "part-too-wide",
            "shape",
            "no board thick and long enough is wide enough for it".into(),
            "glue it up from staves, or add a wider board",
        ),
        RuledOut::Misfit(Misfit::Grain) => return Some(too_bent(job, part)),
    };
    Some((code, field, message, hint.into()))
}

/// The boards to be used that are of a species that the part accepts.
fn accepted<'a>(job: &'a Job, part: &Part) -> impl Iterator<Item = &'a Board> {
    let of_species = |b: &&Board| part.species.is_empty() || part.species.contains(&b.species);
    let usable = job.boards.iter().filter(|b| b.is_usable());
    usable.filter(of_species)
}

fn too_thick(job: &Job, part: &Part) -> String {
    let hull = Hull::of(part);
    let (along, across) = match part.grain {
        GrainRule::Axis { across, tolerance } if tolerance < 45.0 => {
            let along = if across { 90.0 } else { 0.0 };
            let least = |direction| hull.least_extent(direction, tolerance);
            (least(along), least(90.0 - along))
        }
        _ => (hull.least_extent(0.0, 90.0), hull.least_extent(0.0, 90.0)),
    };
    let finished = |b: &Board| greatest_finished_thickness(b, &part.allowances, along, across);
    let best = accepted(job, part).max_by(|a, b| finished(a).total_cmp(&finished(b)));
    let shown = |mm: f64| write_length(mm, &job.units);
    let board = best.map_or(String::new(), |b| {
        format!(
            " (\u{201c}{}\u{201d}, {} thick)",
            b.name,
            shown(b.thickness)
        )
    });
    format!(
        "at {} it is too thick: the best board finishes at most {} here{board}",
        shown(part.thickness),
        shown(best.map_or(0.0, finished).max(0.0))
    )
}

/// Grain that bends more along the part than its tolerance bears, on every board large enough.
fn too_bent(job: &Job, part: &Part) -> Told {
    let hull = Hull::of(part);
    let bend = |board: &Board| certain_bend(board, part, &hull);
    let large_enough = Boards::of(job).bent_too_much_for(part);
    let needed = 0.5
        * large_enough
            .into_iter()
            .map(bend)
            .fold(f64::INFINITY, f64::min);
    let tolerance = match part.grain {
        GrainRule::Axis { tolerance, .. } => tolerance,
        _ => 0.0,
    };
    let shown = write_angle((10.0 * needed).ceil() / 10.0);
    let message = format!(
        "along it the grain bends too much for its tolerance of {}, on every board large enough",
        write_angle(tolerance)
    );
    let hint = format!(
        "give it {shown} at least, make it shorter, or add a board whose grain runs straighter"
    );
    ("part-grain-too-strict", "grain.tolerance", message, hint)
}
