//! Widths along a board that was measured by tape.

use heartside_geometry::Arrange;
use heartside_timber::document::{Board, BoardOutline, Document, Length, Station};
use heartside_timber::length::Unit;

use crate::protocol::{Thing, ThingKind};

pub(super) fn tape_length(board: &Board) -> Option<f64> {
    match &board.outline {
        Some(BoardOutline::Tape { length, .. }) => length.plain_mm(),
        _ => None,
    }
}

/// What was measured at the far end still is after the length was put right.
pub(super) fn keep_widths_at_end(board: &mut Board, before: f64) {
    let Some(now) = tape_length(board).filter(|now| *now != before) else {
        return;
    };
    if let Some(BoardOutline::Tape { stations, .. }) = &mut board.outline {
        for station in stations {
            if station.at.plain_mm() == Some(before) {
                station.at = Length::Mm(now);
            }
        }
    }
}

/// A width at a new place, as wide as its neighbours make the board there: at the far end
/// while nothing was measured there, else in the middle of the longest stretch between two
/// places (that after the width named, where it is a width that gets a neighbour).
pub(super) fn add_station(d: &mut Document, owner: &Thing) -> Option<Thing> {
    let unit = d.units.length;
    let board = d.boards.get_mut(owner.at())?;
    let Some(BoardOutline::Tape {
        length, stations, ..
    }) = &mut board.outline
    else {
        return None;
    };
    let end = length.plain_mm().filter(|end| *end > 0.0);
    let mut known: Vec<(f64, usize)> = stations
        .iter()
        .enumerate()
        .filter_map(|(row, s)| Some((s.at.plain_mm()?, row)))
        .collect();
    known.arrange_by(|a, b| a.0.total_cmp(&b.0));
    let after = |row: usize| known.iter().position(|(_, r)| *r == row);
    let gap = match owner.kind {
        ThingKind::Station => after(owner.within()).filter(|k| k + 1 < known.len()),
        _ => None,
    };
    let longest = || {
        let gaps = known.windows(2).map(|w| w[1].0 - w[0].0);
        // Of equal ones the first.
        gaps.enumerate()
            .fold(None, |best: Option<(usize, f64)>, (k, wide)| match best {
                Some((_, widest)) if widest >= wide => best,
                _ => Some((k, wide)),
            })
            .map(|(k, _)| k)
    };
    let last = known.last().copied();
    let at_end = end.filter(|end| last.is_none_or(|(at, _)| at < *end) && gap.is_none());
    let (place, row, like) = if let Some(end) = at_end {
        let row = last.map_or(stations.len(), |(_, row)| row + 1);
        (end, row, last.map(|(_, row)| (row, row)))
    } else if let Some(k) = gap.or_else(longest) {
        let ((from, before), (to, after)) = (known[k], known[k + 1]);
        (middle_of(from, to, unit), before + 1, Some((before, after)))
    } else {
        let at = last.map_or(0.0, |(at, _)| at + 100.0);
        (at, stations.len(), last.map(|(_, row)| (row, row)))
    };
    let between = |side: fn(&Station) -> &Length| {
        let (one, other) = like?;
        let (one, other) = (side(stations.get(one)?), side(stations.get(other)?));
        match (one.plain_mm(), other.plain_mm()) {
            (Some(a), Some(b)) if a != b => Some(Length::Mm(middle_of(a, b, unit))),
            _ => Some(one.clone()),
        }
    };
    let new = Station {
        at: Length::Mm(place),
        left: between(|s| &s.left).unwrap_or(Length::Mm(100.0)),
        right: between(|s| &s.right).unwrap_or(Length::Mm(100.0)),
    };
    stations.insert(row, new);
    Some(Thing::inner(ThingKind::Station, owner.at(), row))
}

/// How wide a board by tape is on the left and on the right at a place along it.
pub(in crate::session) fn widths_at(board: &Board, along: f64) -> Option<[f64; 2]> {
    let Some(BoardOutline::Tape { stations, .. }) = &board.outline else {
        return None;
    };
    let mut known: Vec<[f64; 3]> = Vec::new();
    for station in stations {
        let at = station.at.plain_mm()?;
        let row = [at, station.left.plain_mm()?, station.right.plain_mm()?];
        known.insert(known.partition_point(|k| k[0] <= at), row);
    }
    let (first, last) = (known.first()?, known.last()?);
    let next = known.partition_point(|k| k[0] <= along);
    if next == 0 {
        return Some([first[1], first[2]]);
    }
    let Some(after) = known.get(next) else {
        return Some([last[1], last[2]]);
    };
    let before = known[next - 1];
    let share = (along - before[0]) / (after[0] - before[0]);
    let between = |side: usize| before[side] + share * (after[side] - before[side]);
    Some([between(1), between(2)])
}

/// A width at a place along the board, as wide as the board is drawn there; the one that is there
/// already, if one is.
pub(in crate::session) fn add_station_at(
    d: &mut Document,
    board: usize,
    along: f64,
) -> Option<Thing> {
    let step = match d.units.length {
        Unit::Millimetres => 1.0,
        Unit::Inches => 25.4 / 8.0,
    };
    let row = d.boards.get_mut(board)?;
    let along = (along / step).round() * step;
    let along = along.clamp(0.0, tape_length(row)?.max(0.0));
    let [left, right] = widths_at(row, along)?;
    let Some(BoardOutline::Tape { stations, .. }) = &mut row.outline else {
        return None;
    };
    let place = |s: &Station| s.at.plain_mm().unwrap_or(f64::NEG_INFINITY);
    let there = stations.iter().position(|s| place(s) == along);
    let at = there.unwrap_or_else(|| {
        let before = stations.iter().rposition(|s| place(s) < along);
        before.map_or(0, |before| before + 1)
    });
    if there.is_none() {
        // Fine enough that the outline stays as it is until the width is typed.
        let tenth = |mm: f64| Length::Mm((mm * 10.0).round() / 10.0);
        let new = Station {
            at: Length::Mm(along),
            left: tenth(left),
            right: tenth(right),
        };
        stations.insert(at, new);
    }
    Some(Thing::inner(ThingKind::Station, board, at))
}

/// The middle of two lengths, on a whole millimetre or an eighth of an inch if one lies between.
fn middle_of(a: f64, b: f64, unit: Unit) -> f64 {
    let step = match unit {
        Unit::Millimetres => 1.0,
        Unit::Inches => 25.4 / 8.0,
    };
    let middle = (a + b) / 2.0;
    let round = (middle / step).round() * step;
    if (round - a) * (round - b) < 0.0 {
        round
    } else {
        middle
    }
}
