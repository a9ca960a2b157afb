//! Settings of the job as a whole: units, aims, values.

use super::reading::{Reading, Thing};
use crate::document::{Aim, Document, FORMAT, VERSION};
use crate::length::{DisplayUnits, InchFraction};

pub(super) fn note_form(document: &Document, reading: &mut Reading<'_>) {
    let job = Thing::job();
    if !document.format.is_empty() && document.format != FORMAT {
        reading.warn(
            "format-unknown",
            job.field("format"),
            format!(
                "this calls itself \u{201c}{}\u{201d}, not \u{201c}{FORMAT}\u{201d}",
                document.format
            ),
            "check that it is the right file",
        );
    }
    if document.version > VERSION {
        reading.warn(
            "version-newer",
            job.field("version"),
            format!("this was written by a newer version ({})", document.version),
            "use the newer program, or check that nothing is missing",
        );
    }
}

pub(super) fn display_units(document: &Document, reading: &mut Reading<'_>) -> DisplayUnits {
    let fraction = match document.units.fraction {
        None => InchFraction::default(),
        Some(16) => InchFraction::Sixteenths,
        Some(32) => InchFraction::ThirtySeconds,
        Some(64) => InchFraction::SixtyFourths,
        Some(other) => {
            reading.warn(
                "fraction-unknown",
                Thing::job().field("units.fraction"),
                format!("inches cannot be shown in {other} parts; 32 are used"),
                "choose 16, 32 or 64",
            );
            InchFraction::default()
        }
    };
    DisplayUnits {
        unit: document.units.length,
        fraction,
        ..DisplayUnits::default()
    }
}

/// The aims in the maker's order, each once, the missing ones behind in the usual order.
pub(super) fn order(document: &Document, reading: &mut Reading<'_>) -> Vec<Aim> {
    let mut order: Vec<Aim> = Vec::with_capacity(5);
    for (row, aim) in document.objective.iter().enumerate() {
        if order.contains(aim) {
            reading.warn(
                "aim-twice",
                Thing::job().field(&format!("objective[{row}]")),
                "an aim is named twice; the first place counts",
                "name each aim once",
            );
        } else {
            order.push(*aim);
        }
    }
    for aim in [Aim::Timber, Aim::Figure, Aim::Labour, Aim::Offcuts] {
        if !order.contains(&aim) {
            order.push(aim);
        }
    }
    if !order.contains(&Aim::Sizes) {
        // A size costs timber only where the maker says so; it goes before all that follows timber.
        let timber = order.iter().position(|aim| *aim == Aim::Timber);
        order.insert(timber.map_or(0, |at| at + 1), Aim::Sizes);
    }
    order
}

pub(super) fn offcut_value(document: &Document, reading: &mut Reading<'_>) -> f64 {
    let Some(value) = document.offcut_value else {
        return 0.0;
    };
    let place = Thing::job().field("offcut_value");
    reading
        .number(place, "value of offcuts", value, (0.0, 1.0e9))
        .unwrap_or(0.0)
}

/// The value of offcuts as it counts: nothing where no timber has a price, for money cannot be
/// taken from cubic metres.
pub(super) fn counted(value: f64, cost_is_volume: bool, reading: &mut Reading<'_>) -> f64 {
    if !cost_is_volume || value <= 0.0 {
        return value;
    }
    reading.warn(
        "offcut-value-without-prices",
        Thing::job().field("offcut_value"),
        "offcuts have a value, but no board has a price to set it against, so it does not count",
        "write in what the timber costs, or move useful offcuts up in what matters most",
    );
    0.0
}

pub(super) fn figure_worth(document: &Document, reading: &mut Reading<'_>) -> f64 {
    let Some(value) = document.figure_worth else {
        return 0.0;
    };
    let place = Thing::job().field("figure_worth");
    reading
        .number(
            place,
            "what the best figure may cost more",
            value,
            (0.0, 1.0e9),
        )
        .unwrap_or(0.0)
}

/// The same as it counts: nothing where no timber has a price.
pub(super) fn counted_figure(value: f64, cost_is_volume: bool, reading: &mut Reading<'_>) -> f64 {
    if !cost_is_volume || value <= 0.0 {
        return value;
    }
    reading.warn(
        "figure-worth-without-prices",
        Thing::job().field("figure_worth"),
        "the best figure may cost more, but no board has a price to set that against, so it does not count",
        "write in what the timber costs",
    );
    0.0
}
