//! Works out a table of named dimensions that may use one another.

use super::{Expression, ExpressionError, ExpressionFault};
use crate::length::UnitWord;
use std::collections::BTreeMap;

/// What a named dimension is set to.
#[derive(Debug, Clone, PartialEq)]
pub enum Definition {
    /// Millimetres.
    Fixed(f64),
    /// Worked out from other dimensions.
    Worked(Expression),
}

/// The values of all dimensions that have one, and the faults of the others.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Resolved {
    /// Millimetres by name.
    pub values: BTreeMap<String, f64>,
    /// Why a name has no value.
    pub faults: BTreeMap<String, ExpressionError>,
}

/// Whether a text can be the name of a dimension.
pub fn is_name(text: &str) -> bool {
    let mut characters = text.chars();
    characters.next().is_some_and(char::is_alphabetic)
        && characters.all(|c| c.is_alphanumeric() || c == '_')
        && UnitWord::of(text).is_none()
}

/// Works out every dimension, whatever order they need.
///
/// Every dimension gets either a value or a fault: unknown names, circles, and what depends
/// on a faulty one are all named; the rest is usable.
///
/// # Cost
/// O(n log n + u log n) for n dimensions and u uses of names; no recursion over the table.
pub fn resolve(table: &BTreeMap<String, Definition>) -> Resolved {
    let mut resolved = Resolved::default();
    // How many names each one still waits for, and who waits for a name.
    let mut waiting: BTreeMap<&str, usize> = BTreeMap::new();
    let mut waiters: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    let mut ready: Vec<&str> = Vec::new();
    for (name, definition) in table {
        let needs = match definition {
            Definition::Fixed(_) => Default::default(),
            Definition::Worked(expression) => expression.names(),
        };
        let known = needs
            .iter()
            .filter(|need| table.contains_key(**need))
            .count();
        for need in needs {
            waiters.entry(need).or_default().push(name);
        }
        if known == 0 {
            ready.push(name);
        } else {
            waiting.insert(name, known);
        }
    }
    while let Some(name) = ready.pop() {
        settle(name, table, &mut resolved);
        for waiter in waiters.get(name).into_iter().flatten() {
            if let Some(left) = waiting.get_mut(waiter) {
                *left -= 1;
                if *left == 0 {
                    waiting.remove(waiter);
                    ready.push(waiter);
                }
            }
        }
    }
    let stuck: Vec<&str> = waiting.keys().copied().collect();
    for name in &stuck {
        let fault = circle_from(name, table, &waiting);
        resolved
            .faults
            .insert((*name).to_owned(), ExpressionError { at: 0, fault });
    }
    resolved
}

fn settle(name: &str, table: &BTreeMap<String, Definition>, resolved: &mut Resolved) {
    let value = match table.get(name) {
        None => return,
        Some(Definition::Fixed(mm)) => Ok(*mm),
        Some(Definition::Worked(expression)) => {
            expression.value(&|need| resolved.values.get(need).copied())
        }
    };
    match value {
        Ok(mm) => {
            resolved.values.insert(name.to_owned(), mm);
        }
        Err(error) => {
            let error = explain(error, table);
            resolved.faults.insert(name.to_owned(), error);
        }
    }
}

/// Tells an unknown name from a known one without value, and finds a likely spelling.
pub(crate) fn explain(
    error: ExpressionError,
    table: &BTreeMap<String, Definition>,
) -> ExpressionError {
    let ExpressionFault::UnknownName { name, .. } = error.fault else {
        return error;
    };
    let fault = if table.contains_key(&name) {
        ExpressionFault::NameWithoutValue { name }
    } else {
        let small = name.to_lowercase();
        let like = table
            .keys()
            .find(|known| known.to_lowercase() == small)
            .cloned();
        ExpressionFault::UnknownName { name, like }
    };
    ExpressionError {
        at: error.at,
        fault,
    }
}

/// The circle that `start` is in, or the name it waits for if it only leads to a circle.
fn circle_from(
    start: &str,
    table: &BTreeMap<String, Definition>,
    waiting: &BTreeMap<&str, usize>,
) -> ExpressionFault {
    let next = |name: &str| -> Option<String> {
        match table.get(name) {
            Some(Definition::Worked(expression)) => expression
                .names()
                .into_iter()
                .find(|n| waiting.contains_key(n))
                .map(String::from),
            _ => None,
        }
    };
    // Every stuck name waits for a stuck name, so the walk must come round.
    let mut path = vec![start.to_owned()];
    while let Some(name) = path.last().and_then(|last| next(last)) {
        if name == start {
            return ExpressionFault::Circle { names: path };
        }
        if path.contains(&name) {
            break;
        }
        path.push(name);
    }
    let name = path.get(1).cloned().unwrap_or_else(|| start.to_owned());
    ExpressionFault::NameWithoutValue { name }
}
