//! Why a piece found no place, and the least board that would take it.

use heartside_timber::document::PartCut;
use heartside_timber::job::Job;
use heartside_timber::plan::UnplacedReason;

use crate::fit;
use crate::straight;

/// For each part of the job, the reason it would have if it found no place: worked out
/// once, from the empty boards, so that it does not depend on what the search did.
#[derive(Debug, Clone)]
pub(crate) struct Reasons {
    of_part: Vec<UnplacedReason>,
    least: Vec<[f64; 3]>,
}

impl Reasons {
    /// Asks, for every part, what is wrong with the boards one after the other: species,
    /// thickness, length, width, zones, tools. A reason is given only if no board is
    /// better than that; a part that fits some empty board has no room.
    pub(crate) fn new(job: &Job) -> Reasons {
        let least = job.parts.iter().map(|p| fit::least_board(job, p)).collect();
        let of_part = (0..job.parts.len()).map(|p| reason(job, p)).collect();
        Reasons { of_part, least }
    }

    /// The reason for a part.
    pub(crate) fn of(&self, part: usize) -> UnplacedReason {
        self.of_part[part]
    }

    /// True for a part that some empty board could take.
    pub(crate) fn could_be_placed(&self, part: usize) -> bool {
        self.of_part[part] == UnplacedReason::NoRoom
    }

    /// True for a part that certainly no empty board could take.
    ///
    /// Size and zones are asked of the rectangle round a part: for one sawn by line they prove nothing.
    pub(crate) fn cannot_be_placed(&self, job: &Job, part: usize) -> bool {
        match self.of_part[part] {
            UnplacedReason::NoRoom => false,
            UnplacedReason::NoBoards | UnplacedReason::Species | UnplacedReason::Thickness => true,
            _ => job.parts[part].cut != PartCut::Sawn,
        }
    }

    /// Length, width and thickness of the least board that would take a part.
    pub(crate) fn least_board(&self, part: usize) -> [f64; 3] {
        self.least[part]
    }
}

fn reason(job: &Job, part_index: usize) -> UnplacedReason {
    let part = &job.parts[part_index];
    let usable: Vec<usize> = (0..job.boards.len())
        .filter(|b| fit::is_usable(&job.boards[*b]))
        .collect();
    if usable.is_empty() {
        return UnplacedReason::NoBoards;
    }
    let of_species: Vec<usize> = usable
        .into_iter()
        .filter(|b| fit::species_fits(&job.boards[*b], part))
        .collect();
    if of_species.is_empty() {
        return UnplacedReason::Species;
    }
    // Any turn that the grain could allow at all; the frames' own angles change extents by little.
    let turns = [0.0, 90.0];
    let thick: Vec<usize> = of_species
        .into_iter()
        .filter(|b| {
            turns
                .iter()
                .any(|t| fit::thick_enough(job, &job.boards[*b], part, *t, false))
        })
        .collect();
    if thick.is_empty() {
        return UnplacedReason::Thickness;
    }
    straight::trial::best_answer(job, part_index, &thick)
}
