//! Regions made ready for many questions of distance.

use std::sync::OnceLock;

use crate::separation::PieceSet;
use crate::{Bounds, Convex, Point, Pose, Region, Separation, Transform, Vector};
use crate::{convex_pieces, outside_pieces};

/// A region with its convex pieces and a search tree over them.
///
/// Preparing decomposes the region once; turning, moving and mirroring a prepared region keeps
/// the pieces. Pieces of the outside are made when first needed, by [`protrusion`].
#[derive(Debug, Clone, PartialEq)]
pub struct PreparedRegion {
    region: Region,
    bounds: Bounds,
    inside: PieceSet,
    outside: OnceLock<PieceSet>,
}

impl PreparedRegion {
    /// Decomposes a region: close to O(n log n) for n points.
    pub fn new(region: Region) -> PreparedRegion {
        let inside = PieceSet::new(convex_pieces(&region));
        PreparedRegion {
            bounds: region.bounds(),
            region,
            inside,
            outside: OnceLock::new(),
        }
    }

    /// The region itself.
    pub fn region(&self) -> &Region {
        &self.region
    }

    /// The least box round the region.
    pub fn bounds(&self) -> &Bounds {
        &self.bounds
    }

    /// The convex pieces of the region.
    pub fn pieces(&self) -> &[Convex] {
        &self.inside.pieces
    }

    /// Convex pieces of what lies outside the region: the surroundings up to a little beyond
    /// its bounds, and the holes.
    pub fn outside_pieces(&self) -> &[Convex] {
        &self.outside().pieces
    }

    fn outside(&self) -> &PieceSet {
        self.outside.get_or_init(|| {
            let reach = 0.1 * self.bounds.width().max(self.bounds.height());
            PieceSet::new(outside_pieces(&self.region, reach))
        })
    }

    /// The region as it comes to lie after a pose, without decomposing again: O(n).
    pub fn posed(&self, pose: &Pose) -> PreparedRegion {
        self.transformed(&pose.transform())
    }

    /// The region as it comes to lie after a transform, without decomposing again: O(n).
    pub fn transformed(&self, transform: &Transform) -> PreparedRegion {
        let region = self.region.transformed(transform);
        PreparedRegion {
            bounds: region.bounds(),
            region,
            inside: self.inside.mapped(|piece| piece.transformed(transform)),
            outside: OnceLock::new(),
        }
    }

    /// The region moved by a displacement: O(n).
    pub fn translated(&self, by: Vector) -> PreparedRegion {
        let region = self.region.translated(by);
        PreparedRegion {
            bounds: region.bounds(),
            region,
            inside: self.inside.mapped(|piece| piece.translated(by)),
            outside: OnceLock::new(),
        }
    }
}

/// The signed distance of two regions.
///
/// Above 0, the straight-line distance: a part lying in another's hole has the distance to the
/// hole's outline. 0, touching. Below 0, minus the depth of the overlap: the largest, over
/// pairs of convex pieces of the two, of the least move that parts the pair. The depth is
/// above 0 exactly where the insides overlap (up to rounding), and exact for convex regions;
/// for others it is at most the length of the least move that parts the two.
///
/// # Cost
/// Pieces far apart are never looked at; about O(log n) pairs of pieces for regions apart.
pub fn separation(a: &PreparedRegion, b: &PreparedRegion) -> Separation {
    match a.inside.separation_at_most(&b.inside, f64::INFINITY) {
        Some(found) => found,
        // Only a region without a single sound piece gets here: its outline must do.
        None => outline_distance(a, b),
    }
}

/// The signed distance of two regions if it is at most `limit`; none if they are surely
/// further apart. Cheap for regions whose boxes are.
pub fn separation_at_most(
    a: &PreparedRegion,
    b: &PreparedRegion,
    limit: f64,
) -> Option<Separation> {
    if a.bounds.separation(&b.bounds) > limit {
        return None;
    }
    a.inside.separation_at_most(&b.inside, limit)
}

/// Whether the insides of two regions have nothing in common, but for a depth of `slack`.
pub fn interiors_disjoint(a: &PreparedRegion, b: &PreparedRegion, slack: f64) -> bool {
    separation_at_most(a, b, -slack).is_none_or(|found| found.amount >= -slack)
}

/// How well `inner` lies within `container`.
///
/// Above 0, the distance of `inner` from the outline and the holes of `container`. 0, it
/// touches. Below 0, minus how far it sticks out: over the convex pieces of the outside (holes
/// included) and of `inner` the largest of the least moves that part a pair, or how far it
/// goes beyond a side of the container's box. `from` lies on `inner`, `to` on the container.
///
/// The first call for a container decomposes its outside.
pub fn protrusion(inner: &PreparedRegion, container: &PreparedRegion) -> Separation {
    let box_side = beyond_the_box(inner, container);
    container
        .outside()
        .separation_at_most(&inner.inside, box_side.amount)
        .map_or(box_side, Separation::swapped)
}

/// As [`protrusion`], but none if the clearance is surely above `limit`.
pub fn protrusion_at_most(
    inner: &PreparedRegion,
    container: &PreparedRegion,
    limit: f64,
) -> Option<Separation> {
    let box_side = beyond_the_box(inner, container);
    container
        .outside()
        .separation_at_most(&inner.inside, box_side.amount.min(limit))
        .map(Separation::swapped)
        .or_else(|| (box_side.amount <= limit).then_some(box_side))
}

/// The least clearance from the sides of the container's box.
fn beyond_the_box(inner: &PreparedRegion, container: &PreparedRegion) -> Separation {
    let (own, frame) = (&inner.bounds, &container.bounds);
    let sides = [
        own.min.x - frame.min.x,
        frame.max.x - own.max.x,
        own.min.y - frame.min.y,
        frame.max.y - own.max.y,
    ];
    let least = (1..4).fold(0, |best, k| if sides[k] < sides[best] { k } else { best });
    // The corner of the inner region that lies nearest to that side.
    let points = inner.region.outer().points();
    let height = |p: Point| [p.x, -p.x, p.y, -p.y][least];
    let from = points.iter().fold(
        points[0],
        |best, &p| if height(p) < height(best) { p } else { best },
    );
    let to = match least {
        0 => Point::new(frame.min.x, from.y),
        1 => Point::new(frame.max.x, from.y),
        2 => Point::new(from.x, frame.min.y),
        _ => Point::new(from.x, frame.max.y),
    };
    Separation {
        amount: sides[least],
        from,
        to,
    }
}

/// The signed distance of a region from the segment from `a` to `b`; below 0 where the segment
/// enters the region.
pub fn distance_to_segment(region: &PreparedRegion, a: Point, b: Point) -> f64 {
    let segment = PieceSet::new(vec![Convex::segment(a, b)]);
    region
        .inside
        .separation_at_most(&segment, f64::INFINITY)
        .map_or(f64::INFINITY, |found| found.amount)
}

/// The signed distance of a region from a point; below 0 inside.
pub fn distance_to_point(region: &PreparedRegion, p: Point) -> f64 {
    distance_to_segment(region, p, p)
}

fn outline_distance(a: &PreparedRegion, b: &PreparedRegion) -> Separation {
    let mut best = Separation {
        amount: f64::INFINITY,
        from: a.bounds.centre(),
        to: b.bounds.centre(),
    };
    for (start, end) in a.region.edges() {
        for (from, to) in b.region.edges() {
            let found = Convex::segment(start, end).separation(&Convex::segment(from, to));
            if found.amount < best.amount {
                best = found;
            }
        }
    }
    best
}
