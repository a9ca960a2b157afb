//! The best node's pattern, cut out of the boards with the tools.

use heartside_timber::job::{Board, Goal, Job};
use heartside_timber::plan::Layout;
use heartside_timber::score::{cost_in_order, strip_length, value_placed};

use super::Staged;
use super::node::{Level, NONE, Node};
use crate::straight::boxed::{Bench, Field};

/// What a board that is to be used only if needed costs besides its price: more than any timber.
pub(super) fn reluctance(board: &Board) -> f64 {
    if board.is_spared() { 1e9 } else { 0.0 }
}

/// The measure by which the search compares plans, of layouts made elsewhere; none where pieces are missing.
pub(super) fn measure(job: &Job, layouts: &[Layout]) -> Option<f64> {
    let plan = heartside_timber::plan::Plan {
        layouts: layouts.to_vec(),
        ..Default::default()
    };
    if job.goal == Goal::Value {
        return Some(-value_placed(job, &plan));
    }
    let laid: usize = layouts.iter().map(|l| l.placements.len()).sum();
    let is_whole = laid as u64 == job.piece_count();
    if !is_whole {
        return None;
    }
    Some(match job.goal {
        Goal::StripLength => strip_length(job, &plan),
        Goal::InOrder => cost_in_order(job, &plan),
        Goal::Furnish | Goal::Value => layouts
            .iter()
            .filter(|l| !l.placements.is_empty())
            .filter_map(|l| job.board(&l.board.board))
            .map(|b| b.cost + reluctance(b))
            .sum(),
    })
}

/// Blanks of one board in the order in which they were laid.
struct Laid {
    field: usize,
    shelf: usize,
    nodes: Vec<Node>,
}

impl Staged {
    /// The plan of a node, cut out of the boards. Blanks that no tool can free are left out.
    pub(super) fn cut_out(&self, job: &Job, place: u32) -> Vec<Layout> {
        let mut chain = Vec::new();
        let mut at = place;
        while at != NONE {
            let node = self.pass.nodes[at as usize];
            chain.push(node);
            at = node.parent;
        }
        chain.reverse();
        let mut used = vec![0usize; self.kinds.len()];
        let mut boards: Vec<Laid> = Vec::new();
        for node in chain {
            let field = usize::from(node.field);
            let kind = self.fields[field].kind;
            if node.level == Level::Board {
                let shelf = self.kinds[kind].shelves[used[kind]];
                used[kind] += 1;
                boards.push(Laid {
                    field,
                    shelf,
                    nodes: Vec::new(),
                });
            }
            if let Some(board) = boards.last_mut() {
                board.nodes.push(node);
            }
        }
        let mut cut: Vec<Option<Bench<'_>>> = self.boxes.boards().map(|_| None).collect();
        for board in boards {
            let field = &self.fields[board.field];
            let mut stages = Stages {
                bench: Bench::new(job, &self.boxes, field),
                field,
            };
            stages.sections(&board.nodes);
            stages.bench.lay_the_rest();
            cut[board.shelf] = Some(stages.bench);
        }
        self.boxes.layouts(job, &cut)
    }
}

/// One board being cut by its stages.
struct Stages<'a> {
    bench: Bench<'a>,
    field: &'a Field,
}

impl Stages<'_> {
    /// The pieces of a run of nodes that begin at a level or above it.
    fn runs(nodes: &[Node], begins: fn(Level) -> bool) -> Vec<&[Node]> {
        let mut starts: Vec<usize> = (0..nodes.len())
            .filter(|k| *k == 0 || begins(nodes[*k].level))
            .collect();
        starts.push(nodes.len());
        starts.windows(2).map(|w| &nodes[w[0]..w[1]]).collect()
    }

    fn sections(&mut self, nodes: &[Node]) {
        let mut leaf = 0;
        for section in Self::runs(nodes, |l| matches!(l, Level::Board | Level::Section)) {
            let Some(last) = section.last() else { continue };
            let (own, rest) = self.bench.split(leaf, true, last.front.ends(self.field).u1);
            self.rows(own, section);
            leaf = rest;
        }
    }

    fn rows(&mut self, mut leaf: usize, nodes: &[Node]) {
        for row in Self::runs(nodes, |l| l == Level::Row) {
            let Some(last) = row.last() else { continue };
            let (own, rest) = self
                .bench
                .split(leaf, false, last.front.ends(self.field).v1);
            self.columns(own, row);
            leaf = rest;
        }
    }

    fn columns(&mut self, mut leaf: usize, nodes: &[Node]) {
        for column in Self::runs(nodes, |l| l == Level::Column) {
            let Some(last) = column.last() else { continue };
            let (own, rest) = self.bench.split(leaf, true, last.front.ends(self.field).c1);
            self.stack(own, column);
            leaf = rest;
        }
    }

    fn stack(&mut self, mut leaf: usize, nodes: &[Node]) {
        for node in nodes {
            let (own, rest) = self
                .bench
                .split(leaf, false, node.front.ends(self.field).v2);
            self.bench.block(own, node.block);
            leaf = rest;
        }
    }
}
