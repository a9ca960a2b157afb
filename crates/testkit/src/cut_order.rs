//! Random legal orders in which a plan's cuts can be made, one cut at a time.

use heartside_timber::plan::{CutNode, CutTree, Plan, Way};

use crate::chance::Chance;

/// A cut whose workpiece lies free: a whole board, or a piece that earlier cuts left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CutToMake {
    /// The layout's place in the plan.
    pub layout: usize,
    /// The node of its tree; none where parts are sawn straight out of a board.
    pub node: Option<usize>,
    /// For a part sawn by line: its place in the layout.
    pub placement: Option<usize>,
}

/// One of the cuts that can be made now; none where all are made. Cuts in what is all waste are none.
pub fn cut_to_make(chance: &mut Chance, plan: &Plan) -> Option<CutToMake> {
    let mut open = Vec::new();
    for (layout, laid) in plan.layouts.iter().enumerate() {
        let by_line = |node, placement| CutToMake {
            layout,
            node,
            placement: Some(placement),
        };
        match laid.cuts.as_ref().map(|tree| (tree, tree.nodes.first())) {
            Some((tree, Some(CutNode::Cut { .. }))) if is_kept(tree, 0) => open.push(CutToMake {
                layout,
                node: Some(0),
                placement: None,
            }),
            Some((_, Some(CutNode::Region { placements }))) => {
                open.extend(placements.iter().map(|p| by_line(Some(0), *p)));
            }
            None if laid.way == Way::Sawn => {
                open.extend((0..laid.placements.len()).map(|p| by_line(None, p)));
            }
            _ => {}
        }
    }
    (!open.is_empty()).then(|| *chance.one_of(&open))
}

/// Whether anything below a node is more than waste.
fn is_kept(tree: &CutTree, node: usize) -> bool {
    match tree.nodes.get(node) {
        Some(CutNode::Cut { low, high, .. }) => is_kept(tree, *low) || is_kept(tree, *high),
        Some(CutNode::Waste) | None => false,
        Some(_) => true,
    }
}
