//! The layout of a board and those of its free pieces, joined and taken apart again.

use heartside_timber::document::BoardCopy;
use heartside_timber::plan::{CutNode, CutTree, Layout, Way};

use super::PartedBoard;

/// Angles nearer than this are one, in degrees.
const SAME: f64 = 1e-9;

impl PartedBoard {
    /// The board with what lies on its pieces.
    pub(super) fn joined(&self, on_pieces: Vec<Layout>) -> Layout {
        let mut whole = self.layout.clone();
        for layout in on_pieces {
            let mut pieces = self.pieces.iter();
            let piece = pieces.find(|p| p.id == layout.board.board);
            let (Some(piece), Some(tree)) = (piece, &layout.cuts) else {
                continue;
            };
            let turn = layout.frame.angle - piece.frame.angle;
            let turn = if turn.abs() <= SAME { 0.0 } else { turn };
            let from = whole.placements.len();
            if let Some(nodes) = &mut whole.cuts
                && add_below(nodes, piece.node, tree, turn, from)
            {
                whole.placements.extend(layout.placements);
            }
        }
        whole
    }

    /// What lies on its pieces in a layout of the board that begins with the same cuts.
    pub(super) fn taken_apart(&self, layout: &Layout) -> Vec<Layout> {
        let (Some(own), Some(tree)) = (&self.layout.cuts, &layout.cuts) else {
            return Vec::new();
        };
        let is_there = |pin| layout.placements.contains(pin);
        if layout.frame != self.layout.frame || !self.layout.placements.iter().all(is_there) {
            return Vec::new();
        }
        let mut found = Vec::new();
        let mut waiting = vec![(0usize, 0usize)];
        while let Some((node, there)) = waiting.pop() {
            let (Some(mine), Some(theirs)) = (own.nodes.get(node), tree.nodes.get(there)) else {
                return Vec::new();
            };
            if let Some(piece) = self.pieces.iter().find(|p| p.node == node) {
                found.extend(below(layout, tree, there).map(|(nodes, placements)| {
                    Layout {
                        board: BoardCopy {
                            board: piece.id.clone(),
                            copy: 1,
                        },
                        way: Way::Straight,
                        frame: piece
                            .frame
                            .turned(theirs.cut().map_or(0.0, |cut| cut.angle)),
                        placements,
                        cuts: Some(nodes),
                    }
                }));
                continue;
            }
            match (mine.cut(), theirs.cut()) {
                (None, None) => {}
                (Some(a), Some(b)) => {
                    let same = a.direction == b.direction
                        && a.tool == b.tool
                        && (a.at, a.kerf, a.angle) == (b.at, b.kerf, b.angle);
                    if !same {
                        return Vec::new();
                    }
                    waiting.extend([(a.low, b.low), (a.high, b.high)]);
                }
                _ => return Vec::new(),
            }
        }
        found
    }
}

/// Adds a tree at a leaf, its placements counted from `first` on; false, and nothing changed, where it has
/// to turn the piece and makes no cut.
fn add_below(whole: &mut CutTree, leaf: usize, tree: &CutTree, turn: f64, first: usize) -> bool {
    let from = whole.nodes.len();
    let mut nodes = tree.nodes.iter().cloned().enumerate();
    let Some((_, mut root)) = nodes.next() else {
        return false;
    };
    if let CutNode::Cut { angle, .. } = &mut root {
        *angle = (turn != 0.0).then_some(turn);
    } else if turn != 0.0 {
        return false;
    }
    let moved = |mut node: CutNode| {
        if let CutNode::Cut { low, high, .. } = &mut node {
            (*low, *high) = (from + *low - 1, from + *high - 1);
        }
        let held = node.placements_mut().iter_mut();
        held.for_each(|p| *p += first);
        node
    };
    whole.nodes[leaf] = moved(root);
    whole.nodes.extend(nodes.map(|(_, node)| moved(node)));
    true
}

/// The tree below a node without its turn, and what lies in it; none where nothing does.
fn below(
    layout: &Layout,
    tree: &CutTree,
    node: usize,
) -> Option<(CutTree, Vec<heartside_timber::plan::Placement>)> {
    let mut nodes = vec![CutNode::Waste];
    let mut placements = Vec::new();
    let mut waiting = vec![(node, 0usize)];
    while let Some((from, to)) = waiting.pop() {
        let mut own = tree.nodes.get(from)?.clone();
        if let CutNode::Cut {
            low, high, angle, ..
        } = &mut own
        {
            if to == 0 {
                *angle = None;
            }
            let next = nodes.len();
            waiting.extend([(*low, next), (*high, next + 1)]);
            (*low, *high) = (next, next + 1);
            nodes.extend([CutNode::Waste, CutNode::Waste]);
        }
        for place in own.placements_mut() {
            placements.push(layout.placements.get(*place)?.clone());
            *place = placements.len() - 1;
        }
        nodes[to] = own;
    }
    (!placements.is_empty()).then_some((CutTree { nodes }, placements))
}
