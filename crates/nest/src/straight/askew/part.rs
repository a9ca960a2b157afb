//! What came of a piece: a cut that parts it, a tree square to its blanks, or nothing more to cut.

use std::sync::Arc;

use heartside_timber::job::Job;
use heartside_timber::plan::{CutNode, CutTree, Direction};

use crate::cuts::cutting::{Cutting, cut_node};
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_offcut;
use crate::cuts::saw::Cut;
use crate::cuts::workpiece::Workpiece;

/// A piece of a board.
#[derive(Debug, Clone)]
pub(crate) enum Part {
    /// It is parted.
    Cut {
        direction: Direction,
        cut: Cut,
        /// Degrees by which the line of reference turns before.
        turn: f64,
        low: Box<Part>,
        high: Box<Part>,
    },
    /// It is cut up square to the frame that it lies in after a turn.
    Square {
        ground: Arc<Ground>,
        turn: f64,
        cutting: Box<Cutting>,
        /// For each blank of the cutting its place in the list of placements.
        order: Vec<usize>,
    },
    /// Nothing is cut from it.
    Rest {
        ground: Arc<Ground>,
        work: Option<Workpiece>,
    },
}

impl Part {
    pub(super) fn rest(ground: &Arc<Ground>, work: Option<Workpiece>) -> Part {
        Part::Rest {
            ground: Arc::clone(ground),
            work,
        }
    }

    /// The tree of all cuts; none where a piece was turned that no cut is made in.
    ///
    /// As deep as cuts part groups: at most one level for each blank and each cut that takes off waste.
    pub(crate) fn tree(&self, job: &Job) -> Option<CutTree> {
        let mut nodes = vec![CutNode::Waste];
        self.write(job, &mut nodes, 0)?;
        Some(CutTree { nodes })
    }

    fn write(&self, job: &Job, nodes: &mut Vec<CutNode>, node: usize) -> Option<()> {
        match self {
            Part::Cut {
                direction,
                cut,
                turn,
                low,
                high,
            } => {
                let children = (nodes.len(), nodes.len() + 1);
                nodes.extend([CutNode::Waste, CutNode::Waste]);
                nodes[node] = cut_node(job, *direction, cut, children.0, children.1);
                turn_by(&mut nodes[node], *turn)?;
                low.write(job, nodes, children.0)?;
                high.write(job, nodes, children.1)
            }
            Part::Square {
                ground,
                turn,
                cutting,
                order,
            } => {
                let tree = cutting.finished_tree(|w| is_offcut(job, ground, w));
                let from = nodes.len();
                for (place, mut own) in tree.nodes.into_iter().enumerate() {
                    if let CutNode::Cut { low, high, .. } = &mut own {
                        // The first node is the piece itself.
                        (*low, *high) = (from + *low - 1, from + *high - 1);
                    }
                    let held = own.placements_mut().iter_mut();
                    held.for_each(|p| *p = order[*p]);
                    match place {
                        0 => {
                            turn_by(&mut own, *turn)?;
                            nodes[node] = own;
                        }
                        _ => nodes.push(own),
                    }
                }
                Some(())
            }
            Part::Rest { ground, work } => {
                if work.as_ref().is_some_and(|w| is_offcut(job, ground, w)) {
                    nodes[node] = CutNode::Offcut;
                }
                Some(())
            }
        }
    }
}

/// The cut that is made in a piece turns its line first; none where it has to and nothing is cut.
fn turn_by(node: &mut CutNode, turn: f64) -> Option<()> {
    match node {
        _ if turn == 0.0 => Some(()),
        CutNode::Cut { angle, .. } => {
            *angle = Some(turn);
            Some(())
        }
        _ => None,
    }
}
