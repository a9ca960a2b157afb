//! Rule 12: cuts that were made.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Zone;
use heartside_timber::words::capital;

use super::names::Words;

impl Words<'_> {
    pub(crate) fn board_is_cut(&self, board: &BoardCopy) -> String {
        format!(
            "{} is cut already, so nothing can be laid on it: lay it on what is left of it.",
            capital(&self.board(board))
        )
    }

    pub(crate) fn blank_cut_again(&self, board: &BoardCopy, part: &PartCopy) -> String {
        format!(
            "{} is the blank of {}, which is in hand: nothing more is cut from it.",
            capital(&self.board(board)),
            self.part(part)
        )
    }

    pub(crate) fn in_hand_and_placed(&self, part: &PartCopy) -> String {
        format!(
            "{} is in hand, yet this plan cuts it again.",
            self.part(part)
        )
    }

    pub(crate) fn in_hand_and_listed(&self, part: &PartCopy) -> String {
        format!(
            "{} is in hand, yet listed as without a place.",
            self.part(part)
        )
    }

    pub(crate) fn piece_beyond_board(
        &self,
        piece: &BoardCopy,
        board: &BoardCopy,
        by: f64,
    ) -> String {
        format!(
            "{} reaches {} beyond {}, from which it was cut: measure it again.",
            capital(&self.board(piece)),
            self.gap(by),
            self.board(board)
        )
    }

    pub(crate) fn piece_in_kerf(&self, piece: &BoardCopy, by: f64) -> String {
        format!(
            "{} reaches {} into the kerf of the cut that made it: measure it again.",
            capital(&self.board(piece)),
            self.gap(by)
        )
    }

    pub(crate) fn pieces_too_near(&self, one: &BoardCopy, other: &BoardCopy, by: f64) -> String {
        format!(
            "{} and {} share {} of wood, though a cut parted them: measure them again.",
            capital(&self.board(one)),
            self.board(other),
            self.gap(by)
        )
    }

    pub(crate) fn more_than_there_was(&self, board: &BoardCopy) -> String {
        format!(
            "The pieces of {} hold more wood than it did: measure them again.",
            self.board(board)
        )
    }

    pub(crate) fn wood_is_missing(&self, board: &BoardCopy) -> String {
        format!(
            "The pieces of {} and the kerf add up to less than it was: a piece is missing, or measure them again.",
            self.board(board)
        )
    }

    pub(crate) fn blank_too_small(&self, part: &PartCopy, piece: &BoardCopy, by: f64) -> String {
        format!(
            "{} is in hand, but {}, its blank, is {} too small for it.",
            self.part(part),
            self.board(piece),
            self.gap(by)
        )
    }

    pub(crate) fn blank_too_thin(&self, part: &PartCopy, piece: &BoardCopy, by: f64) -> String {
        format!(
            "{} is in hand, but {}, its blank, comes out {} too thin for it.",
            self.part(part),
            self.board(piece),
            self.gap(by)
        )
    }

    pub(crate) fn flaw_in_hand(&self, part: &PartCopy, piece: &BoardCopy, zone: &Zone) -> String {
        format!(
            "{} is in hand, but {} lies in it, on {}.",
            self.part(part),
            self.zone(zone),
            self.board(piece)
        )
    }
}
