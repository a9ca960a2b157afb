//! What of a layout goes along to the pieces of its board.

use heartside_geometry::{Arrange, Bounds, Point, PreparedRegion, Region, Vector, protrusion};
use heartside_timber::blank::Blank;
use heartside_timber::document::PartCopy;
use heartside_timber::job::{EdgeKind, Hand, Job};
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame, Layout, Placement};
use heartside_timber::workpieces::split;
use heartside_timber::workpieces::{CutIn, Workpieces};

use crate::workpiece::into_frame;

use super::wood::Beyond;

/// Less wood than this within a node, in square millimetres, is none.
const NOTHING: f64 = 1e-6;
/// A blank may stick out of the wood that it lies on by this much, in mm: checkers allow as much.
const LIES_ON: f64 = 1e-3;

/// What goes along to one piece.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Carried {
    /// The piece is the blank of this, or of all these leaves.
    pub(super) holds: Vec<Placement>,
    /// What is cut from it; its board is still the one that was cut.
    pub(super) layout: Option<Layout>,
}

/// The first cut of a layout's tree, made.
pub(super) struct FirstCut<'a> {
    layout: &'a Layout,
    tree: &'a CutTree,
    /// What it and all below it are square to.
    pub(super) frame: Frame,
    direction: Direction,
    at: f64,
    pub(super) kerf: f64,
    pub(super) tool: &'a str,
    low: usize,
    high: usize,
}

/// One side of a first cut.
pub(super) struct HalfCut {
    /// The node of the tree.
    pub(super) node: usize,
    /// Looking along the line.
    pub(super) side: Hand,
    pub(super) beyond: Beyond,
}

impl<'a> FirstCut<'a> {
    pub(super) fn of(layout: &'a Layout) -> Option<FirstCut<'a>> {
        let tree = layout.cuts.as_ref()?;
        let cut = tree.nodes.first()?.cut()?;
        Some(FirstCut {
            layout,
            tree,
            frame: layout.frame.turned(cut.angle),
            direction: cut.direction,
            at: cut.at,
            kerf: cut.kerf,
            tool: cut.tool,
            low: cut.low,
            high: cut.high,
        })
    }

    /// The middle of the kerf over the wood that it meets, in the board's coordinates.
    pub(super) fn line(&self, wood: &Region) -> [Point; 2] {
        let wood = into_frame(wood, &self.frame);
        let mut band = wood.bounds();
        let middle = self.at + self.kerf / 2.0;
        match self.direction {
            Direction::Rip => (band.min.y, band.max.y) = (self.at, self.at + self.kerf),
            Direction::Crosscut => (band.min.x, band.max.x) = (self.at, self.at + self.kerf),
        }
        let pieces = heartside_geometry::clip_bounds(&wood, &band);
        let met = pieces.iter().map(Region::bounds).reduce(Bounds::union);
        let met = met.unwrap_or(wood.bounds());
        let pose = self.frame.pose();
        let ends = match self.direction {
            Direction::Rip => [(met.min.x, middle), (met.max.x, middle)],
            Direction::Crosscut => [(middle, met.min.y), (middle, met.max.y)],
        };
        ends.map(|(x, y)| pose.apply(Point { x, y }))
    }

    /// The low side and the high side.
    pub(super) fn halves(&self) -> [HalfCut; 2] {
        let pose = self.frame.pose();
        let half = |node, at: f64, sign: f64, side| {
            let (point, normal) = match self.direction {
                Direction::Rip => (Point { x: 0.0, y: at }, Vector::new(0.0, sign)),
                Direction::Crosscut => (Point { x: at, y: 0.0 }, Vector::new(sign, 0.0)),
            };
            let beyond = Beyond {
                point: pose.apply(point),
                normal: pose.apply_vector(normal),
            };
            HalfCut { node, side, beyond }
        };
        // A rip's line runs along the frame's x, a crosscut's along its y.
        let (low, high) = match self.direction {
            Direction::Rip => (Hand::Right, Hand::Left),
            Direction::Crosscut => (Hand::Left, Hand::Right),
        };
        [
            half(self.low, self.at, -1.0, low),
            half(self.high, self.at + self.kerf, 1.0, high),
        ]
    }

    /// What goes along to the pieces that lie on one side, in their order; none where the tree is damaged.
    pub(super) fn carried(
        &self,
        job: &Job,
        half: &HalfCut,
        woods: &[&Region],
    ) -> Option<Vec<Carried>> {
        let layout = Layout {
            frame: self.frame,
            ..below(self.layout, self.tree, half.node)?
        };
        if let [_] = woods {
            return Some(vec![Carried::of(layout)]);
        }
        // The wood fell apart: each piece has the parts that lie on it and the cuts that meet it.
        let homes: Vec<(PartCopy, usize)> = layout
            .placements
            .iter()
            .map(|p| (p.part_copy(), home(job, p, woods)))
            .collect();
        woods
            .iter()
            .enumerate()
            .map(|(piece, wood)| {
                let elsewhere = |copy: &PartCopy| !homes.contains(&(copy.clone(), piece));
                pruned(layout.clone().without(elsewhere), wood).map(Carried::of)
            })
            .collect()
    }
}

impl Carried {
    /// All that lies on the piece.
    pub(super) fn placements(&self) -> impl Iterator<Item = &Placement> {
        let lies = self.layout.iter().flat_map(|l| &l.placements);
        self.holds.iter().chain(lies)
    }

    /// What a half of a tree comes to on a piece of its own.
    fn of(layout: Layout) -> Carried {
        let nodes = layout.cuts.as_ref().map_or(&[][..], |tree| &tree.nodes);
        let is_kept = |n: &CutNode| !matches!(n, CutNode::Cut { .. } | CutNode::Waste);
        match nodes.first() {
            Some(blank @ (CutNode::Blank { .. } | CutNode::Leaves { .. })) => {
                let held = blank.placements().iter();
                Carried {
                    holds: held
                        .filter_map(|p| layout.placements.get(*p).cloned())
                        .collect(),
                    layout: None,
                }
            }
            Some(CutNode::Cut { .. } | CutNode::Region { .. }) if nodes.iter().any(is_kept) => {
                Carried {
                    holds: Vec::new(),
                    layout: Some(layout),
                }
            }
            _ => Carried::default(),
        }
    }
}

/// The state of the sides that a tool leaves.
pub(super) fn left_by(job: &Job, tool: &str) -> EdgeKind {
    let tool = job.workshop.tools.iter().find(|t| t.name == tool);
    match tool.is_none_or(|t| t.leaves_true_edge) {
        true => EdgeKind::Straight,
        false => EdgeKind::Sawn,
    }
}

/// The layout of what lies below a node of its tree; none where the tree is damaged.
fn below(layout: &Layout, tree: &CutTree, node: usize) -> Option<Layout> {
    let mut nodes: Vec<CutNode> = Vec::new();
    let mut places: Vec<usize> = Vec::new();
    // Node of the whole tree, and whose child it becomes, low or high.
    let mut waiting = vec![(node, None::<(usize, bool)>)];
    while let Some((from, parent)) = waiting.pop() {
        // A damaged tree may run in a circle.
        if nodes.len() >= tree.nodes.len() {
            return None;
        }
        let here = nodes.len();
        if let Some((parent, is_low)) = parent
            && let CutNode::Cut { low, high, .. } = &mut nodes[parent]
        {
            *(if is_low { low } else { high }) = here;
        }
        let node = tree.nodes.get(from)?.clone();
        if let CutNode::Cut { low, high, .. } = &node {
            waiting.extend([(*high, Some((here, false))), (*low, Some((here, true)))]);
        }
        places.extend(node.placements());
        nodes.push(node);
    }
    places.arrange();
    places.dedup();
    let now = |old: usize| places.binary_search(&old).unwrap_or(0);
    for node in &mut nodes {
        node.placements_mut().iter_mut().for_each(|p| *p = now(*p));
    }
    let placements: Option<Vec<Placement>> = places
        .iter()
        .map(|p| layout.placements.get(*p).cloned())
        .collect();
    Some(Layout {
        placements: placements?,
        cuts: Some(CutTree { nodes }),
        ..layout.clone()
    })
}

/// The piece that a placement lies on, or comes nearest to lying on.
pub(super) fn home(job: &Job, placement: &Placement, woods: &[&Region]) -> usize {
    let inside = |wood: &Region| off(job, placement, &PreparedRegion::new(wood.clone()));
    let best = (0..woods.len()).max_by(|a, b| inside(woods[*a]).total_cmp(&inside(woods[*b])));
    best.unwrap_or(0)
}

/// Whether the blank of a placement lies on a piece of wood with all that belongs to it.
pub(super) fn lies_on(job: &Job, placement: &Placement, wood: &PreparedRegion) -> bool {
    off(job, placement, wood) >= -LIES_ON
}

/// How far a blank is from the outline of the wood that it lies on; negative where it sticks out.
fn off(job: &Job, placement: &Placement, wood: &PreparedRegion) -> f64 {
    job.part(&placement.part).map_or(f64::NEG_INFINITY, |part| {
        let blank = Blank::of(part);
        let lies = PreparedRegion::new(placement.pose().apply_region(&blank.core));
        protrusion(&lies, wood).amount - blank.radius
    })
}

/// The layout without the cuts that miss the wood; none where its tree is damaged.
fn pruned(layout: Layout, wood: &Region) -> Option<Layout> {
    let mut layout = layout;
    while let Some(tree) = &layout.cuts {
        let pieces = Workpieces::of(tree, layout.frame, wood);
        let missed = pieces.iter().find_map(|piece| {
            let CutIn {
                cut,
                bounds,
                ground,
            } = piece.cut?;
            let (low, high) = split(bounds, cut.direction, cut.at, cut.kerf);
            let is_empty = |b: &Bounds| ground.area_in(b) <= NOTHING;
            match (is_empty(&low), is_empty(&high)) {
                (true, _) => Some((piece.node, cut.high, cut.angle)),
                (_, true) => Some((piece.node, cut.low, cut.angle)),
                _ => None,
            }
        });
        let Some((node, by, turned)) = missed else {
            break;
        };
        let mut nodes = tree.nodes.clone();
        nodes[node] = nodes.get(by)?.clone();
        if node == 0 {
            layout.frame = layout.frame.turned(turned);
        } else if let CutNode::Cut { angle, .. } = &mut nodes[node]
            && turned != 0.0
        {
            // What the cut turned is turned by the next one.
            *angle = Some(angle.unwrap_or(0.0) + turned);
        }
        let tree = CutTree { nodes };
        layout = below(
            &Layout {
                cuts: None,
                ..layout.clone()
            },
            &tree,
            0,
        )?;
    }
    Some(layout)
}

/// What goes along where the plan's own cuts hold no longer: parts that lie wholly on a piece
/// stay there, and how they are cut is looked for anew.
pub(super) fn laid_anew(job: &Job, layout: &Layout, woods: &[&Region]) -> Vec<Carried> {
    let mut waiting = layout.placements.clone();
    woods
        .iter()
        .map(|wood| {
            let prepared = PreparedRegion::new((*wood).clone());
            let (own, others): (Vec<Placement>, Vec<Placement>) = std::mem::take(&mut waiting)
                .into_iter()
                .partition(|placement| lies_on(job, placement, &prepared));
            waiting = others;
            let layout = (!own.is_empty()).then(|| Layout {
                placements: own,
                cuts: None,
                ..layout.clone()
            });
            Carried {
                holds: Vec::new(),
                layout,
            }
        })
        .collect()
}
