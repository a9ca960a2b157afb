//! Matches, panels and pins: what ties parts to each other and to boards.

use heartside_geometry::{SortedMap, SortedSet};

use super::reading::{Reading, Thing};
use crate::choices::stave_named;
use crate::diagnostic::{Level, Place, Subject};
use crate::document::{BoardCopy, Document, PartCopy};
use crate::job::{Board, Match, MatchKind, Panel, Part, Pin, Use};
use crate::length::MAX_LENGTH_MM;

/// What is known of parts by id, sound or not.
struct Known<'a> {
    sound: SortedMap<&'a str, &'a Part>,
    panels: SortedMap<&'a str, &'a Panel>,
    written: SortedSet<&'a str>,
}

impl<'a> Known<'a> {
    fn new(document: &'a Document, (parts, panels): (&'a [Part], &'a [Panel])) -> Known<'a> {
        Known {
            sound: SortedMap::from_iter(parts.iter().map(|p| (p.id.as_str(), p))),
            panels: SortedMap::from_iter(panels.iter().map(|p| (p.part.id.as_str(), p))),
            written: SortedSet::from_iter(document.parts.iter().map(|p| p.id.as_str())),
        }
    }

    fn is_sound(&self, copy: &PartCopy) -> bool {
        self.sound.contains_key(copy.part.as_str())
    }

    /// True if the copy was sawn already.
    fn is_in_hand(&self, copy: &PartCopy) -> bool {
        let part = self.sound.get(copy.part.as_str());
        part.is_some_and(|p| p.in_hand.binary_search(&copy.copy).is_ok())
    }

    /// The pieces of wood that a copy is: itself, or the staves of a panel in the order in which they
    /// are glued.
    fn pieces(&self, copy: &PartCopy) -> Vec<PartCopy> {
        let panel = self.panels.get(copy.part.as_str());
        let Some(panel) = panel else {
            return vec![copy.clone()];
        };
        let of_copy = panel.copies.iter().find(|c| c.panel == *copy);
        let staves = of_copy.into_iter().flat_map(|c| &c.staves);
        let piece = |part| PartCopy { part, copy: 1 };
        staves.flat_map(|s| s.ids(copy).map(piece)).collect()
    }

    /// True if there is such a copy; else it is said why not.
    fn has(&self, copy: &PartCopy, place: Place, reading: &mut Reading<'_>) -> bool {
        let id = &copy.part;
        let panel = self.panels.get(id.as_str()).map(|panel| &panel.part);
        match self.sound.get(id.as_str()).copied().or(panel) {
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
    parts: (&[Part], &[Panel]),
    reading: &mut Reading<'_>,
) -> Vec<(usize, Match)> {
    let known = Known::new(document, parts);
    let mut matches = Vec::with_capacity(document.matches.len());
    for (row, source) in document.matches.iter().enumerate() {
        let thing = Thing::row(Subject::Relation, row, "", &format!("match {}", row + 1));
        let path = |field: &str| thing.field(&format!("matches[{row}].{field}"));
        let mut all_there = true;
        let mut seen = SortedSet::new();
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
        let pieces: Vec<PartCopy> = source.parts.iter().flat_map(|c| known.pieces(c)).collect();
        let is_panel = |c: &PartCopy| known.panels.contains_key(c.part.as_str());
        if source.parts.len() < 2 && !source.parts.iter().any(is_panel) {
            let hint = "add the pieces that must go together";
            reading.error(
                "match-too-few",
                path("parts"),
                "a match needs at least two pieces",
                hint,
            );
            continue;
        }
        if source.kind == MatchKind::Frame && source.parts.len() < 3 {
            reading.warn(
                "match-no-frame",
                path("parts"),
                "a frame is two stiles and at least one rail",
                "name the two stiles first, then rails and panels from the top down",
            );
        }
        if source.kind == MatchKind::Balanced {
            reading.warn(
                "match-not-checked",
                path("kind"),
                "balanced figure is not sought by setting out",
                "choose a face under Figure, which is then planned round, or ask for leaves opened like a book",
            );
        }
        if all_there && pieces.len() > 1 {
            let wanted = Match {
                kind: source.kind,
                parts: pieces,
            };
            matches.push((row, wanted));
        }
    }
    matches
}

pub(super) fn pins(
    document: &Document,
    parts: (&[Part], &[Panel]),
    boards: &[Board],
    reading: &mut Reading<'_>,
) -> Vec<Pin> {
    let known = Known::new(document, parts);
    let sound = SortedMap::from_iter(boards.iter().map(|b| (b.id.as_str(), b)));
    let mut pinned = SortedSet::new();
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
        if known.panels.contains_key(source.part.part.as_str()) {
            let message = "a panel is glued up from staves, so it cannot be pinned in one piece";
            let hint = "pin its staves, or let go of the pin";
            reading.warn("pin-on-panel", path("part"), message, hint);
            continue;
        }
        let stave = stave_named(&source.part.part);
        if let Some(stave) = stave.filter(|_| !known.is_sound(&source.part)) {
            let panel = known.panels.get(stave.panel);
            let panel = panel.map_or(stave.panel, |p| &p.part.name);
            let message = format!("{panel} has no {} now, but it is pinned", stave.words());
            let hint = "let go of the pin, or set out again";
            reading.warn("pin-on-gone-stave", path("part"), message, hint);
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
    sound: &SortedMap<&str, &Board>,
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
