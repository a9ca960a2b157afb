//! Names of boards and pieces: short enough to be written on the wood with chalk.

use heartside_geometry::Arrange;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Job;
use heartside_timber::words::listed;

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

/// Copies of parts in a few words, part by part: "Leg 1 to 3, 5 and Top".
pub(crate) fn copies_words(job: &Job, copies: &[PartCopy]) -> String {
    let mut copies = copies.to_vec();
    let place = |c: &PartCopy| (job.part_index(&c.part), c.copy);
    copies.arrange_by(|a, b| place(a).cmp(&place(b)));
    let mut parts: Vec<String> = Vec::new();
    let mut rest = copies.as_slice();
    while let Some(first) = rest.first() {
        let alike = rest.iter().take_while(|c| c.part == first.part).count();
        let (own, others) = rest.split_at(alike);
        rest = others;
        let name = job
            .part(&first.part)
            .map_or_else(|| first.part.clone(), |p| p.copy_name(first.copy));
        let mut words = vec![name];
        let mut from = 0;
        for k in 1..=own.len() {
            if k < own.len() && own[k].copy.checked_sub(own[k - 1].copy) == Some(1) {
                continue;
            }
            let (start, end) = (own[from].copy, own[k - 1].copy);
            let joined = if end - start > 1 { " to " } else { " and " };
            let run = if end > start {
                format!("{joined}{end}")
            } else {
                String::new()
            };
            if from == 0 {
                words[0].push_str(&run);
            } else {
                words.push(format!("{start}{run}"));
            }
            from = k;
        }
        parts.push(words.join(", "));
    }
    listed(&parts)
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
