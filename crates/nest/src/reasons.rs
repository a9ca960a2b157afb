//! Why a piece found no place, and the least board that would take it.

use heartside_timber::document::{Cuts, PartCut};
use heartside_timber::job::Job;
use heartside_timber::misfit::{Hull, Misfit, certain_misfit};
use heartside_timber::plan::UnplacedReason;

use crate::straight::trial::nearness;
use crate::{fit, sawn, straight};

/// For each part of the job, the reason it would have if it found no place: worked out
/// once, from the empty boards, so that it does not depend on what the search did.
#[derive(Debug, Clone)]
pub(crate) struct Reasons {
    of_part: Vec<Answer>,
    least: Vec<[f64; 3]>,
}

/// What the empty boards have to say to a part.
#[derive(Debug, Clone, Copy)]
struct Answer {
    reason: UnplacedReason,
    known: Known,
}

/// What is known beyond doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Known {
    /// Some empty board takes the part.
    Could,
    /// None does.
    Cannot,
    /// Neither.
    Nothing,
}

impl Reasons {
    /// Asks, for every part, what is wrong with the boards one after the other: species,
    /// thickness, length, width, grain, zones, tools. A reason is given only if no board is
    /// better than that.
    ///
    /// Of a part sawn by line it is said that boards are too short or too narrow only where that
    /// is certain of its true outline; zones and grain where it is found to lie well without
    /// them. Where nothing of all this is known, no room was found.
    pub(crate) fn new(job: &Job) -> Reasons {
        let least = job.parts.iter().map(|p| fit::least_board(job, p)).collect();
        let mut rectangles = straight::trial::Trial::new(job);
        let mut of_part: Vec<Answer> = Vec::with_capacity(job.parts.len());
        // Parts that no rectangle settles, with the boards that may be sawn by line.
        let mut in_doubt: Vec<(usize, Vec<usize>)> = Vec::new();
        for part in 0..job.parts.len() {
            of_part.push(match boards_not_ruled_out(job, part) {
                Err(reason) => Answer::certain(reason),
                Ok(boards) => {
                    let (by_line, by_cuts): (Vec<usize>, Vec<usize>) = boards
                        .into_iter()
                        .partition(|b| may_be_sawn_from(job, part, *b));
                    if rectangles.is_taken(part, &by_line) {
                        Answer::found(UnplacedReason::NoRoom)
                    } else {
                        let found = Answer::found(rectangles.best_answer(part, &by_cuts));
                        if found.known == Known::Nothing && !by_line.is_empty() {
                            in_doubt.push((part, by_line));
                        }
                        found
                    }
                }
            });
        }
        let doubtful: Vec<usize> = in_doubt.iter().map(|(part, _)| *part).collect();
        let mut outlines = None;
        for (part, by_line) in in_doubt {
            let outlines = outlines.get_or_insert_with(|| sawn::trial::Trial::new(job, &doubtful));
            of_part[part] = match outlines.best_answer(part, &by_line) {
                None => Answer::NO_ROOM,
                Some(found) if nearness(found) > nearness(of_part[part].reason) => {
                    Answer::found(found)
                }
                Some(_) => of_part[part],
            };
        }
        for (answer, part) in of_part.iter_mut().zip(&job.parts) {
            // A board that seems too small may take an outline some other way.
            let seems = answer.known == Known::Nothing && part.cut == PartCut::Sawn;
            if seems && nearness(answer.reason) <= nearness(UnplacedReason::Width) {
                *answer = Answer::NO_ROOM;
            }
        }
        Reasons { of_part, least }
    }

    /// The reason for a part.
    pub(crate) fn of(&self, part: usize) -> UnplacedReason {
        self.of_part[part].reason
    }

    /// True for a part that some empty board is known to take.
    pub(crate) fn could_be_placed(&self, part: usize) -> bool {
        self.of_part[part].known == Known::Could
    }

    /// True for a part that certainly no empty board could take.
    pub(crate) fn cannot_be_placed(&self, part: usize) -> bool {
        self.of_part[part].known == Known::Cannot
    }

    /// Length, width and thickness of the least board that would take a part.
    pub(crate) fn least_board(&self, part: usize) -> [f64; 3] {
        self.least[part]
    }
}

impl Answer {
    /// No room was found, and more is not known.
    const NO_ROOM: Answer = Answer {
        reason: UnplacedReason::NoRoom,
        known: Known::Nothing,
    };

    fn certain(reason: UnplacedReason) -> Answer {
        Answer {
            reason,
            known: Known::Cannot,
        }
    }

    /// What trying has found: a place, or what seems to be in the way.
    fn found(reason: UnplacedReason) -> Answer {
        let known = if reason == UnplacedReason::NoRoom {
            Known::Could
        } else {
            Known::Nothing
        };
        Answer { reason, known }
    }
}

/// True where a part may be sawn out of a board by line.
fn may_be_sawn_from(job: &Job, part: usize, board: usize) -> bool {
    match job.boards[board].cuts {
        Cuts::Sawn => true,
        Cuts::Any => job.parts[part].cut == PartCut::Sawn,
        Cuts::Straight => false,
    }
}

/// The boards of which it is not certain that they cannot take a part; the reason where there are none.
fn boards_not_ruled_out(job: &Job, part: usize) -> Result<Vec<usize>, UnplacedReason> {
    let part = &job.parts[part];
    let boards = job.boards.iter().enumerate();
    let usable: Vec<_> = boards.filter(|(_, b)| fit::is_usable(b)).collect();
    if usable.is_empty() {
        return Err(UnplacedReason::NoBoards);
    }
    let hull = Hull::of(part);
    let (mut open, mut nearest) = (Vec::new(), None);
    for (index, board) in usable {
        if fit::species_fits(board, part) {
            match certain_misfit(job, board, part, &hull) {
                None => open.push(index),
                Some(misfit) => nearest = nearest.max(Some(misfit)),
            }
        }
    }
    if !open.is_empty() {
        return Ok(open);
    }
    Err(match nearest {
        None => UnplacedReason::Species,
        Some(Misfit::Thickness) => UnplacedReason::Thickness,
        Some(Misfit::Length) => UnplacedReason::Length,
        Some(Misfit::Width) => UnplacedReason::Width,
        Some(Misfit::Grain) => UnplacedReason::Grain,
    })
}
