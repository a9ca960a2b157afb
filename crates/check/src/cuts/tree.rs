//! Whether a list of cuts is a tree, and which cut parts which placements.

use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::plan::{CutNode, CutTree, Layout};

use crate::index::JobIndex;
use crate::report::{About, broken};

/// A list of cuts as far as it is a tree: which nodes are reached, from where, and which
/// leaf each placement lies in.
#[derive(Debug, Clone)]
pub(crate) struct Parting {
    parent: Vec<Option<usize>>,
    depth: Vec<usize>,
    kerf: Vec<Option<f64>>,
    leaf_of: Vec<Option<usize>>,
    by_line: Vec<bool>,
}

impl Parting {
    /// The kerf of the cut that parts two placements; none where they lie in one region and
    /// are parted by a sawn line.
    ///
    /// `None` altogether where the tree does not hold both.
    pub(crate) fn kerf_between(&self, a: usize, b: usize) -> Option<Option<f64>> {
        let (mut one, mut two) = ((*self.leaf_of.get(a)?)?, (*self.leaf_of.get(b)?)?);
        if one == two {
            return Some(None);
        }
        while one != two {
            if self.depth[one] < self.depth[two] {
                two = self.parent[two]?;
            } else {
                one = self.parent[one]?;
            }
        }
        self.kerf[one].map(Some)
    }

    /// Whether a placement is sawn by line out of a region.
    pub(crate) fn is_sawn_by_line(&self, placement: usize) -> bool {
        self.by_line.get(placement).copied().unwrap_or(false)
    }
}

/// Reads the tree from its root; everything that keeps it from being one is a finding.
pub(crate) fn read(
    index: &JobIndex<'_>,
    layout: &Layout,
    tree: &CutTree,
) -> (Parting, Vec<Finding>) {
    let mut reader = Reader {
        index,
        layout,
        parting: Parting {
            parent: vec![None; tree.nodes.len()],
            depth: vec![0; tree.nodes.len()],
            kerf: vec![None; tree.nodes.len()],
            leaf_of: vec![None; layout.placements.len()],
            by_line: vec![false; layout.placements.len()],
        },
        found: Vec::new(),
    };
    reader.walk(tree);
    for (place, leaf) in reader.parting.leaf_of.iter().enumerate() {
        if leaf.is_none() {
            let part = layout.placements[place].part_copy();
            let message = index.words().part_without_piece(&part, &layout.board);
            reader.found.push(
                broken(Rule::Cuts, "part-without-piece", message)
                    .on(&layout.board)
                    .of(&part),
            );
        }
    }
    (reader.parting, reader.found)
}

struct Reader<'a, 'j> {
    index: &'a JobIndex<'j>,
    layout: &'a Layout,
    parting: Parting,
    found: Vec<Finding>,
}

impl Reader<'_, '_> {
    fn walk(&mut self, tree: &CutTree) {
        let mut seen = vec![false; tree.nodes.len()];
        let mut waiting = vec![(0usize, None::<usize>)];
        if tree.nodes.is_empty() {
            self.damaged("it is empty");
            return;
        }
        while let Some((node, parent)) = waiting.pop() {
            if node >= tree.nodes.len() {
                self.damaged("a cut names a piece that is not there");
                continue;
            }
            if std::mem::replace(&mut seen[node], true) {
                self.damaged("two cuts give the same piece");
                continue;
            }
            self.parting.parent[node] = parent;
            self.parting.depth[node] = parent.map_or(0, |p| self.parting.depth[p] + 1);
            match &tree.nodes[node] {
                CutNode::Cut {
                    kerf, low, high, ..
                } => {
                    self.parting.kerf[node] = kerf.is_finite().then_some(*kerf);
                    waiting.push((*high, Some(node)));
                    waiting.push((*low, Some(node)));
                }
                CutNode::Blank { placement } => self.put(node, *placement, false),
                CutNode::Region { placements } => {
                    for placement in placements {
                        self.put(node, *placement, true);
                    }
                }
                CutNode::Leaves { placements } => {
                    for placement in placements {
                        self.put(node, *placement, false);
                    }
                }
                CutNode::Offcut | CutNode::Waste => {}
            }
        }
        if seen.iter().any(|s| !s) {
            self.damaged("it holds pieces that no cut gives");
        }
    }

    fn put(&mut self, node: usize, placement: usize, by_line: bool) {
        match self.parting.leaf_of.get(placement) {
            None => self.damaged("a piece names a part that does not lie on this board"),
            Some(Some(_)) => {
                let part = self.layout.placements[placement].part_copy();
                let message = self
                    .index
                    .words()
                    .part_in_two_pieces(&part, &self.layout.board);
                self.report("part-in-two-pieces", message, |f| f.of(&part));
            }
            Some(None) => {
                self.parting.leaf_of[placement] = Some(node);
                self.parting.by_line[placement] = by_line;
            }
        }
    }

    fn damaged(&mut self, how: &str) {
        let message = self.index.words().tree_damaged(&self.layout.board, how);
        self.report("cuts-damaged", message, |f| f);
    }

    fn report(&mut self, cause: &str, message: String, about: impl FnOnce(Finding) -> Finding) {
        let board: &BoardCopy = &self.layout.board;
        self.found
            .push(about(broken(Rule::Cuts, cause, message).on(board)));
    }
}
