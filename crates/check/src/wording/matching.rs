//! Rule 8: parts that must look related.

use heartside_timber::document::{BoardCopy, PartCopy};

use super::names::{Words, angle};

impl Words<'_> {
    pub(crate) fn match_not_checked(&self, what: &str, parts: &[PartCopy]) -> String {
        format!(
            "Not checked: whether {} {what}. Look at it yourself.",
            self.parts(parts)
        )
    }

    pub(crate) fn not_same_board(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        first: &PartCopy,
        other: &BoardCopy,
    ) -> String {
        format!(
            "{} comes from {}, but {} from {}: they must come from one board.",
            self.part(part),
            self.board(board),
            self.part(first),
            self.board(other)
        )
    }

    fn run_on(&self, a: &PartCopy, b: &PartCopy) -> String {
        format!(
            "The grain does not run on from {} to {}",
            self.part(a),
            self.part(b)
        )
    }

    pub(crate) fn runs_on_other_board(&self, a: &PartCopy, b: &PartCopy) -> String {
        format!("{}: they come from different boards.", self.run_on(a, b))
    }

    pub(crate) fn runs_on_other_face(&self, a: &PartCopy, b: &PartCopy) -> String {
        format!("{}: one of them is turned over.", self.run_on(a, b))
    }

    pub(crate) fn runs_on_other_turn(&self, a: &PartCopy, b: &PartCopy, by: f64) -> String {
        format!(
            "{}: their turns differ by {} too much.",
            self.run_on(a, b),
            angle(by)
        )
    }

    pub(crate) fn runs_on_wrong_order(&self, a: &PartCopy, b: &PartCopy, by: f64) -> String {
        format!(
            "{}: they do not follow each other in that order ({} the wrong way).",
            self.run_on(a, b),
            self.gap(by)
        )
    }

    pub(crate) fn runs_on_out_of_line(&self, a: &PartCopy, b: &PartCopy, by: f64) -> String {
        format!(
            "{}: they are {} out of line.",
            self.run_on(a, b),
            self.gap(by)
        )
    }

    pub(crate) fn runs_on_too_far(
        &self,
        a: &PartCopy,
        b: &PartCopy,
        by: f64,
        limit: f64,
    ) -> String {
        format!(
            "{}: the gap between them is {} more than the {} that allowances and one kerf need.",
            self.run_on(a, b),
            self.gap(by),
            self.length(limit)
        )
    }
}
