//! Parts.

use super::price::Rates;
use super::reading::{Reading, Thing, Wanted};
use super::shape::finished;
use super::{Ids, workshop};
use crate::defaults;
use crate::diagnostic::{Level, Subject};
use crate::document::{self, Document, GrainAxis};
use crate::job::{Allowances, GrainRule, Part};
use crate::keep::lacks_something;
use heartside_geometry::Arrange;

/// The sound parts, and the rows of the document's list that they come from.
pub(super) fn parts(
    document: &Document,
    usual: &Allowances,
    rates: &Rates,
    reading: &mut Reading<'_>,
) -> (Vec<Part>, Vec<usize>) {
    let mut ids = Ids::default();
    let mut pieces: u64 = 0;
    let mut parts = Vec::with_capacity(document.parts.len());
    let mut rows = Vec::with_capacity(document.parts.len());
    for (row, source) in document.parts.iter().enumerate() {
        let thing = thing(document, row);
        let usable_id = ids.take(&source.id, &thing, "part", reading);
        let Some(part) = part(source, usual, rates, &thing, reading).filter(|_| usable_id) else {
            continue;
        };
        pieces += u64::from(part.count);
        if pieces > defaults::MOST_PIECES {
            reading.error(
                "pieces-too-many",
                thing.field("count"),
                format!(
                    "with this part there are more than {} pieces",
                    defaults::MOST_PIECES
                ),
                "split the work into several jobs",
            );
            pieces -= u64::from(part.count);
            continue;
        }
        parts.push(part);
        rows.push(row);
    }
    (parts, rows)
}

pub(super) fn thing(document: &Document, row: usize) -> Thing {
    let (id, name) = document
        .parts
        .get(row)
        .map_or(("", ""), |p| (p.id.as_str(), p.name.as_str()));
    Thing::row(Subject::Part, row, id, name)
}

fn part(
    source: &document::Part,
    usual: &Allowances,
    rates: &Rates,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Part> {
    let before = reading.errors();
    let count = reading.count(
        thing.field("count"),
        "number of such parts",
        source.count,
        defaults::MOST_COPIES,
    );
    let priority = reading.count(thing.field("priority"), "priority", source.priority, 1000);
    let thickness = reading.needed(
        thing.field("thickness"),
        "thickness",
        source.thickness.as_ref(),
        Wanted::FINISHED_THICKNESS,
    );
    let tenon = tenon(source.tenon.as_ref(), thing, reading);
    let shape = match &source.shape {
        Some(shape) => finished(shape, tenon.unwrap_or_default(), thing, reading),
        None => {
            reading.error(
                "shape-missing",
                thing.field("shape"),
                "the part has no shape",
                "write in its length and width",
            );
            None
        }
    };
    let grain = grain(source, thing, reading);
    let allowances = match &source.allowances {
        Some(own) => workshop::allowances(own, usual, thing, reading),
        None => Some(*usual),
    };
    let value = match source.value {
        None => Some(0.0),
        Some(value) => reading.number(thing.field("value"), "worth", value, (0.0, 1.0e12)),
    };
    if source.handed && source.may_turn_over == Some(true) {
        reading.warn(
            "handed-turned-over",
            thing.field("may_turn_over"),
            "a part with a left and a right hand cannot be turned over, so it is not",
            "refuse turning over, or say that both hands are alike",
        );
    }
    if reading.errors() > before || lacks_something(&source.unknown) {
        return None;
    }
    let (shape, grain, allowances) = (shape?, grain?, allowances?);
    let name = source.name.trim();
    Some(Part {
        id: source.id.clone(),
        name: if name.is_empty() {
            source.id.clone()
        } else {
            name.to_owned()
        },
        count: count?,
        species: species(source, rates),
        outline: shape.outline,
        form: shape.form,
        tenon: tenon?,
        thickness: thickness?,
        grain,
        faces: source.faces,
        may_turn_over: source.may_turn_over.unwrap_or(true) && !source.handed,
        allowances,
        fixing_ok: source.fixing_ok,
        cut: source.cut,
        priority: priority?,
        value: value?,
        in_hand: Vec::new(),
        stave: None,
        composed: None,
    })
}

fn species(source: &document::Part, rates: &Rates) -> Vec<String> {
    let mut accepted: Vec<String> = Vec::with_capacity(source.species.len());
    for name in source.species.iter().filter(|name| !name.trim().is_empty()) {
        for name in rates.accepted_as(name) {
            if !accepted.contains(&name) {
                accepted.push(name);
            }
        }
    }
    accepted
}

fn tenon(
    source: Option<&document::Tenon>,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<(f64, f64)> {
    let Some(source) = source else {
        return Some((0.0, 0.0));
    };
    let mut read = |field: &str, what: &str, length: &Option<document::Length>| {
        let place = thing.field(&format!("tenon.{field}"));
        reading.usual(place, what, length.as_ref(), Wanted::EXTRA, 0.0)
    };
    let start = read("start", "tenon at the start", &source.start);
    let end = read("end", "tenon at the end", &source.end);
    Some((start?, end?))
}

fn grain(source: &document::Part, thing: &Thing, reading: &mut Reading<'_>) -> Option<GrainRule> {
    if let Some(turns) = &source.turns {
        return fixed_turns(turns, thing, reading);
    }
    let tolerance = match source.grain.tolerance {
        None => Some(defaults::GRAIN_TOLERANCE),
        Some(degrees) => {
            let place = thing.field("grain.tolerance");
            reading.number(place, "tolerance of the grain", degrees, (0.0, 90.0))
        }
    };
    Some(match source.grain.axis {
        GrainAxis::Any => GrainRule::Any,
        axis => GrainRule::Axis {
            across: axis == GrainAxis::Across,
            tolerance: tolerance?,
        },
    })
}

/// Turns brought into 0 <= turn < 360, each once, in rising order.
fn fixed_turns(turns: &[f64], thing: &Thing, reading: &mut Reading<'_>) -> Option<GrainRule> {
    let mut list = Vec::with_capacity(turns.len().min(360));
    for (row, turn) in turns.iter().enumerate().take(1000) {
        let place = thing.field(&format!("turns[{row}]"));
        let turn = reading.number(place, "turn", *turn, (-360.0, 360.0))?;
        list.push(heartside_geometry::math::normalise_deg(turn));
    }
    list.arrange_by(f64::total_cmp);
    list.dedup();
    if list.is_empty() {
        reading.say(
            Level::Error,
            "turns-missing",
            thing.field("turns"),
            "no turn is allowed, so the part fits nowhere",
            "allow at least one, such as 0",
        );
        return None;
    }
    Some(GrainRule::Turns(list))
}
