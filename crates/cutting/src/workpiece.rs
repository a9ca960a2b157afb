//! The workpieces of a board's cut tree: where they lie, how large they really are, which of their sides are true.

use heartside_geometry::{Bounds, Point, Region, SortedMap, Vector};
use heartside_timber::defaults::FENCE_CONTACT;
use heartside_timber::job::{Board, EdgeKind, Job};
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame, Layout};
use heartside_timber::workpieces::split;
use heartside_timber::workpieces::{self, CutIn, Ground};

/// How far a straight side may lie off the frame's axis and still serve as an edge, in millimetres.
const TRUE_WITHIN: f64 = 0.2;
/// Share of a workpiece's side that must be straight on the board to be measured from.
const TO_MEASURE: f64 = 0.5;
/// A rip of at least this length lets the wood spring, in millimetres. Common practice, no source.
const LONG_RIP: f64 = 1000.0;

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
    /// All four.
    pub(crate) const ALL: [Side; 4] = [Side::Start, Side::Far, Side::Right, Side::Left];

    /// Where this side of a box lies.
    pub(crate) fn of(self, bounds: &Bounds) -> f64 {
        match self {
            Side::Start => bounds.min.x,
            Side::Far => bounds.max.x,
            Side::Right => bounds.min.y,
            Side::Left => bounds.max.y,
        }
    }

    /// The way out of a box over this side, as a unit vector of the board's frame.
    pub(crate) fn outwards(self, frame: &Frame) -> Point {
        let (sin, cos) = heartside_geometry::math::sin_cos_deg(frame.angle);
        let (x, y) = match self {
            Side::Start => (-cos, -sin),
            Side::Far => (cos, sin),
            Side::Right => (sin, -cos),
            Side::Left => (-sin, cos),
        };
        Point { x, y }
    }

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

/// How an edge that can run along a fence came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Guided {
    /// Straight on the board, or left true by a tool.
    True,
    /// The same, but a long rip since may have bent the piece.
    MaybeSprung,
}

/// Which sides are straight: sawn by an earlier cut, or straight on the board.
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

    fn set(&mut self, side: Side, to: bool) {
        match side {
            Side::Start => self.start = to,
            Side::Far => self.far = to,
            Side::Right => self.right = to,
            Side::Left => self.left = to,
        }
    }
}

/// One workpiece.
#[derive(Debug, Clone)]
pub(crate) struct Workpiece {
    /// Its line of reference.
    pub(crate) frame: Frame,
    /// Where it really lies in the frame: the board's outline within its rectangle.
    pub(crate) extent: Bounds,
    /// Its area in square millimetres.
    pub(crate) area: f64,
    /// Its true sides.
    pub(crate) sides: TrueSides,
    /// Sides that are at least straight and square, be they raw: a tape can be hooked anywhere on them.
    pub(crate) square: TrueSides,
    /// Sides that can run along a fence: straight on the board over nearly all of this piece, or
    /// made by a tool that leaves a true edge.
    guides: TrueSides,
    /// A long rip since the edges were last trued.
    sprung: bool,
}

impl Workpiece {
    /// How a side that can run along a fence came about; none where it cannot.
    pub(crate) fn guided(&self, side: Side) -> Option<Guided> {
        let along = matches!(side, Side::Right | Side::Left);
        let sprung = self.sprung && along && self.extent.width() >= LONG_RIP;
        self.guides.has(side).then_some(if sprung {
            Guided::MaybeSprung
        } else {
            Guided::True
        })
    }
}

/// All workpieces of a layout, by node of its tree; nodes that the tree does not reach have none.
#[derive(Debug, Clone)]
pub(crate) struct Workpieces {
    pieces: Vec<Option<Workpiece>>,
    /// Workpieces that their cut turns, as they lie to it.
    turned: SortedMap<usize, Workpiece>,
    /// The wood that each cut turns to dust, in its frame; none where it meets no wood.
    bands: Vec<Option<Bounds>>,
    /// Nodes that give nothing to keep: waste, and cuts that would only saw waste apart.
    waste: Vec<bool>,
}

impl Workpieces {
    /// Measures the workpieces. O(nodes x outline vertices).
    pub(crate) fn of(job: &Job, board: &Board, layout: &Layout, tree: &CutTree) -> Workpieces {
        let all = workpieces::Workpieces::of(tree, layout.frame, &board.outline);
        let mut pieces: Vec<Option<Workpiece>> = vec![None; tree.nodes.len()];
        let mut turned = SortedMap::from_iter([]);
        let mut bands: Vec<Option<Bounds>> = vec![None; tree.nodes.len()];
        // What lies below each node: how its sides came about, and the edges that it began with.
        let mut come: Vec<(Come, usize)> = vec![Default::default(); tree.nodes.len()];
        let mut edges = vec![straight_edges(board, &layout.frame)];
        if let Some(root) = come.first_mut() {
            let whole = Ground::whole(layout.frame, &board.outline);
            root.0 = Come::afresh(&edges[0], &whole.bounds());
            root.0.sprung = may_have_sprung(job, board, &layout.frame);
        }
        let mut waste = vec![false; tree.nodes.len()];
        // Children before parents.
        for node in all.iter().rev().map(|piece| piece.node) {
            waste[node] = match tree.nodes[node] {
                CutNode::Waste => true,
                CutNode::Cut { low, high, .. } => [low, high]
                    .iter()
                    .all(|child| waste.get(*child).copied().unwrap_or(true)),
                _ => false,
            };
        }
        for piece in all.iter() {
            let (mut its, mut own_edges) = come[piece.node];
            let (ground, bounds) = (piece.ground, piece.bounds);
            let workpiece = its.workpiece(ground, &bounds, &edges[own_edges]);
            if let Some(CutIn {
                cut,
                bounds: seen,
                ground: new,
            }) = piece.cut
            {
                bands[piece.node] = band(new, &seen, cut.direction, (cut.at, cut.kerf));
                let mut length = workpiece.extent.width();
                if new.frame != ground.frame {
                    let turn = Turn {
                        from: ground,
                        to: new,
                        within: &bounds,
                    };
                    edges.push(turn.edges(&its, &edges[own_edges]));
                    own_edges = edges.len() - 1;
                    let sprung = its.sprung;
                    its = Come::afresh(&edges[own_edges], &seen);
                    its.sprung = sprung;
                    let as_it_lies = its.workpiece(new, &seen, &edges[own_edges]);
                    length = as_it_lies.extent.width();
                    turned.insert(piece.node, as_it_lies);
                }
                let tool = job.workshop.tools.iter().find(|t| t.name == cut.tool);
                let made = Made {
                    direction: cut.direction,
                    true_edge: tool.is_none_or(|t| t.leaves_true_edge),
                    trues: tool.is_some_and(|t| t.trues),
                    length,
                };
                for (child, is_low) in [(cut.low, true), (cut.high, false)] {
                    if let Some(place) = come.get_mut(child) {
                        *place = (its.after(&made, is_low), own_edges);
                    }
                }
            }
            pieces[piece.node] = Some(workpiece);
        }
        Workpieces {
            pieces,
            turned,
            bands,
            waste,
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

    /// The workpiece of a node as it lies to its cut, which may turn it.
    pub(crate) fn at_cut(&self, node: usize) -> Option<&Workpiece> {
        self.turned.get(&node).or_else(|| self.get(node))
    }

    /// The band that the cut of a node turns to dust, clipped to the wood, in the frame of the cut;
    /// none where it meets no wood.
    pub(crate) fn band(&self, node: usize) -> Option<Bounds> {
        self.bands.get(node).copied().flatten()
    }
}

fn band(
    ground: &Ground,
    bounds: &Bounds,
    direction: Direction,
    (at, kerf): (f64, f64),
) -> Option<Bounds> {
    let (extent, _) = measured(ground, bounds);
    let (low, _) = split(extent, direction, at + kerf, 0.0);
    let (_, band) = split(low, direction, at, 0.0);
    // A kerf that only grazes the wood still has a line to be marked.
    let (extent, area) = measured(ground, &band);
    (area > 0.0).then_some(extent)
}

/// What of the wood lies within bounds: its box (the bounds themselves where nothing does) and its area.
fn measured(ground: &Ground, bounds: &Bounds) -> (Bounds, f64) {
    let pieces = ground.wood_in(bounds);
    let extent = pieces.iter().map(Region::bounds).reduce(Bounds::union);
    (extent.unwrap_or(*bounds), ground.area_in(bounds))
}

/// A region of the board's frame in the frame of a layout.
pub(crate) fn into_frame(region: &Region, frame: &Frame) -> Region {
    if frame.angle == 0.0 && frame.x == 0.0 && frame.y == 0.0 {
        return region.clone();
    }
    frame.inverse().apply_region(region)
}

/// Whether a long rip let a piece spring since it was last trued: one that was made already is none
/// of its own tree. Seen from a frame.
fn may_have_sprung(job: &Job, piece: &Board, frame: &Frame) -> bool {
    let mut here = piece;
    // No chain is longer than there are cuts.
    for _ in 0..job.done.len() {
        let cut = here.from.as_ref().and_then(|from| job.done.get(from.done));
        let before = cut.and_then(|cut| Some((cut, job.board(&cut.board.board)?)));
        let Some((cut, before)) = before else {
            break;
        };
        let along = match cut.line[..] {
            [a, b] => frame.inverse().apply_vector(b - a),
            _ => Vector::ZERO,
        };
        if along.x.abs() > along.y.abs() {
            let tool = job.workshop.tools.iter().find(|t| t.name == cut.tool);
            if tool.is_some_and(|t| t.trues) {
                return false;
            }
            let wood = into_frame(&before.outline, frame);
            if wood.bounds().width() >= LONG_RIP {
                return true;
            }
        }
        here = before;
    }
    false
}

/// A workpiece that a cut turns from its line of reference.
struct Turn<'a> {
    from: &'a Ground,
    to: &'a Ground,
    within: &'a Bounds,
}

impl Turn<'_> {
    /// The edges that what is turned begins with: those it had, and the sides that cuts made.
    fn edges(&self, its: &Come, before: &[StraightEdge]) -> Vec<StraightEdge> {
        let (from, to) = (self.from.frame.pose(), self.to.frame.pose());
        let seen = |p: Point| to.inverse_apply(from.apply(p));
        let (Bounds { min, max }, whole) = (*self.within, self.from.bounds());
        let corner = |x, y| Point { x, y };
        let cut = Side::ALL
            .into_iter()
            .filter(|side| side.of(self.within) != side.of(&whole));
        let cut = cut.map(|side| {
            let (a, b) = match side {
                Side::Start => (min, corner(min.x, max.y)),
                Side::Far => (corner(max.x, min.y), max),
                Side::Right => (min, corner(max.x, min.y)),
                Side::Left => (corner(min.x, max.y), max),
            };
            let is_straight = its.true_cuts.has(side);
            StraightEdge { a, b, is_straight }
        });
        let before = before.iter().copied();
        let all = before.chain(cut).map(|edge| StraightEdge {
            a: seen(edge.a),
            b: seen(edge.b),
            ..edge
        });
        all.collect()
    }
}

/// How the sides of a workpiece came about.
#[derive(Debug, Clone, Copy, Default)]
struct Come {
    /// A cut made them, or the board is straight there.
    measured: TrueSides,
    /// As before, or the board is square there, be it raw.
    square: TrueSides,
    /// A cut by a tool that leaves a true edge made them.
    true_cuts: TrueSides,
    sprung: bool,
}

/// A cut, as far as it matters to the sides it leaves.
struct Made {
    direction: Direction,
    true_edge: bool,
    trues: bool,
    length: f64,
}

impl Come {
    /// A board, or what a cut turned, before it is cut: its sides as its edges are.
    fn afresh(edges: &[StraightEdge], whole: &Bounds) -> Come {
        let covered = |raw| Covered::of(edges, whole, raw);
        Come {
            measured: covered(false).enough(whole, TO_MEASURE),
            square: covered(true).enough(whole, TO_MEASURE),
            ..Come::default()
        }
    }

    /// The workpiece within bounds whose sides came about so.
    fn workpiece(&self, ground: &Ground, bounds: &Bounds, edges: &[StraightEdge]) -> Workpiece {
        let (extent, area) = measured(ground, bounds);
        // A side that no cut made is true where the board is straight along this piece.
        let straight = Covered::of(edges, &extent, false).enough(&extent, FENCE_CONTACT);
        let mut guides = TrueSides::default();
        for side in Side::ALL {
            let reaches = (side.of(&extent) - side.of(bounds)).abs() <= TRUE_WITHIN;
            let by_cut = self.true_cuts.has(side) && reaches;
            guides.set(side, by_cut || straight.has(side));
        }
        Workpiece {
            frame: ground.frame,
            extent,
            area,
            sides: self.measured,
            square: self.square,
            guides,
            sprung: self.sprung,
        }
    }

    /// The sides of the low or the high piece of a cut.
    fn after(mut self, made: &Made, is_low: bool) -> Come {
        let side = match (made.direction, is_low) {
            (Direction::Rip, true) => Side::Left,
            (Direction::Rip, false) => Side::Right,
            (Direction::Crosscut, true) => Side::Far,
            (Direction::Crosscut, false) => Side::Start,
        };
        self.measured.set(side, true);
        self.square.set(side, true);
        self.true_cuts.set(side, made.true_edge);
        if made.direction == Direction::Rip {
            self.sprung = !made.trues && (self.sprung || made.length >= LONG_RIP);
        }
        self
    }
}

/// An edge of the wood in the frame, and whether it is straight (else raw).
#[derive(Clone, Copy)]
struct StraightEdge {
    a: Point,
    b: Point,
    is_straight: bool,
}

fn straight_edges(board: &Board, frame: &Frame) -> Vec<StraightEdge> {
    let pose = frame.pose();
    let edges = board.outline.outer().edges().zip(&board.sides);
    edges
        .map(|((a, b), side)| StraightEdge {
            a: pose.inverse_apply(a),
            b: pose.inverse_apply(b),
            is_straight: side.kind == EdgeKind::Straight,
        })
        .collect()
}

/// How much of each side of a box the board's edges cover: start, far, right, left.
struct Covered([f64; 4]);

impl Covered {
    fn of(edges: &[StraightEdge], extent: &Bounds, raw_too: bool) -> Covered {
        let mut covered = [0.0_f64; 4];
        let shared =
            |a: f64, b: f64, low: f64, high: f64| (a.max(b).min(high) - a.min(b).max(low)).max(0.0);
        for StraightEdge { a, b, .. } in edges.iter().filter(|e| e.is_straight || raw_too) {
            let on = |value: f64, limit: f64| (value - limit).abs() <= TRUE_WITHIN;
            let upright = shared(a.y, b.y, extent.min.y, extent.max.y);
            let level = shared(a.x, b.x, extent.min.x, extent.max.x);
            for (place, limit) in [extent.min.x, extent.max.x].into_iter().enumerate() {
                if on(a.x, limit) && on(b.x, limit) {
                    covered[place] += upright;
                }
            }
            for (place, limit) in [extent.min.y, extent.max.y].into_iter().enumerate() {
                if on(a.y, limit) && on(b.y, limit) {
                    covered[2 + place] += level;
                }
            }
        }
        Covered(covered)
    }

    fn enough(&self, extent: &Bounds, share: f64) -> TrueSides {
        let [start, far, right, left] = self.0;
        let enough = |covered: f64, whole: f64| covered >= share * whole && whole > 0.0;
        TrueSides {
            start: enough(start, extent.height()),
            far: enough(far, extent.height()),
            right: enough(right, extent.width()),
            left: enough(left, extent.width()),
        }
    }
}
