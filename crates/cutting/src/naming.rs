//! Names of boards and pieces: short enough to be written on the wood with chalk.

use heartside_timber::document::BoardCopy;
use heartside_timber::job::Job;

/// The label of a copy of a board: its id, with the copy where there are several ("C", "C/2").
pub fn board_label(job: &Job, board: &BoardCopy) -> String {
    let several = job.board(&board.board).is_some_and(|b| b.count > 1);
    if several || board.copy > 1 {
        format!("{}/{}", board.board, board.copy)
    } else {
        board.board.clone()
    }
}

/// What a copy of a board is called in a sentence: "board C", or "board C (Wide plank)" at the first mention.
pub fn board_words(job: &Job, board: &BoardCopy) -> String {
    format!("board {}", board_label(job, board))
}

/// Chalk names of the pieces that come off one board: "C1", "C2" ...; "B1-1" where the label ends in a digit.
#[derive(Debug, Clone)]
pub(crate) struct PieceNames {
    stem: String,
    count: u32,
}

impl PieceNames {
    pub(crate) fn of(job: &Job, board: &BoardCopy) -> PieceNames {
        let label = board_label(job, board);
        let plain = label.chars().next_back().is_some_and(char::is_alphabetic);
        let stem = if plain { label } else { format!("{label}-") };
        PieceNames { stem, count: 0 }
    }

    /// The next name.
    pub(crate) fn next(&mut self) -> String {
        self.count += 1;
        format!("{}{}", self.stem, self.count)
    }
}
