//! The free pieces that an order of cuts leaves, as boards.

use heartside_geometry::{Bounds, Point, Region, Ring};
use heartside_timber::blank::Blank;
use heartside_timber::document::{
    ClearOf, Cuts, EdgeKind, FixingMaterial, Stops, ZoneFace, ZoneKind,
};
use heartside_timber::job::{Board, Job, SideState, Zone};
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame, Layout};
use heartside_timber::workpieces::Workpieces;

use super::{FreePiece, origin};
use crate::cuts::ground::OF_A_TURN;

/// Points nearer than this are one, in millimetres: what was clipped and turned lies where it lay.
const SAME: f64 = 1e-6;

/// Half the width of the strip that stands for a raw side beside a piece.
const STRIP: f64 = 0.005;

/// What there is beyond the pins of a layout: each free piece that could take a blank, and the board it is.
pub(super) fn free_pieces(job: &Job, layout: &Layout) -> (Vec<FreePiece>, Vec<Board>) {
    let (Some(tree), Some(board)) = (&layout.cuts, job.board(&layout.board.board)) else {
        return (Vec::new(), Vec::new());
    };
    let wanted = job.parts.iter().filter(|p| p.wanted_count() > 0);
    let areas = wanted.map(|p| Blank::of(p).core.area());
    let least = areas.fold(f64::INFINITY, f64::min);
    let workpieces = Workpieces::of(tree, layout.frame, &board.outline);
    let (mut pieces, mut boards) = (Vec::new(), Vec::new());
    for leaf in workpieces.iter() {
        if !matches!(tree.nodes[leaf.node], CutNode::Offcut | CutNode::Waste) {
            continue;
        }
        // Wood in several places is cut all at once: one outline does not tell what a saw would meet.
        let mut wood = leaf.wood();
        let Some(outline) = wood.pop().filter(|w| wood.is_empty() && w.area() >= least) else {
            continue;
        };
        let way = way_to(tree, leaf.node, layout.frame);
        let number = format!("{}.{}.{}", layout.board.board, layout.board.copy, leaf.node);
        let is_turned = way.iter().any(|edge| edge.is_turned);
        let id = match is_turned {
            true => format!("{OF_A_TURN}{number}"),
            false => format!("..square.{number}"),
        };
        let sides: Vec<SideState> = outline
            .edges()
            .map(|(a, b)| side(job, board, &way, a.midpoint(b)))
            .collect();
        let mut zones = board.zones.clone();
        zones.extend(raw_sides_beside(job, board, &outline));
        boards.push(Board {
            id: id.clone(),
            count: 1,
            outline,
            sides,
            zones,
            cost: 0.0,
            cuts: Cuts::Straight,
            gone: Vec::new(),
            from: Some(origin(&layout.board, None)),
            ..board.clone()
        });
        pieces.push(FreePiece {
            id,
            node: leaf.node,
            frame: leaf.ground.frame,
        });
    }
    (pieces, boards)
}

/// A cut on the way to a piece.
struct Edge<'a> {
    frame: Frame,
    direction: Direction,
    at: f64,
    kerf: f64,
    tool: &'a str,
    is_turned: bool,
}

/// The cuts on the way from the whole board to a node, the last one first.
fn way_to(tree: &CutTree, node: usize, frame: Frame) -> Vec<Edge<'_>> {
    let mut way = Vec::new();
    let mut at = node;
    // Children come after their parents.
    while let Some(parent) = (0..at).find(|p| {
        let cut = tree.nodes[*p].cut();
        cut.is_some_and(|cut| cut.low == at || cut.high == at)
    }) {
        way.push(parent);
        at = parent;
    }
    let mut frame = frame;
    let mut edges = Vec::with_capacity(way.len());
    for cut in way.into_iter().rev().filter_map(|p| tree.nodes[p].cut()) {
        frame = frame.turned(cut.angle);
        edges.push(Edge {
            frame,
            direction: cut.direction,
            at: cut.at,
            kerf: cut.kerf,
            tool: cut.tool,
            is_turned: cut.angle != 0.0,
        });
    }
    edges.reverse();
    edges
}

/// What a side of a piece is by its middle: as it is of the board, or as the tool left it.
fn side(job: &Job, board: &Board, way: &[Edge<'_>], middle: Point) -> SideState {
    let cut = way.iter().find(|edge| {
        let p = edge.frame.pose().inverse_apply(middle);
        let square = match edge.direction {
            Direction::Rip => p.y,
            Direction::Crosscut => p.x,
        };
        let off = (square - edge.at)
            .abs()
            .min((square - edge.at - edge.kerf).abs());
        off <= SAME
    });
    if let Some(cut) = cut {
        let mut tools = job.workshop.tools.iter();
        let is_true = tools.any(|t| t.name == cut.tool && t.leaves_true_edge);
        return SideState {
            kind: match is_true {
                true => EdgeKind::Straight,
                false => EdgeKind::Sawn,
            },
            is_end: cut.direction == Direction::Crosscut,
        };
    }
    let own = board.outline.edges().zip(&board.sides);
    let near = own.map(|((a, b), side)| (to_segment(middle, a, b), side));
    let nearest = near.reduce(|one, other| if other.0 < one.0 { other } else { one });
    nearest.map_or(
        SideState {
            kind: EdgeKind::Raw,
            is_end: false,
        },
        |(_, side)| *side,
    )
}

/// What is trimmed off the board's raw sides reaches beyond cuts: such sides near a piece are marked on it.
fn raw_sides_beside(job: &Job, board: &Board, piece: &Region) -> Vec<Zone> {
    let corners: Vec<Point> = piece.edges().map(|(a, _)| a).collect();
    let is_own = |p: Point| corners.iter().any(|c| c.distance(p) <= SAME);
    let mut zones = Vec::new();
    for ((a, b), side) in board.outline.edges().zip(&board.sides) {
        let trim = side.trim(&job.workshop);
        if trim <= 0.0 || (is_own(a) && is_own(b)) {
            continue;
        }
        let near = Bounds::of_points([a, b]).map(|bounds| bounds.grown(trim));
        if near.is_none_or(|near| near.intersection(piece.bounds()).is_none()) {
            continue;
        }
        let is_near = piece.edges().any(|(c, d)| apart((a, b), (c, d)) <= trim);
        if let Some(shape) = strip(a, b).filter(|_| is_near) {
            zones.push(Zone {
                index: board.zones.len(),
                kind: ZoneKind::Defect,
                shape,
                face: ZoneFace::Through,
                depth: f64::INFINITY,
                sound: true,
                margin: trim,
                clear_of: ClearOf::Blank,
                stops: Stops::All,
                material: FixingMaterial::Wood,
                buried: None,
                drawn_before_planing: false,
                weight: 0.0,
                note: String::new(),
            });
        }
    }
    zones
}

/// A line as a narrow rectangle.
fn strip(a: Point, b: Point) -> Option<Region> {
    let square = (b - a).turned_left().unit()? * STRIP;
    let ring = Ring::new(vec![a - square, b - square, b + square, a + square]);
    Some(Region::from_ring(ring.ok()?))
}

fn to_segment(p: Point, a: Point, b: Point) -> f64 {
    let side = b - a;
    let along = (p - a).dot(side) / side.dot(side).max(f64::MIN_POSITIVE);
    p.distance(a.towards(b, along.clamp(0.0, 1.0)))
}

/// How far two lines that do not cross are apart.
fn apart((a, b): (Point, Point), (c, d): (Point, Point)) -> f64 {
    let ends = [
        to_segment(a, c, d),
        to_segment(b, c, d),
        to_segment(c, a, b),
        to_segment(d, a, b),
    ];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}
