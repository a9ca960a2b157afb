//! Signed distances of convex sets.

use serde::{Deserialize, Serialize};

use crate::bounds_tree::BoundsTree;
use crate::{Convex, Point, Vector};

/// How far two shapes are apart, and where.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Separation {
    /// Above 0: the straight-line distance. 0: touching. Below 0: minus the depth by which
    /// they overlap.
    pub amount: f64,
    /// Where on the first shape.
    pub from: Point,
    /// Where on the second shape.
    pub to: Point,
}

impl Separation {
    /// The same, seen from the second shape.
    pub fn swapped(self) -> Separation {
        Separation {
            amount: self.amount,
            from: self.to,
            to: self.from,
        }
    }
}

impl Convex {
    /// The signed distance to another convex polygon. Where they overlap, minus the length of
    /// the least move that parts them.
    ///
    /// Exact up to rounding: for overlap the least move is square to a side of one of the two
    /// (separating axes); apart, the nearest points are found among each side and the corner
    /// that is extreme against it. O(n + m) for n and m corners, since extreme corners advance
    /// with the sides (rotating calipers; Toussaint 1983).
    pub fn separation(&self, other: &Convex) -> Separation {
        match separation_at_most(self, other, f64::INFINITY) {
            Some(separation) => separation,
            None => Separation {
                amount: f64::INFINITY,
                from: self.points()[0],
                to: other.points()[0],
            },
        }
    }
}

/// The signed distance of two convex sets, or none if it is above `limit`.
pub(crate) fn separation_at_most(a: &Convex, b: &Convex, limit: f64) -> Option<Separation> {
    let mut best: Option<Separation> = None;
    let mut best_amount = f64::NEG_INFINITY;
    for (fixed, moving, swapped) in [(a, b, false), (b, a, true)] {
        let mut extreme = Extreme::default();
        for (k, &normal) in fixed.normals().iter().enumerate() {
            let j = extreme.against(normal, moving.points());
            let gap = (moving.points()[j] - fixed.points()[k]).dot(normal);
            if gap > limit {
                return None;
            }
            if gap > best_amount {
                best_amount = gap;
                if gap <= 0.0 {
                    let corner = moving.points()[j];
                    let found = Separation {
                        amount: gap,
                        from: corner - normal * gap,
                        to: corner,
                    };
                    best = Some(if swapped { found.swapped() } else { found });
                }
            }
        }
    }
    if best_amount <= 0.0
        && let Some(best) = best
    {
        return Some(best);
    }
    let found = distance(a, b);
    (found.amount <= limit).then_some(found)
}

/// The distance of two convex sets known to be apart.
fn distance(a: &Convex, b: &Convex) -> Separation {
    let mut best = f64::INFINITY;
    let mut found = Separation {
        amount: 0.0,
        from: a.points()[0],
        to: b.points()[0],
    };
    for (fixed, moving, swapped) in [(a, b, false), (b, a, true)] {
        let points = fixed.points();
        let corners = moving.points();
        let m = corners.len();
        // Corners about as extreme as the extreme one count too: against a parallel side both
        // ends are extreme, and either may be the nearer one.
        let tie = 1e-9 * (moving.bounds().width() + moving.bounds().height());
        let mut extreme = Extreme::default();
        let mut measure = |corner: Point, start: Point, end: Point| {
            let near = corner.nearest_on_segment(start, end);
            let squared = corner.distance_squared(near);
            if squared < best {
                best = squared;
                found = Separation {
                    amount: 0.0,
                    from: near,
                    to: corner,
                };
                if swapped {
                    found = found.swapped();
                }
            }
        };
        if fixed.normals().is_empty() && moving.normals().is_empty() {
            measure(corners[0], points[0], points[0]);
        }
        for (k, &normal) in fixed.normals().iter().enumerate() {
            let (start, end) = (points[k], points[(k + 1) % points.len()]);
            let j = extreme.against(normal, corners);
            let least = corners[j].to_vector().dot(normal);
            measure(corners[j], start, end);
            let is_tied = |i: usize| corners[i].to_vector().dot(normal) - least <= tie;
            for step in 1..m {
                let i = (j + step) % m;
                if !is_tied(i) {
                    break;
                }
                measure(corners[i], start, end);
            }
            for step in 1..m {
                let i = (j + m - step) % m;
                if !is_tied(i) {
                    break;
                }
                measure(corners[i], start, end);
            }
        }
    }
    found.amount = best.sqrt();
    found
}

/// The corner of a convex polygon furthest against a direction that turns steadily.
#[derive(Default)]
struct Extreme {
    at: Option<usize>,
}

impl Extreme {
    fn against(&mut self, normal: Vector, corners: &[Point]) -> usize {
        let height = |k: usize| corners[k].to_vector().dot(normal);
        let m = corners.len();
        let mut best = match self.at {
            None => {
                let mut best = 0;
                for k in 1..m {
                    if height(k) < height(best) {
                        best = k;
                    }
                }
                best
            }
            Some(k) => k,
        };
        let mut least = height(best);
        for forwards in [true, false] {
            for _ in 0..m {
                let next = if forwards {
                    if best + 1 == m { 0 } else { best + 1 }
                } else if best == 0 {
                    m - 1
                } else {
                    best - 1
                };
                let there = height(next);
                if there < least {
                    best = next;
                    least = there;
                } else {
                    break;
                }
            }
        }
        self.at = Some(best);
        best
    }
}

/// Convex pieces with a tree over them.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct PieceSet {
    pub(crate) pieces: Vec<Convex>,
    tree: BoundsTree,
}

impl PieceSet {
    pub(crate) fn new(pieces: Vec<Convex>) -> PieceSet {
        let tree = BoundsTree::new(&crate::pieces::boxes_of(&pieces));
        PieceSet { pieces, tree }
    }

    /// The pieces changed one by one in a way that keeps neighbours together.
    pub(crate) fn mapped(&self, change: impl Fn(&Convex) -> Convex) -> PieceSet {
        let pieces: Vec<Convex> = self.pieces.iter().map(change).collect();
        let tree = self.tree.refitted(&crate::pieces::boxes_of(&pieces));
        PieceSet { pieces, tree }
    }

    /// The least signed distance over all pairs of pieces if it is at most `limit`.
    pub(crate) fn separation_at_most(&self, other: &PieceSet, limit: f64) -> Option<Separation> {
        let mut best: Option<Separation> = None;
        // The tree looks for what is strictly below; the limit itself is still wanted.
        let mut above = if limit.is_finite() {
            limit + limit.abs() * 1e-12 + f64::MIN_POSITIVE
        } else {
            limit
        };
        above = self
            .tree
            .closest_pairs(&other.tree, above, &mut |i, j, below| {
                let (p, q) = (&self.pieces[i], &other.pieces[j]);
                if p.bounds().separation(q.bounds()) >= below {
                    return below;
                }
                match separation_at_most(p, q, below) {
                    Some(found) if found.amount < below => {
                        best = Some(found);
                        found.amount
                    }
                    _ => below,
                }
            });
        debug_assert!(best.is_none_or(|b| b.amount == above));
        best.filter(|b| b.amount <= limit)
    }
}
