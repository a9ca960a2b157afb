//! Run-on across the joints.

use core::ops::Range;

use heartside_geometry::{Bounds, math};

use super::lost::worst;
use super::mosaic::{Cell, Mosaic, Window};
use super::{ENOUGH, PLAIN, SAPWOOD_AS_LIGHT};

/// A joint is compared in windows of about this many millimetres.
const WINDOW: f64 = 80.0;

/// Tiles with more than this between them, in millimetres, do not meet: a rail or a drawer's runner is seen between.
const GAP: f64 = 25.0;

/// Where the sides of a joint have nothing to do with each other the ratio is about this.
const NOTHING: f64 = 0.25;

/// One degree between directions counts as much as this many levels of light.
const DEGREE: f64 = 0.5;

/// How far the figure runs on across the joints: 1 where what lies on both sides of them differs no more than what lies
/// as far apart inside the wood, near 0 where the sides have nothing to do with each other.
///
/// Differences over a distance are what a variogram tells (Matheron 1963). In each window along a joint, with J the
/// mean squared difference across it and I that inside the wood of either side, over the same distance and at the same places
/// along it, of light, sapwood and direction together (a degree as half a level), and p what nobody sees,
///
/// ```text
/// r = min(1, (I + p) / (J + p)),   value = (mean of r - 1/4) / (1 - 1/4)
/// ```
///
/// so that differences four times those inside are nothing. I is that of the window or of the whole joint, whichever is
/// more: in one window chance would decide. A mean over windows, so that it tells the share of the joint
/// that runs on: summed before divided, one knot at a joint outdid all the rest. Two distances are compared: from cell to cell,
/// and from one strip of three cells to the next, so that fine streaks and broad ones both count.
///
/// Tried: the difference across the joint alone (a joint in lively wood is never perfect, one in plain wood always);
/// going on from either side in a straight line before comparing, as puzzles are solved (Gallagher 2012): noise was doubled,
/// and no case came out better.
///
/// Joints are found from the tiles: those that lie within 25 mm of each other, side by side or end to end, and not
/// across each other. None where there is no joint, or where too little of both sides is known ([`ENOUGH`]). O(cells along the joints).
pub(super) fn measure(mosaic: &Mosaic) -> (Option<f64>, Vec<(Bounds, f64)>) {
    let joints = joints(mosaic);
    let (mut asked, mut known) = (0.0, 0.0);
    let (mut scale, mut losses) = (0.0, Vec::new());
    for joint in &joints {
        let windows = joint.windows(mosaic);
        let sums: Vec<Sums> = windows.iter().map(|w| joint.compare(mosaic, w)).collect();
        let all = sums.iter().fold(Sums::default(), |all, one| all.plus(one));
        asked += joint.along.len() as f64;
        known += all.seen;
        let inside = all.inside / all.inside_count;
        for (window, sum) in windows.into_iter().zip(sums) {
            if sum.count == 0.0 || all.inside_count == 0.0 {
                continue;
            }
            let own = sum.inside / sum.inside_count.max(1.0);
            let plain = PLAIN * PLAIN;
            let ratio = (inside.max(own) + plain) / (sum.across / sum.count + plain);
            scale += sum.seen;
            let loss = (1.0 - ratio.min(1.0)) / (1.0 - NOTHING);
            losses.push((joint.strip(window), sum.seen * loss));
        }
    }
    if joints.is_empty() || known < ENOUGH * asked || scale <= 0.0 {
        return (None, Vec::new());
    }
    let loss: f64 = losses.iter().map(|(_, loss)| loss).sum();
    (Some(1.0 - loss / scale), worst(mosaic, losses, scale, 5))
}

/// Where two tiles meet.
struct Joint {
    /// Whether it runs across the face: pieces end to end.
    upright: bool,
    /// The cells along it.
    along: Range<usize>,
    /// The cells of the tile before it and of the one behind, square to it.
    before: Range<usize>,
    behind: Range<usize>,
}

fn joints(mosaic: &Mosaic) -> Vec<Joint> {
    let tiles: Vec<Window> = mosaic
        .tiles
        .iter()
        .map(|t| mosaic.within(&t.seen))
        .collect();
    let mut joints = Vec::new();
    for (i, a) in tiles.iter().enumerate() {
        for (j, b) in tiles.iter().enumerate() {
            let seen = [&mosaic.tiles[i].seen, &mosaic.tiles[j].seen];
            for upright in [false, true] {
                let (along, before, behind, gap) = if upright {
                    (
                        both(&a.rows, &b.rows),
                        &a.columns,
                        &b.columns,
                        seen[1].min.x - seen[0].max.x,
                    )
                } else {
                    (
                        both(&a.columns, &b.columns),
                        &a.rows,
                        &b.rows,
                        seen[1].min.y - seen[0].max.y,
                    )
                };
                let meet = i != j && (-1.0..=GAP).contains(&gap) && !cross(mosaic, i, j);
                if meet && !along.is_empty() && before.end <= behind.start {
                    joints.push(Joint {
                        upright,
                        along,
                        before: before.clone(),
                        behind: behind.clone(),
                    });
                }
            }
        }
    }
    joints
}

/// One board lies across the other: nothing can run on from a rail to a stile.
fn cross(mosaic: &Mosaic, one: usize, other: usize) -> bool {
    let [a, b] = [one, other].map(|tile| mosaic.tiles[tile].to_map.turn);
    ((a - b).rem_euclid(180.0) - 90.0).abs() < 45.0
}

fn both(a: &Range<usize>, b: &Range<usize>) -> Range<usize> {
    a.start.max(b.start)..a.end.min(b.end)
}

impl Joint {
    /// Pieces of it, as windows of the cells along it.
    fn windows(&self, mosaic: &Mosaic) -> Vec<Range<usize>> {
        let cell = mosaic.cell[usize::from(self.upright)];
        let along = Window {
            columns: self.along.clone(),
            rows: 0..1,
        };
        mosaic
            .windows(&along, WINDOW / cell * mosaic.cell[0], f64::INFINITY)
            .into_iter()
            .map(|w| w.columns)
            .collect()
    }

    /// What is pointed at: two cells on either side.
    fn strip(&self, along: Range<usize>) -> Window {
        let beside = self.before.end.saturating_sub(2).max(self.before.start)
            ..(self.behind.start + 2).min(self.behind.end);
        if self.upright {
            Window {
                columns: beside,
                rows: along,
            }
        } else {
            Window {
                columns: along,
                rows: beside,
            }
        }
    }

    fn compare(&self, mosaic: &Mosaic, along: &Range<usize>) -> Sums {
        let mut sums = Sums::default();
        for wide in [1, 3] {
            // From the middle of the last strip before the joint to that of the first behind it.
            let apart = self.behind.start + wide - self.before.end;
            for k in along.clone() {
                let strip = |from: usize, within: &Range<usize>| {
                    let fits = within.start <= from && from + wide <= within.end;
                    fits.then(|| self.mean(mosaic, k, from..from + wide))
                };
                let (Some(last), first) = (self.before.end.checked_sub(wide), self.behind.start)
                else {
                    continue;
                };
                let (a, b) = (strip(last, &self.before), strip(first, &self.behind));
                if let Some(differing) = between(a, b) {
                    sums.across += differing;
                    sums.count += 1.0;
                    sums.seen += if wide == 1 { 1.0 } else { 0.0 };
                }
                let further = last
                    .checked_sub(apart)
                    .and_then(|from| strip(from, &self.before));
                for (near, far) in [(a, further), (b, strip(first + apart, &self.behind))] {
                    if let Some(differing) = between(near, far) {
                        sums.inside += differing;
                        sums.inside_count += 1.0;
                    }
                }
            }
        }
        sums
    }

    /// The mean of cells square to the joint; what is not known of one of them is not known.
    fn mean(&self, mosaic: &Mosaic, along: usize, beside: Range<usize>) -> Cell {
        let count = beside.len() as f32;
        let (mut mean, mut all) = (Cell::default(), true);
        for at in beside {
            let cell = if self.upright {
                mosaic.at(at, along)
            } else {
                mosaic.at(along, at)
            };
            all &= cell.light > 0.0;
            mean.light += cell.light / count;
            mean.sapwood += cell.sapwood / count;
            mean.direction[0] += cell.direction[0];
            mean.direction[1] += cell.direction[1];
        }
        if all { mean } else { Cell::default() }
    }
}

#[derive(Default)]
struct Sums {
    across: f64,
    count: f64,
    /// How many places along the joint were compared at all.
    seen: f64,
    inside: f64,
    inside_count: f64,
}

impl Sums {
    fn plus(&self, other: &Sums) -> Sums {
        Sums {
            across: self.across + other.across,
            count: self.count + other.count,
            seen: self.seen + other.seen,
            inside: self.inside + other.inside,
            inside_count: self.inside_count + other.inside_count,
        }
    }
}

/// The squared difference of two places; none where the light of either is unknown.
fn between(a: Option<Cell>, b: Option<Cell>) -> Option<f64> {
    let (a, b) = (a?, b?);
    if a.light == 0.0 || b.light == 0.0 {
        return None;
    }
    let light = f64::from(a.light - b.light);
    let sapwood = if a.sapwood > 0.0 && b.sapwood > 0.0 {
        SAPWOOD_AS_LIGHT * f64::from(a.sapwood - b.sapwood)
    } else {
        0.0
    };
    let [[ac, as_], [bc, bs]] = [a.direction, b.direction].map(|d| d.map(f64::from));
    let (cos, sin) = (ac * bc + as_ * bs, as_ * bc - ac * bs);
    let turned = DEGREE * 0.5 * math::to_degrees(math::atan2(sin, cos));
    Some(light * light + sapwood * sapwood + turned * turned)
}
