//! Whether a part, alone, fits an empty board of a job, and if not, why.
//!
//! Both engines, the last look, the bounds and the reasons ask here. Sizes speak first, which is proof
//! (`heartside_timber::misfit`: it is also what is said before planning, and that crate does not know
//! this one); then tools; then it is tried, by straight cuts ([`by_cuts`]) and along the true outline
//! ([`by_line`]), which also proves what is in the way.

pub(crate) mod by_cuts;
pub(crate) mod by_line;

use heartside_timber::document::{Cuts, PartCut};
use heartside_timber::job::{Job, Tool};
use heartside_timber::misfit::{Boards, Misfit, RuledOut};
use heartside_timber::plan::UnplacedReason;

use self::by_cuts::ByCuts;
use self::by_line::ByLine;
use crate::cuts::cutting::Care;
use crate::fit;

/// What the empty boards have to say to a part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Answer {
    pub(crate) reason: UnplacedReason,
    pub(crate) known: Known,
}

/// What is known beyond doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Known {
    /// Some empty board takes the part.
    Could,
    /// None does.
    Cannot,
    /// Neither.
    Nothing,
}

impl Answer {
    /// An empty board takes the part: where it is left out there was no room for it.
    pub(crate) const COULD: Answer = Answer {
        reason: UnplacedReason::NoRoom,
        known: Known::Could,
    };

    /// What sizes alone say.
    pub(crate) fn ruled_out(ruled_out: RuledOut) -> Answer {
        Answer::certain(match ruled_out {
            RuledOut::NoBoards => UnplacedReason::NoBoards,
            RuledOut::Species => UnplacedReason::Species,
            RuledOut::Misfit(Misfit::Thickness) => UnplacedReason::Thickness,
            RuledOut::Misfit(Misfit::Length) => UnplacedReason::Length,
            RuledOut::Misfit(Misfit::Width) => UnplacedReason::Width,
            RuledOut::Misfit(Misfit::Grain) => UnplacedReason::Grain,
        })
    }

    fn certain(reason: UnplacedReason) -> Answer {
        Answer {
            reason,
            known: Known::Cannot,
        }
    }
}

/// The empty boards of a job.
pub(crate) struct EmptyBoards {
    by_cuts: ByCuts,
}

impl EmptyBoards {
    /// Nothing is made ready before it is asked for.
    pub(crate) fn new(job: &Job) -> EmptyBoards {
        EmptyBoards {
            by_cuts: ByCuts::new(job),
        }
    }

    /// True where one of these boards takes the part's rectangle, as far as that is found with so much care.
    pub(crate) fn takes_rectangle(
        &mut self,
        job: &Job,
        part: usize,
        boards: &[usize],
        care: Care,
    ) -> bool {
        let mut boards = boards.to_vec();
        boards.retain(|b| fit::can_be_sawn(job, &job.boards[*b], &job.parts[part]));
        self.by_cuts.is_taken(job, part, &boards, care)
    }

    /// What they say to a part; `sizes` are those of the boards of the job. Up to some tenths of a second for a part that finds no place.
    pub(crate) fn answer(&mut self, job: &Job, sizes: &Boards<'_>, part: usize) -> Answer {
        let boards = match sizes.open_to(&job.parts[part], usize::MAX) {
            Err(ruled_out) => return Answer::ruled_out(ruled_out),
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
        let ask = |boards: &[usize], kerf: f64| ByLine::new(job, part, boards, kerf).best_answer();
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
