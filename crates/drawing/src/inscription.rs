//! What is written in a placed part: name, size, distances across, grain arrow and face mark.

use heartside_cutting::{Datum, write_rough};
use heartside_geometry::{Point, Region};
use heartside_timber::job::Job;

use crate::fitting::{Wording, around, fit_inside, free_place, is_within};
use crate::laid::{Laid, TYPE};
use crate::pen::Words;
use crate::room::{Room, Taken};
use crate::svg::Origin;

/// What of a part's text found room inside it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Inscription {
    /// Name and size; empty where they need a place outside.
    pub(crate) label: Vec<Words>,
    /// Distances across, at its extreme corners.
    pub(crate) across: Vec<Words>,
    /// Distances across that found no room at the part, ready to follow its name outside.
    pub(crate) across_outside: Option<String>,
    /// Middle of the grain arrow, and of the face mark.
    pub(crate) arrow: Option<Point>,
    pub(crate) face_mark: Option<Point>,
}

/// Distances across the board as they are written at a blank: "62", or "36 L" and "12 R" of a chalk line.
pub(crate) fn across_words(job: &Job, datum: &Datum, at: Point) -> String {
    let distance = datum.across_at(at);
    if datum.chalk_from_right.is_none() {
        return write_rough(distance, &job.units);
    }
    let shown = write_rough(distance.abs(), &job.units);
    if shown == "0" || distance.abs() < 0.05 {
        "0".into()
    } else if distance > 0.0 {
        format!("{shown} L")
    } else {
        format!("{shown} R")
    }
}

/// Finds room inside a part for its text, and takes it.
pub(crate) fn inscribe(
    laid: &Laid,
    job: &Job,
    marking: Option<(&Datum, &Region)>,
    short: bool,
    origin: Origin,
    room: &mut Room,
    unit: f64,
) -> Inscription {
    let mut found = Inscription::default();
    let body = laid.body();
    if let Some((datum, board)) = marking {
        mark_across(laid, job, datum, board, origin, room, unit, &mut found);
    }
    for (a, b) in &laid.shoulders {
        room.take_leader(origin.map(*a), origin.map(*b));
    }
    let mut ways = laid.wordings(unit);
    if short {
        // From afar the name alone; the size shows when one comes nearer.
        ways.push(Wording {
            lines: vec![(vec![(laid.name.clone(), "hs-name")], TYPE.name * unit)],
        });
    }
    let fitted = fit_inside(&ways, &laid.finished, origin, room, 0.7 * unit)
        .or_else(|| fit_inside(&ways, body, origin, room, 0.7 * unit));
    if let Some(words) = fitted {
        for line in &words {
            room.take(Taken::Label, line.bounds());
        }
        found.label = words;
    }
    if short && found.label.is_empty() {
        return found;
    }
    // Arrow and face mark stand at the far end, where there is room.
    let bounds = laid.finished.bounds();
    let mut place = |w: f64, h: f64| {
        for back in [0.0, 0.15, 0.3, 0.5] {
            for up in [0.0, 0.3, -0.3] {
                let x = bounds.max.x - 1.0 * unit - w / 2.0 - back * (bounds.width() - w).max(0.0);
                let middle = Point {
                    x,
                    y: bounds.centre().y + up * (bounds.height() - h).max(0.0),
                };
                let own = around(middle, w, h);
                let drawn = around(origin.map(middle), w, h);
                if is_within(&laid.finished, &own) && room.is_clear(&drawn) {
                    room.take(Taken::Label, drawn);
                    return Some(origin.map(middle));
                }
            }
        }
        None
    };
    if laid.seen.0 || laid.seen.1 {
        found.face_mark = place(3.4 * unit, 3.0 * unit);
    }
    if let Some(axis) = laid.grain {
        let (w, h) = (
            axis.x.abs() * 7.0 + axis.y.abs() * 2.0,
            axis.y.abs() * 7.0 + axis.x.abs() * 2.0,
        );
        found.arrow = place(w * unit, h * unit);
    }
    found
}

/// Writes the distances across at the extreme corners of a blank: one above the other in its
/// start corner, else both in one line, else close beside it, else outside with its name.
#[allow(clippy::too_many_arguments)] // One private place; a struct would only repeat the names.
fn mark_across(
    laid: &Laid,
    job: &Job,
    datum: &Datum,
    board: &Region,
    origin: Origin,
    room: &mut Room,
    unit: f64,
    found: &mut Inscription,
) {
    let body = laid.body();
    let corners = [extreme_across(laid, false), extreme_across(laid, true)];
    let texts = corners.map(|c| across_words(job, datum, c));
    let scales: &[f64] = match 0.88 * TYPE.dim * unit < room.least_type {
        true => &[1.0],
        false => &[1.0, 0.88],
    };
    for scale in scales {
        let size = TYPE.dim * unit * scale;
        let pair = [0, 1].map(|k| {
            let words = Words::new(texts[k].clone(), "hs-dim", corners[k], size);
            let (w, h) = (words.length(), words.bounds().height());
            let inwards = if k == 1 { -1.0 } else { 1.0 };
            let row = corners[k].y + inwards * (0.15 * unit + h / 2.0);
            let inside = [0.5, 1.5, 3.0, 5.0].map(|dx| Point {
                x: corners[k].x + dx * unit + w / 2.0,
                y: row,
            });
            let before = Point {
                x: corners[k].x - w / 2.0 - 0.6 * unit,
                y: row,
            };
            let below = Point {
                x: corners[k].x + w / 2.0,
                y: corners[k].y - inwards * (0.5 * unit + h / 2.0),
            };
            let free = |m: &Point| room.is_clear(&around(origin.map(*m), w, h));
            let found = inside
                .into_iter()
                .find(|m| is_within(body, &around(*m, w, h)) && free(m));
            let beside = || {
                if laid.is_square_to_board() {
                    None
                } else {
                    [before, below]
                        .into_iter()
                        .find(|m| is_within(board, &around(*m, w, h)) && free(m))
                }
            };
            found.or_else(beside).map(|middle| Words {
                middle: origin.map(middle),
                ..words
            })
        });
        if let [Some(low), Some(high)] = pair
            && !crate::room::overlaps(&low.bounds(), &high.bounds())
        {
            for words in [low, high] {
                room.take(Taken::Label, words.bounds());
                found.across.push(words.haloed(0.6 * unit, "hs-halo-part"));
            }
            return;
        }
    }
    let span = across_span(job, datum, corners);
    for scale in scales {
        let words = Words::new(
            span.clone(),
            "hs-dim",
            Point { x: 0.0, y: 0.0 },
            TYPE.dim * unit * scale,
        );
        let (w, h) = (words.length(), words.bounds().height());
        if let Some(middle) = free_place(w, h, body, origin, room, 0.5 * unit) {
            let words = Words { middle, ..words };
            room.take(Taken::Label, words.bounds());
            found.across.push(words.haloed(0.6 * unit, "hs-halo-part"));
            return;
        }
    }
    found.across_outside = Some(format!("across {span}"));
}

/// The corner of a blank that reaches furthest across the board, high or low; of several the one nearest the start.
fn extreme_across(laid: &Laid, high: bool) -> Point {
    let bounds = laid.bounds();
    let side = if high { bounds.max.y } else { bounds.min.y };
    let points = laid
        .body()
        .outer()
        .points()
        .iter()
        .filter(|p| (p.y - side).abs() < 0.01);
    points
        .copied()
        .min_by(|a, b| a.x.total_cmp(&b.x))
        .unwrap_or(Point {
            x: bounds.min.x,
            y: side,
        })
}

/// Both distances across in one: "62–128", "3–69 L", "12 R–30 L".
pub(crate) fn across_span(job: &Job, datum: &Datum, corners: [Point; 2]) -> String {
    let [low, high] = corners.map(|c| across_words(job, datum, c));
    match (low.split_once(' '), high.split_once(' ')) {
        (Some((bare, a)), Some((_, b))) if a == b && datum.chalk_from_right.is_some() => {
            format!("{bare}–{high}")
        }
        _ => format!("{low}–{high}"),
    }
}
