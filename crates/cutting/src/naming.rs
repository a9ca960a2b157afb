//! Names of boards and pieces: short enough to be written on the wood with chalk.

use heartside_geometry::{Arrange, SortedMap};
use heartside_timber::document::{BoardCopy, Hand, PartCopy};
use heartside_timber::ids::{MOST_ID_CHARACTERS, TakenIds};
use heartside_timber::job::Job;
use heartside_timber::words::listed;

/// The label of a copy of a board: its id, with the copy where there are several ("C", "C/2"). What
/// is left of a board once a part was sawn out by line keeps its mark.
pub fn board_label(job: &Job, board: &BoardCopy) -> String {
    let mut board = board;
    while let Some(before) = marked_as(job, board) {
        board = before;
    }
    let several = job.board(&board.board).is_some_and(|b| b.count > 1);
    if several || board.copy > 1 {
        format!("{}/{}", board.board, board.copy)
    } else {
        board.board.clone()
    }
}

/// The board whose mark a piece still has: it is all that was left when a part was sawn out of that.
fn marked_as<'a>(job: &'a Job, piece: &BoardCopy) -> Option<&'a BoardCopy> {
    let from = job.board(&piece.board)?.from.as_ref()?;
    let cut = job.done.get(from.done).filter(|cut| cut.is_by_line())?;
    let rest = |place: &&usize| {
        let from = job.boards[**place].from.as_ref();
        from.is_some_and(|from| from.side == Hand::Right)
    };
    let is_all = cut.pieces.iter().filter(rest).count() == 1;
    (is_all && from.side == Hand::Right).then_some(&cut.board)
}

/// What a copy of a board is called in a sentence: "board C", "piece C2", and "Leg 2" where the
/// piece is the blank of that.
pub fn board_words(job: &Job, board: &BoardCopy) -> String {
    let label = board_label(job, board);
    match job.board(&board.board) {
        Some(piece) if piece.is_in_hand() => piece.name.clone(),
        Some(piece) if piece.from.is_some() => format!("piece {label}"),
        _ => format!("board {label}"),
    }
}

/// Copies of parts in a few words, part by part: "Leg 1 to 3, 5 and Top".
pub fn copies_words(job: &Job, copies: &[PartCopy]) -> String {
    let mut copies = copies.to_vec();
    let place = |c: &PartCopy| (job.part_index(&c.part), c.copy);
    copies.arrange_by(|a, b| place(a).cmp(&place(b)));
    let mut parts: Vec<String> = Vec::new();
    let mut rest = copies.as_slice();
    while let Some(first) = rest.first() {
        let alike = rest.iter().take_while(|c| c.part == first.part).count();
        let (own, others) = rest.split_at(alike);
        rest = others;
        let name = job.name_of(first).unwrap_or_else(|| first.part.clone());
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

/// Chalk names of pieces: "C1", "C2" ...; "B1-1" where the board's label ends in a digit.
///
/// Pieces of pieces count on from the board as it was bought, and no name is given that a board or
/// a piece of the job has: what the list calls a piece before a cut it is called after it.
#[derive(Debug, Clone)]
pub(crate) struct ChalkNames {
    taken: TakenIds,
    counts: SortedMap<String, u32>,
}

impl ChalkNames {
    pub(crate) fn of(job: &Job) -> ChalkNames {
        ChalkNames {
            taken: TakenIds::of(job.boards.iter().map(|b| b.id.as_str())),
            counts: SortedMap::new(),
        }
    }

    /// The next name of a piece of this board, or of the board that this is a piece of.
    pub(crate) fn next(&mut self, job: &Job, board: &BoardCopy) -> String {
        // A piece is a board with an id of its own, which has room for no more and takes no stroke.
        let label = board_label(job, job.root(board)).replace('/', ".");
        let mut stem: String = label.chars().take(MOST_ID_CHARACTERS - 10).collect();
        if !stem.chars().next_back().is_some_and(char::is_alphabetic) {
            stem.push('-');
        }
        let count = self.counts.entry(stem.clone()).or_default();
        loop {
            *count += 1;
            let name = format!("{stem}{count}");
            if self.taken.take(&name) {
                return name;
            }
        }
    }
}
