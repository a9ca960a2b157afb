//! A fixed tree of boxes over a list of things, for searches near to far.
//!
//! Built once by halving along the longer axis, and refitted in O(n) when everything has been
//! moved or turned. Unlike an index with insertions it has a fixed order, so that searches
//! visit things in the same order on every machine.

use crate::arrange::Arrange;
use crate::{Bounds, Point};

/// Things in one leaf: with fewer, visiting costs more than it saves; with more, every visit
/// tests boxes in vain.
const LEAF: usize = 4;

/// A tree over things 0..n, each known by its box.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct BoundsTree {
    nodes: Vec<Node>,
    order: Vec<u32>,
}

/// A node; its left child follows it in the list.
#[derive(Debug, Clone, PartialEq)]
struct Node {
    bounds: Bounds,
    /// Index of the right child; 0 for a leaf.
    right: u32,
    /// The things below, as a range of the order.
    first: u32,
    last: u32,
}

impl BoundsTree {
    /// Builds the tree in O(n log² n).
    pub(crate) fn new(boxes: &[Bounds]) -> BoundsTree {
        let mut tree = BoundsTree {
            nodes: Vec::new(),
            order: (0..boxes.len() as u32).collect(),
        };
        if !boxes.is_empty() {
            tree.build(boxes, 0, boxes.len());
        }
        tree
    }

    fn build(&mut self, boxes: &[Bounds], first: usize, last: usize) {
        let here = self.nodes.len();
        let bounds = self.order[first..last]
            .iter()
            .fold(Bounds::EMPTY, |all, &k| all.union(boxes[k as usize]));
        self.nodes.push(Node {
            bounds,
            right: 0,
            first: first as u32,
            last: last as u32,
        });
        if last - first <= LEAF {
            return;
        }
        let along_x = bounds.width() >= bounds.height();
        let key = |k: u32| {
            let b = &boxes[k as usize];
            if along_x {
                b.min.x + b.max.x
            } else {
                b.min.y + b.max.y
            }
        };
        self.order[first..last].arrange_by(|&a, &b| key(a).total_cmp(&key(b)).then(a.cmp(&b)));
        let middle = first + (last - first) / 2;
        self.build(boxes, first, middle);
        self.nodes[here].right = self.nodes.len() as u32;
        self.build(boxes, middle, last);
    }

    /// The same tree for things that have been moved: same shape, new boxes.
    pub(crate) fn refitted(&self, boxes: &[Bounds]) -> BoundsTree {
        let mut tree = self.clone();
        for k in (0..tree.nodes.len()).rev() {
            let node = &tree.nodes[k];
            tree.nodes[k].bounds = if node.right == 0 {
                tree.order[node.first as usize..node.last as usize]
                    .iter()
                    .fold(Bounds::EMPTY, |all, &k| all.union(boxes[k as usize]))
            } else {
                tree.nodes[k + 1]
                    .bounds
                    .union(tree.nodes[node.right as usize].bounds)
            };
        }
        tree
    }

    /// Visits pairs of things of two trees, nearer boxes first, until none is left whose boxes
    /// are less than the wanted limit apart. `visit` gets the two indices and the limit, and
    /// returns the new limit (never above the old one).
    pub(crate) fn closest_pairs(
        &self,
        other: &BoundsTree,
        limit: f64,
        visit: &mut impl FnMut(usize, usize, f64) -> f64,
    ) -> f64 {
        match (self.nodes.first(), other.nodes.first()) {
            (Some(a), Some(b)) if a.bounds.separation(&b.bounds) < limit => {
                self.descend(0, other, 0, limit, visit)
            }
            _ => limit,
        }
    }

    fn descend(
        &self,
        a: usize,
        other: &BoundsTree,
        b: usize,
        mut limit: f64,
        visit: &mut impl FnMut(usize, usize, f64) -> f64,
    ) -> f64 {
        let (na, nb) = (&self.nodes[a], &other.nodes[b]);
        if na.right == 0 && nb.right == 0 {
            for &i in &self.order[na.first as usize..na.last as usize] {
                for &j in &other.order[nb.first as usize..nb.last as usize] {
                    limit = visit(i as usize, j as usize, limit);
                }
            }
            return limit;
        }
        let split_a = nb.right == 0 || (na.right != 0 && na.last - na.first >= nb.last - nb.first);
        let pairs = if split_a {
            [(a + 1, b), (na.right as usize, b)]
        } else {
            [(a, b + 1), (a, nb.right as usize)]
        };
        let apart =
            |(i, j): (usize, usize)| self.nodes[i].bounds.separation(&other.nodes[j].bounds);
        let gaps = [apart(pairs[0]), apart(pairs[1])];
        let nearer = usize::from(gaps[1] < gaps[0]);
        for k in [nearer, 1 - nearer] {
            if gaps[k] < limit {
                limit = self.descend(pairs[k].0, other, pairs[k].1, limit, visit);
            }
        }
        limit
    }

    /// The distance from a point to the nearest thing, nearer boxes first; at most `limit`.
    pub(crate) fn nearest(
        &self,
        p: Point,
        mut limit: f64,
        distance: &mut impl FnMut(usize) -> f64,
    ) -> f64 {
        let mut stack: Vec<usize> = Vec::new();
        if !self.nodes.is_empty() {
            stack.push(0);
        }
        while let Some(k) = stack.pop() {
            let node = &self.nodes[k];
            if node.bounds.distance(p) >= limit {
                continue;
            }
            if node.right == 0 {
                for &i in &self.order[node.first as usize..node.last as usize] {
                    limit = limit.min(distance(i as usize));
                }
            } else {
                let (left, right) = (k + 1, node.right as usize);
                let left_first =
                    self.nodes[left].bounds.distance(p) <= self.nodes[right].bounds.distance(p);
                stack.extend(if left_first {
                    [right, left]
                } else {
                    [left, right]
                });
            }
        }
        limit
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Vector;

    fn boxes() -> Vec<Bounds> {
        (0..100)
            .map(|k| {
                let at = Vector::new(f64::from(k * 37 % 101), f64::from(k * 53 % 89));
                Bounds::of_size(1.0, 2.0).translated(at)
            })
            .collect()
    }

    #[test]
    fn finds_the_nearest_box() {
        let boxes = boxes();
        let tree = BoundsTree::new(&boxes);
        for k in 0..50 {
            let p = Point::new(f64::from(k * 7 % 110), f64::from(k * 11 % 95));
            let plain = boxes
                .iter()
                .map(|b| b.distance(p))
                .fold(f64::INFINITY, f64::min);
            let found = tree.nearest(p, f64::INFINITY, &mut |i| boxes[i].distance(p));
            assert_eq!(plain, found);
        }
    }

    #[test]
    fn finds_the_closest_pair_after_a_move() {
        let boxes = boxes();
        let tree = BoundsTree::new(&boxes);
        let moved: Vec<Bounds> = boxes
            .iter()
            .map(|b| b.translated(Vector::new(120.0, 7.0)))
            .collect();
        let other = tree.refitted(&moved);
        let mut visits = 0;
        let found = tree.closest_pairs(&other, f64::INFINITY, &mut |i, j, limit| {
            visits += 1;
            limit.min(boxes[i].separation(&moved[j]))
        });
        let plain = boxes
            .iter()
            .flat_map(|a| moved.iter().map(|b| a.separation(b)))
            .fold(f64::INFINITY, f64::min);
        assert_eq!(found, plain);
        assert!(visits < 1_000, "{visits} of 10000 pairs visited");
    }
}
