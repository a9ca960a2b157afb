//! What becomes of a job when a cut is made, taken back or measured: edits of the document.
//!
//! A cut retires its board and lays pieces in its stead, each a board of its own in the same
//! coordinates; what the plan had on the board goes along to them without a search. Every change
//! is one [`Edit`], or a refusal that says what to do instead. Nothing here judges a plan or
//! looks for one.

mod as_planned;
mod carrying;
mod cut_otherwise;
mod free_already;
mod laying;
mod measured;
mod not_cut;
mod offcuts_home;
mod resawn;
mod row;
mod sawn;
mod spoiled;
mod wood;

pub use as_planned::as_planned;
pub use cut_otherwise::{CutOtherwise, cut_otherwise};
pub use free_already::free_already;
pub use measured::{Bend, Measured, WidthAt, measured};
pub use not_cut::not_cut;
pub use offcuts_home::offcuts_home;
pub use spoiled::spoiled;

use std::fmt;

use heartside_timber::document::{self, BoardCopy, Document};
use heartside_timber::job::{Board, Job};

use crate::naming::board_words;

/// Why something was not done, and what to do instead, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused(pub String);

impl fmt::Display for Refused {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}

/// A board copy that lies there, as typed and as sound.
struct Ground<'a> {
    /// Its row in the document.
    row: usize,
    source: &'a document::Board,
    board: &'a Board,
    copy: &'a BoardCopy,
    /// "board C", "piece C2".
    words: String,
}

impl<'a> Ground<'a> {
    /// The board that something is to be done to.
    fn find(
        document: &'a Document,
        job: &'a Job,
        copy: &'a BoardCopy,
    ) -> Result<Ground<'a>, Refused> {
        let words = board_words(job, copy);
        let refuse = |why: &str| Refused(format!("{words} {why}"));
        let row = document.boards.iter().position(|b| b.id == copy.board);
        let (Some(row), Some(board)) = (row, job.board(&copy.board)) else {
            let why = match row {
                Some(_) => "has a problem that must be mended first",
                None => "is not in this job",
            };
            return Err(refuse(why));
        };
        if !(1..=board.count).contains(&copy.copy) {
            return Err(refuse("is not in this job"));
        }
        if board.gone.binary_search(&copy.copy).is_ok() {
            return Err(refuse("was cut already: go on with its pieces"));
        }
        Ok(Ground {
            row,
            source: &document.boards[row],
            board,
            copy,
            words,
        })
    }

    /// As [`Ground::find`], refused where the wood is the blank of a part.
    fn to_be_cut(
        document: &'a Document,
        job: &'a Job,
        copy: &'a BoardCopy,
    ) -> Result<Ground<'a>, Refused> {
        let ground = Ground::find(document, job, copy)?;
        if ground.board.is_in_hand() {
            let words = &ground.words;
            return Err(Refused(format!(
                "{words} is in hand and is cut no further: if it was spoiled, say so first"
            )));
        }
        Ok(ground)
    }
}
