//! Whether an empty board takes a part's rectangle, and if not, what is in the way.

use heartside_timber::job::{Cuts, Job};
use heartside_timber::plan::UnplacedReason;

use super::cutting::{Care, Cutting, First};
use super::elsewhere::elsewhere;
use super::frames::frame_angles;
use super::ground::{Fit, Ground};
use super::position::{Edge, find_spot, has_clear_room};
use super::saw::Saws;
use crate::fit;

/// Frames tried for the answer.
const MOST_FRAMES: usize = 2;

/// Asks empty boards about one part after the other.
pub(crate) struct Trial<'a> {
    job: &'a Job,
    saws: Saws,
    /// For each board, once asked, its ground in the frames that are tried.
    grounds: Vec<Vec<Ground>>,
}

impl<'a> Trial<'a> {
    /// Nothing is made ready before it is asked for.
    pub(crate) fn new(job: &'a Job) -> Trial<'a> {
        Trial {
            job,
            saws: Saws::of(job),
            grounds: vec![Vec::new(); job.boards.len()],
        }
    }

    /// True where one of these boards, empty, takes the part's rectangle in its first frame.
    pub(crate) fn is_taken(&mut self, part: usize, boards: &[usize]) -> bool {
        let (job, saws) = (self.job, &self.saws);
        boards.iter().any(|board| {
            let first = grounds_of(job, &mut self.grounds, *board).first();
            first.is_some_and(|ground| {
                let mut fits = ground.fits[part].iter();
                fits.any(|fit| tried(job, saws, part, ground, fit) == Some(UnplacedReason::NoRoom))
            })
        })
    }

    /// The best that any of these boards, empty, has to say to a part: [`UnplacedReason::NoRoom`] where one takes it.
    pub(crate) fn best_answer(&mut self, part: usize, boards: &[usize]) -> UnplacedReason {
        let (job, saws) = (self.job, &self.saws);
        let mut best = UnplacedReason::Thickness;
        for board in boards {
            for ground in grounds_of(job, &mut self.grounds, *board) {
                let answer = answer(job, saws, part, ground);
                if answer == UnplacedReason::NoRoom {
                    return answer;
                }
                if nearness(answer) > nearness(best) {
                    best = answer;
                }
            }
        }
        best
    }
}

/// The board's grounds, made now if this is the first question.
fn grounds_of<'a>(job: &Job, grounds: &'a mut [Vec<Ground>], board: usize) -> &'a mut Vec<Ground> {
    debug_assert!(fit::is_usable(&job.boards[board]));
    let grounds = &mut grounds[board];
    if grounds.is_empty() {
        let angles = frame_angles(job, board).into_iter().take(MOST_FRAMES);
        grounds.extend(angles.map(|angle| Ground::new(job, board, angle)));
    }
    grounds
}

/// How near to a place a reason is.
pub(crate) fn nearness(reason: UnplacedReason) -> u8 {
    match reason {
        UnplacedReason::Thickness => 1,
        UnplacedReason::Length => 2,
        UnplacedReason::Width => 3,
        UnplacedReason::Grain => 4,
        UnplacedReason::Zones => 5,
        UnplacedReason::Tools => 6,
        UnplacedReason::NoRoom => 7,
        _ => 0,
    }
}

fn answer(job: &Job, saws: &Saws, part: usize, ground: &mut Ground) -> UnplacedReason {
    let fits = ground.fits[part].clone();
    if fits.is_empty() {
        // Within a quarter of a turn of this frame the grain allows nothing, or what it allows is too thick.
        let (board, part) = (&job.boards[ground.board], &job.parts[part]);
        let quarters = [0.0, 90.0, 180.0, 270.0].map(|q| ground.frame.angle + q);
        return if quarters.iter().any(|t| fit::grain_allows(board, part, *t)) {
            UnplacedReason::Thickness
        } else {
            UnplacedReason::Grain
        };
    }
    let mut best = UnplacedReason::Length;
    for fit in &fits {
        let answer = answer_for(job, saws, part, ground, fit);
        if nearness(answer) > nearness(best) {
            best = answer;
        }
    }
    best
}

fn answer_for(
    job: &Job,
    saws: &Saws,
    part: usize,
    ground: &mut Ground,
    fit: &Fit,
) -> UnplacedReason {
    if let Some(answer) = tried(job, saws, part, ground, fit) {
        return answer;
    }
    let Some(work) = Cutting::whole(ground).works[0] else {
        return UnplacedReason::Length;
    };
    if has_clear_room(ground, &work, fit) {
        return UnplacedReason::Tools;
    }
    // Without the zones, and then without the grain: is the outline itself wide enough somewhere?
    let reasons = [
        (true, UnplacedReason::Zones),
        (false, UnplacedReason::Grain),
    ];
    for (with_grain, reason) in reasons {
        let bare = ground.without_zones(*fit, with_grain);
        if bare.class != fit.class && has_clear_room(ground, &work, &bare) {
            return reason;
        }
    }
    UnplacedReason::Width
}

/// [`UnplacedReason::NoRoom`] where the part can be cut free, what is too small where the board is; else none.
fn tried(
    job: &Job,
    saws: &Saws,
    part: usize,
    ground: &Ground,
    fit: &Fit,
) -> Option<UnplacedReason> {
    if fit.width > ground.usable.width() + ground.bite {
        return Some(UnplacedReason::Length);
    }
    if fit.height > ground.usable.height() + ground.bite {
        return Some(UnplacedReason::Width);
    }
    let bench = (job, ground, saws);
    let mut whole = Cutting::whole(ground);
    let work = whole.works[0]?;
    // Straight cuts do not matter on a board that is sawn by line.
    if job.boards[ground.board].cuts == Cuts::Sawn {
        let is_somewhere = find_spot(job, ground, saws, &work, fit, Edge::Low).is_some()
            || !elsewhere(bench, &work, fit, Care::Thorough).is_empty();
        return is_somewhere.then_some(UnplacedReason::NoRoom);
    }
    let how = (Edge::Low, First::Rips);
    whole
        .lay_with_care(bench, 0, part, fit, how, Care::Thorough)
        .then_some(UnplacedReason::NoRoom)
}
