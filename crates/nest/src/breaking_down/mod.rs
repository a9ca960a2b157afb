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
//! # Offcuts that are asked for
//! Where the job asks for offcuts ([`Job::asks_for_offcuts`]), on handy boards too, a cut beside
//! the outermost parts comes first if it parts off a piece that the workshop keeps: of all such
//! crosscuts and rips the one whose piece counts most, so that the largest clear piece stays
//! whole, then the next of what is left.
//!
//! # Making room
//! Where no line runs right across, pieces beyond it may move along the board by a little into
//! free room at its end (`room`). Whatever moves is looked at again by exact distances, pinned
//! parts never move, and offcuts that are asked for are not given up for it.
//!
//! # What stays as it was
//! The score of a plan does not see these cuts, except that an offcut they free is worth what
//! any other is: a plan is never worse for being broken down. Nothing is searched; one board
//! costs O(pieces²) at worst, and nothing at all where it is handy.

mod handy;
mod lines;
mod looks;
mod room;
mod row;
mod span;

use handy::Handy;
use heartside_geometry::{Arrange, Bounds, area_in_bounds};
use heartside_timber::blank::Blank;
use heartside_timber::job::{Board, Job};
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame, Layout, Placement, Way};
use heartside_timber::score::{counted_area, counted_offcut_areas};
use heartside_timber::workpieces;
use lines::{Line, Parting, Row};
use row::{Choice, Stretch, best_lines};

use crate::cuts::cutting::cut_node;
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_wanted_offcut;
use crate::cuts::saw::{Cut, Saws};
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;
use crate::objective::Choices;

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
    let as_it_lies = breaking.tree();
    let (mut lying, found) = match breaking.with_room(as_it_lies.as_ref()) {
        Some((moved, found)) => (moved, Some(found)),
        None => (layout.clone(), as_it_lies),
    };
    lying.frame = Frame::default();
    lying.cuts = found.map(|f| f.tree);
    lying
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

impl<'a> Breaking<'a> {
    /// None where there is nothing to be done.
    fn new(job: &'a Job, layout: &'a Layout) -> Option<Breaking<'a>> {
        if !Choices::of(job).furnishes || layout.way != Way::Sawn || layout.cuts.is_some() {
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
        let is_wanted = load > 1.0 || job.asks_for_offcuts();
        if layout.placements.is_empty() || !is_wanted || !can_cut {
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
            let next = work.and_then(|w| {
                self.offcut(&w, &members)
                    .or_else(|| self.next_cut(&w, &members))
            });
            let (Some(work), Some(next)) = (work, next) else {
                let left = work.map_or(0.0, |w| self.effort_of(&w, members.len()));
                effort += left;
                strain += left;
                nodes.push(self.leaf(work, members));
                continue;
            };
            effort += self.cost(next.direction, &work);
            let (low, high) = self.halves(&work, next.direction, &next.cut);
            nodes.push(cut_node(self.job, next.direction, &next.cut, 0, 0));
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
            let keeps = work.is_some_and(|w| is_wanted_offcut(self.job, &self.ground, &w));
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

    /// The cut that parts off the offcut that counts most, where offcuts are asked for.
    fn offcut(&self, work: &Workpiece, members: &[usize]) -> Option<Parting> {
        if !self.job.asks_for_offcuts() || members.is_empty() {
            return None;
        }
        let mut best: Option<(f64, Parting)> = None;
        for direction in [Direction::Crosscut, Direction::Rip] {
            let row = self.row(work, members, direction);
            for line in &row.lines {
                if line.below != 0 && line.below != members.len() {
                    continue;
                }
                let halves = self.halves(work, direction, &line.cut);
                let (Some(rest), Some(kept)) = (if line.below == 0 {
                    (halves.1, halves.0)
                } else {
                    halves
                }) else {
                    continue;
                };
                let extents = (rest.tight.width(), rest.tight.height());
                if self.handy.is_too_short(extents)
                    || !is_wanted_offcut(self.job, &self.ground, &kept)
                {
                    continue;
                }
                let whole = workpieces::Ground::whole(Frame::default(), &self.board.outline);
                let counts = counted_area(self.job, self.board, &whole, &kept.rect);
                if counts > best.as_ref().map_or(0.0, |b| b.0) {
                    best = Some((counts, row.parting(direction, line)));
                }
            }
        }
        best.map(|b| b.1)
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

    /// The two pieces that a cut leaves.
    fn halves(
        &self,
        work: &Workpiece,
        direction: Direction,
        cut: &Cut,
    ) -> (Option<Workpiece>, Option<Workpiece>) {
        cut.halves(self.job, &self.ground, work, direction)
    }

    /// A rip, and the best crosscuts of the two pieces.
    fn effort_of_rip(&self, work: &Workpiece, rip: &Parting) -> f64 {
        let (low, high) = self.halves(work, Direction::Rip, &rip.cut);
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

    /// The layout moved so that it can be cut better than as it lies, and its cuts; none where it
    /// cannot.
    fn with_room(&self, as_it_lies: Option<&Found>) -> Option<(Layout, Found)> {
        let effort = as_it_lies.map_or_else(|| self.uncut(), |f| f.effort);
        if as_it_lies.map_or(effort, |f| f.strain) <= 0.0 {
            return None;
        }
        let mut best: Option<(Layout, Found)> = None;
        for placements in room::made(self, effort) {
            let moved = Layout {
                placements,
                ..self.layout.clone()
            };
            let Some(found) = Breaking::new(self.job, &moved).and_then(|b| b.tree()) else {
                continue;
            };
            let least = best.as_ref().map_or(effort, |(_, f)| f.effort);
            if found.effort < least && self.keeps_offcuts(&moved, &found, as_it_lies) {
                best = Some((moved, found));
            }
        }
        best
    }

    /// True where no offcut is given up that is asked for.
    fn keeps_offcuts(&self, moved: &Layout, cuts: &Found, before: Option<&Found>) -> bool {
        let kept = |layout: &Layout, cuts: Option<&Found>| {
            let cut = Layout {
                cuts: cuts.map(|c| c.tree.clone()),
                ..layout.clone()
            };
            let areas = counted_offcut_areas(self.job, self.board, &cut).into_iter();
            areas.fold((0.0, 0.0), |sum: (f64, f64), a| (sum.0 + a, sum.1 + a * a))
        };
        if !self.job.asks_for_offcuts() {
            return true;
        }
        let (after, before) = (kept(moved, Some(cuts)), kept(self.layout, before));
        after.0 >= before.0 && after.1 >= before.1
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
}
