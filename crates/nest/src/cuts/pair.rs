//! Sawn parts that share a rectangle: two of them, head to tail.
//!
//! A tapered leg leaves a long wedge of its rectangle empty, and a second one turned round
//! fills it. The rectangle of both is cut out like a blank; only then are the two parted by
//! line. How two parts nest is worked out once for a job: the second is slid towards the
//! first, along and across, until the sawn kerf is all that is left between them.

use heartside_geometry::{Arrange, Bounds, Point, Pose, PreparedRegion, separation_at_most};
use heartside_timber::blank::Blank;
use heartside_timber::job::{Job, PartCut};
use heartside_timber::plan::Placed;

use super::fits::{Class, Pair};
use super::ground::Ground;
use crate::fit;

/// Share of its box above which a part leaves nothing worth sharing.
const FULL: f64 = 0.9;

/// Least share of two boxes that sharing one saves. With less, the larger blank, harder to
/// lay, costs more than it brings.
const LEAST_SAVING: f64 = 0.05;

/// How far the boxes of two different parts may differ, as a share: unlike parts seldom nest.
const ALIKE: f64 = 0.05;

/// Halvings of the way that the second part is slid: a metre to a hundredth of a millimetre.
const HALVINGS: u32 = 17;

/// Two parts in their least rectangle, the first as it is drawn. For every board and frame.
#[derive(Debug, Clone)]
pub(crate) struct Nested {
    parts: [usize; 2],
    /// Turn of the second against the first.
    second_turn: f64,
    turned_over: bool,
    width: f64,
    height: f64,
    /// Where the parts' origins lie in the rectangle.
    origins: [Point; 2],
}

/// Pairs of parts looked at in one job, and of these the ones that are nested: some tenths of a second.
/// Jobs of a workshop have some dozen; in a list of thousands of kinds the first ones do.
const MOST_LOOKED_AT: usize = 100_000;

const MOST_NESTED: usize = 1_500;

/// The pairs of a job's sawn parts that are worth sharing a rectangle. O(pairs of like parts), within limits.
pub(crate) fn nested_pairs(job: &Job) -> Vec<Nested> {
    let boxes: Vec<Bounds> = job.parts.iter().map(|p| Blank::of(p).bounds()).collect();
    let open = |p: &usize| {
        let part = &job.parts[*p];
        part.cut == PartCut::Sawn && part.outline.area() < FULL * boxes[*p].area()
    };
    let parts: Vec<usize> = (0..job.parts.len()).filter(open).collect();
    let mut list = Vec::new();
    let (mut looks, mut nests) = (MOST_LOOKED_AT, MOST_NESTED);
    for (k, a) in parts.iter().enumerate() {
        for b in &parts[k..] {
            if looks == 0 || nests == 0 {
                return list;
            }
            looks -= 1;
            let turns: &[f64] = match a == b {
                true if job.parts[*a].wanted_count() < 2 => &[],
                true => &[180.0],
                false if alike(&boxes[*a], &boxes[*b]) => &[0.0, 180.0],
                false => &[],
            };
            if turns.is_empty() {
                continue;
            }
            nests -= 1;
            let both = [&job.parts[*a], &job.parts[*b]];
            let matters = |board| both.iter().any(|p| fit::turning_over_matters(board, p));
            let over: &[bool] = match job.boards.iter().any(matters) {
                true => &[false, true],
                false => &[false],
            };
            for turned_over in over {
                let found = turns
                    .iter()
                    .filter_map(|turn| nested(job, [*a, *b], *turn, *turned_over));
                let area = |n: &Nested| n.width * n.height;
                list.extend(found.min_by(|x, y| area(x).total_cmp(&area(y))));
            }
        }
    }
    list
}

fn alike(one: &Bounds, other: &Bounds) -> bool {
    let near = |x: f64, y: f64| (x - y).abs() <= ALIKE * x.max(y);
    near(one.width(), other.width()) && near(one.height(), other.height())
}

/// The least rectangle of two parts, if it saves enough.
///
/// Long because everything it does is one thought, said four times with the axes exchanged: the second part
/// starts beside the first and is slid towards it until the gap is all that is left.
fn nested(job: &Job, parts: [usize; 2], second_turn: f64, turned_over: bool) -> Option<Nested> {
    let grid = job.tolerance.grid.unwrap_or(0.0);
    let blanks = parts.map(|p| Blank::of(&job.parts[p]));
    let cores = [
        PreparedRegion::new(blanks[0].core.clone()),
        PreparedRegion::new(blanks[1].core.clone()),
    ];
    let kerf = job.workshop.sawn_kerf;
    // Each may still be moved on to the grid.
    let gap = blanks[0].radius + blanks[1].radius + kerf + job.tolerance.extra + 3.0 * grid;
    let pose = |turn: f64, x: f64, y: f64| Pose {
        x,
        y,
        turn,
        turned_over,
    };
    let first = cores[0].posed(&pose(0.0, 0.0, 0.0));
    let still = first.region().bounds();
    let second = cores[1].posed(&pose(second_turn, 0.0, 0.0));
    let loose = second.region().bounds();
    let is_clear = |x: f64, y: f64| {
        let moved = cores[1].posed(&pose(second_turn, x, y));
        separation_at_most(&first, &moved, gap).is_none_or(|s| s.amount >= gap)
    };
    let apart: f64 = blanks.iter().map(|b| b.bounds().area()).sum();
    let enough = (1.0 - LEAST_SAVING) * apart;
    let mut best: Option<Nested> = None;
    for (is_along, is_high) in [(false, false), (false, true), (true, false), (true, true)] {
        // From beside the first to level with it.
        let level = |from: fn(&Bounds) -> (f64, f64)| {
            let ((a0, a1), (b0, b1)) = (from(&still), from(&loose));
            if is_high { a1 - b1 } else { a0 - b0 }
        };
        let beyond = |from: fn(&Bounds) -> (f64, f64)| {
            let ((_, a1), (b0, _)) = (from(&still), from(&loose));
            a1 + gap - b0
        };
        let x_span: fn(&Bounds) -> (f64, f64) = |b| (b.min.x, b.max.x);
        let y_span: fn(&Bounds) -> (f64, f64) = |b| (b.min.y, b.max.y);
        let at = |slid: f64| {
            if is_along {
                (slid, level(y_span))
            } else {
                (level(x_span), slid)
            }
        };
        let span = if is_along { x_span } else { y_span };
        let (mut near, mut far) = (span(&still).0 - span(&loose).0, beyond(span));
        let shared = |slid: f64| {
            let (x, y) = at(slid);
            let moved = Bounds {
                min: Point {
                    x: loose.min.x + x,
                    y: loose.min.y + y,
                },
                max: Point {
                    x: loose.max.x + x,
                    y: loose.max.y + y,
                },
            };
            still
                .grown(blanks[0].radius)
                .union(moved.grown(blanks[1].radius + 2.0 * grid))
        };
        // Most parts, and all discs, would have to come nearer than they can for enough to be saved.
        let (mut saves, mut too_far) = (near, far);
        for _ in 0..HALVINGS {
            let middle = (saves + too_far) / 2.0;
            if shared(middle).area() <= enough {
                saves = middle;
            } else {
                too_far = middle;
            }
        }
        let (x, y) = at(too_far);
        if !is_clear(x, y) {
            continue;
        }
        for _ in 0..HALVINGS {
            let middle = (near + far) / 2.0;
            let (x, y) = at(middle);
            if is_clear(x, y) {
                far = middle;
            } else {
                near = middle;
            }
        }
        let (x, y) = at(far);
        let room = shared(far);
        if best
            .as_ref()
            .is_none_or(|b| room.area() < b.width * b.height)
        {
            best = Some(Nested {
                parts,
                second_turn,
                turned_over,
                width: room.width(),
                height: room.height(),
                origins: [
                    Point {
                        x: -room.min.x,
                        y: -room.min.y,
                    },
                    Point {
                        x: x - room.min.x,
                        y: y - room.min.y,
                    },
                ],
            });
        }
    }
    best.filter(|b| b.width * b.height <= enough)
}

impl Nested {
    /// The rectangle turned by quarters: its extents and the origins in it.
    fn turned(&self, quarters: u32) -> (f64, f64, [Point; 2]) {
        let (w, h) = (self.width, self.height);
        let turn = |p: Point| match quarters {
            0 => p,
            1 => Point { x: h - p.y, y: p.x },
            2 => Point {
                x: w - p.x,
                y: h - p.y,
            },
            _ => Point { x: p.y, y: w - p.x },
        };
        let (width, height) = if quarters.is_multiple_of(2) {
            (w, h)
        } else {
            (h, w)
        };
        (width, height, self.origins.map(turn))
    }
}

impl Ground {
    /// Finds the ways in which nested parts may lie on this board, each part by its own rules.
    pub(crate) fn pair_up(&mut self, nested: &[Nested]) {
        for pair in nested {
            for quarters in 0..4 {
                let half = if pair.second_turn == 0.0 { 0 } else { 2 };
                let first = self.sawn_lie(pair.parts[0], quarters, pair.turned_over);
                let second = self.sawn_lie(pair.parts[1], (quarters + half) % 4, pair.turned_over);
                let (Some(first), Some(second)) = (first, second) else {
                    continue;
                };
                let (width, height, [origin, second_origin]) = pair.turned(quarters);
                let room = self.usable;
                if width > room.width() + self.bite || height > room.height() + self.bite {
                    continue;
                }
                let mut clear: Vec<usize> = [first.class, second.class]
                    .into_iter()
                    .flat_map(|c| {
                        let class = &self.classes[c];
                        [&class.blank, &class.finished, &class.around]
                    })
                    .flatten()
                    .copied()
                    .collect();
                clear.arrange();
                clear.dedup();
                let class = self.class_like(Class {
                    blank: clear,
                    ..Class::default()
                });
                let fit = first.in_rectangle(width, height, origin, class);
                let is_known =
                    |p: &Pair| p.parts == pair.parts && p.fit.same_room(&fit, self.noise);
                if !self.pairs.iter().any(is_known) {
                    self.pairs.push(Pair {
                        parts: pair.parts,
                        fit,
                        second_turn: second.turn,
                        second_origin,
                    });
                }
            }
        }
    }

    /// How the second part of a pair lies in its rectangle.
    pub(crate) fn second_of(&self, pair: &Pair, rectangle: &Bounds) -> Placed {
        let (x, y) = (
            rectangle.min.x + pair.second_origin.x,
            rectangle.min.y + pair.second_origin.y,
        );
        self.placed_near(Point { x, y }, pair.second_turn, pair.fit.turned_over)
    }
}
