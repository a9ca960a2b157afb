//! Fields that this version does not know: kept, and named so that a slip of the pen shows.

use serde_json::Value;

use super::part;
use super::reading::{Reading, Thing};
use crate::diagnostic::{Level, Place, Subject};
use crate::document::{Document, Unknown};
use crate::keep::{KEPT_ASIDE, Kept, kept_in};

/// Names every unknown field and every value that was kept aside, at every level.
pub(super) fn note_all(document: &Document, reading: &mut Reading<'_>) {
    let job = Thing::job();
    let mut note =
        |thing: &Thing, path: &str, unknown: &Unknown| note(thing, path, unknown, reading);
    note(&job, "", &document.unknown);
    note(&job, "units", &document.units.unknown);
    let workshop = Thing::of(Subject::Workshop);
    let shop = &document.workshop;
    note(&workshop, "", &shop.unknown);
    note(&workshop, "fallback_kerf", &shop.fallback_kerf.unknown);
    note(&workshop, "trim", &shop.trim.unknown);
    if let Some(offcut) = &shop.min_offcut {
        note(&workshop, "min_offcut", &offcut.unknown);
    }
    for (row, tool) in shop.tools.iter().enumerate() {
        let thing = Thing::row(Subject::Workshop, row, &tool.name, &tool.name);
        note(&thing, &format!("tools[{row}]"), &tool.unknown);
    }
    note(&job, "allowances", &document.allowances.unknown);
    for (row, dimension) in document.dimensions.iter().enumerate() {
        let thing = Thing::row(Subject::Dimension, row, &dimension.name, &dimension.name);
        note(&thing, "", &dimension.unknown);
    }
    for (row, species) in document.species.iter().enumerate() {
        note(&job, &format!("species[{row}]"), &species.unknown);
    }
    for (row, source) in document.boards.iter().enumerate() {
        let thing = Thing::board(document, row);
        note(&thing, "", &source.unknown);
        if let Some(grain) = &source.grain {
            note(&thing, "grain", &grain.unknown);
        }
        if let Some(warp) = &source.warp {
            note(&thing, "warp", &warp.unknown);
        }
        if let Some(from) = &source.from {
            note(&thing, "from", &from.unknown);
        }
        for (index, zone) in source.zones.iter().enumerate() {
            note(&thing, &format!("zones[{index}]"), &zone.unknown);
        }
    }
    for (row, source) in document.parts.iter().enumerate() {
        let thing = part::thing(document, row);
        note(&thing, "", &source.unknown);
        note(&thing, "grain", &source.grain.unknown);
        if let Some(allowances) = &source.allowances {
            note(&thing, "allowances", &allowances.unknown);
        }
        if let Some(tenon) = &source.tenon {
            note(&thing, "tenon", &tenon.unknown);
        }
    }
    for (row, panel) in document.panels.iter().enumerate() {
        let thing = Thing::row(Subject::Relation, row, &panel.part, "");
        note(&thing, &format!("panels[{row}]"), &panel.unknown);
    }
    for (row, plan) in document.plans.iter().enumerate() {
        let thing = Thing::row(Subject::Plan, row, "", &plan.name);
        note(&thing, "", &plan.unknown);
    }
    for (row, cut) in document.done.iter().enumerate() {
        note(&job, &format!("done[{row}]"), &cut.unknown);
    }
    for (row, photo) in document.photos.iter().enumerate() {
        note(&job, &format!("photos[{row}]"), &photo.unknown);
        for (mark, point) in photo.marks.iter().enumerate() {
            note(
                &job,
                &format!("photos[{row}].marks[{mark}]"),
                &point.unknown,
            );
        }
    }
    for (row, map) in document.figure_maps.iter().enumerate() {
        note(&job, &format!("figure_maps[{row}]"), &map.unknown);
    }
}

fn note(thing: &Thing, path: &str, unknown: &Unknown, reading: &mut Reading<'_>) {
    let at = |field: &str| -> Place {
        match (path.is_empty(), field.is_empty()) {
            (true, _) => thing.field(field),
            (false, true) => thing.field(path),
            (false, false) => thing.field(&format!("{path}.{field}")),
        }
    };
    for (name, value) in unknown {
        if name == KEPT_ASIDE {
            for Kept {
                field,
                value,
                known,
            } in kept_in(value)
            {
                note_kept(at(&field), &value, known, reading);
            }
            continue;
        }
        reading.say(
            Level::Warning,
            "field-unknown",
            at(name),
            format!("the field \u{201c}{name}\u{201d} means nothing here; it is kept as it is"),
            "check its spelling, or remove it",
        );
    }
}

/// A known field that could not be read is an error of its thing; an unknown one a warning.
fn note_kept(place: Place, value: &Value, known: bool, reading: &mut Reading<'_>) {
    let shown = crate::words::shortened(&value.to_string());
    if known {
        let message = format!("this cannot be read: {shown}; it is kept aside");
        reading.error("field-not-readable", place, message, "write it in again");
    } else {
        let message = format!("this field means nothing here: {shown}; it is kept aside");
        reading.warn(
            "field-unknown",
            place,
            message,
            "check its spelling, or remove it",
        );
    }
}
