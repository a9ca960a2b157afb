//! Which workpieces one person can hold and steer where a line is followed.

use heartside_timber::defaults::HANDY_LENGTH;
use heartside_timber::job::{Board, Job};

/// A piece that parts are sawn out of is not made shorter than this, in millimetres, where the
/// saw says nothing of its own. Common practice, no source: below it fingers come near the blade.
const LEAST_LENGTH: f64 = 300.0;

/// How many through cuts a line is worth that is sawn out of a piece twice too large.
///
/// Larger, and a board a finger's width too long is cut for the sake of one part; smaller, and
/// two metres are steered round a curve to save a cut of a minute.
const LINE_IN_CUTS: f64 = 10.0;

/// Waste that is shorter than this share of a handy piece stays on. Smaller, and a finger's
/// breadth is trimmed off a piece that stays too long; larger, and a piece carries dead weight.
const LEAST_TAKEN_OFF: f64 = 0.1;

/// What can be handled, for one board.
#[derive(Debug, Clone, Copy)]
pub(super) struct Handy {
    length: f64,
    width: f64,
    weight: f64,
    /// Kilograms in a square millimetre of the board; 0 where the density is not known.
    density: f64,
    least_length: f64,
}

impl Handy {
    /// What the workshop's saw for lines takes and one person lifts.
    pub(super) fn of(job: &Job, board: &Board) -> Handy {
        let saw = job.workshop.tools.iter().find(|t| t.saws);
        let (length, width, least) = saw.map_or((f64::INFINITY, f64::INFINITY, 0.0), |t| {
            (t.max_length, t.max_width, t.min_piece)
        });
        Handy {
            length: if length.is_finite() {
                length
            } else {
                HANDY_LENGTH
            },
            width,
            weight: job.workshop.max_lift_kg,
            density: board.thickness * board.density * 1e-9,
            least_length: if least > 0.0 { least } else { LEAST_LENGTH },
        }
    }

    /// How large a workpiece is, as a share of what is just handy: the largest of the shares of
    /// length, width and weight. `area` in square millimetres.
    pub(super) fn load(&self, extents: (f64, f64), area: f64) -> f64 {
        let (length, width) = (extents.0.max(extents.1), extents.0.min(extents.1));
        (length / self.length)
            .max(width / self.width)
            .max(self.density * area / self.weight)
    }

    /// What it costs, in through cuts, to saw so many parts out of a workpiece of this load.
    pub(super) fn effort(&self, load: f64, parts: usize) -> f64 {
        LINE_IN_CUTS * parts as f64 * (load - 1.0).max(0.0)
    }

    /// How long a piece has to be, in millimetres, to be held while a line is sawn out of it.
    pub(super) fn least_length(&self) -> f64 {
        self.least_length
    }

    /// True for a piece too short to be held while a line is sawn out of it.
    pub(super) fn is_too_short(&self, extents: (f64, f64)) -> bool {
        extents.0.max(extents.1) < self.least_length
    }

    /// What it costs besides the cut to take off waste that reaches so far, in millimetres: what is
    /// hardly shorter afterwards is not cut.
    pub(super) fn effort_of_waste(&self, waste: f64) -> f64 {
        if waste < LEAST_TAKEN_OFF * self.length {
            f64::INFINITY
        } else {
            0.0
        }
    }

    /// What a rip of this length costs, a crosscut being 1.
    pub(super) fn rip(&self, length: f64) -> f64 {
        1.0 + length / self.length
    }
}
