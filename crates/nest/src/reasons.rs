//! Why a piece found no place, and the least board that would take it.
//!
//! A reason is a claim about every board, so it is given only where it is proved, or found by trying:
//! sizes are compared at the start, which says what certainly cannot be; empty boards are tried one
//! part at a time while the search runs, and only for parts that it leaves out.

use heartside_geometry::set_of;
use heartside_timber::document::{Cuts, PartCut};
use heartside_timber::job::{Job, Tool};
use heartside_timber::misfit::{Hull, Misfit, certain_misfit};
use heartside_timber::plan::{Layout, UnplacedReason};

use crate::cuts::cutting::Care;
use crate::{fit, sawn, straight};

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
    rectangles: straight::trial::Trial,
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
    /// What sizes alone say, and what is found in passing.
    pub(crate) fn new(job: &Job) -> Reasons {
        let mut reasons = Reasons {
            of_part: vec![None; job.parts.len()],
            rectangles: straight::trial::Trial::new(job),
            was_placed: vec![false; job.parts.len()],
            knows_more: false,
        };
        let boards = job.boards.len().max(1);
        for part in 0..job.parts.len().min(MOST_COMPARED.div_ceil(boards)) {
            match boards_not_ruled_out(job, part) {
                Err(reason) => reasons.of_part[part] = Some(Answer::certain(reason)),
                Ok(boards) if part * boards.len() < MOST_TRIED => {
                    if reasons.takes_rectangle(job, part, &boards, Care::Quick) {
                        reasons.of_part[part] = Some(Answer::COULD);
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
        let answer = self.answer(job, part);
        self.knows_more = true;
        self.of_part[part] = Some(answer);
        true
    }

    fn takes_rectangle(&mut self, job: &Job, part: usize, boards: &[usize], care: Care) -> bool {
        let mut boards = boards.to_vec();
        boards.retain(|b| fit::can_be_sawn(job, &job.boards[*b], &job.parts[part]));
        self.rectangles.is_taken(job, part, &boards, care)
    }

    fn answer(&mut self, job: &Job, part: usize) -> Answer {
        let boards = match boards_not_ruled_out(job, part) {
            Err(reason) => return Answer::certain(reason),
            Ok(boards) => boards,
        };
        let boards: Vec<usize> = boards
            .into_iter()
            .filter(|b| !no_tool_can(job, part, *b))
            .collect();
        if boards.is_empty() {
            return Answer::certain(UnplacedReason::Tools);
        }
        if self.takes_rectangle(job, part, &boards, Care::Thorough) {
            return Answer::COULD;
        }
        let (by_line, by_cuts): (Vec<usize>, Vec<usize>) = boards
            .into_iter()
            .partition(|b| may_be_sawn_from(job, part, *b));
        let ask = |boards: &[usize], kerf: f64| {
            let mut trial = sawn::trial::Trial::new(job, part, boards, kerf);
            trial.best_answer()
        };
        let on_line = (!by_line.is_empty()).then(|| ask(&by_line, job.workshop.sawn_kerf));
        if on_line == Some(Some(UnplacedReason::NoRoom)) {
            return Answer::COULD;
        }
        let on_cuts = (!by_cuts.is_empty()).then(|| ask(&by_cuts, 0.0));
        let reason = match (on_line, on_cuts) {
            // It lies well there, and no order of cuts was found.
            (_, Some(Some(UnplacedReason::NoRoom))) => UnplacedReason::Order,
            (Some(None), _) | (_, Some(None)) | (None, None) => UnplacedReason::NoRoom,
            (Some(Some(one)), None) | (None, Some(Some(one))) => one,
            (Some(Some(one)), Some(Some(other))) if one == other => one,
            (Some(Some(_)), Some(Some(_))) => UnplacedReason::NoRoom,
        };
        Answer {
            reason,
            known: Known::Nothing,
        }
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
        let placed = set_of(
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

    /// True for a part that certainly no empty board could take.
    pub(crate) fn cannot_be_placed(&self, part: usize) -> bool {
        self.is_known(part, Known::Cannot)
    }

    fn is_known(&self, part: usize, known: Known) -> bool {
        self.of_part[part].is_some_and(|answer| answer.known == known)
    }
}

impl Answer {
    /// An empty board takes the part: where it is left out there was no room for it.
    const COULD: Answer = Answer {
        reason: UnplacedReason::NoRoom,
        known: Known::Could,
    };

    fn certain(reason: UnplacedReason) -> Answer {
        Answer {
            reason,
            known: Known::Cannot,
        }
    }
}

/// True where a part may be sawn out of a board by line.
fn may_be_sawn_from(job: &Job, part: usize, board: usize) -> bool {
    let board = &job.boards[board];
    let is_meant = match board.cuts {
        Cuts::Sawn => true,
        Cuts::Any => job.parts[part].cut == PartCut::Sawn,
        Cuts::Straight => false,
    };
    is_meant && job.workshop.can_saw_by_line(board.thickness)
}

/// True where certainly no tool of the workshop gets the part out of the board.
///
/// A board of which neither extent is one of the blank's needs at least one crosscut and one rip, and each
/// is at least as long as the blank's shorter side.
fn no_tool_can(job: &Job, part: usize, board: usize) -> bool {
    let b = &job.boards[board];
    if !fit::can_be_sawn(job, b, &job.parts[part]) {
        return true;
    }
    if may_be_sawn_from(job, part, board) {
        return false;
    }
    let blank = fit::turned_blank(&job.parts[part], 0.0, false);
    let bounds = b.outline.bounds();
    let same = |a: f64, b: f64| (a - b).abs() <= 1.0;
    let is_side = |side: f64| same(side, blank.width()) || same(side, blank.height());
    let short = blank.width().min(blank.height());
    let can = |does: fn(&Tool) -> bool| {
        let mut tools = job.workshop.tools.iter();
        tools.any(|t| does(t) && b.thickness <= t.max_depth && short <= t.max_length)
    };
    let (rips, crosscuts) = (can(|t| t.rips), can(|t| t.crosscuts));
    match (is_side(bounds.width()), is_side(bounds.height())) {
        (false, false) => !rips || !crosscuts,
        (true, true) => false,
        _ => !rips && !crosscuts,
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
