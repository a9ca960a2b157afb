//! A plan for parts of other sizes: boards laid again in the same order of cuts.

use heartside_geometry::Bounds;
use heartside_timber::job::{Job, Part};
use heartside_timber::plan::{CutNode, CutTree, Direction, Layout, Placement, Way};

use crate::cuts::fits::Fit;
use crate::cuts::ground::Ground;
use crate::cuts::position::place_at;
use crate::straight::tree_for::{TreeResult, tree_for};

/// Cuts looked at to find an order for what was laid.
const TREE_STEPS: u64 = 2_000;

/// Flaws that a blank is moved beyond at most.
const MOST_FLAWS: usize = 12;

/// The layout of a job in which parts have other sizes than in this one: the blanks as its tree of cuts
/// has them, each pushed on by those before it that have grown, and beyond flaws. What finds no
/// room so is left out; none where the board is not cut by plain straight cuts, something on it is pinned or must match,
/// or no order of cuts is found.
///
/// O(blanks x flaws), and the search for an order of cuts.
fn laid_again(job: &Job, layout: &Layout) -> Option<Layout> {
    let tree = layout
        .cuts
        .as_ref()
        .filter(|_| layout.way == Way::Straight)?;
    let is_plain = |node: &CutNode| match node {
        CutNode::Cut { angle, .. } => angle.is_none(),
        CutNode::Blank { .. } | CutNode::Offcut | CutNode::Waste => true,
        CutNode::Region { .. } | CutNode::Leaves { .. } => false,
    };
    let is_free = |placement: &Placement| {
        let copy = placement.part_copy();
        let matched = job.matches.iter().any(|m| m.parts.contains(&copy));
        placement.leaf.is_none() && !matched && job.pins.iter().all(|pin| pin.part != copy)
    };
    if !tree.nodes.iter().all(is_plain) || !layout.placements.iter().all(is_free) {
        return None;
    }
    let board = job.board_index(&layout.board.board)?;
    let ground = Ground::for_parts(job, board, layout.frame.angle, &|part| {
        let id = &job.parts[part].id;
        layout.placements.iter().any(|p| p.part == *id)
    });
    if ground.frame != layout.frame {
        return None;
    }
    let mut best: Option<Layout> = None;
    for stays in [true, false] {
        let mut laying = Laying {
            job,
            ground: &ground,
            layout,
            tree,
            stays,
            laid: Vec::new(),
        };
        laying.lay(0, (ground.usable.min.x, ground.usable.min.y), 0);
        let mut placements = laying.laid;
        // Staves know how large they are.
        for placement in &mut placements {
            *placement = job.as_held(placement);
        }
        if best
            .as_ref()
            .is_some_and(|b| b.placements.len() >= placements.len())
        {
            continue;
        }
        if let TreeResult::Tree(cuts, frame) = tree_for(job, board, &placements, TREE_STEPS) {
            best = Some(Layout {
                board: layout.board.clone(),
                way: Way::Straight,
                frame,
                placements,
                cuts: Some(cuts),
            });
        }
        if best
            .as_ref()
            .is_some_and(|b| b.placements.len() == layout.placements.len())
        {
            break;
        }
    }
    best
}

/// What layouts of a job come to for one with other choices: boards of which no part changes as they are, the
/// others laid again with the parts as they would be.
///
/// O(boards) searches of some thousand steps for an order of cuts.
pub fn laid_in(here: &Job, other: &Job, layouts: &[Layout]) -> Vec<Layout> {
    let is_there = |l: &&Layout| {
        let board = other.board(&l.board.board);
        board.is_some_and(|b| b.copies().any(|copy| copy == l.board.copy))
    };
    let held: Vec<Layout> = layouts.iter().filter(is_there).cloned().collect();
    let mut layouts = untouched(here, other, &held);
    for layout in &held {
        let kept = layouts.iter().position(|l| l.board == layout.board);
        let is_whole = kept.is_some_and(|k| layouts[k].placements.len() == layout.placements.len());
        let again = (!is_whole).then(|| laid_again(other, layout));
        match (again.flatten(), kept) {
            (Some(again), Some(kept)) => layouts[kept] = again,
            (Some(again), None) => layouts.push(again),
            (None, _) => {}
        }
    }
    layouts
}

/// The layouts without the parts that are other ones in the other job.
pub(super) fn untouched(job: &Job, other: &Job, layouts: &[Layout]) -> Vec<Layout> {
    let same = |id: &str| {
        let alike = |a: &Part, b: &Part| a.outline == b.outline && a.thickness == b.thickness;
        job.part(id)
            .zip(other.part(id))
            .is_some_and(|(a, b)| alike(a, b) && a.tenon == b.tenon && a.allowances == b.allowances)
    };
    let kept = layouts.iter().cloned();
    kept.map(|layout| layout.without(|copy| !same(&copy.part)))
        .filter(|layout| !layout.placements.is_empty())
        .collect()
}

struct Laying<'a> {
    job: &'a Job,
    ground: &'a Ground,
    layout: &'a Layout,
    tree: &'a CutTree,
    /// What need not move on stays where it lies, so that it keeps clear of flaws; else all is moved up.
    stays: bool,
    laid: Vec<Placement>,
}

impl Laying<'_> {
    /// Lays what a workpiece holds from its low corner on; the high corner of that, none where nothing lies there.
    fn lay(&mut self, node: usize, corner: (f64, f64), depth: usize) -> Option<(f64, f64)> {
        // Trees from files may be rings; ours are no deeper than they have nodes.
        if depth > self.tree.nodes.len() {
            return None;
        }
        match self.tree.nodes.get(node)? {
            CutNode::Blank { placement } => self.lay_blank(*placement, corner),
            CutNode::Cut {
                direction,
                at,
                kerf,
                low,
                high,
                ..
            } => {
                let first = self.lay(*low, corner, depth + 1);
                let mut next = corner;
                let (along, end) = match direction {
                    Direction::Crosscut => (&mut next.0, first.map(|f| f.0)),
                    Direction::Rip => (&mut next.1, first.map(|f| f.1)),
                };
                let pushed = end.map_or(*along, |end| end + kerf);
                *along = match self.stays {
                    true => pushed.max(at + kerf),
                    false => pushed,
                };
                let second = self.lay(*high, next, depth + 1);
                match (first, second) {
                    (Some(a), Some(b)) => Some((a.0.max(b.0), a.1.max(b.1))),
                    (a, b) => a.or(b),
                }
            }
            _ => None,
        }
    }

    fn lay_blank(&mut self, placement: usize, (x, y): (f64, f64)) -> Option<(f64, f64)> {
        let before = self.layout.placements.get(placement)?;
        let part = self.job.part_index(&before.part)?;
        let wanted = |part: &Part| part.wanted().any(|copy| copy == before.copy);
        let lies = |fit: &&Fit| {
            let turn = (fit.turn - before.at.turn).abs();
            fit.turned_over == before.at.turned_over && turn < 1e-9
        };
        let fit = self.ground.fits[part].iter().find(lies)?;
        if !wanted(&self.job.parts[part]) {
            return None;
        }
        let room = &self.ground.usable;
        let flaws = self.flaws(fit, (x, y));
        let beyond = flaws.iter().map(|f| (f.max.x, y));
        let above = flaws.iter().map(|f| (x, f.max.y));
        let mut tries = [(x, y)].into_iter().chain(beyond).chain(above);
        let spot = tries.find_map(|(x, y)| place_at(self.ground, fit, (x, y), room))?;
        self.laid.push(Placement {
            at: spot.placed,
            ..before.clone()
        });
        Some((spot.rect.max.x, spot.rect.max.y))
    }

    /// The boxes of what a blank that begins here would have to keep clear of.
    fn flaws(&self, fit: &Fit, (x, y): (f64, f64)) -> Vec<Bounds> {
        let class = &self.ground.classes[fit.class];
        let pieces = class.blank.iter().chain(&class.finished).copied();
        let boxes = pieces.map(|p| *self.ground.pieces[p].bounds());
        boxes
            .filter(|b| {
                let along = b.max.x > x && b.min.x < x + fit.width;
                along && b.max.y > y && b.min.y < y + fit.height
            })
            .take(MOST_FLAWS)
            .collect()
    }
}
