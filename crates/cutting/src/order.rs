//! The order of the cuts of one board.

use heartside_geometry::Arrange;
use std::cmp::Reverse;
use std::collections::BTreeSet;

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

/// The cutting nodes in the order of sawing: parents first, tools changed as seldom as the tree
/// allows. With one tool, the cut that needs no other fence comes first, then one whose fence
/// will not be wanted again for a cut that cannot be made yet, then the largest workpiece.
///
/// Cuts that would only saw waste apart are left out. O(cuts³): a board has tens of cuts.
pub(crate) fn order(
    tree: &CutTree,
    pieces: &Workpieces,
    key_of: impl Fn(usize) -> Option<SettingKey>,
) -> Vec<usize> {
    let cuts = cuts_of(tree, pieces, key_of);
    let mut done = vec![false; cuts.len()];
    let mut ordered = Vec::new();
    let mut last: Option<&SettingKey> = None;
    for tool in tool_sequence(&cuts) {
        loop {
            let here = |k: &usize| is_ready(&cuts, &done, *k) && cuts[*k].tool() == tool;
            let rank = |k: usize| {
                let same = |other: &Cut| match (&cuts[k].key, &other.key) {
                    (Some(a), Some(b)) => a.is_same(b),
                    _ => false,
                };
                let stays = matches!((last, &cuts[k].key), (Some(l), Some(c)) if l.is_same(c));
                let wanted_later = (0..cuts.len())
                    .any(|j| !done[j] && !is_ready(&cuts, &done, j) && same(&cuts[j]));
                (stays, !wanted_later, cuts[k].area)
            };
            let best = (0..cuts.len()).filter(here).max_by(|a, b| {
                let (x, y) = (rank(*a), rank(*b));
                x.0.cmp(&y.0)
                    .then(x.1.cmp(&y.1))
                    .then(x.2.total_cmp(&y.2))
                    .then(b.cmp(a))
            });
            let Some(best) = best else { break };
            done[best] = true;
            last = cuts[best].key.as_ref();
            ordered.push(cuts[best].node);
        }
    }
    ordered
}

/// A cut that has to be made.
struct Cut {
    node: usize,
    /// The cut that gives its workpiece; none for the whole board.
    after: Option<usize>,
    key: Option<SettingKey>,
    area: f64,
}

impl Cut {
    fn tool(&self) -> &str {
        self.key.as_ref().map_or("", |key| &key.tool)
    }
}

/// The cuts that leave more than waste, each after the one that gives its workpiece.
fn cuts_of(
    tree: &CutTree,
    pieces: &Workpieces,
    key_of: impl Fn(usize) -> Option<SettingKey>,
) -> Vec<Cut> {
    let mut cuts: Vec<Cut> = Vec::new();
    let mut seen = vec![false; tree.nodes.len()];
    let mut waiting = vec![(0usize, None)];
    while let Some((node, after)) = waiting.pop() {
        let Some(CutNode::Cut { low, high, .. }) = tree.nodes.get(node) else {
            continue;
        };
        if pieces.is_waste(node) || std::mem::replace(&mut seen[node], true) {
            continue;
        }
        let place = cuts.len();
        cuts.push(Cut {
            node,
            after,
            key: key_of(node),
            area: pieces.get(node).map_or(0.0, |p| p.area),
        });
        waiting.extend([(*high, Some(place)), (*low, Some(place))]);
    }
    cuts
}

fn is_ready(cuts: &[Cut], done: &[bool], cut: usize) -> bool {
    !done[cut] && cuts[cut].after.is_none_or(|before| done[before])
}

/// Tools in the order in which they are taken up, as few as possible.
///
/// Once a tool is in hand nothing is gained by leaving a cut that it can make, so what is done
/// by then follows from the tools taken up so far: all sequences are gone through, shortest
/// first, those that come to the same once. Past a limit the tool that does most is taken.
fn tool_sequence(cuts: &[Cut]) -> Vec<&str> {
    const MOST: usize = 500;
    let mut ways: Vec<(Vec<&str>, Vec<bool>)> = vec![(Vec::new(), vec![false; cuts.len()])];
    let mut seen: BTreeSet<Vec<bool>> = BTreeSet::new();
    loop {
        if let Some(way) = ways.iter().find(|way| way.1.iter().all(|d| *d)) {
            return way.0.clone();
        }
        let mut next = Vec::new();
        for (tools, done) in &ways {
            let mut ready: Vec<usize> = (0..cuts.len())
                .filter(|k| is_ready(cuts, done, *k))
                .collect();
            ready.arrange_by(|a, b| cuts[*b].area.total_cmp(&cuts[*a].area).then(a.cmp(b)));
            let mut tried: Vec<&str> = Vec::new();
            for tool in ready.into_iter().map(|k| cuts[k].tool()) {
                if tried.contains(&tool) {
                    continue;
                }
                tried.push(tool);
                let after = done_with(cuts, done.clone(), tool);
                if seen.insert(after.clone()) {
                    next.push(([&tools[..], &[tool]].concat(), after));
                }
            }
        }
        if next.is_empty() {
            return ways.pop().map_or_else(Vec::new, |way| way.0);
        }
        if next.len() > MOST {
            let most = |way: &(Vec<&str>, Vec<bool>)| way.1.iter().filter(|d| **d).count();
            next.arrange_by_key(|way| Reverse(most(way)));
            next.truncate(1);
        }
        ways = next;
    }
}

/// Everything that a tool in hand can saw by and by.
fn done_with(cuts: &[Cut], mut done: Vec<bool>, tool: &str) -> Vec<bool> {
    // A cut comes after the one that gives its workpiece, so one pass is enough.
    for k in 0..cuts.len() {
        if is_ready(cuts, &done, k) && cuts[k].tool() == tool {
            done[k] = true;
        }
    }
    done
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The fewest tools taken up over every order that keeps a workpiece's cut before its pieces'.
    fn fewest(cuts: &[Cut], done: &mut Vec<bool>, hand: Option<&str>) -> usize {
        if done.iter().all(|d| *d) {
            return 0;
        }
        let mut least = usize::MAX;
        for k in 0..cuts.len() {
            if !is_ready(cuts, done, k) {
                continue;
            }
            done[k] = true;
            let tool = cuts[k].tool();
            let taken_up = usize::from(hand != Some(tool));
            least = least.min(taken_up + fewest(cuts, done, Some(tool)));
            done[k] = false;
        }
        least
    }

    proptest! {
        #[test]
        fn tools_are_changed_as_seldom_as_can_be(
            made in prop::collection::vec((0usize..8, 0usize..3), 1..8),
        ) {
            let tools = ["mitre saw", "table saw", "track saw"];
            let cuts: Vec<Cut> = made
                .iter()
                .enumerate()
                .map(|(place, (after, tool))| Cut {
                    node: place,
                    after: (place > 0).then(|| after % place),
                    key: Some(SettingKey { tool: tools[*tool].into(), fence: None }),
                    area: 1.0,
                })
                .collect();
            let sequence = tool_sequence(&cuts);
            let done = sequence.iter().fold(vec![false; cuts.len()], |done, tool| done_with(&cuts, done, tool));
            prop_assert!(done.iter().all(|d| *d));
            prop_assert_eq!(sequence.len(), fewest(&cuts, &mut vec![false; cuts.len()], None));
        }
    }
}
