//! A board while it is being cut up: the tree so far and the workpieces still open.

use heartside_geometry::Bounds;
use heartside_timber::job::{Job, PartCut};
use heartside_timber::plan::{CutNode, CutTree, Direction, Placed};

use super::chain::chain;

pub(crate) use super::chain::Care;
pub use super::chain::First;
use super::elsewhere::elsewhere;
use super::fits::Fit;
use super::fits::Pair;
use super::ground::Ground;
use super::position::{Edge, Spot, find_spot};
use super::saw::{Cut, Saws};
use super::side::Side;
use super::workpiece::Workpiece;

/// A blank that the tree frees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cutout {
    /// The part's place in the job's list.
    pub part: usize,
    /// The copy, where it matters which (a pin).
    pub copy: Option<u32>,
    /// Where it lies.
    pub placed: Placed,
    /// Its rectangle in the frame.
    pub rect: Bounds,
}

/// A board while it is being cut up.
///
/// Every cut in it was possible for its tool at the moment it was added, and later
/// additions only divide leaves, so the tree is legal at all times.
#[derive(Debug, Clone, Default)]
pub struct Cutting {
    /// The tree. Leaves not yet decided are waste.
    pub(crate) nodes: Vec<CutNode>,
    /// The workpiece of each node; none where no wood is left.
    pub works: Vec<Option<Workpiece>>,
    /// Leaves in which blanks may still be laid.
    pub open: Vec<usize>,
    /// The blanks freed so far.
    pub cutouts: Vec<Cutout>,
}

impl Cutting {
    /// A whole board, uncut.
    pub fn whole(ground: &Ground) -> Cutting {
        Cutting::piece(Workpiece::whole(ground))
    }

    /// A piece of a board, uncut.
    pub(crate) fn piece(work: Workpiece) -> Cutting {
        Cutting {
            nodes: vec![CutNode::Waste],
            works: vec![Some(work)],
            open: vec![0],
            cutouts: Vec::new(),
        }
    }

    /// Cuts a blank free from an open leaf; false, and nothing changed, if no order of cuts can.
    pub fn free(
        &mut self,
        bench: (&Job, &Ground, &Saws),
        leaf: usize,
        cutout: Cutout,
        first: First,
    ) -> bool {
        self.free_together(bench, leaf, &[cutout], &cutout.rect, (first, Care::Quick))
    }

    /// As [`Cutting::free`], for sawn parts that share a rectangle.
    pub(crate) fn free_together(
        &mut self,
        bench: (&Job, &Ground, &Saws),
        leaf: usize,
        cutouts: &[Cutout],
        rect: &Bounds,
        (first, care): (First, Care),
    ) -> bool {
        let job = bench.0;
        let Some(work) = self.works[leaf] else {
            return false;
        };
        let Some(links) = chain(bench, work, rect, first, care) else {
            return false;
        };
        self.open.retain(|o| *o != leaf);
        let mut node = leaf;
        for link in links {
            let (kept, rest) = (self.nodes.len(), self.nodes.len() + 1);
            self.nodes.push(CutNode::Waste);
            self.works.push(Some(link.kept));
            self.nodes.push(CutNode::Waste);
            self.works.push(link.rest);
            if link.rest.is_some() {
                self.open.push(rest);
            }
            let (low, high) = if link.keeps_low {
                (kept, rest)
            } else {
                (rest, kept)
            };
            self.nodes[node] = cut_node(job, link.direction, &link.cut, low, high);
            node = kept;
        }
        let index = self.cutouts.len();
        let is_sawn = |c: &Cutout| job.parts[c.part].cut == PartCut::Sawn;
        self.nodes[node] = if cutouts.iter().all(is_sawn) {
            CutNode::Region {
                placements: (index..index + cutouts.len()).collect(),
            }
        } else {
            CutNode::Blank { placement: index }
        };
        self.cutouts.extend_from_slice(cutouts);
        true
    }

    /// Lays a blank in an open leaf at the first free place and cuts it free, the preferred
    /// cuts first; false, and nothing changed, where it finds no place or no order of cuts.
    pub fn lay(
        &mut self,
        bench: (&Job, &Ground, &Saws),
        leaf: usize,
        part: usize,
        fit: &Fit,
        how: (Edge, First),
    ) -> bool {
        self.lay_with_care(bench, leaf, part, fit, how, Care::Quick)
    }

    /// As [`Cutting::lay`], looking as hard as asked.
    pub(crate) fn lay_with_care(
        &mut self,
        bench: (&Job, &Ground, &Saws),
        leaf: usize,
        part: usize,
        fit: &Fit,
        (edge, first): (Edge, First),
        care: Care,
    ) -> bool {
        self.lay_somewhere(bench, leaf, fit, (edge, first, care), |spot| {
            Some(vec![Cutout {
                part,
                copy: None,
                placed: spot.placed,
                rect: spot.rect,
            }])
        })
    }

    /// As [`Cutting::lay`], for two sawn parts in one rectangle.
    pub fn lay_pair(
        &mut self,
        bench: (&Job, &Ground, &Saws),
        leaf: usize,
        pair: &Pair,
        (edge, first): (Edge, First),
    ) -> bool {
        let (job, ground, _) = bench;
        let how = (edge, first, Care::Quick);
        self.lay_somewhere(bench, leaf, &pair.fit, how, |spot| {
            let placed = [spot.placed, ground.second_of(pair, &spot.rect)];
            let cutout = |(part, placed): (&usize, Placed)| {
                Some(Cutout {
                    part: *part,
                    copy: None,
                    placed,
                    rect: ground.rect_of(&job.parts[*part], &placed)?,
                })
            };
            pair.parts.iter().zip(placed).map(cutout).collect()
        })
    }

    fn lay_somewhere(
        &mut self,
        bench: (&Job, &Ground, &Saws),
        leaf: usize,
        fit: &Fit,
        (edge, first, care): (Edge, First, Care),
        cutouts: impl Fn(&Spot) -> Option<Vec<Cutout>>,
    ) -> bool {
        let (job, ground, saws) = bench;
        let Some(work) = self.works[leaf].filter(|_| self.open.contains(&leaf)) else {
            return false;
        };
        let mut is_freed = |spot: &Spot| {
            let Some(cutouts) = cutouts(spot) else {
                return false;
            };
            [first, first.other()]
                .into_iter()
                .any(|first| self.free_together(bench, leaf, &cutouts, &spot.rect, (first, care)))
        };
        let nearest = find_spot(job, ground, saws, &work, fit, edge);
        if nearest.as_ref().is_some_and(&mut is_freed) {
            return true;
        }
        // Where no place is free, another look with as little care finds none either.
        if nearest.is_none() && care == Care::Quick {
            return false;
        }
        elsewhere(bench, &work, fit, care).iter().any(is_freed)
    }

    /// Cuts an open leaf in two at a line, taking `side` off beyond `edge`; the low and high nodes, or none if no tool can or the leaf is not open.
    pub fn part_in_two(
        &mut self,
        job: &Job,
        ground: &Ground,
        saws: &Saws,
        leaf: usize,
        side: Side,
        edge: f64,
    ) -> Option<(usize, usize)> {
        let work = self.works[leaf].filter(|_| self.open.contains(&leaf))?;
        let cut = saws.cut(job, ground, &work, side, edge)?;
        self.cut(job, ground, leaf, side.direction(), &cut)
    }

    /// Makes a cut that its tool was found able to make; the low and high nodes, both open where they hold wood.
    pub(crate) fn cut(
        &mut self,
        job: &Job,
        ground: &Ground,
        leaf: usize,
        direction: Direction,
        cut: &Cut,
    ) -> Option<(usize, usize)> {
        let work = self.works[leaf]?;
        let (low_work, high_work) = cut.halves(job, ground, &work, direction);
        let (low, high) = (self.nodes.len(), self.nodes.len() + 1);
        self.open.retain(|o| *o != leaf);
        for half in [low_work, high_work] {
            if half.is_some() {
                self.open.push(self.nodes.len());
            }
            self.nodes.push(CutNode::Waste);
            self.works.push(half);
        }
        self.nodes[leaf] = cut_node(job, direction, cut, low, high);
        Some((low, high))
    }

    /// Opens every undecided leaf again that holds wood.
    pub(crate) fn reopen(&mut self) {
        self.open = (0..self.nodes.len())
            .filter(|n| {
                matches!(self.nodes[*n], CutNode::Waste | CutNode::Offcut)
                    && self.works[*n].is_some()
            })
            .collect();
    }

    /// A board cut up as a finished tree says, so that it can be changed further; none if the tree is not one of ours.
    pub(crate) fn from_tree(
        job: &Job,
        ground: &Ground,
        tree: &CutTree,
        cutouts: Vec<Cutout>,
    ) -> Option<Cutting> {
        let mut works: Vec<Option<Workpiece>> = vec![None; tree.nodes.len()];
        *works.first_mut()? = Some(Workpiece::whole(ground));
        for (place, node) in tree.nodes.iter().enumerate() {
            if let Some(cut) = node.cut() {
                // The engines keep a board to one frame.
                if cut.angle != 0.0 {
                    return None;
                }
                let is_child = |child: usize| child > place && child < works.len();
                if !is_child(cut.low) || !is_child(cut.high) {
                    return None;
                }
                let mut tools = job.workshop.tools.iter();
                let leaves_true = tools.any(|t| t.name == cut.tool && t.leaves_true_edge);
                let (low, high) =
                    works[place]?.halves(ground, cut.direction, (cut.at, cut.kerf), leaves_true);
                works[cut.low] = low;
                works[cut.high] = high;
            }
            if node.placements().iter().any(|p| *p >= cutouts.len()) {
                return None;
            }
        }
        let nodes = tree
            .nodes
            .iter()
            .map(|n| {
                if *n == CutNode::Offcut {
                    CutNode::Waste
                } else {
                    n.clone()
                }
            })
            .collect();
        let mut cutting = Cutting {
            nodes,
            works,
            open: Vec::new(),
            cutouts,
        };
        cutting.reopen();
        Some(cutting)
    }

    /// Gives the whole workpiece of a node back: what was cut from it is uncut, and the blanks it held are returned.
    ///
    /// The tree is rebuilt without the nodes below. O(nodes).
    pub(crate) fn undo(&mut self, node: usize) -> Vec<Cutout> {
        let mut below = vec![false; self.nodes.len()];
        let mut released = vec![false; self.cutouts.len()];
        let mut waiting = vec![node];
        while let Some(at) = waiting.pop() {
            below[at] = at != node;
            if let CutNode::Cut { low, high, .. } = &self.nodes[at] {
                waiting.extend([*low, *high]);
            }
            let held = self.nodes[at].placements();
            held.iter().for_each(|p| released[*p] = true);
        }
        self.nodes[node] = CutNode::Waste;
        self.open.retain(|o| !below[*o] && *o != node);
        if self.works[node].is_some() {
            self.open.push(node);
        }
        let (mut gone, mut kept) = (Vec::new(), Vec::new());
        let mut new_place = vec![0; self.cutouts.len()];
        for (place, cutout) in self.cutouts.iter().enumerate() {
            new_place[place] = kept.len();
            if released[place] {
                gone.push(*cutout)
            } else {
                kept.push(*cutout)
            }
        }
        self.cutouts = kept;
        self.renumber(&below, &new_place);
        gone
    }

    fn renumber(&mut self, dropped: &[bool], new_place: &[usize]) {
        let mut new_node = vec![0; self.nodes.len()];
        let mut count = 0;
        for (node, is_dropped) in dropped.iter().enumerate() {
            new_node[node] = count;
            count += usize::from(!is_dropped);
        }
        let mut kept = dropped.iter().map(|d| !d);
        self.nodes.retain(|_| kept.next().unwrap_or(true));
        let mut kept = dropped.iter().map(|d| !d);
        self.works.retain(|_| kept.next().unwrap_or(true));
        for node in &mut self.nodes {
            if let CutNode::Cut { low, high, .. } = node {
                *low = new_node[*low];
                *high = new_node[*high];
            }
            let held = node.placements_mut().iter_mut();
            held.for_each(|p| *p = new_place[*p]);
        }
        self.open.iter_mut().for_each(|o| *o = new_node[*o]);
    }

    /// The nodes that were cut, the whole board first.
    pub(crate) fn cut_nodes(&self) -> Vec<usize> {
        (0..self.nodes.len())
            .filter(|n| matches!(self.nodes[*n], CutNode::Cut { .. }))
            .collect()
    }

    /// The tree as a plan has it, undecided leaves told apart into offcuts and waste.
    ///
    /// Cuts that free nothing but waste and offcuts have no reason: a workpiece without a
    /// blank in it is left in one piece.
    pub(crate) fn finished_tree(&self, is_offcut: impl Fn(&Workpiece) -> bool) -> CutTree {
        let mut tree = CutTree {
            nodes: Vec::with_capacity(self.nodes.len()),
        };
        // Which nodes hold blanks; children come after their parents.
        let mut holds = vec![false; self.nodes.len()];
        for node in (0..self.nodes.len()).rev() {
            holds[node] = match &self.nodes[node] {
                CutNode::Cut { low, high, .. } => holds[*low] || holds[*high],
                other => !other.placements().is_empty(),
            };
        }
        let mut waiting = vec![(0usize, 0usize)];
        tree.nodes.push(CutNode::Waste);
        while let Some((node, place)) = waiting.pop() {
            if !holds[node] {
                tree.nodes[place] = match &self.works[node] {
                    Some(work) if is_offcut(work) => CutNode::Offcut,
                    _ => CutNode::Waste,
                };
                continue;
            }
            let next = tree.nodes.len();
            tree.nodes[place] = self.nodes[node].clone();
            if let CutNode::Cut {
                low, high, angle, ..
            } = &mut tree.nodes[place]
            {
                *angle = None;
                waiting.extend([(*high, next + 1), (*low, next)]);
                (*low, *high) = (next, next + 1);
                tree.nodes.extend([CutNode::Waste, CutNode::Waste]);
            }
        }
        tree
    }
}

pub(crate) fn cut_node(
    job: &Job,
    direction: Direction,
    cut: &Cut,
    low: usize,
    high: usize,
) -> CutNode {
    CutNode::Cut {
        angle: None,
        direction,
        tool: job.workshop.tools[cut.tool].name.clone(),
        at: cut.at,
        kerf: cut.kerf,
        low,
        high,
    }
}
