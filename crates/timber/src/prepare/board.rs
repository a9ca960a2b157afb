//! Boards.

use heartside_geometry::{Point, Region};

use super::outline::outline;
use super::price::{Draft, Rates};
use super::reading::{Reading, Thing, Wanted};
use super::zone::zones;
use super::{Ids, price};
use crate::defaults;
use crate::diagnostic::{Diagnostic, Level};
use crate::document::{self, Document, Length};
use crate::grain::{CELL, GrainField};
use crate::job::{Board, Warp};
use crate::keep::lacks_something;
use crate::species::find_wood;

/// Cells times segments of a bent grain field; more would keep a browser busy for seconds.
const MOST_GRAIN_WORK: f64 = 5.0e7;

pub(super) fn boards(document: &Document, rates: &Rates, reading: &mut Reading<'_>) -> Vec<Draft> {
    let mut ids = Ids::default();
    let mut drafts = Vec::with_capacity(document.boards.len());
    for (row, source) in document.boards.iter().enumerate() {
        let thing = Thing::board(document, row);
        let usable_id = ids.take(&source.id, &thing, "board", reading);
        if let Some(mut draft) = board(source, rates, &thing, reading).filter(|_| usable_id) {
            draft.row = row;
            drafts.push(draft);
        }
    }
    drafts
}

fn board(
    source: &document::Board,
    rates: &Rates,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Draft> {
    let before = reading.errors();
    let count = reading.count(
        thing.field("count"),
        "number of such boards",
        source.count,
        defaults::MOST_COPIES,
    );
    let thickness = match (&source.thickness, &source.nominal) {
        (None, Some(Length::Typed { typed, .. })) => {
            reading.error(
                "length-missing",
                thing.field("thickness"),
                format!("the board was sold as {typed}, but what it measures is missing"),
                "measure the board where it is thinnest and write that in",
            );
            None
        }
        (thickness, _) => reading.needed(
            thing.field("thickness"),
            "thickness",
            thickness.as_ref(),
            Wanted::MEASURED_THICKNESS,
        ),
    };
    let outline = match &source.outline {
        Some(source) => outline(source, thing, reading),
        None => {
            reading.error(
                "outline-missing",
                thing.field("outline"),
                "the board has not been measured",
                "write in its length and its widths",
            );
            None
        }
    };
    let moisture_limits = (0.0, 200.0);
    if let Some(moisture) = source.moisture {
        reading.number(
            thing.field("moisture"),
            "moisture",
            moisture,
            moisture_limits,
        );
    }
    let outline = outline?;
    let grain = grain(source.grain.as_ref(), &outline.region, thing, reading);
    let warp = warp(source.warp.as_ref(), &outline.region, thing, reading);
    let noted = reading.notes.len();
    let zones = zones(source, &outline.region, thing, reading);
    say_that_board_is_out(source, &mut reading.notes[noted..]);
    if source.holds_unmarked_pith() {
        reading.warn(
            "pith-not-marked",
            thing.field("pith"),
            "the heart is boxed in this board, and parts may hold the pith",
            "mark the pith as a defect along the board, or allow it in parts",
        );
    }
    let readable = !lacks_something(&source.unknown)
        && source
            .zones
            .iter()
            .all(|zone| !lacks_something(&zone.unknown));
    let sound =
        readable && (reading.errors() == before || only_figure_is_faulty(source, before, reading));
    let species = rates.spelling(&source.species);
    let density = rates
        .density(&species)
        .or_else(|| find_wood(&species).and_then(|wood| wood.density))
        .unwrap_or(0.0);
    let (count, thickness, grain, warp) = (count?, thickness?, grain?, warp?);
    if !sound {
        return None;
    }
    let name = source.name.trim();
    let board = Board {
        id: source.id.clone(),
        name: if name.is_empty() {
            source.id.clone()
        } else {
            name.to_owned()
        },
        species,
        count,
        usage: source.usage,
        outline: outline.region,
        sides: outline.sides,
        thickness,
        surface: source.surface,
        grain,
        heart_side: source.heart_side,
        rings: source
            .rings
            .as_ref()
            .map_or_else(Default::default, |r| [r.start, r.end]),
        cost_is_estimate: false,
        zones,
        warp,
        cost: 0.0,
        density,
        cuts: source.cuts,
        gone: Vec::new(),
        from: None,
    };
    let own_price = price::own_price(source, &board, thing, reading);
    Some(Draft {
        row: 0,
        board,
        own_price,
    })
}

/// Adds to what is wrong with marked areas that the whole board waits for it: nobody may cut
/// through a knot that could not be read.
fn say_that_board_is_out(source: &document::Board, notes: &mut [Diagnostic]) {
    for note in notes.iter_mut().filter(|n| n.level == Level::Error) {
        let of_figure = is_of_figure(note, source);
        if let Some(hint) = note.hint.as_mut().filter(|_| !of_figure) {
            hint.push_str("; until then nothing is cut from this board");
        }
    }
}

/// Whether a note is about a marked area that shows figure.
fn is_of_figure(note: &Diagnostic, source: &document::Board) -> bool {
    let row = note.place.field.as_ref().and_then(|field| {
        let (row, _) = field.strip_prefix("zones[")?.split_once("].")?;
        row.parse::<usize>().ok()
    });
    row.and_then(|row| source.zones.get(row))
        .is_some_and(|zone| zone.kind == document::ZoneKind::Figure)
}

/// Whether every error since `before` concerns a figure, which may be left out.
fn only_figure_is_faulty(source: &document::Board, before: usize, reading: &Reading<'_>) -> bool {
    let new = reading
        .notes
        .iter()
        .filter(|note| note.level == Level::Error)
        .skip(before);
    new.into_iter().all(|note| is_of_figure(note, source))
}

fn grain(
    source: Option<&document::BoardGrain>,
    outline: &Region,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<GrainField> {
    let Some(source) = source else {
        return Some(GrainField::straight(0.0));
    };
    let place = thing.field("grain.angle");
    let angle = reading.number(place, "angle of the grain", source.angle, (-360.0, 360.0))?;
    let mut lines: Vec<Vec<Point>> = Vec::with_capacity(source.lines.len());
    for (row, line) in source.lines.iter().enumerate() {
        let place = || thing.field(&format!("grain.lines[{row}]"));
        let points: Vec<Point> = line.iter().map(|&[x, y]| Point { x, y }).collect();
        let far = |p: &Point| p.x.abs().max(p.y.abs()) > crate::length::MAX_LENGTH_MM;
        if points.iter().any(|p| !p.is_finite() || far(p)) {
            reading.error(
                "grain-line-not-readable",
                place(),
                format!(
                    "grain line {} has a point that is not on any board",
                    row + 1
                ),
                "draw it again",
            );
            return None;
        }
        if points.len() < 2 {
            reading.warn(
                "grain-line-too-short",
                place(),
                format!(
                    "grain line {} has fewer than two points and says nothing",
                    row + 1
                ),
                "draw it again, or remove it",
            );
        }
        lines.push(points);
    }
    let bounds = outline.bounds();
    let cells = (bounds.width() / CELL).ceil() * (bounds.height() / CELL).ceil();
    let segments: usize = lines.iter().map(|line| line.len().saturating_sub(1)).sum();
    if cells * segments as f64 > MOST_GRAIN_WORK {
        reading.error(
            "grain-lines-too-many",
            thing.field("grain.lines"),
            "there are too many grain lines for a board of this size",
            "draw fewer lines with fewer points",
        );
        return None;
    }
    Some(GrainField::bent(angle, &lines, bounds))
}

fn warp(
    source: Option<&document::Warp>,
    outline: &Region,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Warp> {
    let Some(source) = source else {
        return Some(Warp::Unknown);
    };
    let bounds = outline.bounds();
    let (whole_length, whole_width) = (bounds.width(), bounds.height());
    let before = reading.errors();
    let mut read = |field: &str, what: &str, length: Option<&Length>, wanted, usual: f64| {
        let place = thing.field(&format!("warp.{field}"));
        reading
            .usual(place, what, length, wanted, usual)
            .unwrap_or(0.0)
    };
    let cup = source.cup.as_ref().map_or((0.0, whole_width), |cup| {
        (
            read(
                "cup.gap",
                "gap of the cup",
                Some(&cup.gap),
                Wanted::EXTRA,
                0.0,
            ),
            read(
                "cup.over",
                "width of the cup",
                cup.over.as_ref(),
                Wanted::SIZE,
                whole_width,
            ),
        )
    });
    let bow = source.bow.as_ref().map_or((0.0, whole_length), |bow| {
        (
            read(
                "bow.gap",
                "gap of the bow",
                Some(&bow.gap),
                Wanted::EXTRA,
                0.0,
            ),
            read(
                "bow.over",
                "length of the bow",
                bow.over.as_ref(),
                Wanted::SIZE,
                whole_length,
            ),
        )
    });
    let twist = source
        .twist
        .as_ref()
        .map_or((0.0, whole_length, whole_width), |twist| {
            let (length, width) = (twist.over_length.as_ref(), twist.over_width.as_ref());
            (
                read(
                    "twist.lift",
                    "lift of the twist",
                    Some(&twist.lift),
                    Wanted::EXTRA,
                    0.0,
                ),
                read(
                    "twist.over_length",
                    "length of the twist",
                    length,
                    Wanted::SIZE,
                    whole_length,
                ),
                read(
                    "twist.over_width",
                    "width of the twist",
                    width,
                    Wanted::SIZE,
                    whole_width,
                ),
            )
        });
    if reading.errors() > before {
        return None;
    }
    for (field, (gap, over)) in [("warp.cup.gap", cup), ("warp.bow.gap", bow)] {
        if gap > over / 2.0 {
            reading.error(
                "warp-too-great",
                thing.field(field),
                "the gap is more than half the span over which it was measured",
                "check both: a gap is a few millimetres",
            );
        }
    }
    if reading.errors() > before {
        return None;
    }
    let flat = cup.0 == 0.0 && bow.0 == 0.0 && twist.0 == 0.0;
    Some(if flat {
        Warp::Flat
    } else {
        Warp::Measured { cup, bow, twist }
    })
}
