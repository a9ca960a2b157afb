//! Breaking sawn boards down: the few through cuts that come before anything is sawn by line.
//!
//! A long board is not carried to the bandsaw whole. Where the layout leaves room for the kerf
//! of a through cut right across the workpiece, and a tool of the workshop can make it, the
//! board is parted into workpieces that one person can hold and steer; the shapes are sawn out
//! of those.
//!
//! # How many cuts
//! As few as make the workpieces handy (`handy`): no longer than the saw for lines takes, or
//! than both arms reach where it says nothing; no wider than it takes; no heavier than one
//! person lifts. A board that is handy as it lies stays whole. A larger one costs for every
//! line sawn out of it, a through cut costs one, and the least sum wins, so that a cut is made
//! where it spares more trouble than it gives; common practice, no source. Crosscuts are
//! looked at first (`row`); a rip, where they are not enough. No cut leaves a piece with parts
//! in it that is too short to be held.
//!
//! # Making room
//! Where no line runs right across, pieces beyond it may move along the board by a little into
//! free room at its end (`room`). Whatever moves is looked at again by exact distances, pinned
//! parts never move, and offcuts that earn money back are not given up for it.
//!
//! # What stays as it was
//! The score of a plan does not see these cuts, except that an offcut they free is worth what
//! any other is: a plan is never worse for being broken down. Nothing is searched; one board
//! costs O(pieces²) at worst, and nothing at all where it is handy.

mod handy;
mod room;
mod row;

use heartside_geometry::{Arrange, Bounds, area_in_bounds};
use heartside_timber::blank::Blank;
use heartside_timber::job::{Board, Goal, Job};
use heartside_timber::length::Unit;
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame, Layout, Placement, Way};
use heartside_timber::score::kept_offcut_areas;

use crate::straight::ground::Ground;
use crate::straight::offcut::is_offcut;
use crate::straight::saw::{Cut, Saws, can_make};
use crate::straight::workpiece::{Side, Workpiece};
use handy::Handy;
use row::{Choice, Stretch, best_lines};

/// How far a cut keeps from the blanks beside it where there is room, in millimetres: about what
/// a saw that starts beside its mark may be off.
const CLEAR: f64 = 10.0;

/// Finds the through cuts that break a sawn layout down, without moving anything.
///
/// Nothing changes where the layout is not sawn, has cuts already, is handy as it lies, or where
/// no tool can part it.
pub fn break_down(job: &Job, layout: &mut Layout) {
    if let Some(breaking) = Breaking::new(job, layout)
        && let Some(found) = breaking.tree()
    {
        layout.frame = Frame::default();
        layout.cuts = Some(found.tree);
    }
}

/// As [`break_down`], but parts that are not pinned may move by a little to make room for a cut.
pub(crate) fn break_down_making_room(job: &Job, layout: Layout) -> Layout {
    let Some(breaking) = Breaking::new(job, &layout) else {
        return layout;
    };
    let mut best = breaking.tree();
    let mut broken_down = layout.clone();
    let effort = best.as_ref().map_or_else(|| breaking.uncut(), |b| b.effort);
    let strain = best.as_ref().map_or(effort, |b| b.strain);
    let moves = if strain > 0.0 {
        room::made(&breaking, effort)
    } else {
        Vec::new()
    };
    for moved in moves {
        let trial = Layout {
            placements: moved,
            ..layout.clone()
        };
        let found = Breaking::new(job, &trial).and_then(|b| b.tree());
        let Some(found) = found else { continue };
        if found.is_better_than(best.as_ref(), &breaking, &trial, &broken_down) {
            best = Some(found);
            broken_down = trial;
        }
    }
    broken_down.frame = Frame::default();
    broken_down.cuts = best.map(|b| b.tree);
    broken_down
}

/// A board about to be broken down.
struct Breaking<'a> {
    job: &'a Job,
    board: &'a Board,
    layout: &'a Layout,
    /// The boxes of the blanks, in the board's frame.
    blanks: Vec<Bounds>,
    ground: Ground,
    saws: Saws,
    handy: Handy,
}

/// The cuts found and what they and the workpieces cost.
struct Found {
    tree: CutTree,
    effort: f64,
    /// What is left of it when all cuts are made.
    strain: f64,
}

/// A cut and what lies on its two sides.
struct Parting {
    direction: Direction,
    cut: Cut,
    low: Vec<usize>,
    high: Vec<usize>,
}

/// A line that a tool can cut: how many of the blanks, in their order, lie below it.
#[derive(Debug, Clone, Copy)]
struct Line {
    below: usize,
    cut: Cut,
    /// Wood of the workpiece below the kerf, and below its high side, in square millimetres.
    area: (f64, f64),
}

/// A row of blanks in the order in which lines square to it meet them, and the lines.
struct Row {
    members: Vec<usize>,
    lines: Vec<Line>,
}

impl<'a> Breaking<'a> {
    /// None where there is nothing to be done.
    fn new(job: &'a Job, layout: &'a Layout) -> Option<Breaking<'a>> {
        if job.goal != Goal::Furnish || layout.way != Way::Sawn || layout.cuts.is_some() {
            return None;
        }
        let place = job.board_index(&layout.board.board)?;
        let board = &job.boards[place];
        let handy = Handy::of(job, board);
        let whole = board.outline.bounds();
        let load = handy.load((whole.width(), whole.height()), board.outline.area());
        let saws = Saws::of(job);
        let can_cut = [Direction::Rip, Direction::Crosscut]
            .iter()
            .any(|d| !saws.along(*d).is_empty());
        if layout.placements.is_empty() || load <= 1.0 || !can_cut {
            return None;
        }
        let blank_box = |p: &Placement| {
            let blank = Blank::of(job.part(&p.part)?);
            let pose = p.pose();
            let points = blank.core.outer().points().iter().map(|q| pose.apply(*q));
            Some(Bounds::of_points(points)?.grown(blank.radius))
        };
        let blanks: Option<Vec<Bounds>> = layout.placements.iter().map(blank_box).collect();
        Some(Breaking {
            job,
            board,
            layout,
            blanks: blanks?,
            ground: Ground::for_parts(job, place, 0.0, &|_| false),
            saws,
            handy,
        })
    }

    /// The cuts, and the regions, offcuts and waste that they leave; none where nothing is cut.
    ///
    /// A cut is chosen for each workpiece in turn, its low piece first, so that regions come in
    /// the order in which they lie on the board.
    fn tree(&self) -> Option<Found> {
        let mut nodes: Vec<CutNode> = Vec::new();
        let (mut effort, mut strain) = (0.0, 0.0);
        let everything: Vec<usize> = (0..self.blanks.len()).collect();
        let whole = Some(Workpiece::whole(&self.ground));
        let mut waiting = vec![(None, whole, everything)];
        while let Some((parent, work, members)) = waiting.pop() {
            let node = nodes.len();
            if let Some((cut, is_high)) = parent
                && let CutNode::Cut { low, high, .. } = &mut nodes[cut]
            {
                *(if is_high { high } else { low }) = node;
            }
            let next = work.and_then(|w| self.next_cut(&w, &members));
            let (Some(work), Some(next)) = (work, next) else {
                let left = work.map_or(0.0, |w| self.effort_of(&w, members.len()));
                effort += left;
                strain += left;
                nodes.push(self.leaf(work, members));
                continue;
            };
            effort += self.cost(next.direction, &work);
            let (low, high) = work.halves(&self.ground, next.direction, next.cut.at, next.cut.kerf);
            nodes.push(CutNode::Cut {
                direction: next.direction,
                tool: self.job.workshop.tools[next.cut.tool].name.clone(),
                at: next.cut.at,
                kerf: next.cut.kerf,
                low: 0,
                high: 0,
            });
            waiting.push((Some((node, true)), high, next.high));
            waiting.push((Some((node, false)), low, next.low));
        }
        let tree = CutTree { nodes };
        (tree.nodes.len() > 1).then_some(Found {
            tree,
            effort,
            strain,
        })
    }

    fn leaf(&self, work: Option<Workpiece>, mut members: Vec<usize>) -> CutNode {
        if members.is_empty() {
            let keeps = work.is_some_and(|w| is_offcut(self.job, &self.ground, &w));
            return if keeps {
                CutNode::Offcut
            } else {
                CutNode::Waste
            };
        }
        // In the order in which they lie along the board, as they are sawn.
        members.arrange_by(|a, b| {
            let (a, b) = (&self.blanks[*a].min, &self.blanks[*b].min);
            a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y))
        });
        CutNode::Region {
            placements: members,
        }
    }

    /// The first cut to make in a workpiece, if any is worth making: of the crosscuts that are
    /// best together the one nearest to the middle, or a rip where that is better still.
    fn next_cut(&self, work: &Workpiece, members: &[usize]) -> Option<Parting> {
        let uncut = self.effort_of(work, members.len());
        if uncut <= 0.0 {
            return None;
        }
        let row = self.row(work, members, Direction::Crosscut);
        let crosscuts = self.best_of(work, &row, Direction::Crosscut);
        let mut best: Option<(f64, Parting)> = None;
        if let Some(line) = self.nearest_to_middle(work, &row, &crosscuts.lines) {
            best = Some((crosscuts.effort, row.parting(Direction::Crosscut, &line)));
        }
        if crosscuts.strain > 0.0 {
            let row = self.row(work, members, Direction::Rip);
            for line in &row.lines {
                let parting = row.parting(Direction::Rip, line);
                let effort = self.effort_of_rip(work, &parting);
                if effort < best.as_ref().map_or(uncut, |b| b.0) {
                    best = Some((effort, parting));
                }
            }
        }
        best.filter(|(effort, _)| *effort < uncut).map(|b| b.1)
    }

    /// A rip, and the best crosscuts of the two pieces.
    fn effort_of_rip(&self, work: &Workpiece, rip: &Parting) -> f64 {
        let (low, high) = work.halves(&self.ground, Direction::Rip, rip.cut.at, rip.cut.kerf);
        let rest = |half: Option<Workpiece>, members: &[usize]| {
            let Some(half) = half else { return 0.0 };
            if members.is_empty() {
                return self.handy.effort_of_waste(half.tight.height());
            }
            let row = self.row(&half, members, Direction::Crosscut);
            self.best_of(&half, &row, Direction::Crosscut).effort
        };
        self.cost(Direction::Rip, work) + rest(low, &rip.low) + rest(high, &rip.high)
    }

    fn cost(&self, direction: Direction, work: &Workpiece) -> f64 {
        match direction {
            Direction::Crosscut => 1.0,
            Direction::Rip => self.handy.rip(work.tight.width()),
        }
    }

    /// What it costs to saw so many parts out of a workpiece as it is.
    fn effort_of(&self, work: &Workpiece, parts: usize) -> f64 {
        let extents = (work.tight.width(), work.tight.height());
        let area = area_in_bounds(&self.board.outline, &work.rect);
        self.handy.effort(self.handy.load(extents, area), parts)
    }

    /// What the board costs as it lies.
    fn uncut(&self) -> f64 {
        self.effort_of(&Workpiece::whole(&self.ground), self.blanks.len())
    }

    /// The lines of a row that cost least together with what they leave.
    fn best_of(&self, work: &Workpiece, row: &Row, direction: Direction) -> Choice {
        let (low, high) = Side::pair(direction);
        let (from, to) = (low.of(&work.tight), high.of(&work.tight));
        let all = area_in_bounds(&self.board.outline, &work.rect);
        let beside = work.along(direction);
        let cost = self.cost(direction, work);
        best_lines(row.lines.len(), cost, |a, b| {
            let (a, b) = (a.map(|k| &row.lines[k]), b.map(|k| &row.lines[k]));
            let start = a.map_or((from, 0.0, 0), |l| {
                (l.cut.at + l.cut.kerf, l.area.1, l.below)
            });
            let end = b.map_or((to, all, row.members.len()), |l| {
                (l.cut.at, l.area.0, l.below)
            });
            let is_whole = a.is_none() && b.is_none();
            let extents = (end.0 - start.0, beside);
            self.stretch(extents, end.1 - start.1, end.2 - start.2, is_whole)
        })
    }

    /// What a piece with so many parts in it costs; one that is not cut at all may be short.
    fn stretch(&self, extents: (f64, f64), area: f64, parts: usize, is_whole: bool) -> Stretch {
        if parts == 0 {
            return Stretch {
                effort: self.handy.effort_of_waste(extents.0),
                load: 0.0,
            };
        }
        let load = self.handy.load(extents, area);
        let effort = if self.handy.is_too_short(extents) && !is_whole {
            f64::INFINITY
        } else {
            self.handy.effort(load, parts)
        };
        Stretch { effort, load }
    }

    fn nearest_to_middle(&self, work: &Workpiece, row: &Row, chosen: &[usize]) -> Option<Line> {
        let middle = work.tight.centre().x;
        let off = |l: &Line| (l.cut.at + 0.5 * l.cut.kerf - middle).abs();
        let lines = chosen.iter().map(|k| row.lines[*k]);
        lines.reduce(|best, l| if off(&l) < off(&best) { l } else { best })
    }

    /// The blanks of a workpiece as a row, and every line right across between or beside them
    /// that a tool can cut.
    fn row(&self, work: &Workpiece, members: &[usize], direction: Direction) -> Row {
        let (low, high) = Side::pair(direction);
        let mut members = members.to_vec();
        let from = |m: usize| low.of(&self.blanks[m]);
        members.arrange_by(|a, b| from(*a).total_cmp(&from(*b)).then(a.cmp(b)));
        let mut lines = Vec::new();
        let mut reached = low.of(&work.tight);
        for below in 0..=members.len() {
            let next = members.get(below).map(|m| from(*m));
            let gap = (reached, next.unwrap_or(high.of(&work.tight)));
            let outermost = (below == 0, next.is_none());
            for wish in wishes(gap, outermost).into_iter().flatten() {
                if let Some(cut) = self.cut_in(work, direction, gap, wish) {
                    let area = (
                        self.area_below(work, direction, cut.at),
                        self.area_below(work, direction, cut.at + cut.kerf),
                    );
                    lines.push(Line { below, cut, area });
                }
            }
            if let Some(member) = members.get(below) {
                reached = reached.max(high.of(&self.blanks[*member]));
            }
        }
        // One tool's cuts in a wide gap may come to lie over each other.
        lines.dedup_by(|b, a| b.cut.at < a.cut.at + a.cut.kerf);
        Row { members, lines }
    }

    fn area_below(&self, work: &Workpiece, direction: Direction, at: f64) -> f64 {
        let mut below = work.rect;
        match direction {
            Direction::Rip => below.max.y = at,
            Direction::Crosscut => below.max.x = at,
        }
        area_in_bounds(&self.board.outline, &below)
    }

    /// A cut that a tool can make in a gap, as near as may be to where it is wished.
    fn cut_in(
        &self,
        work: &Workpiece,
        direction: Direction,
        (low, high): (f64, f64),
        wish: Wish,
    ) -> Option<Cut> {
        let tools = self.saws.tools_for(self.job, &self.ground, work, direction);
        // So far in, the piece at the rim is long enough to be held.
        let (below, above) = Side::pair(direction);
        let least = self.handy.least_length();
        let least = match direction {
            Direction::Crosscut => (below.of(&work.tight) + least, above.of(&work.tight) - least),
            Direction::Rip => (f64::NEG_INFINITY, f64::INFINITY),
        };
        for (tool, kerf) in tools.map(|(place, tool)| (place, tool.kerf)) {
            let last = high - kerf;
            if last < low - self.ground.noise {
                continue;
            }
            let middle = 0.5 * (low + last);
            let wished = match wish {
                Wish::Middle => middle,
                Wish::Low => (low + CLEAR).min(middle).max(least.0.min(last)),
                Wish::High => (last - CLEAR).max(middle).min((least.1 - kerf).max(low)),
            };
            let round = self.round_measure(work, direction, (wish, wished), kerf);
            let mut places = vec![round, self.job.snap(wished), low, last];
            for (piece, _) in &self.ground.fixings {
                let fixing = self.ground.pieces[*piece].bounds();
                places.extend([above.of(fixing), below.of(fixing) - kerf]);
            }
            let noise = self.ground.noise;
            places.retain(|at| *at >= low - noise && *at <= last + noise);
            let found = places
                .into_iter()
                .map(|at| Cut { tool, at, kerf })
                .find(|cut| {
                    can_make(self.job, &self.ground, work, direction, cut)
                        && self.leaves_wood(work, direction, cut)
                });
            if found.is_some() {
                return found;
            }
        }
        None
    }

    /// A cut leaves wood on both sides: it takes no kerf off the rim of a workpiece.
    fn leaves_wood(&self, work: &Workpiece, direction: Direction, cut: &Cut) -> bool {
        let (low, high) = work.halves(&self.ground, direction, cut.at, cut.kerf);
        low.is_some() && high.is_some()
    }

    /// The place of a cut next to a wished one that is a round number on the tape, measured as
    /// the maker will: from the low side, or from the high one where only that is true. Not
    /// nearer to the blank beside it than wished.
    fn round_measure(
        &self,
        work: &Workpiece,
        direction: Direction,
        (wish, wished): (Wish, f64),
        kerf: f64,
    ) -> f64 {
        let step = match self.job.units.unit {
            Unit::Millimetres => 1.0,
            Unit::Inches => Unit::Inches.millimetres() / 16.0,
        };
        let (low, high) = Side::pair(direction);
        let is_true = |side| work.is_true(&self.ground, side);
        let zero = if is_true(high) && !is_true(low) {
            high.of(&work.tight) - kerf
        } else {
            low.of(&work.tight)
        };
        let steps = (wished - zero) / step;
        let steps = match wish {
            Wish::Low => steps.ceil(),
            Wish::Middle => steps.round(),
            Wish::High => steps.floor(),
        };
        self.job.snap(zero + steps * step)
    }
}

impl Row {
    fn parting(&self, direction: Direction, line: &Line) -> Parting {
        let (low, high) = self.members.split_at(line.below);
        Parting {
            direction,
            cut: line.cut,
            low: low.to_vec(),
            high: high.to_vec(),
        }
    }
}

impl Found {
    /// Less effort, and no offcut given up that earns money back.
    fn is_better_than(
        &self,
        best: Option<&Found>,
        breaking: &Breaking<'_>,
        own: &Layout,
        other: &Layout,
    ) -> bool {
        if self.effort >= best.map_or_else(|| breaking.uncut(), |b| b.effort) {
            return false;
        }
        let kept = |layout: &Layout, tree: Option<&CutTree>| -> f64 {
            let cut = Layout {
                cuts: tree.cloned(),
                ..layout.clone()
            };
            kept_offcut_areas(breaking.board, &cut).into_iter().sum()
        };
        breaking.job.offcut_value <= 0.0
            || kept(own, Some(&self.tree)) >= kept(other, best.map(|b| &b.tree))
    }
}

/// Where in a gap a cut is wished.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Wish {
    Low,
    Middle,
    High,
}

/// Beside the outermost blanks a cut keeps near them, so that the waste stays in one piece; a
/// narrow gap is cut in its middle, and of a wide one the middle may be taken out.
fn wishes((low, high): (f64, f64), outermost: (bool, bool)) -> [Option<Wish>; 2] {
    match outermost {
        (true, _) => [Some(Wish::High), None],
        (_, true) => [Some(Wish::Low), None],
        _ if high - low > 6.0 * CLEAR => [Some(Wish::Low), Some(Wish::High)],
        _ => [Some(Wish::Middle), None],
    }
}
