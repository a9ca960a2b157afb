//! Matches, panels and pins: what ties parts to each other and to boards.

use std::collections::{BTreeMap, BTreeSet};

use heartside_geometry::{map_of, set_of};

use super::reading::{Reading, Thing};
use crate::diagnostic::{Level, Place, Subject};
use crate::document::{BoardCopy, Document, PartCopy};
use crate::job::{Board, Match, MatchKind, Part, Pin, Use};
use crate::length::MAX_LENGTH_MM;

/// What is known of parts by id, sound or not.
struct Known<'a> {
    sound: BTreeMap<&'a str, &'a Part>,
    written: BTreeSet<&'a str>,
}

impl<'a> Known<'a> {
    fn new(document: &'a Document, parts: &'a [Part]) -> Known<'a> {
        Known {
            sound: map_of(parts.iter().map(|p| (p.id.as_str(), p))),
            written: set_of(document.parts.iter().map(|p| p.id.as_str())),
        }
    }

    /// True if the copy was sawn already.
    fn is_in_hand(&self, copy: &PartCopy) -> bool {
        let part = self.sound.get(copy.part.as_str());
        part.is_some_and(|p| p.in_hand.binary_search(&copy.copy).is_ok())
    }

    /// True if there is such a copy; else it is said why not.
    fn has(&self, copy: &PartCopy, place: Place, reading: &mut Reading<'_>) -> bool {
        let id = &copy.part;
        match self.sound.get(id.as_str()) {
            Some(part) if (1..=part.count).contains(&copy.copy) => true,
            Some(part) => {
                let message = format!("there is no {} of number {}", part.name, copy.copy);
                let hint = format!("there are {}", part.count);
                reading.error("copy-unknown", place, message, hint);
                false
            }
            None if self.written.contains(id.as_str()) => {
                let message = format!("the part \u{201c}{id}\u{201d} must be mended first");
                reading.warn("part-not-sound", place, message, "see the part itself");
                false
            }
            None => {
                let message = format!("there is no part with the id \u{201c}{id}\u{201d}");
                reading.error("part-unknown", place, message, "choose a part of this job");
                false
            }
        }
    }
}

pub(super) fn matches(
    document: &Document,
    parts: &[Part],
    reading: &mut Reading<'_>,
) -> Vec<Match> {
    let known = Known::new(document, parts);
    let mut matches = Vec::with_capacity(document.matches.len());
    for (row, source) in document.matches.iter().enumerate() {
        let thing = Thing::row(Subject::Relation, row, "", &format!("match {}", row + 1));
        let path = |field: &str| thing.field(&format!("matches[{row}].{field}"));
        let mut all_there = true;
        let mut seen = BTreeSet::new();
        for (k, copy) in source.parts.iter().enumerate() {
            all_there &= known.has(copy, path(&format!("parts[{k}]")), reading);
            if !seen.insert(copy) {
                let hint = "name each piece once";
                let message = "the same piece is named twice in this match";
                reading.error(
                    "match-names-twice",
                    path(&format!("parts[{k}]")),
                    message,
                    hint,
                );
                all_there = false;
            }
        }
        if source.parts.len() < 2 {
            let hint = "add the pieces that must go together";
            reading.error(
                "match-too-few",
                path("parts"),
                "a match needs at least two pieces",
                hint,
            );
            continue;
        }
        if matches!(
            source.kind,
            MatchKind::Slip | MatchKind::Book | MatchKind::Balanced
        ) {
            reading.warn(
                "match-not-checked",
                path("kind"),
                "this kind of match is neither planned nor checked yet",
                "look at the figure yourself, or ask for one board or running grain instead",
            );
        }
        if all_there {
            matches.push(Match {
                kind: source.kind,
                parts: source.parts.clone(),
            });
        }
    }
    matches
}

/// Staves are not worked out from a panel yet; saying nothing would lose the panel.
pub(super) fn note_panels(document: &Document, reading: &mut Reading<'_>) {
    for (row, panel) in document.panels.iter().enumerate() {
        let thing = Thing::row(
            Subject::Relation,
            row,
            &panel.part,
            &format!("panel {}", row + 1),
        );
        let place = thing.field(&format!("panels[{row}]"));
        if document.parts.iter().any(|p| p.id == panel.part) {
            let message =
                "staves of a panel are not worked out yet; the part is planned in one piece";
            reading.warn(
                "panel-not-planned",
                place,
                message,
                "enter its staves as parts",
            );
        } else {
            let message = format!(
                "there is no part with the id \u{201c}{}\u{201d}",
                panel.part
            );
            reading.error("part-unknown", place, message, "choose a part of this job");
        }
    }
}

pub(super) fn pins(
    document: &Document,
    parts: &[Part],
    boards: &[Board],
    reading: &mut Reading<'_>,
) -> Vec<Pin> {
    let known = Known::new(document, parts);
    let sound = map_of(boards.iter().map(|b| (b.id.as_str(), b)));
    let mut pinned = BTreeSet::new();
    let mut pins = Vec::with_capacity(document.pins.len());
    for (row, source) in document.pins.iter().enumerate() {
        let thing = Thing::row(
            Subject::Relation,
            row,
            &source.part.part,
            &format!("pin {}", row + 1),
        );
        let path = |field: &str| thing.field(&format!("pins[{row}].{field}"));
        if known.is_in_hand(&source.part) {
            // What was sawn is where it was sawn.
            continue;
        }
        let part_there = known.has(&source.part, path("part"), reading);
        let board_there = board_is_there(source, document, &sound, path("board"), reading);
        let at = source.at;
        let far = |v: f64| !v.is_finite() || v.abs() > 2.0 * MAX_LENGTH_MM;
        if far(at.x) || far(at.y) || !at.turn.is_finite() || at.turn.abs() > 360_000.0 {
            let hint = "drop the part on the board again";
            reading.error(
                "pin-not-a-place",
                path("x"),
                "the pinned place is not on any board",
                hint,
            );
            continue;
        }
        if !part_there || !board_there {
            continue;
        }
        if !pinned.insert(source.part.clone()) {
            let hint = "remove one of the two; the first one counts";
            reading.error(
                "pinned-twice",
                path("part"),
                "the same piece is pinned twice",
                hint,
            );
            continue;
        }
        let board = BoardCopy {
            board: source.board.clone(),
            copy: source.board_copy,
        };
        pins.push(Pin {
            part: source.part.clone(),
            board,
            at,
        });
    }
    pins
}

fn board_is_there(
    pin: &crate::document::Pin,
    document: &Document,
    sound: &BTreeMap<&str, &Board>,
    place: Place,
    reading: &mut Reading<'_>,
) -> bool {
    let id = pin.board.as_str();
    match sound.get(id) {
        Some(board) if board.gone.binary_search(&pin.board_copy).is_ok() => {
            let message = format!("{} was cut, but a part is pinned to it", board.name);
            let hint = "drop the part on one of its pieces, or let go of the pin";
            reading.error("pin-on-cut-board", place, message, hint);
            false
        }
        Some(board) if board.usage == Use::Leave => {
            let message = format!(
                "the board \u{201c}{}\u{201d} is to be left, but a part is pinned to it",
                board.name
            );
            reading.say(
                Level::Warning,
                "pin-on-left-board",
                place,
                message,
                "let it be used, or move the part",
            );
            true
        }
        Some(board) if (1..=board.count).contains(&pin.board_copy) => true,
        Some(board) => {
            let message = format!("there is no {} of number {}", board.name, pin.board_copy);
            reading.error(
                "copy-unknown",
                place,
                message,
                format!("there are {}", board.count),
            );
            false
        }
        None if document.boards.iter().any(|b| b.id == id) => {
            let message = format!("the board \u{201c}{id}\u{201d} must be mended first");
            reading.warn("board-not-sound", place, message, "see the board itself");
            false
        }
        None => {
            let message = format!("there is no board with the id \u{201c}{id}\u{201d}");
            reading.error(
                "board-unknown",
                place,
                message,
                "choose a board of this job",
            );
            false
        }
    }
}
