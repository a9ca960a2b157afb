//! Cuts one board apart by a random legal tree.

use heartside_geometry::{Bounds, Point};
use heartside_timber::document::{Board, BoardOutline, EdgeKind, Length, Station};
use heartside_timber::plan::{CutNode, Direction};

use crate::chance::Chance;
use crate::saw::{Kept, Saw, Work};
use crate::timberyard::{clear_size, plain};

/// Most levels of cuts inside the trimmed rectangle.
const LEVELS: usize = 4;

/// Smallest side of a part's blank.
const LEAST: f64 = 45.0;

/// How far the share of waste may be off, in per cent of the area.
const WASTE_SPREAD: f64 = 3.0;

/// How often a board is cut apart anew before the nearest share is taken.
const TRIES: usize = 1000;

/// A piece that is cut no further.
struct Leaf {
    node: usize,
    bounds: Bounds,
    level: usize,
    is_true: [bool; 4],
}

/// Cuts one board.
pub(super) struct Cutter<'a> {
    pub(super) chance: &'a mut Chance,
    pub(super) parts: usize,
    /// Share of the waste, in per cent.
    pub(super) waste_share: usize,
    pub(super) saws: &'a [Saw],
    /// Off raw ends and off raw edges.
    pub(super) trim: (f64, f64),
    pub(super) thickness: f64,
    pub(super) is_twisted: bool,
    pub(super) nodes: Vec<CutNode>,
    pub(super) blanks: Vec<Bounds>,
    pub(super) waste: Vec<Bounds>,
}

impl<'a> Cutter<'a> {
    /// Trims the board to its largest upright rectangle, then cuts that apart.
    pub(super) fn board(&mut self, board: &Board) {
        let (length, left, right) = clear_size(board);
        let Some(BoardOutline::Tape {
            left: l,
            right: r,
            start,
            end,
            ..
        }) = &board.outline
        else {
            return;
        };
        let sides = [start, r, end, l].map(|kind| *kind == EdgeKind::Raw);
        let mut is_true = sides.map(|is_raw| !is_raw);
        let whole = Bounds {
            min: Point {
                x: 0.0,
                y: -widest(board, |station| &station.right),
            },
            max: Point {
                x: length,
                y: widest(board, |station| &station.left),
            },
        };
        let (trim_end, trim_edge) = self.trim;
        let mut clear = Bounds {
            min: Point { x: 0.0, y: -right },
            max: Point { x: length, y: left },
        };
        let mut outer = whole;
        self.nodes.push(CutNode::Waste);
        let mut at = 0;
        // Ends first, then edges: raw ones, each with a little more than its trim, so that at least
        // a kerf falls off and nothing is skimmed.
        for side in [0, 2, 1, 3] {
            if !sides[side] {
                continue;
            }
            let (direction, keeps_high) = match side {
                0 => (Direction::Crosscut, true),
                2 => (Direction::Crosscut, false),
                1 => (Direction::Rip, true),
                _ => (Direction::Rip, false),
            };
            // Where the kerf begins, and where the piece that is kept then ends.
            let cut_at = |kerf: f64| match side {
                0 => (trim_end, trim_end + kerf),
                2 => (length - trim_end - kerf, length - trim_end - kerf),
                1 => (trim_edge - right, trim_edge + kerf - right),
                _ => (left - trim_edge - kerf, left - trim_edge - kerf),
            };
            let work = Work {
                outer,
                inner: clear,
                is_true,
                thickness: self.thickness,
                is_twisted: self.is_twisted,
            };
            let kept = if keeps_high { Kept::High } else { Kept::Low };
            let Some(saw) = self.saw(direction, &work, |saw| cut_at(saw.kerf).0, kept) else {
                // Such a board stays whole, as waste.
                return;
            };
            let (begins, ends) = cut_at(saw.kerf);
            let (low, high) = self.cut(at, direction, begins, saw);
            at = if keeps_high { high } else { low };
            for bounds in [&mut clear, &mut outer] {
                match side {
                    0 => bounds.min.x = ends,
                    2 => bounds.max.x = ends,
                    1 => bounds.min.y = ends,
                    _ => bounds.max.y = ends,
                }
            }
            is_true[side] = saw.leaves_true_edge;
        }
        self.apart(at, clear, is_true);
    }

    /// One of the saws that may make a cut; none where none may.
    fn saw(
        &mut self,
        direction: Direction,
        work: &Work,
        at: impl Fn(&Saw) -> f64,
        kept: Kept,
    ) -> Option<&'a Saw> {
        let makes = |saw: &&Saw| saw.makes(direction, work, at(saw), kept);
        let all: Vec<&Saw> = self.saws.iter().filter(makes).collect();
        match all.as_slice() {
            [] => None,
            [only] => Some(only),
            several => Some(*self.chance.one_of(several)),
        }
    }

    /// Cuts a workpiece in two; gives the places of the two pieces.
    fn cut(&mut self, node: usize, direction: Direction, at: f64, saw: &Saw) -> (usize, usize) {
        let low = self.nodes.len();
        self.nodes.push(CutNode::Waste);
        self.nodes.push(CutNode::Waste);
        self.nodes[node] = CutNode::Cut {
            direction,
            tool: saw.name.clone(),
            at,
            kerf: saw.kerf,
            angle: None,
            low,
            high: low + 1,
        };
        (low, low + 1)
    }

    /// Cuts a rectangle apart at random into at most so many pieces.
    fn split(
        &mut self,
        node: usize,
        bounds: Bounds,
        is_true: [bool; 4],
        pieces: usize,
    ) -> Vec<Leaf> {
        let mut done = Vec::new();
        let mut open = vec![Leaf {
            node,
            bounds,
            level: 0,
            is_true,
        }];
        let kerf = self.saws.iter().map(|saw| saw.kerf).fold(0.0, f64::max);
        while !open.is_empty() {
            let leaf = open.swap_remove(self.chance.below(open.len()));
            let room = |extent: f64| extent - 2.0 * LEAST - kerf;
            let (along, across) = (room(leaf.bounds.width()), room(leaf.bounds.height()));
            if done.len() + open.len() + 1 >= pieces
                || leaf.level == LEVELS
                || (along <= 0.0 && across <= 0.0)
            {
                done.push(leaf);
                continue;
            }
            let crosscuts = if leaf.level == 0 { 70 } else { 50 };
            let crosscut = along > 0.0 && (across <= 0.0 || self.chance.percent(crosscuts));
            let share = self.chance.between(0.0, 1.0);
            let past_least = share * if crosscut { along } else { across };
            match self.cut_leaf(&leaf, crosscut, past_least) {
                Some(pieces) => open.extend(pieces),
                None => done.push(leaf),
            }
        }
        // In the order of the boards' places, whatever the order of the cuts was.
        done.sort_by_key(|leaf| leaf.node);
        done
    }

    /// Cuts a rectangle in two; none where no saw may.
    fn cut_leaf(&mut self, leaf: &Leaf, crosscut: bool, past_least: f64) -> Option<[Leaf; 2]> {
        let Bounds { min, max } = leaf.bounds;
        let (direction, start) = if crosscut {
            (Direction::Crosscut, min.x)
        } else {
            (Direction::Rip, min.y)
        };
        let at = half_millimetres(start + LEAST + past_least);
        let work = Work {
            outer: leaf.bounds,
            inner: leaf.bounds,
            is_true: leaf.is_true,
            thickness: self.thickness,
            is_twisted: self.is_twisted,
        };
        let saw = self.saw(direction, &work, |_| at, Kept::Both)?;
        let (low, high) = self.cut(leaf.node, direction, at, saw);
        let (mut low_bounds, mut high_bounds) = (leaf.bounds, leaf.bounds);
        let (mut low_true, mut high_true) = (leaf.is_true, leaf.is_true);
        let side = if crosscut {
            low_bounds.max = Point { x: at, ..max };
            high_bounds.min = Point {
                x: at + saw.kerf,
                ..min
            };
            0
        } else {
            low_bounds.max = Point { y: at, ..max };
            high_bounds.min = Point {
                y: at + saw.kerf,
                ..min
            };
            1
        };
        low_true[side + 2] = saw.leaves_true_edge;
        high_true[side] = saw.leaves_true_edge;
        let pieces = [(low, low_bounds, low_true), (high, high_bounds, high_true)];
        Some(pieces.map(|(node, bounds, is_true)| Leaf {
            node,
            bounds,
            level: leaf.level + 1,
            is_true,
        }))
    }

    /// Cuts a rectangle apart until the waste has its share, and names blanks and waste.
    fn apart(&mut self, node: usize, clear: Bounds, is_true: [bool; 4]) {
        let bare = self.nodes.clone();
        let mut best: Option<(f64, Vec<CutNode>, Vec<Leaf>)> = None;
        for _ in 0..TRIES {
            self.nodes.clone_from(&bare);
            let wasted = match self.waste_share {
                0 => 0,
                _ => 1 + self.chance.below(1 + self.parts / 2),
            };
            let mut leaves = self.split(node, clear, is_true, self.parts + wasted);
            for place in (1..leaves.len()).rev() {
                let other = self.chance.below(place + 1);
                leaves.swap(place, other);
            }
            // Whatever is over the number of parts is waste, and it comes last.
            let parts = self.parts.min(leaves.len() - wasted.min(leaves.len() - 1));
            let area = |b: &Bounds| b.width() * b.height();
            let waste: f64 = leaves[parts..].iter().map(|leaf| area(&leaf.bounds)).sum();
            let off = (100.0 * waste / area(&clear) - self.waste_share as f64).abs()
                + 100.0 * self.parts.abs_diff(parts) as f64;
            if best.as_ref().is_none_or(|b| off < b.0) {
                leaves[..parts].sort_by_key(|leaf| leaf.node);
                for (place, leaf) in leaves[..parts].iter().enumerate() {
                    self.nodes[leaf.node] = CutNode::Blank { placement: place };
                }
                self.blanks = leaves[..parts].iter().map(|leaf| leaf.bounds).collect();
                best = Some((off, self.nodes.clone(), leaves.split_off(parts)));
            }
            if off <= WASTE_SPREAD {
                break;
            }
        }
        if let Some((_, nodes, waste)) = best {
            self.nodes = nodes;
            self.waste = waste.iter().map(|leaf| leaf.bounds).collect();
        }
    }
}

/// The greatest half-width of a board measured by tape, to one side.
fn widest(board: &Board, side: fn(&Station) -> &Length) -> f64 {
    match &board.outline {
        Some(BoardOutline::Tape { stations, .. }) => stations
            .iter()
            .map(|station| plain(side(station)))
            .fold(0.0, f64::max),
        _ => 0.0,
    }
}

fn half_millimetres(value: f64) -> f64 {
    (value * 2.0).round() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::timberyard::{TRIM, empty_job};

    #[test]
    fn the_waste_has_its_share() {
        for (parts, width) in [(4, 180.0), (5, 240.0), (6, 150.0)] {
            for seed in 0..20 {
                let mut chance = Chance::new(seed);
                let document = empty_job(String::new());
                let saws = Saw::all(&document.workshop.tools[..1]);
                let mut cutter = Cutter {
                    chance: &mut chance,
                    parts,
                    waste_share: 12,
                    saws: &saws,
                    trim: TRIM,
                    thickness: 27.0,
                    is_twisted: false,
                    nodes: vec![CutNode::Waste],
                    blanks: Vec::new(),
                    waste: Vec::new(),
                };
                let clear = Bounds {
                    min: Point { x: 0.0, y: 0.0 },
                    max: Point {
                        x: 2000.0,
                        y: width,
                    },
                };
                cutter.apart(0, clear, [true; 4]);
                assert_eq!(cutter.blanks.len(), parts);
                let waste: f64 = cutter.waste.iter().map(|b| b.width() * b.height()).sum();
                let share = 100.0 * waste / (2000.0 * width);
                assert!((9.0..=15.0).contains(&share), "seed {seed}: {share} %");
            }
        }
    }
}
