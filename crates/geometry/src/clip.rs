//! Areas cut by straight lines.

use crate::arrange::Arrange;
use crate::{Bounds, Location, Point, Region, Ring, Vector};

/// The part of the region on the side of a line that `normal` points to. The line runs through
/// `point`, square to `normal`; the result falls apart into as many regions as it has
/// separate pieces, and pieces that only touch in a point are separate.
///
/// Empty if nothing with an area is left, and for a normal of no length. New points lie on the
/// line up to rounding; areas on both sides add up to the whole within 1e-9 of it.
/// O(n log n) for n points.
pub fn clip_half_plane(region: &Region, point: Point, normal: Vector) -> Vec<Region> {
    let Some(normal) = normal.unit() else {
        return Vec::new();
    };
    let size = region
        .bounds()
        .largest_coordinate()
        .max(point.x.abs())
        .max(point.y.abs());
    let line = CutLine {
        point,
        normal,
        close: 1e-13 * size,
    };
    let mut cut = Cut::default();
    let mut whole_outer = None;
    let mut whole_holes = Vec::new();
    for (k, ring) in region.rings().enumerate() {
        // Holes run clockwise here, so that the area lies to the left everywhere.
        let points: Vec<Point> = if k == 0 {
            ring.points().to_vec()
        } else {
            ring.points().iter().rev().copied().collect()
        };
        match cut.add(&points, &line) {
            Kept::All if k == 0 => whole_outer = Some(ring.clone()),
            Kept::All => whole_holes.push(ring.clone()),
            Kept::Some | Kept::Nothing => {}
        }
    }
    if let Some(outer) = whole_outer {
        // Whatever of the holes is kept is whole too, or the outline would have been cut.
        return vec![Region::from_sound_rings(outer, whole_holes)];
    }
    let mut pieces: Vec<(Ring, Vec<Ring>)> = cut
        .closed_outlines()
        .into_iter()
        .map(|outline| (outline, Vec::new()))
        .collect();
    for hole in whole_holes {
        let home = (0..pieces.len()).find(|&k| holds(&pieces[k].0, &hole, &line));
        if let Some(k) = home {
            pieces[k].1.push(hole);
        }
    }
    pieces
        .into_iter()
        .map(|(outer, holes)| Region::from_sound_rings(outer, holes))
        .collect()
}

/// The part of the region within a box, as separate pieces. See [`clip_half_plane`].
pub fn clip_bounds(region: &Region, bounds: &Bounds) -> Vec<Region> {
    let extent = region.bounds();
    if bounds.contains_bounds(&extent) {
        return vec![region.clone()];
    }
    if !bounds.intersects(&extent) {
        return Vec::new();
    }
    let lines = [
        (bounds.min, Vector::new(1.0, 0.0)),
        (bounds.max, Vector::new(-1.0, 0.0)),
        (bounds.min, Vector::new(0.0, 1.0)),
        (bounds.max, Vector::new(0.0, -1.0)),
    ];
    lines
        .iter()
        .fold(vec![region.clone()], |pieces, &(point, normal)| {
            pieces
                .iter()
                .flat_map(|piece| clip_half_plane(piece, point, normal))
                .collect()
        })
}

/// The area that the region has within a box, in square millimetres. Faster than clipping:
/// each ring is cut side by side of the box (Sutherland & Hodgman 1974); the seams that this
/// leaves along the box enclose nothing.
pub fn area_in_bounds(region: &Region, bounds: &Bounds) -> f64 {
    if bounds.is_empty() {
        return 0.0;
    }
    let mut area = 0.0;
    let mut points = Vec::new();
    let mut spare = Vec::new();
    for (k, ring) in region.rings().enumerate() {
        let extent = ring.bounds();
        if !bounds.intersects(&extent) {
            continue;
        }
        let inside = if bounds.contains_bounds(&extent) {
            ring.signed_area()
        } else {
            points.clear();
            points.extend_from_slice(ring.points());
            cut_straight(&mut points, &mut spare, |p| p.x - bounds.min.x);
            cut_straight(&mut points, &mut spare, |p| bounds.max.x - p.x);
            cut_straight(&mut points, &mut spare, |p| p.y - bounds.min.y);
            cut_straight(&mut points, &mut spare, |p| bounds.max.y - p.y);
            crate::ring::signed_area(&points)
        };
        area += if k == 0 { inside } else { -inside };
    }
    area.max(0.0)
}

/// Keeps the part of a closed line where `height` is at least 0.
fn cut_straight(points: &mut Vec<Point>, spare: &mut Vec<Point>, height: impl Fn(Point) -> f64) {
    spare.clear();
    if let Some(&last) = points.last() {
        let (mut before, mut before_height) = (last, height(last));
        for &here in points.iter() {
            let here_height = height(here);
            if (before_height < 0.0) != (here_height < 0.0) {
                spare.push(before.towards(here, before_height / (before_height - here_height)));
            }
            if here_height >= 0.0 {
                spare.push(here);
            }
            (before, before_height) = (here, here_height);
        }
    }
    core::mem::swap(points, spare);
}

/// The cutting line.
struct CutLine {
    point: Point,
    normal: Vector,
    /// Points nearer to the line than this count as on it.
    close: f64,
}

impl CutLine {
    fn height(&self, p: Point) -> f64 {
        let height = (p - self.point).dot(self.normal);
        if height.abs() <= self.close {
            0.0
        } else {
            height
        }
    }

    /// The place along the line. The kept side lies to the left of growing places.
    fn along(&self, p: Point) -> f64 {
        (p - self.point).dot(self.normal.turned_right())
    }
}

enum Kept {
    All,
    Some,
    Nothing,
}

/// A stretch of outline on the kept side, from where it comes in to where it leaves.
struct Stretch {
    points: Vec<Point>,
    entry: Crossing,
    exit: Crossing,
}

/// Where an outline crosses the line.
///
/// The cut is made an infinitesimal step above the line, so that corners on the line are never
/// kept by themselves; `lean`, the growth of the place per height on the kept side, orders
/// crossings at one place.
#[derive(Clone, Copy)]
struct Crossing {
    along: f64,
    lean: f64,
}

impl Crossing {
    fn order(&self, other: &Crossing) -> core::cmp::Ordering {
        self.along
            .total_cmp(&other.along)
            .then(self.lean.total_cmp(&other.lean))
    }
}

#[derive(Default)]
struct Cut {
    stretches: Vec<Stretch>,
}

impl Cut {
    /// Takes the stretches of one closed line, which has the area to its left.
    fn add(&mut self, points: &[Point], line: &CutLine) -> Kept {
        let n = points.len();
        let heights: Vec<f64> = points.iter().map(|&p| line.height(p)).collect();
        if heights.iter().all(|&h| h >= 0.0) && heights.iter().any(|&h| h > 0.0) {
            let touches = heights.iter().filter(|&&h| h == 0.0).count();
            // Touching the line in one corner, or along one side, leaves the ring whole.
            let one_stretch = (0..n).filter(|&k| heights[k] == 0.0 && heights[(k + 1) % n] > 0.0);
            if touches == 0 || one_stretch.count() == 1 {
                return Kept::All;
            }
        }
        let Some(first) = (0..n).find(|&k| heights[k] <= 0.0) else {
            return Kept::Nothing;
        };
        let mut kept = Kept::Nothing;
        let mut k = 0;
        while k < n {
            let here = (first + k) % n;
            let next = (here + 1) % n;
            if !(heights[here] <= 0.0 && heights[next] > 0.0) {
                k += 1;
                continue;
            }
            kept = Kept::Some;
            let (start, entry) = crossing(
                line,
                points[next],
                heights[next],
                points[here],
                heights[here],
            );
            let mut stretch = vec![start];
            let mut at = next;
            while heights[at] > 0.0 {
                stretch.push(points[at]);
                at = (at + 1) % n;
                k += 1;
            }
            let last = (at + n - 1) % n;
            let (end, exit) = crossing(line, points[last], heights[last], points[at], heights[at]);
            stretch.push(end);
            self.stretches.push(Stretch {
                points: stretch,
                entry,
                exit,
            });
        }
        kept
    }

    /// Joins the stretches along the line into closed outlines.
    ///
    /// The outline leaves the kept side with the area to its left, so from an exit the area's
    /// border runs along the line towards growing places, to the next entry.
    fn closed_outlines(&self) -> Vec<Ring> {
        let mut entries: Vec<usize> = (0..self.stretches.len()).collect();
        entries.arrange_by(|&a, &b| {
            self.stretches[a]
                .entry
                .order(&self.stretches[b].entry)
                .then(a.cmp(&b))
        });
        let mut exits: Vec<usize> = (0..self.stretches.len()).collect();
        exits.arrange_by(|&a, &b| {
            self.stretches[a]
                .exit
                .order(&self.stretches[b].exit)
                .then(a.cmp(&b))
        });
        // Exits and entries alternate along the line, so the k-th exit meets the k-th entry.
        let mut next = vec![0; self.stretches.len()];
        for (exit, entry) in exits.into_iter().zip(entries) {
            next[exit] = entry;
        }
        let mut used = vec![false; self.stretches.len()];
        let mut outlines = Vec::new();
        for start in 0..self.stretches.len() {
            let mut points = Vec::new();
            let mut here = start;
            while !used[here] {
                used[here] = true;
                points.extend_from_slice(&self.stretches[here].points);
                here = next[here];
            }
            if crate::ring::signed_area(&points) > 0.0 {
                outlines.extend(Ring::from_sound_points(points));
            }
        }
        outlines
    }
}

/// Where the side from `kept`, above the line, to `other`, on or below it, meets the line.
fn crossing(
    line: &CutLine,
    kept: Point,
    kept_height: f64,
    other: Point,
    other_height: f64,
) -> (Point, Crossing) {
    let at = if other_height == 0.0 {
        other
    } else {
        kept.towards(other, kept_height / (kept_height - other_height))
    };
    let lean = (line.along(kept) - line.along(other)) / (kept_height - other_height);
    (
        at,
        Crossing {
            along: line.along(at),
            lean,
        },
    )
}

/// Whether a hole lies in the ring, given that they do not cross. Places far from the line are
/// asked first: a hole may touch the line, where rounding blurs what is inside.
fn holds(ring: &Ring, hole: &Ring, line: &CutLine) -> bool {
    let mut places: Vec<Point> = hole.edges().flat_map(|(a, b)| [a, a.midpoint(b)]).collect();
    places.arrange_by(|&a, &b| line.height(b).total_cmp(&line.height(a)));
    places
        .into_iter()
        .map(|p| ring.locate(p))
        .find(|&location| location != Location::Boundary)
        == Some(Location::Inside)
}
