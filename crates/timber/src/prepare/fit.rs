//! Parts that fit no board at all: said before anything is planned.
//!
//! Only what is certain is said; whether a part finds room beside others is for the plan.

use heartside_geometry::math::sin_cos_deg;
use heartside_geometry::{Arrange, Point, Vector};

use super::part;
use super::reading::Reading;
use crate::blank::{Blank, greatest_finished_thickness};
use crate::document::Document;
use crate::job::{Board, GrainRule, Job, Part, Use};
use crate::length::{write_angle, write_length};

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

/// What lies convex round a blank: corners, and a radius round them.
struct Hull {
    corners: Vec<Point>,
    radius: f64,
}

impl Hull {
    fn of(part: &Part) -> Hull {
        let blank = Blank::of(part);
        Hull {
            corners: hull_of(blank.core.outer().points()),
            radius: blank.radius,
        }
    }

    /// The least extent in a direction that may be off by up to `tolerance` degrees, at most 90.
    ///
    /// Between two directions square to sides of the hull the same two corners are the outermost,
    /// and the extent, their distance times a cosine, is least at one of the two; so besides the
    /// ends of the range only such directions count. A shape that fills its box badly may need far
    /// less once it is turned than the box does.
    fn least_extent(&self, direction: f64, tolerance: f64) -> f64 {
        let towards = |degrees: f64| {
            let (sine, cosine) = sin_cos_deg(degrees);
            Vector { x: cosine, y: sine }
        };
        let middle = towards(direction);
        let (_, nearest) = sin_cos_deg(tolerance);
        let next = self.corners.iter().cycle().skip(1);
        let square_to_sides = self
            .corners
            .iter()
            .zip(next)
            .filter_map(|(a, b)| Some((*b - *a).unit()?.turned_left()))
            .filter(|normal| normal.dot(middle).abs() >= nearest);
        let ends = [direction - tolerance, direction + tolerance].map(towards);
        let least = square_to_sides
            .chain(ends)
            .map(|v| spread(&self.corners, v))
            .fold(f64::INFINITY, f64::min);
        least + 2.0 * self.radius
    }
}

/// The corners of the hull of some points, counter-clockwise, by lower and upper chain (Andrew 1979).
///
/// Rounding may leave a corner on a side in or out, which changes extents by no more than it.
/// The exact hull of `geometry` would be five kilobytes of the page.
fn hull_of(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.arrange_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut hull: Vec<Point> = Vec::new();
    for _chain in 0..2 {
        let start = hull.len();
        for point in &sorted {
            while hull.len() > start + 1 {
                let (a, b) = (hull[hull.len() - 2], hull[hull.len() - 1]);
                if (b - a).cross(*point - b) > 0.0 {
                    break;
                }
                hull.pop();
            }
            hull.push(*point);
        }
        // The last corner begins the other chain.
        hull.pop();
        sorted.reverse();
    }
    hull
}

/// How far points reach in a direction, from the first to the last.
fn spread(points: &[Point], direction: Vector) -> f64 {
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for point in points {
        let reach = point.x * direction.x + point.y * direction.y;
        least = least.min(reach);
        most = most.max(reach);
    }
    most - least
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
        let wanted = part.species.join(" or ");
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
    let GrainRule::Axis { across, tolerance } = part.grain else {
        return None;
    };
    let bend = |board: &&Board| {
        let (least, most) = board.grain.range();
        // Beyond that a part may lie any way round, and nothing is certain.
        let reach = least.abs().max(most.abs()) + tolerance;
        if reach >= 90.0 {
            return 0.0;
        }
        let along = if across { 90.0 } else { 0.0 };
        board.grain.least_bend_over(hull.least_extent(along, reach))
    };
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
