//! Words and names that the cutting crate has already, and what follows from them.

pub(super) use heartside_cutting::{
    Step, Totals, Waiting, board_label, cost_words, finished_size, least_board_words, reason_words,
    spent_words, timber_words, totals, waiting, write_rough,
};

use heartside_timber::blank::Blank;
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Job, Part};

/// What a plan of a cost comes to with what is spent already.
pub(super) fn total_words(job: &Job, cost: f64) -> String {
    cost_words(job, job.spent + cost)
}

/// "on A".
pub(super) fn on_board(job: &Job, board: &BoardCopy) -> String {
    format!("on {}", board_label(job, board))
}

/// The extents of a part's blank along and across its grain.
pub(super) fn blank_extents(part: &Part) -> (f64, f64) {
    let bounds = Blank::of(part).bounds();
    (bounds.width(), bounds.height())
}
