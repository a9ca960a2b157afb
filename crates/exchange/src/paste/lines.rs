//! Parts typed as lines: `Leg 4 720 60 60`, `4 legs 720 x 60 x 60`, `Rail 2 560 84 22 tenons 30`.
//!
//! Words before the sizes are the name; a whole number before the name, or the first of four
//! numbers after it, is how many; the other three are length, width and thickness. Words after
//! the sizes say more: `tenons 30` or `t30` (at both ends), `tenon 30 20`, a species, `across`, `sawn`, `both faces`.
//! What is not understood goes into the note and is told.

use super::columns::{Column, Field};
use super::row::{Pasted, RowReader};
use heartside_timber::ids::TakenIds;
use heartside_timber::length::{LengthContext, LengthError, Unit, is_unit, read_length};
use heartside_timber::shared_names::woods_called;
use heartside_timber::species::find_wood;
use heartside_timber::words::shortened;

/// A first number up to this may be how many, where three stand in a line.
const MOST_IN_SHORT: f64 = 20.0;

const COLUMNS: [Field; 11] = [
    Field::Name,
    Field::Count,
    Field::Length,
    Field::Width,
    Field::Thickness,
    Field::TenonStart,
    Field::TenonEnd,
    Field::Species,
    Field::Grain,
    Field::Cut,
    Field::Note,
];

/// Reads typed lines; nothing where none of them has sizes.
pub(super) fn read(text: &str, unit: Unit, taken: &mut TakenIds) -> Option<Pasted> {
    let columns: Vec<Column> = COLUMNS.into_iter().map(Column::holding).collect();
    let mut pasted = Pasted::default();
    let mut any = false;
    let lines = text.lines().enumerate();
    for (number, line) in lines.filter(|(_, line)| !line.trim().is_empty()) {
        let typed = Typed::of(line, unit);
        any |= typed.cells[1].is_some() && typed.cells[3].is_some() || typed.cells[4].is_some();
        let cells: Vec<String> = typed
            .cells
            .into_iter()
            .map(Option::unwrap_or_default)
            .collect();
        let mut row = RowReader {
            line: number + 1,
            unit,
            pasted: &mut pasted,
        };
        for word in typed.strange {
            row.say(
                "",
                "paste-word",
                format!("\u{201c}{}\u{201d} is not understood", shortened(&word)),
                "it goes into the note",
            );
        }
        let part = row.part(&columns, &cells, taken);
        pasted.parts.push(part);
    }
    any.then_some(pasted)
}

/// A typed line, sorted into cells.
#[derive(Default)]
struct Typed {
    cells: [Option<String>; 11],
    strange: Vec<String>,
}

impl Typed {
    fn of(line: &str, unit: Unit) -> Typed {
        let mut typed = Typed::default();
        let words = words(line, unit);
        let is_number = |word: &String| number(word, unit).is_some();
        let mut rest = words.as_slice();
        // A count before the name: 4 legs, 4x leg, 4 off leg.
        if let [first, after, ..] = rest
            && let Some(count) = whole(first)
            && !is_number(after)
        {
            typed.cells[1] = Some(count);
            rest = &rest[1..];
            if matches!(
                after.to_lowercase().as_str(),
                "x" | "\u{d7}" | "no" | "no." | "off" | "pcs" | "pieces"
            ) {
                rest = &rest[1..];
            }
        }
        let named = rest.iter().take_while(|w| !is_number(w)).count();
        let (name, rest) = rest.split_at(named);
        typed.cells[0] = Some(name.join(" "));
        let sized = rest
            .iter()
            .take_while(|w| is_number(w) || matches!(w.as_str(), "x" | "\u{d7}"))
            .count();
        let (sizes, after) = rest.split_at(sized);
        let mut sizes: Vec<&String> = sizes.iter().filter(|w| is_number(w)).collect();
        if typed.cells[1].is_none() && has_count(&sizes, unit) {
            typed.cells[1] = Some(sizes.remove(0).clone());
        }
        for (k, size) in sizes.into_iter().enumerate() {
            match typed.cells.get_mut(2 + k).filter(|_| k < 3) {
                Some(cell) => *cell = Some(size.clone()),
                None => typed.strange.push(size.clone()),
            }
        }
        typed.more(after, unit);
        let note: Vec<&str> = typed.strange.iter().map(String::as_str).collect();
        typed.cells[10] = (!note.is_empty()).then(|| note.join(" "));
        typed
    }

    /// What stands behind the sizes.
    fn more(&mut self, words: &[String], unit: Unit) {
        let mut at = 0;
        while let Some(word) = words.get(at) {
            at += 1;
            let size = |k: usize| words.get(k).filter(|w| number(w, unit).is_some()).cloned();
            match word.to_lowercase().as_str() {
                "tenon" | "tenons" if size(at).is_some() => {
                    self.cells[5] = size(at);
                    let second = size(at + 1);
                    at += 1 + usize::from(second.is_some());
                    self.cells[6] = second.or_else(|| self.cells[5].clone());
                }
                // As on a sketch: t30.
                short
                    if short
                        .strip_prefix('t')
                        .is_some_and(|n| number(n, unit).is_some()) =>
                {
                    self.cells[5] = short.strip_prefix('t').map(str::to_owned);
                    self.cells[6] = self.cells[5].clone();
                }
                "along" | "across" => self.cells[8] = Some(word.clone()),
                "sawn" => self.cells[9] = Some("sawn".to_owned()),
                _ => match wood(&words[at - 1..]) {
                    Some((name, taken)) => {
                        self.cells[7] = Some(name);
                        at += taken - 1;
                    }
                    None => self.strange.push(word.clone()),
                },
            }
        }
    }
}

/// Whether the first number is how many.
fn has_count(sizes: &[&String], unit: Unit) -> bool {
    let mm = |k: usize| sizes.get(k).and_then(|w| number(w, unit)).flatten();
    let Some(count) = sizes.first().and_then(|w| whole(w)) else {
        return false;
    };
    match sizes.len() {
        0..=2 => false,
        // Three sizes, or one forgotten: no part is shorter than it is wide.
        3 => {
            count.parse::<f64>().is_ok_and(|c| c <= MOST_IN_SHORT)
                && mm(0)
                    .zip(mm(1))
                    .is_some_and(|(first, second)| first < second)
        }
        _ => true,
    }
}

/// The longest run of words, from the first on, that names a wood, and how many they are.
fn wood(words: &[String]) -> Option<(String, usize)> {
    (1..=words.len().min(3)).rev().find_map(|n| {
        let name = words[..n].join(" ");
        let known = find_wood(&name).is_some() || !woods_called(&name).is_empty();
        known.then_some((name, n))
    })
}

/// The words of a line: what belongs to one length stands in one word, with its unit and fraction.
fn words(line: &str, unit: Unit) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for piece in line.split([' ', '\t', ';', '\u{a0}']) {
        // A comma may be a decimal sign; at the end of a word it only parts.
        let piece = piece.trim().trim_end_matches(',');
        if piece.is_empty() {
            continue;
        }
        for word in by_times(piece) {
            let joined = words
                .last()
                .filter(|last| starts_with_figure(last))
                .filter(|_| word.contains('/') || is_unit(&word))
                .map(|last| format!("{last} {word}"))
                .filter(|joined| number(joined, unit).is_some());
            match (joined, words.last_mut()) {
                (Some(joined), Some(last)) => *last = joined,
                _ => words.push(word),
            }
        }
    }
    words
}

/// `720x60x60` as three words; other words as they are.
fn by_times(piece: &str) -> Vec<String> {
    let pieces: Vec<&str> = piece.split(['x', 'X', '\u{d7}']).collect();
    if pieces.len() > 1 && pieces.iter().all(|p| starts_with_figure(p)) {
        return pieces.into_iter().map(str::to_owned).collect();
    }
    vec![piece.to_owned()]
}

fn starts_with_figure(word: &str) -> bool {
    word.chars().next().is_some_and(|c| c.is_ascii_digit())
}

/// A whole number: `4`, `4x`.
fn whole(word: &str) -> Option<String> {
    let figures = word.trim_end_matches(['x', 'X', '\u{d7}']);
    figures
        .parse::<u32>()
        .is_ok_and(|n| n >= 1)
        .then(|| figures.to_owned())
}

/// Whether a word is a length, and in millimetres where it is beyond doubt.
fn number(word: &str, unit: Unit) -> Option<Option<f64>> {
    if !starts_with_figure(word) {
        return None;
    }
    match read_length(word, unit, LengthContext::Length) {
        Ok(mm) => Some(Some(mm)),
        Err(
            LengthError::TwoReadings { .. }
            | LengthError::QuartersElsewhere { .. }
            | LengthError::Nominal { .. },
        ) => Some(None),
        Err(_) => None,
    }
}
