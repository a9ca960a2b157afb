//! Sapwood: on both long edges or on neither, and how little of it there is.

use heartside_geometry::Bounds;

use super::ENOUGH;
use super::lost::worst;
use super::mosaic::{Mosaic, Window};

/// Edges are compared in steps of about this many millimetres along the face.
const STEP: f64 = 100.0;

/// The share of the width in sapwood that nobody minds.
const UNMINDED: f64 = 0.02;

/// How far what is seen of sapwood lies on both long edges alike, or is not there: 1 in either case, near 0 on one edge
/// alone or inside.
///
/// At each step along the face sapwood is followed from each long edge inwards to the middle: A and B are what lies in
/// one run from the lower and the upper edge, I what lies inside with heartwood between it and the edge (at a joint, mostly), each a share
/// of the width.
///
/// ```text
/// value = 1 - S(|A - B| + I) / S(A + B + I + 0.02)      S: sum over the steps
/// ```
///
/// A formula of our own: the difference of two edges over their sum (Michelson 1927), with what lies inside as all
/// loss. Tried: the sums of halves (a stave with its sapwood at the joint was as good as one with it at the edge).
///
/// None where too little is known ([`ENOUGH`]). O(cells).
pub(super) fn on_both(mosaic: &Mosaic) -> (Option<f64>, Vec<(Bounds, f64)>) {
    let Some(steps) = steps(mosaic) else {
        return (None, Vec::new());
    };
    let half = mosaic.rows / 2;
    let rows = mosaic.rows as f64;
    let (mut scale, mut loss, mut losses) = (0.0, 0.0, Vec::new());
    for (columns, shares) in steps {
        let lower = Run::of(shares.iter().take(half).copied());
        let upper = Run::of(shares.iter().rev().take(half).copied());
        let (a, b) = (lower.edge / rows, upper.edge / rows);
        let inside = (lower.inside + upper.inside) / rows;
        scale += a + b + inside + UNMINDED;
        loss += (a - b).abs() + inside;
        // Told where it is too much: at the edge that has more, or inside.
        let of = |lies: bool, rows: core::ops::Range<usize>, loss: f64| {
            let window = Window {
                columns: columns.clone(),
                rows,
            };
            (lies && !window.rows.is_empty()).then_some((window, loss))
        };
        let deep = |run: &Run| (run.edge.ceil() as usize).clamp(1, half.max(1));
        losses.push([
            of(a > b, 0..deep(&lower), a - b),
            of(b > a, mosaic.rows - deep(&upper)..mosaic.rows, b - a),
            lower
                .place
                .map(|at| (at, lower.inside / rows))
                .and_then(|(at, l)| of(true, at, l)),
            upper.place.and_then(|at| {
                of(
                    true,
                    mosaic.rows - at.end..mosaic.rows - at.start,
                    upper.inside / rows,
                )
            }),
        ]);
    }
    // Row by row, so that neighbours along the face lie one after the other.
    let in_rows = (0..4).flat_map(|k| losses.iter().filter_map(move |l| l[k].clone()));
    let lost = worst(mosaic, in_rows.collect(), scale, 5);
    (Some(1.0 - loss / scale), lost)
}

/// How much of the face is free of sapwood: 1 where there is none, 0 from a third of the face on. A third, since
/// what is mostly sapwood cannot be told from what is all sapwood by somebody who wants none.
pub(super) fn none(mosaic: &Mosaic) -> (Option<f64>, Vec<(Bounds, f64)>) {
    if mosaic.cells.is_empty() || known(mosaic) < ENOUGH {
        return (None, Vec::new());
    }
    let windows = mosaic.windows(&mosaic.whole(), STEP, 40.0);
    let loss = |window: &Window| {
        let mut sum = 0.0;
        for row in window.rows.clone() {
            for column in window.columns.clone() {
                sum += share(mosaic.at(column, row).sapwood).unwrap_or(0.0);
            }
        }
        sum
    };
    let losses: Vec<(Window, f64)> = windows.into_iter().map(|w| (w.clone(), loss(&w))).collect();
    let scale = mosaic.cells.len() as f64 * known(mosaic);
    let seen: f64 = losses.iter().map(|(_, loss)| loss).sum();
    (
        Some(1.0 - 3.0 * seen / scale),
        worst(mosaic, losses, 0.1 * scale, 5),
    )
}

/// How far a cell is sapwood: surely not up to a quarter of the range, surely from three quarters on, so that noise
/// in either is nothing. None where unknown.
fn share(level: f32) -> Option<f64> {
    (level > 0.0).then(|| ((f64::from(level) - 64.0) / 128.0).clamp(0.0, 1.0))
}

fn known(mosaic: &Mosaic) -> f64 {
    let known = mosaic.cells.iter().filter(|c| c.sapwood > 0.0).count();
    known as f64 / mosaic.cells.len().max(1) as f64
}

type Step = (core::ops::Range<usize>, Vec<f64>);

/// Steps along the face, each with the share of sapwood of its rows, the lowest first; a row of which nothing is known has what
/// its neighbour has. None where too little is known.
fn steps(mosaic: &Mosaic) -> Option<Vec<Step>> {
    if mosaic.cells.is_empty() || known(mosaic) < ENOUGH {
        return None;
    }
    let steps = mosaic.windows(&mosaic.whole(), STEP, f64::INFINITY);
    let of = |step: Window| {
        let mut last = 0.0;
        let row_share = |row: usize| {
            let levels = step
                .columns
                .clone()
                .filter_map(|c| share(mosaic.at(c, row).sapwood));
            let (count, sum) = levels.fold((0.0, 0.0), |(n, s), level| (n + 1.0, s + level));
            if count > 0.0 {
                last = sum / count;
            }
            last
        };
        let shares = step.rows.clone().map(row_share).collect();
        (step.columns, shares)
    };
    Some(steps.into_iter().map(of).collect())
}

/// Sapwood followed from an edge inwards, in rows.
struct Run {
    /// In one run from the edge.
    edge: f64,
    /// Inside, with heartwood between it and the edge.
    inside: f64,
    /// The rows from the edge between which it lies inside.
    place: Option<core::ops::Range<usize>>,
}

impl Run {
    fn of(shares: impl Iterator<Item = f64>) -> Run {
        let mut run = Run {
            edge: 0.0,
            inside: 0.0,
            place: None,
        };
        let mut least: f64 = 1.0;
        for (row, share) in shares.enumerate() {
            least = least.min(share);
            run.edge += least;
            // A tenth is what a wandering border makes in a step.
            let inside = share - least;
            if inside > 0.1 {
                run.inside += inside;
                let from = run.place.map_or(row, |place| place.start);
                run.place = Some(from..row + 1);
            }
        }
        run
    }
}
