//! Which leftovers are worth keeping.

use heartside_timber::job::Job;

use super::ground::Ground;
use super::position::has_clear_room;
use super::workpiece::Workpiece;

/// Shares of a leftover's length and width that a clear rectangle may take, tried in turn: half
/// of it at least. Less and boards' ragged edges count as stock; more and a knot in a corner
/// condemns a good plank.
const SHARES: [(f64, f64); 6] = [
    (1.0, 1.0),
    (1.0, 0.75),
    (0.75, 1.0),
    (0.75, 0.75),
    (1.0, 0.5),
    (0.5, 1.0),
];

/// Those that are enough as well where offcuts are asked for: raw ends and sides are trimmed, and
/// a knot in the middle leaves a good half.
const SHARES_IF_ASKED: [(f64, f64); 4] = [(0.5, 0.75), (0.75, 0.5), (0.35, 0.75), (0.75, 0.35)];

/// True for a leftover that is at least as large as the workshop keeps, and mostly one clear rectangle of that size.
pub(crate) fn is_offcut(job: &Job, ground: &Ground, work: &Workpiece) -> bool {
    has_clear(job, ground, work, &SHARES)
}

/// As [`is_offcut`] for sawn boards: where offcuts are asked for, less of it need be clear.
pub(crate) fn is_wanted_offcut(job: &Job, ground: &Ground, work: &Workpiece) -> bool {
    is_offcut(job, ground, work)
        || job.asks_for_offcuts() && has_clear(job, ground, work, &SHARES_IF_ASKED)
}

fn has_clear(job: &Job, ground: &Ground, work: &Workpiece, shares: &[(f64, f64)]) -> bool {
    let (least_length, least_width) = job.workshop.min_offcut;
    let (length, width) = (work.tight.width(), work.tight.height());
    if length < least_length || width < least_width {
        return false;
    }
    shares.iter().any(|(a, b)| {
        let (length, width) = (length * a, width * b);
        length >= least_length
            && width >= least_width
            && has_clear_room(ground, work, &ground.clear_rectangle(length, width))
    })
}
