//! The order of the cuts of one board.

use heartside_timber::plan::{CutNode, CutTree};

use crate::workpiece::Workpieces;

/// Settings that differ by less are one, in millimetres.
const SAME_SETTING: f64 = 0.05;

/// What has to be set for a cut: tool, fence side and distance. Cuts with equal keys can follow each other without a change.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SettingKey {
    pub(crate) tool: String,
    /// The fence's distance; none where the cut is made to a mark.
    pub(crate) fence: Option<f64>,
}

impl SettingKey {
    /// True where the second needs no change after the first.
    pub(crate) fn is_same(&self, other: &SettingKey) -> bool {
        self.tool == other.tool
            && match (self.fence, other.fence) {
                (Some(a), Some(b)) => (a - b).abs() < SAME_SETTING,
                _ => false,
            }
    }
}

/// The cutting nodes in the order of sawing: parents first; among those that can be cut now,
/// the one that needs no change of setting, else none of tool, else the largest workpiece.
///
/// Cuts that would only saw waste apart are left out. O(cuts²): a board has tens of cuts.
pub(crate) fn order(
    tree: &CutTree,
    pieces: &Workpieces,
    key_of: impl Fn(usize) -> Option<SettingKey>,
) -> Vec<usize> {
    let is_cut = |node: usize| {
        !pieces.is_waste(node) && matches!(tree.nodes.get(node), Some(CutNode::Cut { .. }))
    };
    let mut ready = vec![0usize];
    let mut seen = vec![false; tree.nodes.len()];
    let mut ordered = Vec::new();
    let mut last: Option<SettingKey> = None;
    ready.retain(|node| is_cut(*node));
    while !ready.is_empty() {
        let rank = |node: usize| {
            let key = key_of(node);
            let (same, tool) = match (&last, &key) {
                (Some(l), Some(k)) => (l.is_same(k), l.tool == k.tool),
                _ => (false, false),
            };
            (same, tool, pieces.get(node).map_or(0.0, |p| p.area))
        };
        let best = (0..ready.len())
            .max_by(|a, b| {
                let (x, y) = (rank(ready[*a]), rank(ready[*b]));
                x.0.cmp(&y.0)
                    .then(x.1.cmp(&y.1))
                    .then(x.2.total_cmp(&y.2))
                    .then(ready[*b].cmp(&ready[*a]))
            })
            .unwrap_or(0);
        let node = ready.swap_remove(best);
        if node >= seen.len() || std::mem::replace(&mut seen[node], true) {
            continue;
        }
        last = key_of(node);
        ordered.push(node);
        if let CutNode::Cut { low, high, .. } = tree.nodes[node] {
            ready.extend([low, high].into_iter().filter(|child| is_cut(*child)));
        }
    }
    ordered
}
