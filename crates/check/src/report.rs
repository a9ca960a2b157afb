//! Findings: how one is made, and the order in which they are told.

use heartside_geometry::Arrange;
use heartside_geometry::Point;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::{Amount, Finding, Rule, Severity};

use crate::index::{JobIndex, Piece};

/// A finding without board, parts, zone, place or amount yet.
pub(crate) fn broken(rule: Rule, cause: &str, message: String) -> Finding {
    Finding {
        rule,
        severity: Severity::Broken,
        cause: cause.into(),
        board: None,
        parts: Vec::new(),
        zone: None,
        at: None,
        amount: None,
        message,
    }
}

/// Fills in what a finding is about.
pub(crate) trait About: Sized {
    fn on(self, board: &BoardCopy) -> Self;
    fn of(self, part: &PartCopy) -> Self;
    fn zone(self, zone: usize) -> Self;
    fn at(self, at: Point) -> Self;
    fn mm(self, amount: f64) -> Self;
    fn degrees(self, amount: f64) -> Self;
    fn count(self, amount: f64) -> Self;
    fn caution(self) -> Self;
}

impl About for Finding {
    fn on(mut self, board: &BoardCopy) -> Finding {
        self.board = Some(board.clone());
        self
    }

    fn of(mut self, part: &PartCopy) -> Finding {
        self.parts.push(part.clone());
        self
    }

    fn zone(mut self, zone: usize) -> Finding {
        self.zone = Some(zone);
        self
    }

    fn at(mut self, at: Point) -> Finding {
        self.at = at.is_finite().then_some(at);
        self
    }

    fn mm(mut self, amount: f64) -> Finding {
        self.amount = Some(Amount::Millimetres(amount));
        self
    }

    fn degrees(mut self, amount: f64) -> Finding {
        self.amount = Some(Amount::Degrees(amount));
        self
    }

    fn count(mut self, amount: f64) -> Finding {
        self.amount = Some(Amount::Count(amount));
        self
    }

    fn caution(mut self) -> Finding {
        self.severity = Severity::Caution;
        self
    }
}

/// Sorts by board (the job's order, then boards it does not know, then findings about no
/// board), rule, part (the job's order), zone and cause, whatever order they came in.
pub(crate) fn sort(findings: &mut [Finding], index: &JobIndex<'_>) {
    let board_key = |f: &Finding| match &f.board {
        Some(board) => (
            index.board_place(board).unwrap_or(usize::MAX - 1),
            Some(board.clone()),
        ),
        None => (usize::MAX, None),
    };
    let part_key = |f: &Finding| -> Vec<(usize, PartCopy)> {
        f.parts
            .iter()
            .map(|p| (index.part_place(p).unwrap_or(usize::MAX), p.clone()))
            .collect()
    };
    let place = |f: &Finding| f.at.map_or((f64::INFINITY, f64::INFINITY), |p| (p.x, p.y));
    findings.arrange_by(|a, b| {
        board_key(a)
            .cmp(&board_key(b))
            .then_with(|| a.rule.cmp(&b.rule))
            .then_with(|| part_key(a).cmp(&part_key(b)))
            .then_with(|| a.zone.cmp(&b.zone))
            .then_with(|| a.cause.cmp(&b.cause))
            .then_with(|| place(a).0.total_cmp(&place(b).0))
            .then_with(|| place(a).1.total_cmp(&place(b).1))
            .then_with(|| a.message.cmp(&b.message))
    });
}

/// Two pieces in the order in which findings name and measure them, so that it does not
/// matter which was looked at first: the job's order of parts, then number, then place.
pub(crate) fn in_order<'a>(a: &'a Piece, b: &'a Piece) -> (&'a Piece, &'a Piece) {
    let by_place = |a: &Piece, b: &Piece| {
        a.pose
            .x
            .total_cmp(&b.pose.x)
            .then(a.pose.y.total_cmp(&b.pose.y))
            .then(a.pose.turn.total_cmp(&b.pose.turn))
    };
    let order = a
        .part
        .cmp(&b.part)
        .then(a.copy.copy.cmp(&b.copy.copy))
        .then_with(|| by_place(a, b));
    if order.is_gt() { (b, a) } else { (a, b) }
}
