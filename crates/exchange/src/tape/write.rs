//! A board written as a line that reads back as the same board.

use heartside_timber::defaults::MOST_COPIES;
use heartside_timber::document::{Board, BoardOutline, EdgeKind, Station};
use heartside_timber::ids::is_safe_id;
use heartside_timber::length::{LengthContext, Unit, read_length};

use super::spacing::spaced_evenly;

/// Writes a board measured by tape as a line, its lengths in `unit`.
///
/// Read in the same unit the line gives the sizes back to the last bit. What a line has no words for is
/// left out: it says what one measures, not all that a board has. Nothing for a board drawn by
/// corners, and where a size is worked out or cannot be read.
pub fn write_tape(board: &Board, unit: Unit) -> Option<String> {
    let Some(BoardOutline::Tape {
        length,
        stations,
        left,
        right,
        ..
    }) = &board.outline
    else {
        return None;
    };
    let length = length.plain_mm()?;
    let thickness = board.thickness.as_ref()?.plain_mm()?;
    // In their order along the board, however they stand in the file.
    let mut measured: Vec<[f64; 3]> = Vec::new();
    for station in stations {
        let sizes = sizes_of(station)?;
        let at = measured.partition_point(|m| m[0] <= sizes[0]);
        measured.insert(at, sizes);
    }
    let is_in_order = measured.windows(2).all(|w| w[0][0] < w[1][0]);
    if !is_in_order || measured.last()?[0] > length {
        return None;
    }
    let mut line = String::new();
    if is_safe_id(&board.id) {
        line.push_str(&format!("{}: ", board.id));
    }
    line.push_str(&format!("{} x", size(length, unit)?));
    let evenly = are_evenly_spaced(&measured, length, unit);
    for [at, left, right] in &measured {
        if !evenly {
            line.push_str(&format!(" @{}", size(*at, unit)?));
        }
        line.push_str(&format!(" {}+{}", size(*left, unit)?, size(*right, unit)?));
    }
    line.push_str(&format!(" x {}", size(thickness, unit)?));
    let whole =
        |count: &f64| count.fract() == 0.0 && (1.0..=f64::from(MOST_COPIES)).contains(count);
    if let Some(count) = board.count.filter(whole) {
        line.push_str(&format!(", {count} alike"));
    }
    let straight = |edge: &EdgeKind| *edge == EdgeKind::Straight;
    match (straight(left), straight(right)) {
        (true, true) => line.push_str(", straight"),
        (true, false) => line.push_str(", straight left"),
        (false, true) => line.push_str(", straight right"),
        (false, false) => {}
    }
    let words: Vec<&str> = board.species.split_whitespace().collect();
    let wood = words.join(" ");
    if !wood.is_empty() && is_wood_word(&wood) {
        line.push_str(&format!(", of {wood}"));
    }
    // One line is one board.
    let name = board.name.trim();
    if !name.is_empty() && !name.contains(['\n', '\r']) {
        line.push_str(&format!(", called {name}"));
    }
    Some(line)
}

fn sizes_of(station: &Station) -> Option<[f64; 3]> {
    Some([
        station.at.plain_mm()?,
        station.left.plain_mm()?,
        station.right.plain_mm()?,
    ])
}

/// Whether the reader puts the widths where they are if no place is written.
fn are_evenly_spaced(measured: &[[f64; 3]], length: f64, unit: Unit) -> bool {
    let mut open = vec![None; measured.len()];
    if let Some(last) = open.last_mut() {
        *last = Some(length);
    }
    open[0] = Some(0.0);
    let spaced = spaced_evenly(&open, unit);
    measured
        .iter()
        .zip(&spaced)
        .all(|(m, place)| m[0] == *place)
}

/// A length that the reader reads as just this number.
fn size(mm: f64, unit: Unit) -> Option<String> {
    let reads = |text: &str| read_length(text, unit, LengthContext::Length) == Ok(mm);
    let in_inches = || {
        let steps = mm / 25.4 * 64.0;
        let whole = steps.round();
        let (inches, mut n, mut d) = ((whole / 64.0).floor(), whole % 64.0, 64.0);
        while n > 0.0 && n % 2.0 == 0.0 {
            (n, d) = (n / 2.0, d / 2.0);
        }
        match (inches, n) {
            (inches, 0.0) => format!("{inches}\""),
            (0.0, n) => format!("{n}/{d}\""),
            (inches, n) => format!("{inches} {n}/{d}\""),
        }
    };
    let forms = match unit {
        Unit::Millimetres => [format!("{mm}"), format!("{mm}mm")],
        Unit::Inches => [in_inches(), format!("{mm}mm")],
    };
    forms.into_iter().find(|text| reads(text))
}

/// Whether the words behind `of` end where the wood does.
fn is_wood_word(wood: &str) -> bool {
    let called = wood.split(' ').any(|word| word.to_lowercase() == "called");
    !called && !wood.contains([',', ';'])
}
