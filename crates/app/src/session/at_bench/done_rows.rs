//! What is cut already, by the boards as they were bought.

use heartside_cutting::board_words;
use heartside_timber::document::{Board, BoardCopy, Document, DoneCut};
use heartside_timber::job::Job;
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::words::{capital, listed};

use crate::protocol::{CopyOf, DoneBoard, DoneRow, PieceLeft};
use crate::session::Session;
use heartside_cutting::is_scrap;

/// The pieces that a done cut left, in the order of the boards.
pub(super) fn pieces_of(document: &Document, cut: u32) -> impl Iterator<Item = &Board> {
    let own = move |b: &&Board| b.from.as_ref().is_some_and(|from| from.done == cut);
    document.boards.iter().filter(own)
}

/// As [`pieces_of`], but for waste.
fn kept_of<'a>(document: &'a Document, job: &'a Job, cut: u32) -> impl Iterator<Item = &'a Board> {
    let plan = document.plan.as_ref();
    pieces_of(document, cut).filter(move |piece| {
        let sound = job.board(&piece.id);
        sound.is_none_or(|sound| !is_scrap(job, plan, sound))
    })
}

impl Session {
    pub(in crate::session) fn done_boards(&self) -> Vec<DoneBoard> {
        let mut boards: Vec<(BoardCopy, DoneBoard)> = Vec::new();
        for (place, cut) in self.document.done.iter().enumerate() {
            let own = BoardCopy {
                board: cut.board.clone(),
                copy: cut.board_copy,
            };
            let root = self.job.root(&own).clone();
            let row = self.done_row(place, cut);
            match boards.iter_mut().find(|(known, _)| *known == root) {
                Some((_, board)) => board.cuts.push(row),
                None => {
                    let board = DoneBoard {
                        board: CopyOf::from(&root),
                        name: capital(&board_words(&self.job, &root)),
                        cuts: vec![row],
                    };
                    boards.push((root, board));
                }
            }
        }
        boards.into_iter().map(|(_, board)| board).collect()
    }

    fn done_row(&self, place: usize, cut: &DoneCut) -> DoneRow {
        let kerf = write_length(cut.kerf, &self.job.units);
        let tool = match cut.tool.trim() {
            "" => "by hand",
            named => named,
        };
        DoneRow {
            id: cut.id,
            number: place as u32 + 1,
            text: self.cut_into_words(&self.document, &self.job, cut),
            how: format!("{tool}, kerf {kerf}"),
            pieces: kept_of(&self.document, &self.job, cut.id)
                .map(|piece| self.piece_left(piece))
                .collect(),
            stays_because: pieces_of(&self.document, cut.id)
                .find(|piece| self.is_cut(piece))
                .map(|piece| format!("first take back the cut of {}", piece.id)),
        }
    }

    /// "C into C3 and Leg 2".
    pub(super) fn cut_into_words(&self, document: &Document, job: &Job, cut: &DoneCut) -> String {
        let label = heartside_cutting::board_label(
            &self.job,
            &BoardCopy {
                board: cut.board.clone(),
                copy: cut.board_copy,
            },
        );
        let pieces = kept_of(document, job, cut.id).map(|piece| self.piece_name(piece));
        let pieces: Vec<String> = pieces.collect();
        match pieces.is_empty() {
            _ if cut.resawn => format!("{} resawn", listed(&pieces)),
            true => label,
            false => format!("{label} into {}", listed(&pieces)),
        }
    }

    /// The part that a piece is the blank of, else its chalk name.
    pub(super) fn piece_name(&self, piece: &Board) -> String {
        let held = piece.holds.iter().chain(&piece.leaves);
        let names: Vec<String> = held.map(|p| self.copy_words(&p.part_copy())).collect();
        match names.is_empty() {
            true if self.is_resawn(piece) => piece.name.clone(),
            true => piece.id.clone(),
            false => listed(&names),
        }
    }

    fn piece_left(&self, piece: &Board) -> PieceLeft {
        let is_cut = self.is_cut(piece);
        let sound = self.job.board(&piece.id);
        let size = sound.map(|b| {
            let show = |mm: f64| write_dimension(mm, &self.job.units);
            let bounds = b.outline.bounds();
            format!("{} \u{d7} {}", show(bounds.width()), show(bounds.height()))
        });
        PieceLeft {
            board: (!is_cut).then(|| CopyOf {
                id: piece.id.clone(),
                copy: 1,
            }),
            name: self.piece_name(piece),
            state: match (is_cut, &piece.holds) {
                (true, _) if self.is_resawn(piece) => "resawn".to_owned(),
                (false, Some(_)) if !piece.leaves.is_empty() => "in hand, to be resawn".to_owned(),
                (true, _) => "cut again".to_owned(),
                (false, Some(_)) => "in hand".to_owned(),
                (false, None) => size.unwrap_or_else(|| "to be mended".to_owned()),
            },
            measured: piece.measured,
        }
    }

    /// True for a thick blank that was resawn into its leaves.
    fn is_resawn(&self, piece: &Board) -> bool {
        let mut done = self.document.done.iter();
        done.any(|cut| cut.resawn && cut.board == piece.id)
    }

    /// True where a piece was cut further.
    fn is_cut(&self, piece: &Board) -> bool {
        let mut done = self.document.done.iter();
        done.any(|cut| cut.board == piece.id)
    }
}
