//! The workpieces of one board, and what becomes of each: a member, nothing, or two by a cut.

use heartside_geometry::{Bounds, SortedMap};
use heartside_timber::blank::straight_bounds;
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Job, PartCut};
use heartside_timber::plan::{CutNode, CutTree, Direction, Layout};

use crate::cuts::cutting::cut_node;
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_offcut;
use crate::cuts::saw::{Cut, Saws};
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;

/// Sizes that differ by less can share a setting, in millimetres.
pub(super) const SAME_SIZE: f64 = 0.05;

pub(super) const SIDES: [Side; 4] = [Side::LowX, Side::HighX, Side::LowY, Side::HighY];

/// How offcuts are looked after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Offcuts {
    /// They earn a little.
    Few,
    /// They earn more than any convenience, and beside them goes the saw of the least kerf that can.
    Kept,
}

/// A workpiece that is left as one blank, or as the region of several sawn parts.
pub(super) struct Member {
    pub(super) rect: Bounds,
    pub(super) leaf: CutNode,
}

/// What becomes of a workpiece: a place in the list of branches.
pub(super) type Place = usize;

#[derive(Debug, Clone, Copy)]
pub(super) enum Branch {
    /// A member, by its place in the list.
    Member(usize),
    /// No blank in it.
    Rest,
    Cut {
        direction: Direction,
        cut: Cut,
        low: Place,
        high: Place,
    },
}

/// What is known of a workpiece.
#[derive(Debug, Clone, Copy)]
pub(super) enum Known {
    /// The least cost, and how.
    Best(f64, Place),
    /// Nothing costs less than this.
    AtLeast(f64),
}

pub(super) struct Finder<'a> {
    pub(super) job: &'a Job,
    pub(super) ground: &'a Ground,
    pub(super) saws: &'a Saws,
    pub(super) board: &'a BoardCopy,
    pub(super) members: Vec<Member>,
    /// Extents of the job's blanks along and across the board, with how many there are.
    pub(super) lengths: Vec<(f64, f64)>,
    pub(super) widths: Vec<(f64, f64)>,
    pub(super) area: f64,
    pub(super) branches: Vec<Branch>,
    /// By the bits of the workpiece's rectangle; few are cut round in more ways than one.
    pub(super) known: SortedMap<[u64; 4], Vec<(Workpiece, Known)>>,
    pub(super) steps_left: u32,
    pub(super) offcuts: Offcuts,
}

impl<'a> Finder<'a> {
    /// None where the layout's tree is not one of ours.
    pub(super) fn new(
        job: &'a Job,
        ground: &'a Ground,
        saws: &'a Saws,
        layout: &'a Layout,
        tree: &CutTree,
    ) -> Option<Finder<'a>> {
        let rect = |placement: &usize| {
            let lying = layout.placements.get(*placement)?;
            ground.rect_of(job.part(&lying.part)?, &lying.at)
        };
        let mut members = Vec::new();
        for leaf in &tree.nodes {
            let held = match leaf {
                CutNode::Blank { placement } => std::slice::from_ref(placement),
                CutNode::Region { placements } => placements.as_slice(),
                _ => continue,
            };
            let rects: Option<Vec<Bounds>> = held.iter().map(rect).collect();
            members.push(Member {
                rect: rects?.into_iter().reduce(Bounds::union)?,
                leaf: leaf.clone(),
            });
        }
        let (mut lengths, mut widths) = (Vec::new(), Vec::new());
        for part in job.parts.iter().filter(|p| p.cut == PartCut::Straight) {
            let blank = straight_bounds(part);
            let count = f64::from(part.wanted_count());
            add_size(&mut lengths, blank.width(), count);
            add_size(&mut widths, blank.height(), count);
        }
        Some(Finder {
            job,
            ground,
            saws,
            board: &layout.board,
            members,
            lengths,
            widths,
            area: ground.bounds.area(),
            branches: Vec::new(),
            known: SortedMap::new(),
            steps_left: 0,
            offcuts: Offcuts::Few,
        })
    }

    pub(super) fn add(&mut self, branch: Branch) -> Place {
        self.branches.push(branch);
        self.branches.len() - 1
    }

    /// The branch that a finished tree has at a node; none if the tree is not one of ours.
    pub(super) fn branch_of(
        &mut self,
        tree: &CutTree,
        node: usize,
        work: Option<Workpiece>,
    ) -> Option<Place> {
        let here = tree.nodes.get(node)?;
        let branch = match (here.cut(), here) {
            (Some(made), _) => {
                // As the engines make them: in one frame, and so that no tree leads round in a ring.
                if made.angle != 0.0 || made.low <= node || made.high <= node {
                    return None;
                }
                let tools = &self.job.workshop.tools;
                let cut = Cut {
                    tool: tools.iter().position(|t| t.name == made.tool)?,
                    at: made.at,
                    kerf: made.kerf,
                };
                let direction = made.direction;
                let (below, above) = cut.halves(self.job, self.ground, &work?, direction);
                Branch::Cut {
                    direction,
                    cut,
                    low: self.branch_of(tree, made.low, below)?,
                    high: self.branch_of(tree, made.high, above)?,
                }
            }
            (None, CutNode::Offcut | CutNode::Waste) => Branch::Rest,
            (None, leaf) => Branch::Member(self.members.iter().position(|m| m.leaf == *leaf)?),
        };
        Some(self.add(branch))
    }

    pub(super) fn members_of(&self, place: Place) -> Vec<usize> {
        match self.branches[place] {
            Branch::Member(member) => vec![member],
            Branch::Rest => Vec::new(),
            Branch::Cut { low, high, .. } => {
                let mut members = self.members_of(low);
                members.extend(self.members_of(high));
                members
            }
        }
    }

    pub(super) fn held(&self, members: &[usize]) -> Option<Bounds> {
        let rects = members.iter().map(|m| self.members[*m].rect);
        rects.reduce(Bounds::union)
    }

    /// The tree of a branch, children after their parents.
    pub(super) fn tree(&self, root: Place, whole: Workpiece) -> CutTree {
        let mut nodes = vec![CutNode::Waste];
        let mut waiting = vec![(root, Some(whole), 0usize)];
        while let Some((place, work, node)) = waiting.pop() {
            nodes[node] = match self.branches[place] {
                Branch::Member(member) => self.members[member].leaf.clone(),
                Branch::Rest => match &work {
                    Some(work) if is_offcut(self.job, self.ground, work) => CutNode::Offcut,
                    _ => CutNode::Waste,
                },
                Branch::Cut {
                    direction,
                    cut,
                    low,
                    high,
                } => {
                    let next = nodes.len();
                    nodes.extend([CutNode::Waste, CutNode::Waste]);
                    let halves = work.map(|w| cut.halves(self.job, self.ground, &w, direction));
                    let (below, above) = halves.unwrap_or((None, None));
                    waiting.extend([(high, above, next + 1), (low, below, next)]);
                    cut_node(self.job, direction, &cut, next, next + 1)
                }
            };
        }
        CutTree { nodes }
    }
}

fn add_size(sizes: &mut Vec<(f64, f64)>, size: f64, count: f64) {
    match sizes.iter_mut().find(|s| (s.0 - size).abs() < SAME_SIZE) {
        Some(known) => known.1 += count,
        None => sizes.push((size, count)),
    }
}
