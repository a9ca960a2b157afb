//! Edits that change how a document is written but not what it means: another unit for
//! bare numbers, another name for a dimension.

use super::{Edit, RowEdit};
use crate::document::{Document, Length, Units};
use crate::expression::{Expression, ExpressionError, ExpressionFault};
use crate::length::{LengthContext, LengthError, Unit, doubt_kept, read_signed_length};

/// Sets units, and writes the old unit behind every bare number that would otherwise mean
/// something else: `1400` becomes `1400 mm`.
pub fn change_units(document: &Document, units: Units) -> Edit {
    let (old, new) = (document.units.length, units.length);
    let mut edits = vec![Edit::Units(units)];
    if old != new {
        edits.extend(rewrite(document, &mut |length| with_unit(length, old, new)));
    }
    Edit::Many(edits)
}

/// Gives the dimension at `row` another name, in its own row and in every expression.
///
/// The name is not judged: a bad one is reported by [`crate::prepare()`] like any other.
pub fn rename_dimension(document: &Document, row: usize, name: &str) -> Edit {
    let Some(dimension) = document.dimensions.get(row) else {
        // Applying this says that there is no such row.
        return Edit::Dimension(RowEdit::Remove { at: row });
    };
    let old = dimension.name.trim().to_owned();
    let unit = document.units.length;
    let renamed = |length: &Length| match length {
        Length::Expr { expr } => {
            let expression = Expression::read(expr, unit).ok()?;
            expression
                .names()
                .contains(old.as_str())
                .then(|| Length::Expr {
                    expr: expression.renamed(&old, name),
                })
        }
        _ => None,
    };
    let mut changed = document.clone();
    if let Some(dimension) = changed.dimensions.get_mut(row) {
        dimension.name = name.to_owned();
    }
    let mut rename = renamed;
    change_lengths(&mut changed, &mut rename);
    Edit::Many(differences(document, changed))
}

type Rewrite<'a> = dyn FnMut(&Length) -> Option<Length> + 'a;

fn rewrite(document: &Document, rewrite: &mut Rewrite<'_>) -> Vec<Edit> {
    let mut changed = document.clone();
    change_lengths(&mut changed, rewrite);
    differences(document, changed)
}

fn change_lengths(document: &mut Document, rewrite: &mut Rewrite<'_>) {
    document.each_length(&mut |length| {
        if let Some(new) = rewrite(length) {
            *length = new;
        }
    });
}

/// Edits for the rows in which two documents of the same lists differ.
fn differences(before: &Document, after: Document) -> Vec<Edit> {
    let mut edits = Vec::new();
    if before.workshop != after.workshop {
        edits.push(Edit::Workshop(Box::new(after.workshop)));
    }
    if before.allowances != after.allowances {
        edits.push(Edit::Allowances(Box::new(after.allowances)));
    }
    edits.extend(changed_rows(&before.dimensions, after.dimensions).map(Edit::Dimension));
    edits.extend(changed_rows(&before.boards, after.boards).map(Edit::Board));
    edits.extend(changed_rows(&before.parts, after.parts).map(Edit::Part));
    edits.extend(changed_rows(&before.panels, after.panels).map(Edit::Panel));
    edits
}

fn changed_rows<T: PartialEq>(before: &[T], after: Vec<T>) -> impl Iterator<Item = RowEdit<T>> {
    after
        .into_iter()
        .enumerate()
        .zip(before)
        .filter(|((_, new), old)| new != *old)
        .map(|((at, row), _)| RowEdit::put(at, row))
}

/// The length with its old unit written out, where the new one would change it.
fn with_unit(length: &Length, old: Unit, new: Unit) -> Option<Length> {
    match length {
        Length::Mm(_) => None,
        Length::Typed { mm, typed } => {
            let meant = match read_either(typed, old) {
                Ok(meant) => meant,
                // Refused in the old unit, it must not be taken without a word in the new one.
                Err(LengthError::TwoReadings { .. }) => {
                    return Some(Length::Typed {
                        mm: *mm,
                        typed: doubt_kept(typed),
                    });
                }
                Err(_) => return None,
            };
            if read_either(typed, new) == Ok(meant) {
                return None;
            }
            let written = format!("{} {}", typed.trim_end(), word(old));
            Some(if read_either(&written, new) == Ok(meant) {
                Length::Typed {
                    mm: Some(meant),
                    typed: written,
                }
            } else {
                Length::Mm(meant)
            })
        }
        Length::Expr { expr } => {
            let written = match Expression::read(expr, old) {
                Ok(expression) => expression.with_units_written(),
                Err(ExpressionError {
                    fault: ExpressionFault::Number(LengthError::TwoReadings { text, .. }),
                    ..
                }) => expr.replace(&text, &doubt_kept(&text)),
                Err(_) => return None,
            };
            (written != *expr).then_some(Length::Expr { expr: written })
        }
    }
}

fn word(unit: Unit) -> &'static str {
    match unit {
        Unit::Millimetres => "mm",
        Unit::Inches => "in",
    }
}

/// Reads what any field would take: quarters as well, and a minus sign.
fn read_either(typed: &str, unit: Unit) -> Result<f64, LengthError> {
    read_signed_length(typed, unit, LengthContext::NominalThickness)
}
