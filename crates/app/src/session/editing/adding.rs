//! New things, and things like others.

use heartside_timber::document::{
    Board, BoardEnd, BoardOutline, CutKind, Dimension, Document, Length, Match, MatchKind, Part,
    Shape, Species, Station, Tool, Wish, Zone, ZoneFrom, ZoneShape,
};
use heartside_timber::ids::TakenIds;
use heartside_timber::length::{LengthContext, Unit, read_length};

use super::corners::add_corner;
use super::widths::add_station;
use crate::protocol::{Thing, ThingKind};

pub(in crate::session) fn add_to(
    d: &mut Document,
    kind: ThingKind,
    owner: Option<&Thing>,
) -> Option<Thing> {
    let after = |length: usize| {
        owner
            .filter(|o| o.kind == kind)
            .map_or(length, |o| (o.at() + 1).min(length))
    };
    match kind {
        ThingKind::Board => {
            let like = like_last_bought(d);
            let thickness = like.thickness.clone();
            let board = Board {
                id: free_letter(d),
                thickness: thickness.or_else(|| Some(round(d, 27.0, "1\""))),
                outline: Some(BoardOutline::Tape {
                    length: round(d, 2000.0, "80\""),
                    stations: vec![Station {
                        at: Length::Mm(0.0),
                        left: round(d, 100.0, "4\""),
                        right: round(d, 100.0, "4\""),
                    }],
                    left: Default::default(),
                    right: Default::default(),
                    start: Default::default(),
                    end: Default::default(),
                }),
                ..like
            };
            let at = after(d.boards.len());
            d.boards.insert(at, board);
            Some(Thing::row(kind, at))
        }
        ThingKind::Part => {
            let part = Part {
                id: free_part_id(d, "part"),
                name: "New part".to_owned(),
                thickness: Some(round(d, 20.0, "3/4\"")),
                shape: Some(Shape::Rectangle {
                    length: round(d, 600.0, "24\""),
                    width: round(d, 80.0, "3\""),
                }),
                ..Part::default()
            };
            let at = after(d.parts.len());
            d.parts.insert(at, part);
            Some(Thing::row(kind, at))
        }
        ThingKind::Tool => {
            let name = free_id("Saw", |n| d.workshop.tools.iter().any(|t| t.name == n));
            let tool = Tool {
                name,
                does: vec![CutKind::Rip, CutKind::Crosscut],
                kerf: Some(round(d, 3.0, "1/8\"")),
                ..Tool::default()
            };
            let at = after(d.workshop.tools.len());
            d.workshop.tools.insert(at, tool);
            Some(Thing::row(kind, at))
        }
        ThingKind::Dimension => {
            let name = free_id("size", |n| {
                d.dimensions.iter().any(|t| t.name == n.replace('-', " "))
            })
            .replace('-', " ");
            let dimension = Dimension {
                name,
                preferred: Some(round(d, 500.0, "20\"")),
                ..Dimension::default()
            };
            let at = after(d.dimensions.len());
            d.dimensions.insert(at, dimension);
            Some(Thing::row(kind, at))
        }
        ThingKind::Match => {
            d.matches.push(Match {
                kind: MatchKind::SameBoard,
                parts: Vec::new(),
                wish: Wish::default(),
            });
            Some(Thing::row(kind, d.matches.len() - 1))
        }
        ThingKind::Species => {
            let name = free_id("my timber", |n| d.species.iter().any(|t| t.name == n));
            d.species.push(Species {
                name,
                ..Species::default()
            });
            Some(Thing::row(kind, d.species.len() - 1))
        }
        ThingKind::Zone => {
            let owner = owner?;
            let (from, to) = (round(d, 300.0, "12\""), round(d, 350.0, "14\""));
            let (near, far) = (round(d, 35.0, "1 1/2\""), round(d, 65.0, "2 1/2\""));
            let board = d.boards.get_mut(owner.at())?;
            let last = board.zones.last();
            board.zones.push(Zone {
                kind: last.map(|z| z.kind).unwrap_or_default(),
                shape: Some(ZoneShape::Span {
                    oval: true,
                    end: BoardEnd::Start,
                    begins: from,
                    ends: to,
                    edge: ZoneFrom::RightEdge,
                    near,
                    far,
                }),
                ..Zone::default()
            });
            Some(Thing::inner(kind, owner.at(), board.zones.len() - 1))
        }
        ThingKind::Station => add_station(d, owner?),
        ThingKind::Corner => add_corner(d, owner?),
        ThingKind::Job | ThingKind::Workshop | ThingKind::Allowances => None,
    }
}

/// What the next board of a stack mostly has from the one before: timber, thickness, faces, price.
pub(in crate::session) fn like_last_bought(d: &Document) -> Board {
    let bought = d.boards.iter().rev().find(|b| b.from.is_none());
    bought.map_or_else(Board::default, |last| Board {
        thickness: last.thickness.clone(),
        nominal: last.nominal.clone(),
        surface: last.surface,
        species: last.species.clone(),
        price: last.price.clone(),
        ..Board::default()
    })
}

/// Another board like this one: its sizes, edges, timber, price and use. What was found on this very
/// board is not on the next one: marked areas, warp, bent grain, the heart side, moisture, a name, a note.
fn another_board(like: &Board, id: String) -> Board {
    Board {
        id,
        usage: like.usage,
        cuts: like.cuts,
        species: like.species.clone(),
        outline: like.outline.clone(),
        thickness: like.thickness.clone(),
        nominal: like.nominal.clone(),
        surface: like.surface,
        price: like.price.clone(),
        ..Board::default()
    }
}

pub(super) fn duplicate_in(d: &mut Document, thing: &Thing) -> Option<Thing> {
    let row = thing.at();
    match thing.kind {
        ThingKind::Board => {
            let board = another_board(d.boards.get(row)?, free_letter(d));
            d.boards.insert(row + 1, board);
        }
        ThingKind::Part => {
            let mut part = d.parts.get(row)?.clone();
            part.id = free_part_id(d, &part.id);
            let like = d.parts.get(row).map(|p| p.id.as_str());
            let panel = d.panels.iter().find(|p| Some(p.part.as_str()) == like);
            if let Some(mut panel) = panel.cloned() {
                panel.part.clone_from(&part.id);
                d.panels.push(panel);
            }
            d.parts.insert(row + 1, part);
        }
        ThingKind::Tool => {
            let mut tool = d.workshop.tools.get(row)?.clone();
            tool.name = free_id(&tool.name, |n| d.workshop.tools.iter().any(|t| t.name == n));
            d.workshop.tools.insert(row + 1, tool);
        }
        ThingKind::Zone => {
            let zones = &mut d.boards.get_mut(row)?.zones;
            let zone = zones.get(thing.within())?.clone();
            zones.insert(thing.within() + 1, zone);
            return Some(Thing::inner(ThingKind::Zone, row, thing.within() + 1));
        }
        ThingKind::Station | ThingKind::Corner => return add_to(d, thing.kind, Some(thing)),
        _ => return None,
    }
    Some(Thing::row(thing.kind, row + 1))
}

/// A round size in the job's unit, to be typed over.
fn round(document: &Document, mm: f64, inches: &str) -> Length {
    match document.units.length {
        Unit::Millimetres => Length::Mm(mm),
        Unit::Inches => Length::Typed {
            // Read at once, so that what is worked out from it needs no file to be opened.
            mm: read_length(inches, Unit::Inches, LengthContext::Length).ok(),
            typed: inches.to_owned(),
        },
    }
}

/// The first letter that no board has.
pub(in crate::session) fn free_letter(document: &Document) -> String {
    TakenIds::of(document.boards.iter().map(|b| b.id.as_str())).fresh_letter()
}

pub(in crate::session) fn free_part_id(document: &Document, like: &str) -> String {
    TakenIds::of(document.parts.iter().map(|p| p.id.as_str())).fresh(like, "part")
}

/// `stem`, `stem-2`, `stem-3`, ...: the first that is not taken.
fn free_id(stem: &str, taken: impl Fn(&str) -> bool) -> String {
    if !taken(stem) {
        return stem.to_owned();
    }
    (2usize..)
        .map(|n| format!("{stem}-{n}"))
        .find(|id| !taken(id))
        .unwrap_or_default()
}
