//! Rules 1 and 2: inside the board, a kerf apart.

use heartside_timber::document::{BoardCopy, PartCopy};

use super::names::Words;

impl Words<'_> {
    pub(crate) fn no_place(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} has no usable place on {}: its position is not a number or lies far away.",
            self.part(part),
            self.board(board)
        )
    }

    pub(crate) fn outside(&self, part: &PartCopy, board: &BoardCopy, by: f64, trim: f64) -> String {
        let (part, board, by) = (self.part(part), self.board(board), self.gap(by));
        if trim > 0.0 {
            format!(
                "{part} sticks out of {board}: it reaches {by} too far, counting the {} that is trimmed off there.",
                self.length(trim)
            )
        } else {
            format!("{part} sticks out of {board} by {by}.")
        }
    }

    pub(crate) fn too_near_side(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        by: f64,
        trim: f64,
        is_end: bool,
    ) -> String {
        let side = if is_end { "end" } else { "edge" };
        format!(
            "{} is {} too near the raw {side} of {}, where {} is trimmed off.",
            self.part(part),
            self.gap(by),
            self.board(board),
            self.length(trim)
        )
    }

    pub(crate) fn too_near_each_other(
        &self,
        a: &PartCopy,
        b: &PartCopy,
        board: &BoardCopy,
        by: f64,
        kerf: f64,
    ) -> String {
        let (a, b, board) = (self.part(a), self.part(b), self.board(board));
        if by > kerf {
            format!(
                "{a} and {b} overlap on {board}: move them {} apart.",
                self.gap(by)
            )
        } else {
            format!(
                "{a} and {b} are {} too near each other on {board}: the saw takes {} between them.",
                self.gap(by),
                self.length(kerf)
            )
        }
    }
}
