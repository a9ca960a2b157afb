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

    pub(crate) fn leaf_elsewhere(&self, part: &PartCopy, first: &PartCopy) -> String {
        format!(
            "{} and {} are to be leaves of one blank, but they lie on different boards.",
            self.part(first),
            self.part(part)
        )
    }

    pub(crate) fn leaf_order(&self, part: &PartCopy, number: u32, said: Option<u32>) -> String {
        let said = said.map_or("no leaf".to_owned(), |said| format!("leaf {said}"));
        format!(
            "{} must be leaf {number} of its blank, from the up face down, but is {said}.",
            self.part(part)
        )
    }

    pub(crate) fn leaf_face(&self, part: &PartCopy, opened: bool, over: bool) -> String {
        let must = match (opened, over) {
            (true, true) => "is opened like the page of a book, so it must be turned over",
            (true, false) => {
                "stays as it is when the leaves are opened, so it must not be turned over"
            }
            (false, true) => "must be turned over like the first leaf",
            (false, false) => "must lie the same way up as the first leaf",
        };
        format!("{} {must}.", self.part(part))
    }

    pub(crate) fn leaf_turn(&self, part: &PartCopy, first: &PartCopy, by: f64) -> String {
        format!(
            "{} and {} are leaves of one blank, but their turns differ by {} too much.",
            self.part(first),
            self.part(part),
            angle(by)
        )
    }

    pub(crate) fn leaf_beside(&self, part: &PartCopy, first: &PartCopy, by: f64) -> String {
        format!(
            "{} and {} are leaves of one blank, but do not lie in one place ({} apart).",
            self.part(first),
            self.part(part),
            self.gap(by)
        )
    }

    pub(crate) fn leaves_too_thin(&self, parts: &[PartCopy], board: &BoardCopy, by: f64) -> String {
        format!(
            "The leaves {} need {} more thickness than {} gives, kerfs and planing counted.",
            self.parts(parts),
            self.gap(by),
            self.board(board)
        )
    }

    pub(crate) fn cannot_resaw(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        length: f64,
        width: f64,
    ) -> String {
        format!(
            "No tool of the workshop resaws the blank of {} on {}, {} long and {} wide.",
            self.part(part),
            self.board(board),
            self.length(length),
            self.length(width)
        )
    }

    pub(crate) fn no_leaves(&self, board: &BoardCopy) -> String {
        format!(
            "A piece of {} is to be resawn into leaves, but holds none, or only one.",
            self.board(board)
        )
    }
}
