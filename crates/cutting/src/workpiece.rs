//! The workpieces of a board's cut tree: where they lie, how large they really are, which of their sides are true.

use heartside_geometry::{Bounds, Point, Region};
use heartside_timber::job::{Board, EdgeKind};
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame, Layout};
use heartside_timber::score::{split, workpiece_bounds};

/// How far a straight side may lie off the frame's axis and still serve as an edge, in millimetres.
const TRUE_WITHIN: f64 = 0.2;

/// One side of a workpiece in the frame of its layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Side {
    /// Least x.
    Start,
    /// Largest x.
    Far,
    /// Least y.
    Right,
    /// Largest y.
    Left,
}

impl Side {
    /// What the side is called on the board: frames may be turned against it.
    pub(crate) fn words(self, frame: &Frame) -> &'static str {
        // Outward directions by quarter turns from the board's x.
        let own = match self {
            Side::Far => 0,
            Side::Left => 1,
            Side::Start => 2,
            Side::Right => 3,
        };
        let quarter = (frame.angle / 90.0).round();
        let turned = if quarter.is_finite() {
            (own + (quarter.rem_euclid(4.0)) as i32) % 4
        } else {
            own
        };
        match turned {
            0 => "far end",
            1 => "left edge",
            2 => "start end",
            _ => "right edge",
        }
    }
}

/// Which sides are straight and true: sawn by an earlier cut, or straight on the board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct TrueSides {
    pub(crate) start: bool,
    pub(crate) far: bool,
    pub(crate) right: bool,
    pub(crate) left: bool,
}

impl TrueSides {
    pub(crate) fn has(self, side: Side) -> bool {
        match side {
            Side::Start => self.start,
            Side::Far => self.far,
            Side::Right => self.right,
            Side::Left => self.left,
        }
    }
}

/// One workpiece.
#[derive(Debug, Clone)]
pub(crate) struct Workpiece {
    /// Where it really lies in the frame: the board's outline within its rectangle.
    pub(crate) extent: Bounds,
    /// Its area in square millimetres.
    pub(crate) area: f64,
    /// Its true sides.
    pub(crate) sides: TrueSides,
    /// Sides that are at least straight and square, be they raw: a tape can be hooked anywhere on them.
    pub(crate) square: TrueSides,
}

impl Workpiece {
    pub(crate) fn longest(&self) -> f64 {
        self.extent.width().max(self.extent.height())
    }
}

/// All workpieces of a layout, by node of its tree; nodes that the tree does not reach have none.
#[derive(Debug, Clone)]
pub(crate) struct Workpieces {
    pieces: Vec<Option<Workpiece>>,
    /// Nodes that give nothing to keep: waste, and cuts that would only saw waste apart.
    waste: Vec<bool>,
    outline: Region,
}

impl Workpieces {
    /// Measures the workpieces. O(nodes x outline vertices).
    pub(crate) fn of(board: &Board, layout: &Layout, tree: &CutTree) -> Workpieces {
        let outline = into_frame(&board.outline, &layout.frame);
        let whole = outline.bounds();
        let mut pieces: Vec<Option<Workpiece>> = vec![None; tree.nodes.len()];
        let mut sides = vec![(TrueSides::default(), TrueSides::default()); tree.nodes.len()];
        if let Some(root) = sides.first_mut() {
            *root = (
                board_sides(board, layout, &outline, false),
                board_sides(board, layout, &outline, true),
            );
        }
        let reached = workpiece_bounds(tree, whole);
        let mut waste = vec![false; tree.nodes.len()];
        // Children before parents.
        for (node, _) in reached.iter().rev() {
            waste[*node] = match tree.nodes[*node] {
                CutNode::Waste => true,
                CutNode::Cut { low, high, .. } => [low, high]
                    .iter()
                    .all(|child| waste.get(*child).copied().unwrap_or(true)),
                _ => false,
            };
        }
        for (node, bounds) in reached {
            let (extent, area) = measured(&outline, &bounds);
            if let CutNode::Cut {
                direction,
                low,
                high,
                ..
            } = tree.nodes[node]
            {
                let (mut below, mut above) = (sides[node], sides[node]);
                match direction {
                    Direction::Rip => {
                        (below.0.left, above.0.right, below.1.left, above.1.right) =
                            (true, true, true, true)
                    }
                    Direction::Crosscut => {
                        (below.0.far, above.0.start, below.1.far, above.1.start) =
                            (true, true, true, true)
                    }
                }
                for (child, its) in [(low, below), (high, above)] {
                    if let Some(place) = sides.get_mut(child) {
                        *place = its;
                    }
                }
            }
            pieces[node] = Some(Workpiece {
                extent,
                area,
                sides: sides[node].0,
                square: sides[node].1,
            });
        }
        Workpieces {
            pieces,
            waste,
            outline,
        }
    }

    /// True where nothing of a node is kept: there is no point in sawing it further.
    pub(crate) fn is_waste(&self, node: usize) -> bool {
        self.waste.get(node).copied().unwrap_or(true)
    }

    /// The workpiece of a node.
    pub(crate) fn get(&self, node: usize) -> Option<&Workpiece> {
        self.pieces.get(node).and_then(Option::as_ref)
    }

    /// The band that a cut turns to dust, clipped to the wood, in the frame; none where it meets no wood.
    pub(crate) fn band(
        &self,
        node: usize,
        direction: Direction,
        at: f64,
        kerf: f64,
    ) -> Option<Bounds> {
        let piece = self.get(node)?;
        let (low, _) = split(piece.extent, direction, at + kerf, 0.0);
        let (_, band) = split(low, direction, at, 0.0);
        // A kerf that only grazes the wood still has a line to be marked.
        let (extent, area) = measured(&self.outline, &band);
        (area > 0.0).then_some(extent)
    }
}

/// A region of the board's frame in the frame of a layout.
pub(crate) fn into_frame(region: &Region, frame: &Frame) -> Region {
    if frame.angle == 0.0 && frame.x == 0.0 && frame.y == 0.0 {
        return region.clone();
    }
    frame.inverse().apply_region(region)
}

/// What of a region lies within bounds: its box (the bounds themselves where nothing does) and its area.
fn measured(region: &Region, bounds: &Bounds) -> (Bounds, f64) {
    let area = heartside_geometry::area_in_bounds(region, bounds);
    let pieces = heartside_geometry::clip_bounds(region, bounds);
    let extent = pieces
        .iter()
        .map(Region::bounds)
        .reduce(Bounds::union)
        .unwrap_or(*bounds);
    (extent, area)
}

fn board_sides(board: &Board, layout: &Layout, outline: &Region, raw_too: bool) -> TrueSides {
    let bounds = outline.bounds();
    let pose = layout.frame.pose();
    let mut covered = [0.0_f64; 4];
    for ((a, b), side) in board.outline.outer().edges().zip(&board.sides) {
        if side.kind != EdgeKind::Straight && !raw_too {
            continue;
        }
        let (a, b) = (pose.inverse_apply(a), pose.inverse_apply(b));
        let on = |value: f64, limit: f64| (value - limit).abs() <= TRUE_WITHIN;
        let both_x = |limit: f64| on(a.x, limit) && on(b.x, limit);
        let both_y = |limit: f64| on(a.y, limit) && on(b.y, limit);
        let run: Point = Point {
            x: (b.x - a.x).abs(),
            y: (b.y - a.y).abs(),
        };
        if both_x(bounds.min.x) {
            covered[0] += run.y;
        }
        if both_x(bounds.max.x) {
            covered[1] += run.y;
        }
        if both_y(bounds.min.y) {
            covered[2] += run.x;
        }
        if both_y(bounds.max.y) {
            covered[3] += run.x;
        }
    }
    let enough = |share: f64, whole: f64| share >= 0.5 * whole && whole > 0.0;
    TrueSides {
        start: enough(covered[0], bounds.height()),
        far: enough(covered[1], bounds.height()),
        right: enough(covered[2], bounds.width()),
        left: enough(covered[3], bounds.width()),
    }
}
