//! A line as it is drawn: its points, what runs between them, and the straight sides it comes to.

use heartside_geometry::{
    Bounds, Ellipse, FLATTEN_TOLERANCE, Point, Region, Ring, RingFault, Side, flatten_between,
    flatten_ellipse, simplify_inner, simplify_outer,
};
use heartside_timber::document::{EdgeKind, Length};

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum What {
    /// The outline of a board and its holes.
    Wood,
    /// A marked area.
    Area,
    /// Lines along the grain.
    Grain,
}

/// A point of a line, and the side from it to the next one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    pub(super) at: Point,
    /// How far the middle of the side lies to the right of the straight way, in millimetres.
    pub(super) bow: f64,
    /// What was drawn freehand between this point and the next one, until the line is closed.
    pub(super) stroke: Vec<Point>,
    /// State of the side, of a board.
    pub(super) kind: EdgeKind,
    /// As it was typed, while it has not been moved.
    pub(super) typed: Option<[Length; 2]>,
}

/// A line of points. Finished lines of boards and areas are closed, those along the grain are not.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Line {
    pub(super) nodes: Vec<Node>,
    /// No point is set at its end any more.
    pub(super) finished: bool,
    /// The points are two opposite corners of the box round an oval.
    pub(super) oval: bool,
}

/// A corner that a line comes to.
pub(super) type Corner = (Point, EdgeKind, Option<[Length; 2]>);

impl Node {
    pub(super) fn at(at: Point) -> Node {
        Node {
            at,
            bow: 0.0,
            stroke: Vec::new(),
            kind: EdgeKind::Raw,
            typed: None,
        }
    }
}

impl Line {
    /// A finished line of straight sides.
    pub(super) fn through(points: impl IntoIterator<Item = Point>) -> Line {
        Line {
            nodes: points.into_iter().map(Node::at).collect(),
            finished: true,
            oval: false,
        }
    }

    pub(super) fn oval_between(a: Point, b: Point) -> Line {
        Line {
            oval: true,
            ..Line::through([a, b])
        }
    }

    /// How many sides run from a point to the next one.
    pub(super) fn sides(&self, what: What) -> usize {
        let closes = self.finished && what != What::Grain;
        match self.oval {
            true => 0,
            false => self.nodes.len() - usize::from(!closes && !self.nodes.is_empty()),
        }
    }

    /// The ends of the side after a point.
    pub(super) fn side(&self, k: usize) -> (Point, Point) {
        let next = (k + 1) % self.nodes.len();
        (self.nodes[k].at, self.nodes[next].at)
    }

    /// The middle of the side after a point, on its curve.
    pub(super) fn middle(&self, k: usize) -> Point {
        let (a, b) = self.side(k);
        let right = (b - a).unit().map(|u| u.turned_right());
        a.midpoint(b) + right.unwrap_or_default() * self.nodes[k].bow
    }

    /// The box round an oval.
    pub(super) fn oval_box(&self) -> Option<Bounds> {
        let corners = self.oval.then_some(self.nodes.as_slice())?;
        Some(Bounds::new(corners.first()?.at, corners.get(1)?.at))
    }

    /// The corners that it comes to, curves as straight sides within 0.05 mm: those of a board within
    /// the wood, those of a hole or an area round it.
    pub(super) fn corners(&self, what: What, side: Side) -> Vec<Corner> {
        if let Some(around) = self.oval_box() {
            let ellipse = Ellipse {
                centre: around.centre(),
                radius_x: around.width() / 2.0,
                radius_y: around.height() / 2.0,
                turn: 0.0,
            };
            let ring = flatten_ellipse(&ellipse, FLATTEN_TOLERANCE, side);
            let points = ring.map(|r| r.points().to_vec()).unwrap_or_default();
            return points
                .into_iter()
                .map(|p| (p, EdgeKind::Raw, None))
                .collect();
        }
        let is_left = doubled_area(&self.rough()) > 0.0;
        let mut corners = Vec::new();
        for (k, node) in self.nodes.iter().enumerate() {
            corners.push((node.at, node.kind, node.typed.clone()));
            if k >= self.sides(what) {
                continue;
            }
            let (a, b) = self.side(k);
            let between = if node.bow != 0.0 {
                // Chords where they take wood away from a board or where they make a hole larger.
                let swells = (node.bow > 0.0) == is_left;
                let side = match swells == (side == Side::Outside) {
                    true => Side::Outside,
                    false => Side::Inside,
                };
                let tolerance = match what {
                    What::Grain => GRAIN_TOLERANCE,
                    What::Wood | What::Area => FLATTEN_TOLERANCE,
                };
                flatten_between(a, b, node.bow, tolerance, side).unwrap_or_default()
            } else {
                node.stroke.clone()
            };
            corners.extend(between.into_iter().map(|p| (p, node.kind, None)));
        }
        corners
    }

    pub(super) fn points(&self, what: What, side: Side) -> Vec<Point> {
        let corners = self.corners(what, side);
        corners.into_iter().map(|(at, _, _)| at).collect()
    }

    /// Its points with what was drawn freehand and the middles of its curves: enough to see which
    /// way round it runs.
    fn rough(&self) -> Vec<Point> {
        let mut points = Vec::new();
        for (k, node) in self.nodes.iter().enumerate() {
            points.push(node.at);
            points.extend_from_slice(&node.stroke);
            if node.bow != 0.0 {
                points.push(self.middle(k));
            }
        }
        points
    }

    pub(super) fn is_freehand(&self) -> bool {
        self.nodes.iter().any(|n| !n.stroke.is_empty())
    }

    /// The area it encloses, in square millimetres.
    pub(super) fn area(&self) -> f64 {
        match self.oval_box() {
            Some(around) => around.area(),
            None => (doubled_area(&self.rough()) / 2.0).abs(),
        }
    }
}

/// Lines along the grain say a direction: finer sides would only cost time.
const GRAIN_TOLERANCE: f64 = 0.5;

fn doubled_area(points: &[Point]) -> f64 {
    let Some(&first) = points.first() else {
        return 0.0;
    };
    let pairs = points.windows(2);
    pairs.map(|p| (p[0] - first).cross(p[1] - first)).sum()
}

/// A closed line drawn freehand, with few points: a board lies inside what was drawn and stays back
/// from it by at most `within` millimetres, a hole or an area lies round it by at most as much. Ends
/// that cross are cut off where they do. Nothing where it crosses itself otherwise.
pub(super) fn few_corners(drawn: Vec<Point>, within: f64, side: Side) -> Option<Ring> {
    let region = Region::from_ring(without_loose_ends(drawn)?);
    let simple = match side {
        Side::Inside => simplify_inner(&region, within),
        Side::Outside => simplify_outer(&region, within),
    };
    Some(simple.outer().clone())
}

/// A drawn line as a ring. Where its beginning and its end cross, each with a short piece beyond the
/// crossing, those pieces go.
fn without_loose_ends(points: Vec<Point>) -> Option<Ring> {
    let faults = match Ring::new(points.clone()) {
        Ok(ring) => return Some(ring),
        Err(faults) => faults.0,
    };
    let whole = doubled_area(&points).abs();
    let loops = faults.iter().filter_map(|fault| match fault {
        RingFault::Crossing { first, second, at } => {
            let mut around = vec![*at];
            around.extend_from_slice(points.get(first + 1..=*second)?);
            Ring::new(around).ok()
        }
        _ => None,
    });
    let mut largest: Option<Ring> = None;
    for ring in loops {
        if largest
            .as_ref()
            .is_none_or(|l| l.signed_area() < ring.signed_area())
        {
            largest = Some(ring);
        }
    }
    largest.filter(|ring| 2.0 * ring.signed_area() >= 0.8 * whole)
}

/// An open line with few points, none of the others farther from it than `within` millimetres
/// (Douglas & Peucker 1973). Both ends stay.
pub(super) fn few_points(drawn: &[Point], within: f64) -> Vec<Point> {
    let Some(last) = drawn.len().checked_sub(1) else {
        return Vec::new();
    };
    let mut keeps = vec![false; drawn.len()];
    (keeps[0], keeps[last]) = (true, true);
    let mut parts = vec![(0, last)];
    while let Some((from, to)) = parts.pop() {
        let mut farthest = (within, None);
        for (k, point) in drawn.iter().enumerate().take(to).skip(from + 1) {
            let off = point.distance_to_segment(drawn[from], drawn[to]);
            if off > farthest.0 {
                farthest = (off, Some(k));
            }
        }
        if let Some(k) = farthest.1 {
            keeps[k] = true;
            parts.extend([(from, k), (k, to)]);
        }
    }
    let kept = drawn.iter().zip(keeps).filter(|(_, keep)| *keep);
    kept.map(|(p, _)| *p).collect()
}
