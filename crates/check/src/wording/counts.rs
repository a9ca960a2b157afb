//! Rule 10: parts and boards that the job has, pins.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Board, Part};
use heartside_timber::words::{capital, counted, either, plural};

use super::names::{Words, angle};

impl Words<'_> {
    pub(crate) fn unknown_part(&self, part: &PartCopy) -> String {
        format!(
            "The plan names a part \u{201c}{}\u{201d} that is not in the job.",
            part.part
        )
    }

    pub(crate) fn no_such_copy(&self, part: &Part, copy: &PartCopy) -> String {
        format!(
            "The plan names number {} of {}, but only {} wanted.",
            copy.copy,
            part.name,
            counted(part.count, "is", "are")
        )
    }

    pub(crate) fn placed_twice(&self, part: &PartCopy, times: usize) -> String {
        format!(
            "{} is placed {} in this plan.",
            self.part(part),
            if times == 2 {
                "twice".into()
            } else {
                format!("{times} times")
            }
        )
    }

    pub(crate) fn listed_twice(&self, part: &PartCopy) -> String {
        format!(
            "{} is listed twice among the parts without a place.",
            self.part(part)
        )
    }

    pub(crate) fn placed_and_listed(&self, part: &PartCopy) -> String {
        format!(
            "{} is placed, yet listed as without a place.",
            self.part(part)
        )
    }

    pub(crate) fn forgotten(&self, part: &PartCopy) -> String {
        format!(
            "{} is neither placed nor listed as without a place.",
            self.part(part)
        )
    }

    pub(crate) fn wrong_species(
        &self,
        part: &Part,
        copy: &PartCopy,
        board: &BoardCopy,
        species: &str,
    ) -> String {
        let wood = if species.trim().is_empty() {
            "wood of unknown species"
        } else {
            species
        };
        format!(
            "{} lies on {}, which is {wood}; it may be made of {}.",
            self.part(copy),
            self.board(board),
            either(&part.species)
        )
    }

    pub(crate) fn unknown_board(&self, board: &BoardCopy) -> String {
        format!(
            "The plan cuts a board \u{201c}{}\u{201d} that is not in the job.",
            board.board
        )
    }

    pub(crate) fn no_such_board_copy(&self, board: &Board, copy: u32) -> String {
        format!(
            "The plan cuts number {copy} of board {}, but there {} only {}.",
            board.name,
            plural(board.count, "is", "are"),
            board.count
        )
    }

    pub(crate) fn board_used_twice(&self, board: &BoardCopy) -> String {
        format!("The plan cuts {} more than once.", self.board(board))
    }

    pub(crate) fn board_to_leave(&self, board: &BoardCopy) -> String {
        format!(
            "{} is to be left alone, but this plan cuts it.",
            capital(&self.board(board))
        )
    }

    pub(crate) fn pin_not_placed(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} is pinned to {}, but has no place in this plan.",
            self.part(part),
            self.board(board)
        )
    }

    pub(crate) fn pin_other_board(
        &self,
        part: &PartCopy,
        pinned: &BoardCopy,
        lies: &BoardCopy,
    ) -> String {
        format!(
            "{} is pinned to {}, but lies on {}.",
            self.part(part),
            self.board(pinned),
            self.board(lies)
        )
    }

    pub(crate) fn pin_moved(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} lies {} from where it is pinned on {}.",
            self.part(part),
            self.gap(by),
            self.board(board)
        )
    }

    pub(crate) fn pin_turned(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} is turned {} from how it is pinned on {}.",
            self.part(part),
            angle(by),
            self.board(board)
        )
    }

    pub(crate) fn pin_turned_over(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} lies the other way up than it is pinned on {}.",
            self.part(part),
            self.board(board)
        )
    }
}
