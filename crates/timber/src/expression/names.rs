//! Works out a table of named dimensions that may use one another.

use super::{Expression, ExpressionError, ExpressionFault};
use crate::length::UnitWord;
use heartside_geometry::SortedMap;

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
    pub values: SortedMap<String, f64>,
    /// Why a name has no value.
    pub faults: SortedMap<String, ExpressionError>,
}

/// Whether a text can be the name of a dimension: words with single spaces between them, none
/// of them a unit.
pub fn is_name(text: &str) -> bool {
    let is_word = |word: &str| {
        !word.is_empty()
            && word.chars().all(|c| c.is_alphanumeric() || c == '_')
            && UnitWord::of(word).is_none()
    };
    text.chars().next().is_some_and(char::is_alphabetic) && text.split(' ').all(is_word)
}

/// Works out every dimension, whatever order they need.
///
/// Every dimension gets either a value or a fault: unknown names, circles, and what depends
/// on a faulty one are all named; the rest is usable.
///
/// # Cost
/// O(n log n + u log n) for n dimensions and u uses of names; no recursion over the table.
pub fn resolve(table: &SortedMap<String, Definition>) -> Resolved {
    let mut resolved = Resolved::default();
    // How many names each one still waits for, and who waits for a name.
    let mut waiting: SortedMap<&str, usize> = SortedMap::new();
    let mut waiters: SortedMap<&str, Vec<&str>> = SortedMap::new();
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
    let stuck: Vec<&str> = waiting.into_keys().collect();
    let next = next_stuck(table, &stuck);
    let circles = in_circles(&next);
    for (place, name) in stuck.iter().enumerate() {
        let fault = if circles[place] {
            circle_from(place, &next, &stuck)
        } else {
            let needed = next[place].map_or(*name, |needed| stuck[needed]);
            ExpressionFault::NameWithoutValue {
                name: needed.to_owned(),
            }
        };
        resolved
            .faults
            .insert((*name).to_owned(), ExpressionError { at: 0, fault });
    }
    resolved
}

fn settle(name: &str, table: &SortedMap<String, Definition>, resolved: &mut Resolved) {
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
    table: &SortedMap<String, Definition>,
) -> ExpressionError {
    let ExpressionFault::UnknownName { name, .. } = error.fault else {
        return error;
    };
    let fault = if table.contains_key(&name) {
        ExpressionFault::NameWithoutValue { name }
    } else {
        let small = name.to_lowercase();
        // A courtesy: among thousands of names nobody is helped by it in time.
        let like = table
            .keys()
            .take(MOST_LIKE)
            .find(|known| known.to_lowercase() == small)
            .cloned();
        ExpressionFault::UnknownName { name, like }
    };
    ExpressionError {
        at: error.at,
        fault,
    }
}

/// Among so many names one that differs only in capitals is looked for.
const MOST_LIKE: usize = 1000;
/// So many names of a circle are told; whoever mends one of them has mended it.
const MOST_OF_A_CIRCLE: usize = 8;

/// For each stuck name, in their order, the first stuck name it needs, by its place: every
/// stuck name waits for one.
fn next_stuck(table: &SortedMap<String, Definition>, stuck: &[&str]) -> Vec<Option<usize>> {
    let places: SortedMap<&str, usize> =
        SortedMap::from_iter(stuck.iter().enumerate().map(|(k, n)| (*n, k)));
    let next = |name: &str| match table.get(name) {
        Some(Definition::Worked(expression)) => {
            let mut names = expression.names().into_iter();
            names.find_map(|n| places.get(n).copied())
        }
        _ => None,
    };
    stuck.iter().map(|name| next(name)).collect()
}

/// Which of the stuck names are in a circle themselves; the others lead to one. O(names).
fn in_circles(next: &[Option<usize>]) -> Vec<bool> {
    let mut circles = vec![false; next.len()];
    // The walk that came by first, by the place where it began; 0: none yet.
    let mut walked = vec![0; next.len()];
    for start in 0..next.len() {
        let mut at = start;
        while walked[at] == 0 {
            walked[at] = start + 1;
            match next[at] {
                Some(needed) => at = needed,
                None => break,
            }
        }
        // This walk has come round to itself: from here on once more is the circle.
        while walked[at] == start + 1 && next[at].is_some() && !circles[at] {
            circles[at] = true;
            at = next[at].unwrap_or(at);
        }
    }
    circles
}

/// The circle that a name is in, from it on.
fn circle_from(start: usize, next: &[Option<usize>], stuck: &[&str]) -> ExpressionFault {
    let mut names = vec![stuck[start].to_owned()];
    let mut at = next[start];
    while let Some(place) = at.filter(|place| *place != start) {
        if names.len() == MOST_OF_A_CIRCLE {
            names.push("\u{2026}".into());
            break;
        }
        names.push(stuck[place].to_owned());
        at = next[place];
    }
    ExpressionFault::Circle { names }
}
