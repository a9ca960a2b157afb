//! Words and names that the drawing and the cutting crates have already.

pub(super) use heartside_cutting::{
    Step, Totals, board_label, cost_words, finished_size, least_board_words, reason_words, steps,
    totals,
};
pub(super) use heartside_drawing::safe_file_name;

use heartside_timber::document::BoardCopy;
use heartside_timber::job::Job;

/// "A, B/1 and C".
pub(super) fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// "1 part", "3 parts".
pub(super) fn counted(count: usize, one: &str, several: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {several}")
    }
}

/// "on A".
pub(super) fn on_board(job: &Job, board: &BoardCopy) -> String {
    format!("on {}", board_label(job, board))
}
