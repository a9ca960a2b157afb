//! Short strips by annealing the tree of cuts itself.
//!
//! Every plan of straight cuts is a slicing tree: leaves are blanks, and a node lays its two
//! sides beside or above one another (Otten 1982). The tree is changed a little at a time
//! (leaves or branches exchanged, one moved, a cut the other way, a blank turned) and the
//! change kept if the strip becomes no longer, or else by chance, ever more rarely
//! (Kirkpatrick, Gelatt & Vecchi 1983; for slicing trees Wong & Liu 1986). Runs are short and
//! long by turns (Luby, Sinclair & Zuckerman 1993).
//!
//! What is made small is the length, plus how far the tree is higher than the strip, plus a
//! little for what is lost in thin slivers: without that, changes off the longest chain of
//! blanks would all look alike. Nothing is proved here.

use heartside_geometry::math::{exp, powf};
use heartside_timber::job::{Goal, Job};
use heartside_timber::plan::{Direction, Layout};

use heartside_nest::kit::clear::{Clear, Make};
use heartside_nest::kit::{Chance, Engine, Task};

use super::strip::{by_area, length_of};

/// Changes tried in a step.
const STEP: u64 = 2_000;
/// Changes of the shortest run. With less a dozen blanks are frozen before they are sorted.
const SHORTEST_RUN: u64 = 400_000;
/// Temperature at a run's beginning, in shares of the length that a blank of mean size takes of the strip.
const HOT: f64 = 0.5;
/// The last temperature as a share of the first.
const COLD: f64 = 0.05;
/// What a sliver weighs beside the length it would take over the whole strip.
const SLIVERS: f64 = 0.3;
/// Slivers are thinner than this share of a mean blank's side; what is thicker could hold another blank.
const THIN: f64 = 0.2;
/// Trees of more blanks freeze before they are good; other searches are better there.
const MOST_PIECES: usize = 80;

const NONE: u32 = u32::MAX;

/// A blank, or two sides of a cut.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Node {
    parent: u32,
    low: u32,
    high: u32,
    width: i32,
    height: i32,
    /// Of a blank: which of the pieces; [`NONE`] for a cut.
    piece: u32,
    is_above: bool,
    is_turned: bool,
    /// What is lost in slivers within.
    slivers: f32,
}

/// A piece: its part's ways to lie, the second where it may be turned.
struct Piece {
    lies: [(i32, i32, u32); 2],
    may_turn: bool,
}

/// The tree, and how to take the last change back.
struct Tree {
    nodes: Vec<Node>,
    root: u32,
    pieces: Vec<Piece>,
    thin: f32,
    changed: Vec<(u32, Node)>,
    root_before: u32,
}

/// The search as an engine.
pub(crate) struct Slicing {
    clear: Clear,
    chance: Chance,
    tree: Tree,
    height: i32,
    /// Length that a blank of mean size takes of the strip.
    unit: f64,
    cost: f64,
    temperature: f64,
    /// Runs begun, and changes tried in this one of so many.
    runs: u64,
    tried: u64,
    run: u64,
    /// The shortest strip known, in measures.
    best: i64,
    layouts: Vec<Layout>,
}

impl Slicing {
    /// For a strip without flaws and pieces that are not too many.
    pub(crate) fn new(job: &Job, task: Task) -> Option<Slicing> {
        if job.goal != Goal::StripLength {
            return None;
        }
        let chance = task.chance.clone();
        let clear = by_area(job, task)?;
        let mut pieces = Vec::new();
        for (part, copies) in clear.copies.iter().enumerate().filter(|(_, n)| **n > 0) {
            let mut lies = clear
                .items
                .iter()
                .enumerate()
                .filter(|(_, i)| i.part == part);
            let mut lie = || {
                let (place, item) = lies.next()?;
                Some((item.width as i32, item.height as i32, place as u32))
            };
            let first = lie()?;
            let second = lie();
            for _ in 0..*copies {
                pieces.push(Piece {
                    lies: [first, second.unwrap_or(first)],
                    may_turn: second.is_some(),
                });
            }
        }
        if !(2..=MOST_PIECES).contains(&pieces.len()) {
            return None;
        }
        let area = |p: &Piece| f64::from(p.lies[0].0) * f64::from(p.lies[0].1);
        let mean = pieces.iter().map(area).sum::<f64>() / pieces.len() as f64;
        let mut slicing = Slicing {
            chance,
            tree: Tree {
                nodes: Vec::new(),
                root: 0,
                pieces,
                thin: (mean.sqrt() * THIN) as f32,
                changed: Vec::new(),
                root_before: 0,
            },
            height: clear.height as i32,
            unit: mean / clear.height as f64,
            cost: 0.0,
            temperature: 0.0,
            runs: 0,
            tried: 0,
            run: 0,
            best: clear.length + 1,
            layouts: Vec::new(),
            clear,
        };
        slicing.begin_run();
        Some(slicing)
    }

    /// Another tree by chance, and as many changes as the run is long.
    fn begin_run(&mut self) {
        self.runs += 1;
        self.run = SHORTEST_RUN * luby(self.runs);
        self.tried = 0;
        self.tree.grow(&mut self.chance);
        self.cost = self.cost_of_tree();
    }

    fn cost_of_tree(&self) -> f64 {
        let root = &self.tree.nodes[self.tree.root as usize];
        let over = (root.height - self.height).max(0);
        let under = self
            .tree
            .sliver((self.height - root.height).max(0), root.width);
        let lost = f64::from(root.slivers + under) / f64::from(self.height);
        f64::from(root.width) + f64::from(over) + SLIVERS * lost
    }

    /// Tries a change; true if the strip is shorter than any known.
    fn try_change(&mut self) -> bool {
        if self.tried.is_multiple_of(256) {
            let cooled = self.tried as f64 / self.run as f64;
            self.temperature = HOT * self.unit * powf(COLD, cooled);
        }
        self.tried += 1;
        self.tree.begin();
        if !self.tree.change(&mut self.chance) {
            return false;
        }
        let cost = self.cost_of_tree();
        let worse = cost - self.cost;
        let is_kept = worse <= 0.0 || self.chance.unit() < exp(-worse / self.temperature);
        if !is_kept {
            self.tree.take_back();
            return false;
        }
        self.cost = cost;
        let root = &self.tree.nodes[self.tree.root as usize];
        let is_best = root.height <= self.height && i64::from(root.width) < self.best;
        if is_best {
            self.best = i64::from(root.width);
        }
        is_best
    }

    fn cut_out(&self, job: &Job) -> Vec<Layout> {
        let tree = &self.tree;
        self.clear.cut_out(job, tree.root, |node| {
            let node = &tree.nodes[*node as usize];
            if node.piece != NONE {
                let piece = &tree.pieces[node.piece as usize];
                return Make::Item(piece.lies[usize::from(node.is_turned)].2 as usize);
            }
            let low = &tree.nodes[node.low as usize];
            if node.is_above {
                Make::Parted(Direction::Rip, i64::from(low.height), node.low, node.high)
            } else {
                Make::Parted(
                    Direction::Crosscut,
                    i64::from(low.width),
                    node.low,
                    node.high,
                )
            }
        })
    }
}

/// 1, 1, 2, 1, 1, 2, 4, ...: as good as any run length known beforehand, but for a logarithm (Luby, Sinclair & Zuckerman 1993).
fn luby(mut n: u64) -> u64 {
    loop {
        let power = (n + 1).next_power_of_two();
        if power == n + 1 {
            return power / 2;
        }
        n -= power / 2 - 1;
    }
}

impl Tree {
    /// A tree of all pieces by chance.
    fn grow(&mut self, chance: &mut Chance) {
        let blank = |piece: usize| Node {
            parent: NONE,
            low: NONE,
            high: NONE,
            width: 0,
            height: 0,
            piece: piece as u32,
            is_above: false,
            is_turned: false,
            slivers: 0.0,
        };
        self.nodes = (0..self.pieces.len()).map(blank).collect();
        let mut open: Vec<u32> = (0..self.pieces.len() as u32).collect();
        while open.len() > 1 {
            let low = open.swap_remove(chance.below(open.len()));
            let high = open.swap_remove(chance.below(open.len()));
            let place = self.nodes.len() as u32;
            self.nodes.push(Node {
                low,
                high,
                piece: NONE,
                is_above: chance.percent(50),
                ..blank(0)
            });
            self.nodes[low as usize].parent = place;
            self.nodes[high as usize].parent = place;
            open.push(place);
        }
        self.root = open.first().copied().unwrap_or(0);
        // Sides come before the node that holds both.
        for place in 0..self.nodes.len() as u32 {
            let (width, height, slivers) = self.extents(place);
            let node = &mut self.nodes[place as usize];
            (node.width, node.height, node.slivers) = (width, height, slivers);
        }
        self.changed.clear();
    }

    /// Area of a strip of waste, weighed the less the thicker it is.
    fn sliver(&self, thick: i32, long: i32) -> f32 {
        let thick = thick as f32;
        let share = thick / self.thin;
        thick * long as f32 / (1.0 + share * share)
    }

    fn extents(&self, place: u32) -> (i32, i32, f32) {
        let node = &self.nodes[place as usize];
        if node.piece != NONE {
            let lie = self.pieces[node.piece as usize].lies[usize::from(node.is_turned)];
            return (lie.0, lie.1, 0.0);
        }
        let (a, b) = (
            &self.nodes[node.low as usize],
            &self.nodes[node.high as usize],
        );
        let within = a.slivers + b.slivers;
        if node.is_above {
            let shorter = if a.width < b.width { a } else { b };
            let lost = self.sliver((a.width - b.width).abs(), shorter.height);
            (a.width.max(b.width), a.height + b.height, within + lost)
        } else {
            let lower = if a.height < b.height { a } else { b };
            let lost = self.sliver((a.height - b.height).abs(), lower.width);
            (a.width + b.width, a.height.max(b.height), within + lost)
        }
    }

    fn begin(&mut self) {
        self.changed.clear();
        self.root_before = self.root;
    }

    fn take_back(&mut self) {
        while let Some((place, node)) = self.changed.pop() {
            self.nodes[place as usize] = node;
        }
        self.root = self.root_before;
    }

    fn keep(&mut self, place: u32) {
        self.changed.push((place, self.nodes[place as usize]));
    }

    /// Extents from a node up, as far as they change.
    fn measure_up(&mut self, mut place: u32) {
        while place != NONE {
            let extents = self.extents(place);
            let node = &self.nodes[place as usize];
            if (node.width, node.height, node.slivers) == extents {
                return;
            }
            self.keep(place);
            let node = &mut self.nodes[place as usize];
            (node.width, node.height, node.slivers) = extents;
            place = node.parent;
        }
    }

    fn is_within(&self, branch: u32, mut place: u32) -> bool {
        while place != NONE && place != branch {
            place = self.nodes[place as usize].parent;
        }
        place == branch
    }

    /// Puts another node in the place of a side of a node, or of the root.
    fn replace(&mut self, parent: u32, old: u32, new: u32) {
        self.keep(new);
        self.nodes[new as usize].parent = parent;
        if parent == NONE {
            self.root = new;
            return;
        }
        self.keep(parent);
        let node = &mut self.nodes[parent as usize];
        if node.low == old {
            node.low = new;
        } else {
            node.high = new;
        }
    }

    /// A change by chance; false where the one drawn cannot be.
    fn change(&mut self, chance: &mut Chance) -> bool {
        let (blanks, all) = (self.pieces.len(), self.nodes.len());
        match chance.below(100) {
            0..30 => self.exchange_pieces(chance.below(blanks), chance.below(blanks)),
            30..70 => {
                let moved = if chance.percent(75) {
                    chance.below(blanks)
                } else {
                    chance.below(all)
                };
                let to = chance.below(all) as u32;
                self.move_branch(moved as u32, to, chance.percent(50))
            }
            70..85 => {
                let place = (blanks + chance.below(blanks - 1)) as u32;
                self.keep(place);
                self.nodes[place as usize].is_above ^= true;
                self.measure_up(place);
                true
            }
            85..93 => {
                let place = chance.below(blanks) as u32;
                let piece = self.nodes[place as usize].piece;
                if !self.pieces[piece as usize].may_turn {
                    return false;
                }
                self.keep(place);
                self.nodes[place as usize].is_turned ^= true;
                self.measure_up(place);
                true
            }
            _ => self.exchange_branches(chance.below(all) as u32, chance.below(all) as u32),
        }
    }

    fn exchange_pieces(&mut self, a: usize, b: usize) -> bool {
        if a == b {
            return false;
        }
        self.keep(a as u32);
        self.keep(b as u32);
        let (one, other) = (self.nodes[a], self.nodes[b]);
        (self.nodes[a].piece, self.nodes[a].is_turned) = (other.piece, other.is_turned);
        (self.nodes[b].piece, self.nodes[b].is_turned) = (one.piece, one.is_turned);
        self.measure_up(a as u32);
        self.measure_up(b as u32);
        true
    }

    /// Takes a branch out and lays it beside or above another.
    fn move_branch(&mut self, moved: u32, to: u32, is_above: bool) -> bool {
        let parent = self.nodes[moved as usize].parent;
        if parent == NONE || to == parent || self.is_within(moved, to) {
            return false;
        }
        let node = self.nodes[parent as usize];
        let sibling = if node.low == moved {
            node.high
        } else {
            node.low
        };
        self.replace(node.parent, parent, sibling);
        let above = self.nodes[to as usize].parent;
        self.keep(parent);
        self.replace(above, to, parent);
        self.keep(to);
        self.nodes[to as usize].parent = parent;
        let joined = &mut self.nodes[parent as usize];
        (joined.low, joined.high, joined.is_above) = (to, moved, is_above);
        // Measured anew even if the extents should happen to be those of before.
        joined.width = -1;
        self.measure_up(node.parent);
        self.measure_up(parent);
        true
    }

    fn exchange_branches(&mut self, a: u32, b: u32) -> bool {
        if self.is_within(a, b) || self.is_within(b, a) {
            return false;
        }
        let (one, other) = (self.nodes[a as usize].parent, self.nodes[b as usize].parent);
        if one == other {
            return false;
        }
        self.replace(one, a, b);
        self.replace(other, b, a);
        self.measure_up(one);
        self.measure_up(other);
        true
    }
}

impl Engine for Slicing {
    fn step(&mut self, job: &Job) -> bool {
        let mut best = None;
        for _ in 0..STEP {
            if self.try_change() {
                best = Some(self.cut_out(job));
            }
        }
        if self.tried >= self.run {
            self.begin_run();
        }
        let is_better = best.is_some();
        self.layouts = best.unwrap_or_else(|| std::mem::take(&mut self.layouts));
        is_better
    }

    fn turn_steps(&self) -> u64 {
        40
    }

    fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    fn is_finished(&self) -> bool {
        false
    }

    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool {
        if let Some(length) = length_of(&self.clear, job, layouts) {
            self.best = self.best.min(length);
        }
        false
    }

    fn chance_state(&self) -> u64 {
        self.chance.state()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn run_lengths_are_those_of_the_paper() {
        let list: Vec<u64> = (1..=15).map(luby).collect();
        assert_eq!(list, [1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8]);
    }

    #[test]
    fn changes_taken_back_leave_no_trace_and_extents_stay_true() {
        let pieces: Vec<Piece> = (1..20)
            .map(|k| Piece {
                lies: [
                    (k * 7 % 13 + 2, k * 5 % 11 + 1, 0),
                    (k * 5 % 11 + 1, k * 7 % 13 + 2, 1),
                ],
                may_turn: k % 3 > 0,
            })
            .collect();
        let mut chance = Chance::new(5, 0, 0);
        let mut tree = Tree {
            nodes: Vec::new(),
            root: 0,
            pieces,
            thin: 3.0,
            changed: Vec::new(),
            root_before: 0,
        };
        tree.grow(&mut chance);
        for k in 0..20_000 {
            let (nodes, root) = (tree.nodes.clone(), tree.root);
            tree.begin();
            tree.change(&mut chance);
            if k % 2 == 0 {
                tree.take_back();
                assert_eq!((&tree.nodes, tree.root), (&nodes, root));
            }
            let mut seen = vec![false; tree.pieces.len()];
            let mut waiting = vec![tree.root];
            while let Some(place) = waiting.pop() {
                let node = tree.nodes[place as usize];
                assert_eq!(tree.extents(place), (node.width, node.height, node.slivers));
                if node.piece == NONE {
                    waiting.extend([node.low, node.high]);
                } else {
                    assert!(!std::mem::replace(&mut seen[node.piece as usize], true));
                }
            }
            assert!(seen.iter().all(|s| *s), "every piece is still there");
        }
    }
}
