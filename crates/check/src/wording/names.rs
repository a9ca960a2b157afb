//! What things are called in the checker's sentences, and how amounts are written.

use heartside_timber::document::{BoardCopy, PartCopy, ZoneKind};
use heartside_timber::job::{Job, Zone};
use heartside_timber::length::{DisplayUnits, write_angle, write_gap, write_length};
use heartside_timber::plan::Direction;
use heartside_timber::words::{capital, listed, plural};

/// A distance by which a rule is missed, never shown as nothing.
///
/// Below a hundredth of a millimetre (a thousandth of an inch) the writer would show 0.
pub(crate) fn gap(mm: f64, units: &DisplayUnits) -> String {
    let least = match units.unit {
        heartside_timber::length::Unit::Millimetres => 0.01,
        heartside_timber::length::Unit::Inches => 0.0254,
    };
    if mm.abs() < 0.5 * least && mm != 0.0 {
        format!("less than {}", write_gap(least, units))
    } else {
        write_gap(mm, units)
    }
}

/// An angle by which a rule is missed, never shown as nothing.
pub(crate) fn angle(degrees: f64) -> String {
    if degrees.abs() < 0.005 && degrees != 0.0 {
        format!("less than {}", write_angle(0.01))
    } else {
        write_angle(degrees)
    }
}

/// What things are called, and the sentences about them.
#[derive(Clone, Copy)]
pub(crate) struct Words<'a> {
    job: &'a Job,
}

impl<'a> Words<'a> {
    pub(crate) fn new(job: &'a Job) -> Words<'a> {
        Words { job }
    }

    pub(super) fn gap(&self, mm: f64) -> String {
        gap(mm, &self.job.units)
    }

    pub(super) fn length(&self, mm: f64) -> String {
        write_length(mm, &self.job.units)
    }

    /// "Leg 2", or the bare id of a part that the job does not know.
    pub(crate) fn part(&self, copy: &PartCopy) -> String {
        let unknown = || format!("\u{201c}{}\u{201d} {}", copy.part, copy.copy);
        self.job.name_of(copy).unwrap_or_else(unknown)
    }

    pub(super) fn parts(&self, copies: &[PartCopy]) -> String {
        let names: Vec<String> = copies.iter().map(|c| self.part(c)).collect();
        if names.is_empty() {
            "no part".into()
        } else {
            listed(&names)
        }
    }

    /// "board C" or "piece C1", with the copy's number where there are several alike.
    pub(crate) fn board(&self, copy: &BoardCopy) -> String {
        let board = self.job.board(&copy.board);
        let name = board.map_or(copy.board.as_str(), |b| b.name.as_str());
        let named = if board.is_some_and(|b| b.from.is_some()) {
            format!("piece {name}")
        } else if name.to_lowercase().starts_with("board") {
            name.to_string()
        } else {
            format!("board {name}")
        };
        if board.is_some_and(|b| b.count > 1) {
            format!("{named} (no. {})", copy.copy)
        } else {
            named
        }
    }

    /// "the knot": the maker's own word, else its kind.
    pub(super) fn zone(&self, zone: &Zone) -> String {
        let note = zone.note.trim();
        if !note.is_empty() {
            return format!("the {note}");
        }
        match zone.kind {
            ZoneKind::Defect => "the marked defect".into(),
            ZoneKind::Sapwood => "the sapwood".into(),
            ZoneKind::Fixing => "the old fixing".into(),
            ZoneKind::Figure => "the figure".into(),
        }
    }

    /// "the rip at 120 mm on board C".
    pub(super) fn cut(&self, direction: Direction, at: f64, board: &BoardCopy) -> String {
        let kind = match direction {
            Direction::Rip => "rip",
            Direction::Crosscut => "crosscut",
        };
        format!("the {kind} at {} on {}", self.length(at), self.board(board))
    }

    /// The same where a sentence begins with it.
    pub(super) fn about_cut(&self, direction: Direction, at: f64, board: &BoardCopy) -> String {
        capital(&self.cut(direction, at, board))
    }
}

/// The verb that follows parts.
pub(super) fn has(parts: &[PartCopy]) -> &'static str {
    plural(parts.len(), "has", "have")
}
