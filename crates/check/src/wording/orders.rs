//! Rule 9: the order of cuts and what it leaves.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::plan::Direction;
use heartside_timber::words::capital;

use super::names::{Words, angle};

impl Words<'_> {
    pub(crate) fn no_cut_order(&self, board: &BoardCopy) -> String {
        format!(
            "No order of straight cuts has been found for {}.",
            self.board(board)
        )
    }

    pub(crate) fn way_not_allowed(&self, board: &BoardCopy, sawn: bool) -> String {
        let board = self.board(board);
        if sawn {
            format!(
                "{} is to be cut by straight cuts only, but this plan saws it by line.",
                capital(&board)
            )
        } else {
            format!(
                "{} is to be sawn by line, but this plan cuts it straight across.",
                capital(&board)
            )
        }
    }

    pub(crate) fn bad_frame(&self, board: &BoardCopy) -> String {
        format!(
            "The line from which the cuts of {} are measured is not a number or lies far away.",
            self.board(board)
        )
    }

    pub(crate) fn tree_damaged(&self, board: &BoardCopy, how: &str) -> String {
        format!(
            "The list of cuts for {} is damaged: {how}.",
            self.board(board)
        )
    }

    pub(crate) fn cut_not_a_number(&self, board: &BoardCopy) -> String {
        format!(
            "A cut on {} has no usable place or kerf.",
            self.board(board)
        )
    }

    pub(crate) fn too_far_askew(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        most: f64,
    ) -> String {
        format!(
            "{} turns its piece more than {} against the board. Cut it the other way instead.",
            self.about_cut(d, at, board),
            angle(most)
        )
    }

    pub(crate) fn part_without_piece(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "The cuts of {} never free {}.",
            self.board(board),
            self.part(part)
        )
    }

    pub(crate) fn part_in_two_pieces(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "The cuts of {} give {} twice.",
            self.board(board),
            self.part(part)
        )
    }

    pub(crate) fn part_leaves_piece(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "The cuts of {} run {} into {}.",
            self.board(board),
            self.gap(by),
            self.part(part)
        )
    }

    pub(crate) fn piece_too_large(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "The cuts of {} leave {} {} too large: a cut is missing.",
            self.board(board),
            self.part(part),
            self.gap(by)
        )
    }

    pub(crate) fn askew(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} lies {} askew to the cuts of {}.",
            self.part(part),
            angle(by),
            self.board(board)
        )
    }

    pub(crate) fn sawn_part_as_blank(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} is sawn by line, but the cuts of {} treat it as finished by straight cuts.",
            self.part(part),
            self.board(board)
        )
    }

    pub(crate) fn empty_region(&self, board: &BoardCopy) -> String {
        format!(
            "A piece of {} is set aside for sawing by line, but holds no part.",
            self.board(board)
        )
    }

    pub(crate) fn areas_do_not_add(&self, board: &BoardCopy) -> String {
        format!(
            "The pieces of {} and the sawdust do not add up to the whole board.",
            self.board(board)
        )
    }
}
