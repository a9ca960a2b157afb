//! The leftmost free place for a shape on a board that is partly covered.
//!
//! For one x the barred heights of the shape's origin are a union of intervals, one for each
//! convex polygon of the no-fit polygons (see [`super::no_fit`]); the gaps between them are
//! exactly the places where the shape fits. The columns looked at are where the shape just
//! clears a neighbour to its left, with regular ones between; the first one with a gap is
//! then moved to the left by halving.

use heartside_geometry::Arrange;
use heartside_geometry::{Point, Vector};
use heartside_timber::job::Job;

use super::lie::Lie;
use super::shape::Form;
use super::yard::Yard;
use crate::objective::Choices;

/// Columns laid regularly over a board's length.
///
/// Fewer and gaps between neighbours' ends are missed; more and the first plan takes longer.
const REGULAR: usize = 96;

/// Columns nearer than this share of the spacing are one.
///
/// First layouts of 161 and of 80 parts of many corners: a tenth 2.8 s with a density of 89.3 %
/// and 0.46 s with 64.0, three tenths 1.7 s with 88.6 and 0.29 s with 59.9.
const APART: f64 = 0.2;

/// So many columns are found without sorting.
const MOST_COLUMNS: f64 = 100_000.0;

/// Halvings when a column is moved to the left: to a thousandth of the spacing.
const HALVINGS: usize = 9;

/// The leftmost place found for `form` among `others`, its origin at or right of `from`.
///
/// What it returns keeps all distances. It may miss a place narrower than the spacing of
/// the columns that touches no neighbour's end.
pub(crate) fn leftmost(
    yard: &mut Yard,
    job: &Job,
    board: usize,
    form: &Form,
    others: &[Lie],
    (from, before): (f64, f64),
) -> Option<Point> {
    let room = yard.room(board, form);
    let close = 1e-9 * yard.boards[board].frame.largest_coordinate();
    if room.min.x > room.max.x + close || room.min.y > room.max.y + close {
        return None;
    }
    let (start, end) = (room.min.x.max(from), room.max.x.max(room.min.x).min(before));
    // The board's own shells are many and mostly long: the regular columns do for them.
    let mut columns = vec![start];
    for other in others {
        // All of its right ends lie left of where the search starts.
        let apart = yard.no_fits.kerf() + form.radius + other.form.radius;
        let last = other.form.bounds_at(other.at).max.x + apart - form.bounds.min.x;
        if last >= start {
            yard.no_fits
                .barred(form, &other.form)
                .right_ends(other.at.x, &mut columns);
        }
    }
    let spacing =
        ((room.max.x - room.min.x) / REGULAR as f64).min(yard.boards[board].frame.height() / 4.0);
    if spacing > 0.0 {
        // A strip is far longer than what will be used of it: nothing lies beyond the last piece there.
        let last = if Choices::of(job).is_strip() {
            others
                .iter()
                .map(|o| o.form.bounds_at(o.at).max.x)
                .fold(room.min.x, f64::max)
        } else {
            room.max.x
        };
        let count = ((end.min(last + spacing) - start) / spacing)
            .ceil()
            .max(0.0) as usize;
        columns.extend((0..=count.min(4 * REGULAR)).map(|k| start + spacing * k as f64));
    }
    let columns = thinned(&columns, (start, end), APART * spacing);

    let mut barred = Vec::new();
    let mut before = None;
    for x in columns {
        if let Some(y) = free_height(yard, job, board, form, others, x, &mut barred) {
            let mut best = Point::new(x, y);
            let mut blocked: f64 = before.unwrap_or(x);
            for _ in 0..HALVINGS {
                if best.x - blocked <= yard.margin.extra.max(close) {
                    break;
                }
                let middle = 0.5 * (blocked + best.x);
                let middle = snapped(job, middle);
                match free_height(yard, job, board, form, others, middle, &mut barred) {
                    Some(y) => best = Point::new(middle, y),
                    None => blocked = middle,
                }
            }
            return Some(best);
        }
        before = Some(x);
    }
    None
}

/// The columns between two ends in order, the leftmost of every so many millimetres.
///
/// Columns that hardly differ are one; halving finds what lies between. Sorting all of them
/// took some fifth of the time of a first layout of parts with many corners.
fn thinned(columns: &[f64], (start, end): (f64, f64), apart: f64) -> Vec<f64> {
    let within = columns.iter().filter(|x| **x >= start && **x <= end);
    let count = ((end - start) / apart).floor();
    if !(0.0..=MOST_COLUMNS).contains(&count) {
        let mut list: Vec<f64> = within.copied().collect();
        list.arrange_by(f64::total_cmp);
        list.dedup_by(|x, last| *x - *last <= apart);
        return list;
    }
    let mut first = vec![f64::INFINITY; count as usize + 1];
    for x in within {
        let place = &mut first[(((x - start) / apart) as usize).min(count as usize)];
        *place = place.min(*x);
    }
    first.retain(|x| *x < f64::INFINITY);
    first
}

fn snapped(job: &Job, value: f64) -> f64 {
    job.snap(value)
}

/// A place in the column at x (moved to the grid), the lowest that is free.
fn free_height(
    yard: &mut Yard,
    job: &Job,
    board: usize,
    form: &Form,
    others: &[Lie],
    x: f64,
    barred: &mut Vec<(f64, f64)>,
) -> Option<f64> {
    let room = yard.room(board, form);
    let x = snapped(job, x);
    barred.clear();
    yard.barred(board, form)
        .barred_heights(x, Vector::ZERO, (1.0, 0.0), barred);
    let own = form.bounds_at(Point::new(x, 0.0));
    for other in others {
        let theirs = other.form.bounds_at(other.at);
        let apart = yard.no_fits.kerf() + form.radius + other.form.radius;
        if theirs.max.x + apart <= own.min.x || own.max.x + apart <= theirs.min.x {
            continue;
        }
        yard.no_fits
            .barred(form, &other.form)
            .heights(x, other.at.to_vector(), barred);
    }
    barred.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut y = room.min.y;
    let top = room.max.y.max(room.min.y);
    let mut next = 0;
    // A gap may turn out not to do (the grain, the last digit): then the next one is tried.
    for _ in 0..=barred.len() {
        while next < barred.len() && barred[next].0 < y {
            y = y.max(barred[next].1);
            next += 1;
        }
        if y > top {
            return None;
        }
        let at = Point::new(x, snapped(job, y));
        if is_free(yard, job, board, form, others, None, at) {
            return Some(at.y);
        }
        let gap_end = barred.get(next).map_or(top, |b| b.0.min(top));
        // Halfway up and at the upper end of the same gap, for grain that bends.
        for try_y in [0.5 * (y + gap_end), gap_end] {
            let at = Point::new(x, snapped(job, try_y));
            if yard.boards[board].is_bent() && is_free(yard, job, board, form, others, None, at) {
                return Some(at.y);
            }
        }
        let above = barred.get(next)?;
        y = y.max(above.1);
        next += 1;
    }
    None
}

/// True where the form keeps all its distances at a place; `but` is left out of the others.
pub(crate) fn is_free(
    yard: &mut Yard,
    job: &Job,
    board: usize,
    form: &Form,
    others: &[Lie],
    but: Option<usize>,
    at: Point,
) -> bool {
    let slack = yard.margin.slack;
    let room = yard.room(board, form);
    if at.x < room.min.x - slack
        || at.x > room.max.x + slack
        || at.y < room.min.y - slack
        || at.y > room.max.y + slack
    {
        return false;
    }
    if !yard.clears_rim(board, form, at) {
        return false;
    }
    let own = form.bounds_at(at);
    for (k, other) in others.iter().enumerate() {
        let apart = yard.no_fits.kerf() + form.radius + other.form.radius;
        if Some(k) == but || own.separation(&other.form.bounds_at(other.at)) >= apart {
            continue;
        }
        let by = Point::ORIGIN + (at - other.at);
        if !yard.no_fits.between(form, &other.form).is_clear(by, slack) {
            return false;
        }
    }
    yard.grain_fits(job, board, form, at)
}
