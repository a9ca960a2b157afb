//! Inscribed discs that fill a shape.

use core::cmp::Ordering;
use std::collections::BinaryHeap;

use serde::{Deserialize, Serialize};

use crate::bounds_tree::BoundsTree;
use crate::{Bounds, Point, Region, convex_pieces, simplify_inner};

/// So many squares are looked at for one disc at most. Usual shapes need some hundreds; a
/// sliver a thousand times longer than wide would need millions to be sure.
const MOST_LOOKS: usize = 4_000;

/// A disc.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Circle {
    /// The middle, in millimetres.
    pub centre: Point,
    /// The radius in millimetres.
    pub radius: f64,
}

impl Circle {
    /// The area in square millimetres.
    pub fn area(&self) -> f64 {
        core::f64::consts::PI * self.radius * self.radius
    }
}

/// Discs within the region, largest first, that do not overlap each other: until they fill the
/// share `cover` of its area, or there are `max` of them, or what is left is tiny.
///
/// Each disc is within 2 % of the largest that fits beside the ones before it, in all but
/// very thin shapes. It is found by splitting squares: the clearance in a square is at most that of its middle plus half its
/// diagonal, so squares that cannot beat the best are never split (branch and bound).
/// Outlines of more than 400 points are simplified inwards first. Deterministic.
pub fn poles_of_inaccessibility(region: &Region, cover: f64, max: usize) -> Vec<Circle> {
    let bounds = region.bounds();
    let simplified;
    let shape = if region.point_count() > 400 {
        simplified = simplify_inner(region, 1e-3 * bounds.width().max(bounds.height()));
        &simplified
    } else {
        region
    };
    let edges: Vec<(Point, Point)> = shape.edges().collect();
    let boxes: Vec<Bounds> = edges.iter().map(|&(a, b)| Bounds::new(a, b)).collect();
    let clearance = Clearance {
        region: shape,
        tree: BoundsTree::new(&boxes),
        edges,
    };
    let wanted = cover * region.area();
    let seeds: Vec<Point> = convex_pieces(shape)
        .iter()
        .map(|p| middle(p.points()))
        .collect();
    let mut covered = 0.0;
    let mut discs: Vec<Circle> = Vec::new();
    while discs.len() < max && covered < wanted {
        let least = discs.first().map_or(0.0, |first| 0.02 * first.radius);
        match largest_disc(&clearance, &bounds, &seeds, &discs, least) {
            Some(disc) => {
                covered += disc.area();
                discs.push(disc);
            }
            None => break,
        }
    }
    discs
}

/// Distances from the outline.
struct Clearance<'a> {
    region: &'a Region,
    edges: Vec<(Point, Point)>,
    tree: BoundsTree,
}

impl Clearance<'_> {
    /// The distance to the outline, negative outside.
    fn at(&self, p: Point) -> f64 {
        let distance = self.tree.nearest(p, f64::INFINITY, &mut |k| {
            p.distance_to_segment(self.edges[k].0, self.edges[k].1)
        });
        if self.region.contains(p) {
            distance
        } else {
            -distance
        }
    }
}

/// A square still to be looked at.
struct Cell {
    centre: Point,
    half: f64,
    value: f64,
    most: f64,
    number: usize,
}

impl PartialEq for Cell {
    fn eq(&self, other: &Cell) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Cell {}
impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Cell) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Cell {
    fn cmp(&self, other: &Cell) -> Ordering {
        // The most promising first; earlier ones first among equals.
        self.most
            .total_cmp(&other.most)
            .then(other.number.cmp(&self.number))
    }
}

/// The mean of the corners: inside, for a convex piece.
fn middle(points: &[Point]) -> Point {
    let sum = points
        .iter()
        .fold(crate::Vector::ZERO, |sum, p| sum + p.to_vector());
    Point::ORIGIN + sum / points.len() as f64
}

fn largest_disc(
    clearance: &Clearance<'_>,
    bounds: &Bounds,
    seeds: &[Point],
    taken: &[Circle],
    least: f64,
) -> Option<Circle> {
    let short = bounds.width().min(bounds.height());
    // At most some thousand squares to begin with, however thin the shape.
    let half = (0.5 * short).max(bounds.width().max(bounds.height()) / 2_000.0);
    if !(half > 0.0 && half.is_finite()) {
        return None;
    }
    let mut made = 0;
    let mut cell = |centre: Point, half: f64| {
        let free = taken
            .iter()
            .map(|disc| disc.centre.distance(centre) - disc.radius)
            .fold(f64::INFINITY, f64::min);
        let value = clearance.at(centre).min(free);
        made += 1;
        Cell {
            centre,
            half,
            value,
            most: value + half * core::f64::consts::SQRT_2,
            number: made,
        }
    };
    let mut heap = BinaryHeap::new();
    let mut best = Circle {
        centre: bounds.centre(),
        radius: least,
    };
    let mut found = false;
    let mut look = |cell: Cell, best: &mut Circle, heap: &mut BinaryHeap<Cell>| {
        if cell.value > best.radius {
            *best = Circle {
                centre: cell.centre,
                radius: cell.value,
            };
            found = true;
        }
        if cell.most > best.radius * 1.02 {
            heap.push(cell);
        }
    };
    for &seed in seeds {
        look(cell(seed, 0.0), &mut best, &mut heap);
    }
    let columns = (bounds.width() / (2.0 * half)).ceil().max(1.0) as usize;
    let rows = (bounds.height() / (2.0 * half)).ceil().max(1.0) as usize;
    for row in 0..rows {
        for column in 0..columns {
            let middle = Point::new(
                bounds.min.x + half * (2 * column + 1) as f64,
                bounds.min.y + half * (2 * row + 1) as f64,
            );
            look(cell(middle, half), &mut best, &mut heap);
        }
    }
    let mut looks = 0;
    while let Some(top) = heap.pop() {
        if top.most <= best.radius * 1.02 || looks >= MOST_LOOKS {
            break;
        }
        looks += 4;
        let quarter = 0.5 * top.half;
        for (dx, dy) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
            let centre = Point::new(top.centre.x + dx * quarter, top.centre.y + dy * quarter);
            look(cell(centre, quarter), &mut best, &mut heap);
        }
    }
    found.then_some(best)
}
