//! Areas cut into few convex pieces.

use crate::arrange::Arrange;
use crate::library::orientation;
use crate::triangulate::triangles;
use crate::{Bounds, Convex, Point, Region};

/// The region as convex pieces: they cover it exactly and overlap only in their outlines.
///
/// Triangles are joined across their common sides, longest first, wherever the joint is
/// convex: at most four times as many pieces as the fewest possible (Hertel & Mehlhorn 1983).
/// Close to O(n log n) for n points, O(n²) at worst. Deterministic.
pub fn convex_pieces(region: &Region) -> Vec<Convex> {
    let (points, triangles) = triangles(region);
    merge(&points, &triangles)
}

/// Convex pieces that cover what lies outside the region: everything outside the outer ring
/// within its bounds grown by `reach` (at least a thousandth of the size), and its holes. For
/// the outline of a waney board this is what blanks must keep out of.
///
/// The pieces of the surroundings come first, then those of each hole in order.
pub fn outside_pieces(region: &Region, reach: f64) -> Vec<Convex> {
    let bounds = region.bounds();
    let least = 1e-3 * bounds.width().max(bounds.height());
    let frame = bounds.grown(if reach > least { reach } else { least });
    let mut pieces = match Region::rectangle(frame) {
        Some(frame) => convex_pieces(&Region::from_sound_rings(
            frame.outer().clone(),
            vec![region.outer().clone()],
        )),
        None => Vec::new(),
    };
    for hole in region.holes() {
        pieces.extend(convex_pieces(&Region::from_ring(hole.clone())));
    }
    pieces
}

/// One directed side of a piece.
#[derive(Debug, Clone, Copy)]
struct HalfEdge {
    from: u32,
    next: u32,
    before: u32,
    removed: bool,
}

/// Joins triangles into convex pieces.
fn merge(points: &[Point], triangles: &[[u32; 3]]) -> Vec<Convex> {
    let mut edges: Vec<HalfEdge> = Vec::with_capacity(3 * triangles.len());
    for (t, corners) in triangles.iter().enumerate() {
        let base = 3 * t as u32;
        for k in 0..3u32 {
            edges.push(HalfEdge {
                from: corners[k as usize],
                next: base + (k + 1) % 3,
                before: base + (k + 2) % 3,
                removed: false,
            });
        }
    }
    for (edge, twin) in common_sides(points, &edges) {
        let (e, t) = (edges[edge as usize], edges[twin as usize]);
        let from = |k: u32| points[edges[k as usize].from as usize];
        let end_of = |k: u32| from(edges[k as usize].next);
        // At the start of the side, and at its end: does the joint turn left?
        let start_turns = orientation(from(e.before), from(edge), end_of(t.next));
        let end_turns = orientation(from(t.before), from(twin), end_of(e.next));
        if start_turns < 0 || end_turns < 0 {
            continue;
        }
        for (into, out) in [(e.before, t.next), (t.before, e.next)] {
            edges[into as usize].next = out;
            edges[out as usize].before = into;
        }
        edges[edge as usize].removed = true;
        edges[twin as usize].removed = true;
    }
    collect_faces(points, &edges)
}

/// Pairs of half-edges on the same side, longest first.
fn common_sides(points: &[Point], edges: &[HalfEdge]) -> Vec<(u32, u32)> {
    let to = |k: u32| edges[edges[k as usize].next as usize].from;
    let mut sides: Vec<(u32, u32, u32)> = (0..edges.len() as u32)
        .map(|k| {
            let (from, to) = (edges[k as usize].from, to(k));
            (from.min(to), from.max(to), k)
        })
        .collect();
    sides.arrange();
    let mut pairs: Vec<(f64, u32, u32)> = sides
        .windows(2)
        .filter(|pair| (pair[0].0, pair[0].1) == (pair[1].0, pair[1].1))
        .filter(|pair| edges[pair[0].2 as usize].from != edges[pair[1].2 as usize].from)
        .map(|pair| {
            let (a, b) = (points[pair[0].0 as usize], points[pair[0].1 as usize]);
            (a.distance_squared(b), pair[0].2, pair[1].2)
        })
        .collect();
    pairs.arrange_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    pairs
        .into_iter()
        .map(|(_, edge, twin)| (edge, twin))
        .collect()
}

fn collect_faces(points: &[Point], edges: &[HalfEdge]) -> Vec<Convex> {
    let mut seen = vec![false; edges.len()];
    let mut pieces = Vec::new();
    for start in 0..edges.len() {
        if seen[start] || edges[start].removed {
            continue;
        }
        let mut corners = Vec::new();
        let mut here = start;
        while !seen[here] {
            seen[here] = true;
            corners.push(points[edges[here].from as usize]);
            here = edges[here].next as usize;
        }
        pieces.extend(Convex::from_convex_points(corners));
    }
    pieces
}

/// The boxes of some pieces.
pub(crate) fn boxes_of(pieces: &[Convex]) -> Vec<Bounds> {
    pieces.iter().map(|piece| *piece.bounds()).collect()
}
