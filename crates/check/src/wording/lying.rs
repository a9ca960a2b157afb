//! Rules 5 to 7: grain, turn, thickness, face.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Part;

use super::names::{Words, angle};

impl Words<'_> {
    pub(crate) fn grain_off(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        by: f64,
        tolerance: f64,
    ) -> String {
        format!(
            "The grain runs {} too far off in {} on {}: at most {} is allowed.",
            angle(by),
            self.part(part),
            self.board(board),
            angle(tolerance)
        )
    }

    pub(crate) fn turn_not_allowed(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} is turned {} away from any turn it may have on {}.",
            self.part(part),
            angle(by),
            self.board(board)
        )
    }

    pub(crate) fn too_thin(
        &self,
        part: &Part,
        copy: &PartCopy,
        board: &BoardCopy,
        by: f64,
    ) -> String {
        format!(
            "{} comes out {} too thin from {}: {} is wanted once it is flat.",
            self.part(copy),
            self.gap(by),
            self.board(board),
            self.length(part.thickness)
        )
    }

    pub(crate) fn turned_over(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} may not be turned over, but is on {}.",
            self.part(part),
            self.board(board)
        )
    }
}
