//! The best node's pattern, cut out of the boards with the tools.

use heartside_timber::document::Use;
use heartside_timber::job::{Board, Goal, Job};
use heartside_timber::plan::Layout;
use heartside_timber::score::{cost_in_order, strip_length, value_placed};

use super::Staged;
use super::block::Make;
use super::field::{Axis, Field};
use super::node::{Level, NONE, Node};
use crate::cuts::cutting::{Cutting, First};
use crate::cuts::position::Edge;
use crate::straight::layouts::layouts_of;

/// What a board that is to be used only if needed costs besides its price: more than any timber.
pub(super) fn reluctance(board: &Board) -> f64 {
    if board.usage == Use::IfNeeded {
        1e9
    } else {
        0.0
    }
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
        let mut cut: Vec<Option<(usize, Cutting)>> = vec![None; self.room.shelves.len()];
        for board in boards {
            let field = &self.fields[board.field];
            cut[board.shelf] = Some((field.ground, self.cut_board(job, field, &board.nodes)));
        }
        let cut: Vec<Option<(usize, &Cutting)>> = cut
            .iter()
            .map(|c| c.as_ref().map(|(ground, cutting)| (*ground, cutting)))
            .collect();
        layouts_of(job, &self.room, &self.wanted, &cut)
    }

    fn cut_board(&self, job: &Job, field: &Field, nodes: &[Node]) -> Cutting {
        let ground = &self.room.grounds[field.ground];
        let mut bench = Bench {
            staged: self,
            job,
            field,
            cutting: Cutting::whole(ground),
            waiting: Vec::new(),
        };
        bench.sections(nodes);
        bench.lay_the_rest();
        bench.cutting
    }
}

/// One board being cut by its stages.
struct Bench<'a> {
    staged: &'a Staged,
    job: &'a Job,
    field: &'a Field,
    cutting: Cutting,
    /// Blanks that could not be freed where they were planned.
    waiting: Vec<(usize, usize)>,
}

impl Bench<'_> {
    /// Cuts a leaf beyond an edge: the leaf below it, and what lies above. Where no tool can, or nothing
    /// lies beyond, the leaf stays whole and is its own rest.
    fn split(&mut self, leaf: usize, along_u: bool, edge: f64) -> (usize, usize) {
        let (side, edge) = self.field.side(along_u, edge);
        let ground = &self.staged.room.grounds[self.field.ground];
        let beyond = self.cutting.works[leaf].map_or(0.0, |w| {
            let wood = side.of(&w.tight);
            if side.is_low() {
                edge - wood
            } else {
                wood - edge
            }
        });
        if beyond <= ground.leaf_play {
            return (leaf, leaf);
        }
        let saws = &self.staged.room.saws;
        let halves = self
            .cutting
            .part_in_two(self.job, ground, saws, leaf, side, edge);
        match halves {
            Some((low, high)) if side.is_low() => (high, low),
            Some(halves) => halves,
            None => (leaf, leaf),
        }
    }

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
            let (own, rest) = self.split(leaf, true, last.front.ends(self.field).u1);
            self.rows(own, section);
            leaf = rest;
        }
    }

    fn rows(&mut self, mut leaf: usize, nodes: &[Node]) {
        for row in Self::runs(nodes, |l| l == Level::Row) {
            let Some(last) = row.last() else { continue };
            let (own, rest) = self.split(leaf, false, last.front.ends(self.field).v1);
            self.columns(own, row);
            leaf = rest;
        }
    }

    fn columns(&mut self, mut leaf: usize, nodes: &[Node]) {
        for column in Self::runs(nodes, |l| l == Level::Column) {
            let Some(last) = column.last() else { continue };
            let (own, rest) = self.split(leaf, true, last.front.ends(self.field).c1);
            self.stack(own, column);
            leaf = rest;
        }
    }

    fn stack(&mut self, mut leaf: usize, nodes: &[Node]) {
        for node in nodes {
            let (own, rest) = self.split(leaf, false, node.front.ends(self.field).v2);
            self.block(own, node.block);
            leaf = rest;
        }
    }

    /// A block is parted where its halves meet, wherever in the leaf it came to lie.
    fn block(&mut self, leaf: usize, place: u16) {
        let field = self.field;
        let block = &field.blocks[usize::from(place)];
        let (along_u, first, second) = match block.make {
            Make::Blank { part, fit } => {
                if !self.lay(leaf, part, fit) {
                    self.waiting.push((part, fit));
                }
                return;
            }
            Make::Pair(pair) => {
                self.lay_pair(leaf, pair);
                return;
            }
            Make::Beside(first, second) => (true, first, second),
            Make::Above(first, second) => (false, first, second),
        };
        // Where the block lies in the leaf: its low corner, unless something is in the way there.
        let low = self.cutting.works[leaf]
            .and_then(|w| {
                let wood = field.seen(&w.tight).intersection(field.usable)?;
                field.place(block, &wood, Axis::U, &mut Vec::new())
            })
            .map_or(0.0, |(u, v)| if along_u { u } else { v });
        let half = &field.blocks[usize::from(first)];
        let extent = if along_u { half.width() } else { half.height() };
        let (own, rest) = self.split(leaf, along_u, low + extent);
        self.block(own, first);
        self.block(rest, second);
    }

    fn lay(&mut self, leaf: usize, part: usize, fit: usize) -> bool {
        let ground = &self.staged.room.grounds[self.field.ground];
        let fit = &ground.fits[part][fit];
        let bench = (self.job, ground, &self.staged.room.saws);
        let how = (Edge::Low, First::Rips);
        self.cutting.lay(bench, leaf, part, fit, how)
    }

    /// Two sawn parts in one rectangle, or by themselves where that finds no place.
    fn lay_pair(&mut self, leaf: usize, pair: usize) {
        let ground = &self.staged.room.grounds[self.field.ground];
        let pair = &ground.pairs[pair];
        let bench = (self.job, ground, &self.staged.room.saws);
        let how = (Edge::Low, First::Rips);
        if !self.cutting.lay_pair(bench, leaf, pair, how) {
            self.waiting.extend(pair.parts.map(|part| (part, 0)));
        }
    }

    /// Blanks left over go into whatever is still open.
    fn lay_the_rest(&mut self) {
        for (part, fit) in std::mem::take(&mut self.waiting) {
            for leaf in self.cutting.open.clone() {
                if self.lay(leaf, part, fit) {
                    break;
                }
            }
        }
    }
}
