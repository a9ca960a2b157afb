//! A piece of wood: its outline with the state of every side, and what a cut leaves of it.

use heartside_geometry::{
    Arrange, Point, Region, Ring, Vector, clip_half_plane, convex_hull, least_width,
};
use heartside_timber::document::{BoardOutline, Length};
use heartside_timber::job::{Board, EdgeKind};

/// A piece thinner than this, in mm, falls to dust: no saw is set more finely, and it would only
/// be one more board to plan with.
const SLIVER: f64 = 0.05;
/// A side of a piece within this of a side of its board, in mm, is that side. Far above rounding,
/// far below what anybody measures.
const SAME_SIDE: f64 = 1e-6;

/// An outline and the state of each of its sides: the outer ring's, then the holes'.
#[derive(Debug, Clone)]
pub(super) struct Wood {
    pub(super) region: Region,
    pub(super) sides: Vec<EdgeKind>,
}

/// One side of a straight cut: all that lies beyond a line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beyond {
    /// On the line.
    pub(super) point: Point,
    /// Square to the line, towards what is kept.
    pub(super) normal: Vector,
}

impl Wood {
    pub(super) fn of(board: &Board) -> Wood {
        Wood {
            region: board.outline.clone(),
            sides: board.sides.iter().map(|side| side.kind).collect(),
        }
    }

    /// What lies on one side of a straight cut, piece by piece from the lowest; `made` is the state of the sides
    /// that the cut makes.
    pub(super) fn beyond(&self, line: Beyond, made: EdgeKind) -> Vec<Wood> {
        let found = clip_half_plane(&self.region, line.point, line.normal);
        self.pieces(found, SAME_SIDE, made)
    }

    /// Regions within this wood as pieces of it: a side within `reach` of one of its own is as that is, any other is as `made` says.
    pub(super) fn pieces(&self, found: Vec<Region>, reach: f64, made: EdgeKind) -> Vec<Wood> {
        let mut pieces: Vec<Wood> = found
            .into_iter()
            .filter(|region| !is_sliver(region))
            .map(|region| Wood {
                sides: self.sides_of(&region, reach, made),
                region,
            })
            .collect();
        pieces.arrange_by(|a, b| {
            let (a, b) = (a.region.bounds().min, b.region.bounds().min);
            a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))
        });
        pieces
    }

    fn sides_of(&self, region: &Region, reach: f64, made: EdgeKind) -> Vec<EdgeKind> {
        let edges = |region: &'_ Region| -> Vec<(Point, Point)> {
            region.rings().flat_map(|ring| ring.edges()).collect()
        };
        let own = edges(&self.region);
        let state = |(a, b): (Point, Point)| {
            let off = |(p, q): &(Point, Point)| {
                a.distance_to_segment(*p, *q)
                    .max(b.distance_to_segment(*p, *q))
            };
            let nearest = own
                .iter()
                .map(off)
                .zip(&self.sides)
                .min_by(|a, b| a.0.total_cmp(&b.0));
            nearest
                .filter(|(off, _)| *off <= reach)
                .map_or(made, |(_, side)| *side)
        };
        edges(region).into_iter().map(state).collect()
    }

    /// The outline as a document writes it; none where its corners make no sound outline.
    pub(super) fn outline(&self) -> Option<BoardOutline> {
        let corners = |ring: &Ring| -> Vec<[Length; 2]> {
            let points = ring.points().iter();
            points.map(|p| [Length::Mm(p.x), Length::Mm(p.y)]).collect()
        };
        // What clipping calls sound must be so to whoever reads the document.
        let sound = |ring: &Ring| Ring::new(ring.points().to_vec()).ok();
        let outer = sound(self.region.outer())?;
        let holes: Option<Vec<Ring>> = self.region.holes().iter().map(sound).collect();
        Region::new(outer, holes?).ok()?;
        let mut sides = self.sides.iter().copied();
        let outer = sides
            .by_ref()
            .take(self.region.outer().points().len())
            .collect();
        let hole_sides = self
            .region
            .holes()
            .iter()
            .map(|hole| sides.by_ref().take(hole.points().len()).collect())
            .collect();
        Some(BoardOutline::Polygon {
            points: corners(self.region.outer()),
            sides: outer,
            holes: self.region.holes().iter().map(corners).collect(),
            hole_sides,
        })
    }
}

fn is_sliver(region: &Region) -> bool {
    let points = convex_hull(region.outer().points());
    region.area() <= 0.0 || least_width(&points) < SLIVER
}
