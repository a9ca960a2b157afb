//! Which leftovers are worth keeping.

use heartside_timber::job::Job;

use super::ground::Ground;
use super::position::has_clear_room;
use super::workpiece::Workpiece;

/// Least share of a leftover that one clear rectangle must make up. Lower and boards'
/// ragged edges count as stock; higher and a knot in a corner condemns a good plank.
const LEAST_SHARE: f64 = 0.5;

/// True for a leftover that is at least as large as the workshop keeps, and mostly one clear rectangle of that size.
pub(crate) fn is_offcut(job: &Job, ground: &Ground, work: &Workpiece) -> bool {
    let (least_length, least_width) = job.workshop.min_offcut;
    let (length, width) = (work.tight.width(), work.tight.height());
    if length < least_length || width < least_width {
        return false;
    }
    const SHARES: [(f64, f64); 6] = [
        (1.0, 1.0),
        (1.0, 0.75),
        (0.75, 1.0),
        (0.75, 0.75),
        (1.0, 0.5),
        (0.5, 1.0),
    ];
    SHARES
        .iter()
        .filter(|(a, b)| a * b >= LEAST_SHARE)
        .any(|(a, b)| {
            let (length, width) = (length * a, width * b);
            length >= least_length
                && width >= least_width
                && has_clear_room(ground, work, &ground.clear_rectangle(length, width))
        })
}
