//! Two tiles brought to answer each other as exactly as their wood tells.

use heartside_geometry::{Point, Vector, math};

use super::ground::{Ground, Lie};
use super::halves::{Halves, Relation};
use super::shade::{Raster, Shade};
use crate::solve::{MOST, Table, inverse, times};

/// How many steps at most: each is better than the one before, and few are needed.
const STEPS: usize = 10;

/// The longest step along, across (millimetres) and round (degrees): farther than figure is fine nothing is told.
const LONGEST: [f64; 3] = [40.0, 8.0, 1.0];

/// Steps below a share of which nothing is gained, in the same order.
const SHORTEST: [f64; 3] = [0.2, 0.05, 0.01];

/// The relation near one by which a pair is most alike, and how alike it is then; `one` stays where it is.
///
/// Least squares over the shift, the turn, contrast and tone, linear at each step (Lucas & Kanade 1981, "An
/// iterative image registration technique"): where figure runs aslant a shift along is told only
/// together with one across, which steps along one of them at a time do not find. A step that does not better the correlation
/// (Evangelidis & Psarakis 2008) is halved.
pub(super) fn aligned(
    ground: &Ground,
    pair: &Halves,
    (one, other): (Lie, usize),
    by: Relation,
    fineness: usize,
) -> (Relation, f64) {
    let middle = pair.part.centre();
    let place = one.1.apply(middle);
    let look = |by: Relation| -> Option<Look> {
        let (a, b) = (
            ground.shade(one.0, fineness)?,
            ground.shade(other, fineness)?,
        );
        let at = pair.other_at(one.1, by);
        let (rasters, cells) = pair.rasters(one.1, at, ground.apart(fineness));
        Look::at((a, b), rasters, cells, by.apply(place))
    };
    let moved = |by: Relation, step: [f64; 3]| {
        let to = by.apply(place) + Vector::new(step[0], step[1]);
        Relation::between(place, to, by.turn + step[2], by.mirrored)
    };
    let Some(mut now) = look(by) else {
        return (by, 0.0);
    };
    let mut best = by;
    for _ in 0..STEPS {
        let Some(step) = now.step else { break };
        let shares = [0, 1, 2].map(|k: usize| LONGEST[k] / step[k].abs().max(LONGEST[k]));
        let mut share = shares.into_iter().fold(1.0, f64::min);
        let is_short = |share: f64| (0..3).all(|k| (share * step[k]).abs() < SHORTEST[k]);
        let mut better = None;
        while better.is_none() && !is_short(share) {
            let to = moved(best, step.map(|s| share * s));
            better = look(to).filter(|l| l.value > now.value).map(|l| (to, l));
            share *= 0.5;
        }
        let Some(found) = better else { break };
        (best, now) = found;
    }
    (best, now.value)
}

/// How alike two shades are, and which step of the second would make them more alike.
struct Look {
    value: f64,
    /// Along and across in its frame, and round in degrees; none where nothing tells.
    step: Option<[f64; 3]>,
}

/// The unknowns: shift along and across, turn, contrast, tone.
const UNKNOWN: usize = 5;

/// Turns are told as millimetres at this distance, so that all unknowns are of one size.
const LEVER: f64 = 300.0;

impl Look {
    /// Reads both along their rasters; the second is turned about a place. O(cells).
    fn at(
        (a, b): (&Shade, &Shade),
        rasters: [Raster; 2],
        [columns, rows]: [usize; 2],
        about: Point,
    ) -> Option<Look> {
        let [long, wide] = b.cell();
        let beside =
            [(long, 0.0), (-long, 0.0), (0.0, wide), (0.0, -wide)].map(|(x, y)| Vector::new(x, y));
        let mut lines = vec![vec![0.0; columns]; 6];
        let mut table: Table = [[0.0; MOST]; MOST];
        let mut right = [0.0; MOST];
        let (mut count, mut sum, mut square) = (0.0, 0.0, 0.0);
        for row in 0..rows {
            let [first, second] = rasters.map(|r| r.from + r.across * row as f64);
            a.line(first, rasters[0].along, &mut lines[0]);
            b.line(second, rasters[1].along, &mut lines[1]);
            for (line, by) in lines[2..].iter_mut().zip(beside) {
                b.line(second + by, rasters[1].along, line);
            }
            for (k, &one) in lines[0].iter().enumerate() {
                let [other, right_of, left_of, above, below] =
                    [1, 2, 3, 4, 5].map(|l: usize| lines[l][k]);
                let slope = [
                    (right_of - left_of) / (2.0 * long),
                    (above - below) / (2.0 * wide),
                ];
                if !(one + other + slope[0] + slope[1]).is_finite() {
                    continue;
                }
                let arm = second + rasters[1].along * k as f64 - about;
                let round = (slope[1] * arm.x - slope[0] * arm.y) / LEVER;
                // What lies there after a step is what the first shows in some contrast and tone.
                let line = [slope[0], slope[1], round, -one, -1.0];
                for i in 0..UNKNOWN {
                    right[i] -= line[i] * other;
                    for j in 0..=i {
                        table[i][j] += line[i] * line[j];
                    }
                }
                count += 1.0;
                sum += other;
                square += other * other;
            }
        }
        let lower = table;
        for (i, row) in table.iter_mut().enumerate().take(UNKNOWN) {
            for (j, cell) in row.iter_mut().enumerate().take(UNKNOWN).skip(i + 1) {
                *cell = lower[j][i];
            }
        }
        if count < UNKNOWN as f64 {
            return None;
        }
        let (sum_of_one, square_of_one, product) = (table[4][3], table[3][3], right[3]);
        let spreads = [
            square_of_one - sum_of_one * sum_of_one / count,
            square - sum * sum / count,
        ];
        if spreads.iter().any(|s| *s <= 1e-6 * count) {
            return None;
        }
        let covariance = product - sum_of_one * sum / count;
        let seen = count / (columns * rows) as f64;
        let step = inverse(&table, UNKNOWN).map(|inverse| {
            let [x, y, round, ..] = times(&inverse, &right, UNKNOWN);
            [x, y, math::to_degrees(round / LEVER)]
        });
        Some(Look {
            value: covariance / (spreads[0] * spreads[1]).sqrt() * seen.sqrt(),
            step,
        })
    }
}
