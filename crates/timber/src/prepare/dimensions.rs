//! The table of named dimensions.

use heartside_geometry::{SortedMap, SortedSet};

use super::reading::{Reading, Thing, Wanted};
use crate::choices::Choices;
use crate::diagnostic::{Diagnostic, Level, Subject};
use crate::document::{Document, Length};
use crate::expression::{Definition, Expression, Resolved, is_name, resolve};
use crate::job::{Dimension, Part};
use crate::plan::DimensionValue;

/// Values this near are one, in mm.
const SAME: f64 = 1e-6;

/// The table as far as it could be read, its values, and the notes that reading it gave.
pub(super) struct Named {
    pub(super) table: SortedMap<String, Definition>,
    pub(super) resolved: Resolved,
    notes: Vec<Diagnostic>,
    /// Rows of the document that made it into the table.
    rows: SortedMap<String, usize>,
    /// Values that were given in place of the document's.
    given: SortedMap<String, f64>,
}

fn thing(document: &Document, row: usize) -> Thing {
    let name = document.dimensions.get(row).map_or("", |d| d.name.as_str());
    Thing::row(Subject::Dimension, row, name, name)
}

/// The values of a choice that hold: for a dimension of the document that is not worked out from others
/// and for which the same is preferred now, within its range and on its steps.
pub(super) fn that_hold(document: &Document, choices: &Choices) -> SortedMap<String, f64> {
    let mut values = choices.values();
    if values.is_empty() {
        return values;
    }
    let usual = read(document, &SortedMap::new());
    let mut unheard = Reading::new(document.units.length, &usual.table, &usual.resolved.values);
    let dimensions = ranges(document, &usual, &mut unheard);
    let preferred = choices.dimensions.iter();
    let preferred = SortedMap::from_iter(preferred.map(|d| (d.name.as_str(), d.preferred)));
    values.retain(|name, value| {
        let mut known = dimensions.iter();
        let known = known.find(|d| d.value.name == *name);
        known.is_some_and(|d| {
            let same = preferred.get(name.as_str()).copied().flatten();
            d.gives() && same.is_none_or(|p| (p - d.preferred).abs() <= SAME) && d.may_be(*value)
        })
    });
    values
}

/// Reads every dimension; `values` (in mm) take the place of what the document says.
pub(super) fn read(document: &Document, values: &SortedMap<String, f64>) -> Named {
    let (no_table, no_values) = (SortedMap::new(), SortedMap::new());
    let mut reading = Reading::new(document.units.length, &no_table, &no_values);
    let mut table = SortedMap::new();
    let mut rows = SortedMap::new();
    for (row, dimension) in document.dimensions.iter().enumerate() {
        let thing = thing(document, row);
        let name = dimension.name.trim();
        if !is_name(name) {
            reading.error(
                "dimension-name",
                thing.field("name"),
                format!("\u{201c}{name}\u{201d} cannot be the name of a dimension"),
                "begin with a letter, go on with letters, figures and _; no unit such as mm",
            );
            continue;
        }
        if rows.contains_key(name) {
            reading.error(
                "dimension-twice",
                thing.field("name"),
                format!("the dimension \u{201c}{name}\u{201d} is there twice"),
                "give this one another name; the first one counts",
            );
            continue;
        }
        rows.insert(name.to_owned(), row);
        let fixed = values.get(name).copied().filter(|mm| mm.is_finite());
        let definition = match (fixed, &dimension.preferred) {
            (Some(mm), _) => Some(Definition::Fixed(mm)),
            (None, Some(Length::Expr { expr })) => worked(expr, &thing, &mut reading),
            (None, value) => reading
                .needed(
                    thing.field("preferred"),
                    "value",
                    value.as_ref(),
                    Wanted::PLACE,
                )
                .map(Definition::Fixed),
        };
        if let Some(definition) = definition {
            table.insert(name.to_owned(), definition);
        }
    }
    let resolved = resolve(&table);
    for (name, error) in &resolved.faults {
        let thing = thing(document, rows.get(name).copied().unwrap_or_default());
        reading.error(
            error.fault.code(),
            thing.field("preferred"),
            format!(
                "the dimension \u{201c}{name}\u{201d} cannot be worked out: {}",
                error.fault
            ),
            error.fault.hint(),
        );
    }
    Named {
        resolved,
        notes: reading.notes,
        rows,
        table,
        given: values.clone(),
    }
}

fn worked(expr: &str, thing: &Thing, reading: &mut Reading<'_>) -> Option<Definition> {
    match Expression::read(expr, reading.unit) {
        Ok(expression) => Some(Definition::Worked(expression)),
        Err(error) => {
            reading.error(
                error.fault.code(),
                thing.field("preferred"),
                format!(
                    "the value \u{201c}{expr}\u{201d} cannot be worked out: {} (at character {})",
                    error.fault,
                    error.at + 1
                ),
                error.fault.hint(),
            );
            None
        }
    }
}

/// The dimensions with value and range, in the document's order.
pub(super) fn ranges(
    document: &Document,
    named: &Named,
    reading: &mut Reading<'_>,
) -> Vec<Dimension> {
    reading.add_notes(&named.notes);
    for definition in named.table.values() {
        if let Definition::Worked(expression) = definition {
            reading
                .used
                .extend(expression.names().into_iter().map(str::to_owned));
        }
    }
    let mut dimensions = Vec::new();
    for (row, dimension) in document.dimensions.iter().enumerate() {
        let name = dimension.name.trim();
        if named.rows.get(name) != Some(&row) {
            continue;
        }
        let Some(value) = named.resolved.values.get(name).copied() else {
            continue;
        };
        let thing = thing(document, row);
        let mut end = |field: &str, what: &str, length: &Option<Length>| {
            reading.usual(
                thing.field(field),
                what,
                length.as_ref(),
                Wanted::PLACE,
                value,
            )
        };
        let least = end("least", "least value", &dimension.least);
        let most = end("most", "greatest value", &dimension.most);
        let step = reading.usual(
            thing.field("step"),
            "step",
            dimension.step.as_ref(),
            Wanted::EXTRA,
            0.0,
        );
        let (Some(mut least), Some(mut most), Some(step)) = (least, most, step) else {
            continue;
        };
        let follows = matches!(dimension.preferred, Some(Length::Expr { .. }));
        let preferred = match &dimension.preferred {
            Some(length) if named.given.contains_key(name) => {
                // Said when the table was read.
                let mut unheard = Reading::new(reading.unit, reading.table, reading.values);
                unheard.length(thing.field("preferred"), "value", length, Wanted::PLACE)
            }
            _ => None,
        };
        let preferred = preferred.unwrap_or(value);
        let both_given = dimension.least.is_some() && dimension.most.is_some();
        if both_given && least > most {
            reading.error(
                "range-empty",
                thing.field("least"),
                "the least value is greater than the greatest",
                "swap the two",
            );
            continue;
        }
        if !(least - SAME..=most + SAME).contains(&preferred) {
            reading.error(
                "value-out-of-range",
                thing.field("preferred"),
                "the value lies outside its own range",
                "change the value or the range",
            );
            if !follows {
                (least, most) = (value, value);
            }
        }
        let ranges = least < most && !follows;
        let reach = (preferred - least).max(most - preferred);
        if ranges && step > reach + SAME {
            reading.say(
                Level::Warning,
                "step-too-large",
                thing.field("step"),
                "no step from the value liked best ends within the range, so the size does not give",
                "make the step smaller or the range wider",
            );
        }
        if follows && least < most {
            reading.say(
                Level::Note,
                "range-of-worked-out",
                thing.field("least"),
                "this size is worked out from others: its range limits it, and it gives only as they do",
                "give the others a range, or type a number in place of the sum",
            );
        }
        dimensions.push(Dimension {
            value: DimensionValue {
                name: name.to_owned(),
                value,
                preferred: ranges.then_some(preferred),
            },
            preferred,
            least,
            most,
            step,
            follows,
        });
    }
    dimensions
}

/// Leaves no range to dimensions that a part in hand was sawn by: they stay as cut.
pub(super) fn keep_as_cut(
    document: &Document,
    named: &Named,
    parts: &[Part],
    dimensions: &mut [Dimension],
) {
    let in_hand = SortedSet::from_iter(
        parts
            .iter()
            .filter(|part| !part.in_hand.is_empty())
            .map(|part| part.id.as_str()),
    );
    let mut waiting: Vec<String> = Vec::new();
    let mut note = |length: &mut Length| {
        if let Length::Expr { expr } = length
            && let Ok(expression) = Expression::read(expr, document.units.length)
        {
            waiting.extend(expression.names().into_iter().map(str::to_owned));
        }
    };
    for part in document
        .parts
        .iter()
        .filter(|p| in_hand.contains(p.id.as_str()))
    {
        part.clone().each_length(&mut note);
        document.allowances.clone().each_length(&mut note);
    }
    let mut kept = SortedSet::new();
    while let Some(name) = waiting.pop() {
        if let Some(Definition::Worked(expression)) = named.table.get(&name)
            && !kept.contains(&name)
        {
            waiting.extend(expression.names().into_iter().map(str::to_owned));
        }
        kept.insert(name);
    }
    for dimension in dimensions
        .iter_mut()
        .filter(|d| kept.contains(&d.value.name))
    {
        (dimension.least, dimension.most) = (dimension.value.value, dimension.value.value);
    }
}

/// Dimensions that nothing uses are probably misspelt somewhere.
pub(super) fn note_unused(document: &Document, named: &Named, reading: &mut Reading<'_>) {
    for (name, row) in &named.rows {
        if !reading.used.contains(name) {
            reading.say(
                Level::Note,
                "dimension-unused",
                thing(document, *row).field("name"),
                format!("nothing uses the dimension \u{201c}{name}\u{201d}"),
                "use it in a size, or remove it",
            );
        }
    }
}
