//! How long a run could be that some board gives, where no board gives it whole.

use heartside_geometry::{Bounds, Region};
use heartside_timber::composite::Composite;
use heartside_timber::document::Cuts;
use heartside_timber::job::{BoardCopy, Job, MatchKind};
use heartside_timber::plan::Longest;

use crate::cuts::cutting::Care;
use crate::empty_board::EmptyBoards;
use crate::fit;

/// Boards that are asked; of more the first ones.
const MOST_BOARDS: usize = 60;

/// The longest blank of a run's width that an empty board gives; none where none gives even a short one.
///
/// Each board is asked whether it gives a little more than the best so far, and only then how much: some
/// ten questions a board that is better, one for each other.
pub(super) fn longest(job: &Job, composite: &Composite, line: &Composite) -> Option<Longest> {
    let across = composite.kind == MatchKind::ContinuousAcross;
    let bare = Job {
        parts: Vec::new(),
        boards: Vec::new(),
        matches: Vec::new(),
        pins: Vec::new(),
        earlier: Vec::new(),
        photos: Vec::new(),
        figure: Vec::new(),
        wishes: Vec::new(),
        ..job.clone()
    };
    let mut best: Option<(f64, usize)> = None;
    for (place, board) in job.boards.iter().enumerate().take(MOST_BOARDS) {
        if !board.is_usable() || !fit::species_fits(board, &composite.part) {
            continue;
        }
        let composite = match board.cuts {
            Cuts::Sawn => line,
            Cuts::Any | Cuts::Straight => composite,
        };
        let blank = fit::turned_blank(&composite.part, 0.0, false);
        let (whole, finished) = match across {
            true => (blank.height(), composite.part.width()),
            false => (blank.width(), composite.part.length()),
        };
        let mut alone = bare.clone();
        alone.boards = vec![board.clone()];
        let mut gives = |length: f64| gives(&mut alone, composite, whole - length);
        let least = (whole - finished).ceil();
        let (mut low, mut high) = (best.map_or(least, |(length, _)| length), whole.floor());
        if low + 1.0 > high || !gives(low + 1.0) {
            continue;
        }
        low += 1.0;
        while high - low > 1.0 {
            let middle = (0.5 * (low + high)).floor();
            if gives(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        best = Some((low, place));
    }
    let (length, place) = best?;
    let board = &job.boards[place];
    Some(Longest {
        length,
        board: BoardCopy {
            board: board.id.clone(),
            copy: board.copies().next()?,
        },
    })
}

/// Whether the one board of a job, empty, gives the run's blank shortened by so much.
fn gives(alone: &mut Job, composite: &Composite, shorter: f64) -> bool {
    let mut part = composite.part.clone();
    let (mut length, mut width) = (part.length(), part.width());
    match composite.kind {
        MatchKind::ContinuousAcross => width -= shorter,
        _ => length -= shorter,
    }
    let Some(outline) = Region::rectangle(Bounds::of_size(length, width)) else {
        return false;
    };
    part.outline = outline;
    alone.parts = vec![part];
    EmptyBoards::new(alone).takes_rectangle(alone, 0, &[0], Care::Thorough)
}
