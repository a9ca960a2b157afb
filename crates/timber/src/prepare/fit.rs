//! Parts that fit no board at all: said before anything is planned.
//!
//! Only what is certain is said; whether a part finds room beside others is for the plan.

use heartside_geometry::Vector;
use heartside_geometry::math::sin_cos_deg;

use super::part;
use super::reading::Reading;
use crate::blank::greatest_finished_thickness;
use crate::document::Document;
use crate::job::{Board, GrainRule, Job, Part, Use};
use crate::length::{write_angle, write_length};
use crate::misfit::{Hull, certain_bend, spread};
use crate::words::either;

/// What rounding may make of an angle, in degrees.
const ANGLE_SLACK: f64 = 1e-6;

/// What a blank needs of a board at least, whatever turn its grain rule lets it have.
struct Needs {
    along: f64,
    across: f64,
}

impl Needs {
    fn of(part: &Part, hull: &Hull) -> Needs {
        match part.grain {
            GrainRule::Axis { across, tolerance } if tolerance < 45.0 => {
                let along = if across { 90.0 } else { 0.0 };
                Needs {
                    along: hull.least_extent(along, tolerance),
                    across: hull.least_extent(90.0 - along, tolerance),
                }
            }
            _ => {
                let least = hull.least_extent(0.0, 90.0);
                Needs {
                    along: least,
                    across: least,
                }
            }
        }
    }
}

/// Extents of a board along and across its grain; its whole spread where that bends.
fn extents(board: &Board) -> (f64, f64) {
    let bounds = board.outline.bounds();
    if board.grain.is_bent() {
        let (width, height) = (bounds.width(), bounds.height());
        let diagonal = (width * width + height * height).sqrt();
        return (diagonal, diagonal);
    }
    let (sine, cosine) = sin_cos_deg(board.grain.base_angle());
    let points = board.outline.outer().points();
    let along = Vector { x: cosine, y: sine };
    (spread(points, along), spread(points, along.turned_left()))
}

pub(super) fn note_misfits(document: &Document, job: &Job, reading: &mut Reading<'_>) {
    let boards: Vec<(&Board, (f64, f64))> = job
        .boards
        .iter()
        .filter(|board| board.usage != Use::Leave)
        .map(|board| (board, extents(board)))
        .collect();
    if boards.is_empty() {
        return;
    }
    let mut rows = document.parts.iter().enumerate();
    for part in &job.parts {
        // Parts of the job follow the document's order, faulty ones left out.
        let row = rows
            .by_ref()
            .find(|(_, source)| source.id == part.id)
            .map(|(row, _)| row);
        let Some(row) = row else { continue };
        if let Some((code, field, message, hint)) = misfit(part, &boards, job) {
            reading.warn(code, part::thing(document, row).field(field), message, hint);
        }
    }
}

type Misfit = (&'static str, &'static str, String, String);

fn misfit(part: &Part, boards: &[(&Board, (f64, f64))], job: &Job) -> Option<Misfit> {
    let hull = Hull::of(part);
    let needs = Needs::of(part, &hull);
    let shown = |mm: f64| write_length(mm, &job.units);
    let accepted: Vec<_> = boards
        .iter()
        .filter(|(b, _)| part.species.is_empty() || part.species.contains(&b.species))
        .collect();
    if accepted.is_empty() {
        let wanted = either(&part.species);
        let message = format!("no board to be used is {wanted}");
        let hint = "let it be made of another wood, or add a board";
        return Some(("part-no-species", "species", message, hint.into()));
    }
    let mut best_thickness = f64::NEG_INFINITY;
    let mut best: Option<&Board> = None;
    for &&(board, _) in &accepted {
        let thickness =
            greatest_finished_thickness(board, &part.allowances, needs.along, needs.across);
        if thickness > best_thickness {
            (best_thickness, best) = (thickness, Some(board));
        }
    }
    if best_thickness < part.thickness {
        let board = best.map_or(String::new(), |b| {
            format!(
                " (\u{201c}{}\u{201d}, {} thick)",
                b.name,
                shown(b.thickness)
            )
        });
        let message = format!(
            "at {} it is too thick: the best board finishes at most {} here{board}",
            shown(part.thickness),
            shown(best_thickness.max(0.0))
        );
        let hint = "make it thinner or shorter, plane less, or add a thicker board";
        return Some(("part-too-thick", "thickness", message, hint.into()));
    }
    let thick: Vec<_> = accepted
        .iter()
        .filter(|(b, _)| {
            let most = greatest_finished_thickness(b, &part.allowances, needs.along, needs.across);
            most >= part.thickness
        })
        .collect();
    let short = |extent: f64, need: f64| extent + job.tolerance.slack < need;
    if thick
        .iter()
        .all(|(_, (length, _))| short(*length, needs.along))
    {
        let message = "no board thick enough is long enough for it";
        let hint = "make it shorter, or add a longer board";
        return Some(("part-too-long", "shape", message.into(), hint.into()));
    }
    let takers: Vec<&Board> = thick
        .iter()
        .filter(|(_, (length, width))| !short(*length, needs.along) && !short(*width, needs.across))
        .map(|(board, _)| *board)
        .collect();
    if takers.is_empty() {
        let message = "no board thick and long enough is wide enough for it";
        let hint = "glue it up from staves, or add a wider board";
        return Some(("part-too-wide", "shape", message.into(), hint.into()));
    }
    too_bent(part, &hull, &takers)
}

/// Grain that bends more along the part than its tolerance bears, on every board large enough.
fn too_bent(part: &Part, hull: &Hull, boards: &[&Board]) -> Option<Misfit> {
    let GrainRule::Axis { tolerance, .. } = part.grain else {
        return None;
    };
    let bend = |board: &&Board| certain_bend(board, part, hull);
    let needed = 0.5 * boards.iter().map(bend).fold(f64::INFINITY, f64::min);
    if needed <= tolerance + ANGLE_SLACK {
        return None;
    }
    let shown = write_angle((10.0 * needed).ceil() / 10.0);
    let message = format!(
        "along it the grain bends too much for its tolerance of {}, on every board large enough",
        write_angle(tolerance)
    );
    let hint = format!(
        "give it {shown} at least, make it shorter, or add a board whose grain runs straighter"
    );
    Some(("part-grain-too-strict", "grain.tolerance", message, hint))
}
