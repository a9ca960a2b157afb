//! Why a piece found no place: what is known of each part while the search runs.
//!
//! A reason is a claim about every board, so it is given only where it is proved, or found by trying:
//! sizes are compared at the start, which says what certainly cannot be; empty boards are tried one
//! part at a time while the search runs, and only for parts that it leaves out.

use heartside_geometry::SortedSet;
use heartside_timber::job::Job;
use heartside_timber::misfit::Boards;
use heartside_timber::plan::{Layout, UnplacedReason};

use crate::cuts::cutting::Care;
use crate::empty_board::{Answer, EmptyBoards, Known};

/// Parts with boards that are compared before the first step; the rest when they are asked about.
///
/// A comparison takes microseconds: with 10,000 parts and 5,000 boards they would take a minute.
const MOST_COMPARED: usize = 200_000;

/// Parts with boards that are tried in passing before the first step, so that there is a bound at once.
const MOST_TRIED: usize = 1_500;

/// For each part of the job, the reason it has if it finds no place: worked out from the empty
/// boards, so that it does not depend on what the search did.
pub(crate) struct Reasons {
    of_part: Vec<Option<Answer>>,
    empty_boards: EmptyBoards,
    /// For each part, that it lies on some board of a plan.
    was_placed: Vec<bool>,
    /// Parts become known to be possible.
    knows_more: bool,
}

/// For each part of a job, why it is left out if it finds no place: what the empty boards say to it.
///
/// [`UnplacedReason::NoRoom`] where one of them takes it. Up to some tenths of a second for a part that
/// none does.
pub fn reasons_of(job: &Job) -> Vec<UnplacedReason> {
    let reasons = Reasons::all(job);
    (0..job.parts.len()).map(|part| reasons.of(part)).collect()
}

impl Reasons {
    /// What sizes alone say, and what is found in passing.
    pub(crate) fn new(job: &Job) -> Reasons {
        let mut reasons = Reasons {
            of_part: vec![None; job.parts.len()],
            empty_boards: EmptyBoards::new(job),
            was_placed: vec![false; job.parts.len()],
            knows_more: false,
        };
        let sizes = Boards::of(job);
        let boards = job.boards.len().max(1);
        let compared = MOST_COMPARED.div_ceil(boards);
        for (k, part) in job.parts.iter().enumerate().take(compared) {
            match sizes.open_to(part, usize::MAX) {
                Err(ruled_out) => reasons.of_part[k] = Some(Answer::ruled_out(ruled_out)),
                Ok(boards) if k * boards.len() < MOST_TRIED => {
                    let empty = &mut reasons.empty_boards;
                    if empty.takes_rectangle(job, k, &boards, Care::Quick) {
                        reasons.of_part[k] = Some(Answer::COULD);
                    }
                }
                Ok(_) => {}
            }
        }
        reasons
    }

    /// As [`Reasons::new`], with every part asked about.
    pub(crate) fn all(job: &Job) -> Reasons {
        let mut reasons = Reasons::new(job);
        for part in 0..job.parts.len() {
            reasons.ask(job, part);
        }
        reasons
    }

    /// Asks, for a part, what is wrong with the boards; true if that was not known before.
    ///
    /// Up to some tenths of a second for a part that finds no place.
    pub(crate) fn ask(&mut self, job: &Job, part: usize) -> bool {
        if self.of_part[part].is_some() {
            return false;
        }
        let answer = self.empty_boards.answer(job, &Boards::of(job), part);
        self.knows_more = true;
        self.of_part[part] = Some(answer);
        true
    }

    /// The reason for a part; before it was asked about, that it was not tried.
    pub(crate) fn of(&self, part: usize) -> UnplacedReason {
        self.of_part[part].map_or(UnplacedReason::NotTried, |answer| answer.reason)
    }

    /// True where the reason was not worked out yet.
    pub(crate) fn is_open(&self, part: usize) -> bool {
        self.of_part[part].is_none()
    }

    /// Remembers that what lies on these boards can be placed.
    pub(crate) fn learn_from(&mut self, job: &Job, layouts: &[Layout]) {
        let placed = SortedSet::from_iter(
            layouts
                .iter()
                .flat_map(|l| &l.placements)
                .map(|p| p.part.as_str()),
        );
        for (part, wanted) in job.parts.iter().enumerate() {
            if !self.was_placed[part] && placed.contains(wanted.id.as_str()) {
                let knew = self.could_be_placed(part);
                self.was_placed[part] = true;
                self.knows_more |= !knew;
            }
        }
    }

    /// True if more parts are known to be possible, or not, than when this was asked last.
    pub(crate) fn knows_more(&mut self) -> bool {
        std::mem::take(&mut self.knows_more)
    }

    /// True for a part that some empty board is known to take.
    pub(crate) fn could_be_placed(&self, part: usize) -> bool {
        self.was_placed[part] || self.is_known(part, Known::Could)
    }

    /// True for a part that was asked about and that no empty board was found to take.
    pub(crate) fn is_known_not_to_fit(&self, part: usize) -> bool {
        !self.is_open(part) && !self.could_be_placed(part)
    }

    /// True for a part that certainly no empty board could take.
    pub(crate) fn cannot_be_placed(&self, part: usize) -> bool {
        self.is_known(part, Known::Cannot)
    }

    fn is_known(&self, part: usize, known: Known) -> bool {
        self.of_part[part].is_some_and(|answer| answer.known == known)
    }
}
