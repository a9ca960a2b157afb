//! Handier cuts for a layout that is found: the same blanks in the same places, sawn free in
//! fewer, safer cuts that share their settings.
//!
//! # What is looked for
//! The engines free blank after blank and never look back, so an end is trimmed off every strip
//! instead of off the board, a sliver is sawn off before a cut that would have taken it along,
//! and the saw with the thinnest kerf does everything. Here the whole tree of cuts of one board is
//! sought anew by branch and bound over the workpieces that cuts through its gaps and beside
//! its outermost blanks can leave. A cut costs one; a little more where it is set to a mark and
//! not by a fence or a stop that other blanks want as well, where the board is guided less
//! surely, and where a long board is ripped before it is crosscut. Large offcuts earn a little.
//! m blanks take m - 1 cuts between them, and one more for every side on which the wood goes
//! beyond the outermost: a floor under the cuts of a workpiece that prunes nearly everything.
//! The prices of inconvenience are judgement, common practice without a source.
//!
//! # What stays as it was
//! Frame and timber, and placements but for blanks that slide into the waste beside them
//! (`flush`). Nothing is taken that has more cuts, or that spoils the offcuts. Where
//! the steps run out the better cuts found so far lie in branches; the rest of the tree stays.
//! Every cut is asked for by the same rules as the engines' (`cuts::saw`), for the workpiece as it then is.

use std::collections::BTreeMap;

use heartside_geometry::{Arrange, Bounds};
use heartside_timber::blank::straight_bounds;
use heartside_timber::document::Aim;
use heartside_timber::job::{Board, Job, PartCut, Tool};
use heartside_timber::plan::{CutNode, CutTree, Direction, Layout, Plan, Way};
use heartside_timber::score::{counted_offcut_areas, cuts_made};

use crate::cuts::cutting::cut_node;
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_offcut;
use crate::cuts::saw::{Cut, Saws, can_make};
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;
use crate::objective::Choices;

/// Cuts looked at for one board. More find little on boards of a dozen blanks; fewer leave those as they were.
const STEPS: u32 = 1200;
/// Most blanks of a workpiece whose cuts are sought as a whole: beyond, only branches are.
const MOST_BLANKS: usize = 14;
/// Setting a saw to a mark, in cuts; a fence or a stop is shared by all blanks of that size.
const SETTING: f64 = 0.3;
/// A saw that runs along a rail, and one that nothing guides, against one with a fence, in cuts.
const RAIL: f64 = 0.05;
const UNGUIDED: f64 = 0.15;
/// A rip of a board longer than `LONG` mm (as the cautions have it), in cuts.
const LONG_RIP: f64 = 0.2;
const LONG: f64 = 1800.0;
/// What the whole board kept as one offcut would earn, in cuts; less goes by the square of its share.
const OFFCUT: f64 = 0.3;
/// The same where the offcuts would be spoilt: by its share, so that none is given up for a fence.
const OFFCUT_KEPT: f64 = 4.0;
/// Share of the sum of squares of the offcuts that may be lost for fewer cuts, where labour counts more.
const LOST_FOR_FEWER: f64 = 0.1;

/// Plans with handier cuts; what was made of a board's layout is kept for the next plan that has it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Handier {
    known: Vec<(Layout, Layout)>,
}

impl Handier {
    /// The plan with handier cuts.
    pub(crate) fn plan(&mut self, job: &Job, plan: &Plan) -> Plan {
        let mut better = plan.clone();
        let mut known = Vec::with_capacity(plan.layouts.len());
        for layout in &mut better.layouts {
            let old = layout.clone();
            let before = self.known.iter().find(|(from, _)| *from == old);
            let made = before.map_or_else(|| with_handier_cuts(job, &old), |(_, to)| to.clone());
            layout.clone_from(&made);
            known.push((old, made));
        }
        self.known = known;
        better
    }
}

/// The layout with fewer, handier cuts at equal timber; as it was where none are found.
///
/// Bounded by a number of cuts looked at; the same layout gives the same answer.
pub fn with_handier_cuts(job: &Job, layout: &Layout) -> Layout {
    let board = job.board(&layout.board.board);
    let (Some(board), true, Way::Straight) = (board, Choices::of(job).furnishes, layout.way) else {
        return layout.clone();
    };
    // First as if offcuts hardly counted: few boards have one.
    let found = [Offcuts::Few, Offcuts::Kept]
        .into_iter()
        .filter_map(|offcuts| handier_layout(job, layout, offcuts))
        .find(|new| is_acceptable(job, board, layout, new));
    found.unwrap_or_else(|| layout.clone())
}

/// How offcuts are looked after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Offcuts {
    /// They earn a little.
    Few,
    /// They earn more than any convenience, and beside them goes the saw of the least kerf that can.
    Kept,
}

/// No more cuts and the offcuts as good, or fewer cuts and the offcuts nearly as good where they
/// count less: so the score is never worse.
fn is_acceptable(job: &Job, board: &Board, old: &Layout, new: &Layout) -> bool {
    let cuts = (cuts_made(old), cuts_made(new));
    let areas = [old, new].map(|l| counted_offcut_areas(job, board, l));
    let [old_sum, new_sum] = areas.each_ref().map(|a| a.iter().sum::<f64>());
    let [old_squares, new_squares] =
        areas.map(|a| a.iter().map(|a| (a * 1e-6) * (a * 1e-6)).sum::<f64>());
    let place = |aim: Aim| job.order.iter().position(|a| *a == aim);
    let offcuts_first = job.offcut_value > 0.0 || place(Aim::Offcuts) < place(Aim::Labour);
    let lost = if cuts.1 < cuts.0 && !offcuts_first {
        LOST_FOR_FEWER
    } else {
        0.0
    };
    cuts.1 <= cuts.0
        && new_squares >= (1.0 - lost) * old_squares
        && (job.offcut_value <= 0.0 || new_sum >= old_sum)
}

fn handier_layout(job: &Job, layout: &Layout, offcuts: Offcuts) -> Option<Layout> {
    let tree = layout.cuts.as_ref()?;
    let board = job.board_index(&layout.board.board)?;
    let lies_here = |part: usize| {
        let id = &job.parts[part].id;
        layout.placements.iter().any(|p| p.part == *id)
    };
    let ground = Ground::for_parts(job, board, layout.frame.angle, &lies_here);
    if ground.frame != layout.frame {
        return None;
    }
    let saws = Saws::of(job);
    let mut finder = Finder::new(job, &ground, &saws, layout, tree)?;
    let whole = Workpiece::whole(&ground);
    finder.offcuts = offcuts;
    let mut root = finder.branch_of(tree, 0, Some(whole))?;
    let mut placements = layout.placements.clone();
    let mut is_better = false;
    for _ in 0..2 {
        if let Some(new) = finder.improved(root, Some(whole), STEPS) {
            (root, is_better) = (new, true);
        }
        if !finder.slide(root, whole, &mut placements) {
            break;
        }
        is_better = true;
    }
    is_better.then(|| Layout {
        cuts: Some(finder.tree(root, whole)),
        placements,
        ..layout.clone()
    })
}

/// A workpiece that is left as one blank, or as the region of several sawn parts.
pub(super) struct Member {
    pub(super) rect: Bounds,
    pub(super) leaf: CutNode,
}

/// What becomes of a workpiece: a place in the list of branches.
pub(super) type Place = usize;

#[derive(Debug, Clone, Copy)]
pub(super) enum Branch {
    /// A member, by its place in the list.
    Member(usize),
    /// No blank in it.
    Rest,
    Cut {
        direction: Direction,
        cut: Cut,
        low: Place,
        high: Place,
    },
}

/// What is known of a workpiece.
#[derive(Debug, Clone, Copy)]
pub(super) enum Known {
    /// The least cost, and how.
    Best(f64, Place),
    /// Nothing costs less than this.
    AtLeast(f64),
}

pub(super) struct Finder<'a> {
    pub(super) job: &'a Job,
    pub(super) ground: &'a Ground,
    saws: &'a Saws,
    pub(super) members: Vec<Member>,
    /// Extents of the job's blanks along and across the board, with how many there are.
    lengths: Vec<(f64, f64)>,
    widths: Vec<(f64, f64)>,
    area: f64,
    pub(super) branches: Vec<Branch>,
    /// By the bits of the workpiece's rectangle; few are cut round in more ways than one.
    pub(super) known: BTreeMap<[u64; 4], Vec<(Workpiece, Known)>>,
    pub(super) steps_left: u32,
    offcuts: Offcuts,
}

/// A cut that may be made next, and what lies on either side of it.
struct Candidate {
    direction: Direction,
    cut: Cut,
    low: Option<Workpiece>,
    high: Option<Workpiece>,
    below: Vec<usize>,
    above: Vec<usize>,
    cost: f64,
    /// A floor under the cost of everything from here on.
    least: f64,
}

impl<'a> Finder<'a> {
    /// None where the layout's tree is not one of ours.
    fn new(
        job: &'a Job,
        ground: &'a Ground,
        saws: &'a Saws,
        layout: &Layout,
        tree: &CutTree,
    ) -> Option<Finder<'a>> {
        let rect = |placement: &usize| {
            let lying = layout.placements.get(*placement)?;
            ground.rect_of(job.part(&lying.part)?, &lying.at)
        };
        let mut members = Vec::new();
        for leaf in &tree.nodes {
            let held = match leaf {
                CutNode::Blank { placement } => std::slice::from_ref(placement),
                CutNode::Region { placements } => placements.as_slice(),
                _ => continue,
            };
            let rects: Option<Vec<Bounds>> = held.iter().map(rect).collect();
            members.push(Member {
                rect: rects?.into_iter().reduce(Bounds::union)?,
                leaf: leaf.clone(),
            });
        }
        let (mut lengths, mut widths) = (Vec::new(), Vec::new());
        for part in job.parts.iter().filter(|p| p.cut == PartCut::Straight) {
            let blank = straight_bounds(part);
            let count = f64::from(part.count);
            add_size(&mut lengths, blank.width(), count);
            add_size(&mut widths, blank.height(), count);
        }
        Some(Finder {
            job,
            ground,
            saws,
            members,
            lengths,
            widths,
            area: ground.bounds.area(),
            branches: Vec::new(),
            known: BTreeMap::new(),
            steps_left: 0,
            offcuts: Offcuts::Few,
        })
    }

    fn add(&mut self, branch: Branch) -> Place {
        self.branches.push(branch);
        self.branches.len() - 1
    }

    /// The branch that a finished tree has at a node; none if the tree is not one of ours.
    fn branch_of(&mut self, tree: &CutTree, node: usize, work: Option<Workpiece>) -> Option<Place> {
        let here = tree.nodes.get(node)?;
        let branch = match (here.cut(), here) {
            (Some(made), _) => {
                // As the engines make them, so that no tree leads round in a ring.
                if made.low <= node || made.high <= node {
                    return None;
                }
                let tools = &self.job.workshop.tools;
                let cut = Cut {
                    tool: tools.iter().position(|t| t.name == made.tool)?,
                    at: made.at,
                    kerf: made.kerf,
                };
                let direction = made.direction;
                let (below, above) = cut.halves(self.job, self.ground, &work?, direction);
                Branch::Cut {
                    direction,
                    cut,
                    low: self.branch_of(tree, made.low, below)?,
                    high: self.branch_of(tree, made.high, above)?,
                }
            }
            (None, CutNode::Offcut | CutNode::Waste) => Branch::Rest,
            (None, leaf) => Branch::Member(self.members.iter().position(|m| m.leaf == *leaf)?),
        };
        Some(self.add(branch))
    }

    pub(super) fn members_of(&self, place: Place) -> Vec<usize> {
        match self.branches[place] {
            Branch::Member(member) => vec![member],
            Branch::Rest => Vec::new(),
            Branch::Cut { low, high, .. } => {
                let mut members = self.members_of(low);
                members.extend(self.members_of(high));
                members
            }
        }
    }

    /// What a branch costs as it stands.
    pub(super) fn cost_of(&self, place: Place, work: Option<Workpiece>) -> f64 {
        match (self.branches[place], work) {
            (
                Branch::Cut {
                    direction,
                    cut,
                    low,
                    high,
                },
                Some(work),
            ) => {
                let (below, above) = cut.halves(self.job, self.ground, &work, direction);
                let keeps = [low, high].map(|p| !self.members_of(p).is_empty());
                self.price(&work, direction, &cut, keeps)
                    + self.cost_of(low, below)
                    + self.cost_of(high, above)
            }
            (Branch::Rest, Some(work)) => self.rest(&work),
            _ => 0.0,
        }
    }

    /// A branch at least as handy: anew as a whole where it holds few blanks, else cut as it
    /// was and its two sides bettered. None where nothing is better.
    fn improved(&mut self, place: Place, work: Option<Workpiece>, steps: u32) -> Option<Place> {
        let (
            Branch::Cut {
                direction,
                cut,
                low,
                high,
            },
            Some(piece),
        ) = (self.branches[place], work)
        else {
            return None;
        };
        let members = self.members_of(place);
        let mut left = steps;
        if !members.is_empty() && members.len() <= MOST_BLANKS {
            // Half for the whole, half for what lies below where that was not enough.
            let share = steps.div_ceil(2);
            self.steps_left = share;
            let limit = self.cost_of(place, work) - 1e-6;
            let found = self.best(&piece, &members, limit);
            let gave_up = self.steps_left == 0;
            left -= share - self.steps_left;
            if let Some((_, found)) = found {
                return Some(found);
            }
            if !gave_up {
                return None;
            }
        }
        let (below, above) = cut.halves(self.job, self.ground, &piece, direction);
        let share = left / 2;
        let new_low = self.improved(low, below, share);
        let new_high = self.improved(high, above, left - share);
        if new_low.is_none() && new_high.is_none() {
            return None;
        }
        Some(self.add(Branch::Cut {
            direction,
            cut,
            low: new_low.unwrap_or(low),
            high: new_high.unwrap_or(high),
        }))
    }

    /// The handiest way to free the members of a workpiece that costs less than `limit`.
    ///
    /// With the steps run out it may be not the handiest, or none though there is one.
    pub(super) fn best(
        &mut self,
        work: &Workpiece,
        members: &[usize],
        limit: f64,
    ) -> Option<(f64, Place)> {
        let alike = self.known.get(&bits(&work.rect));
        match alike.and_then(|alike| alike.iter().find(|(w, _)| w == work)) {
            Some((_, Known::Best(cost, place))) => {
                return (*cost < limit).then_some((*cost, *place));
            }
            Some((_, Known::AtLeast(least))) if *least >= limit => return None,
            _ => {}
        }
        if self.least(work, members) >= limit {
            return None;
        }
        let is_free = |m: usize| {
            SIDES.iter().all(|s| {
                let excess = s.excess(&work.tight, &self.members[m].rect);
                excess <= self.ground.leaf_play && excess >= -self.ground.bite
            })
        };
        let done = match members {
            [] => Some((self.rest(work), Branch::Rest)),
            [one] if is_free(*one) => Some((0.0, Branch::Member(*one))),
            _ => None,
        };
        if let Some((cost, branch)) = done {
            let place = self.add(branch);
            self.remember(work, Known::Best(cost, place));
            return (cost < limit).then_some((cost, place));
        }
        let mut best: Option<(f64, Place)> = None;
        for candidate in self.candidates(work, members) {
            let most = best.map_or(limit, |(cost, _)| cost - 1e-9);
            if candidate.least >= most {
                // They are sorted.
                break;
            }
            let below = self.least_of(candidate.low.as_ref(), &candidate.below);
            let above_most = most - candidate.cost - below;
            let Some((above, high)) =
                self.best_of(candidate.high.as_ref(), &candidate.above, above_most)
            else {
                continue;
            };
            let below_most = most - candidate.cost - above;
            let Some((below, low)) =
                self.best_of(candidate.low.as_ref(), &candidate.below, below_most)
            else {
                continue;
            };
            let Candidate { direction, cut, .. } = candidate;
            let place = self.add(Branch::Cut {
                direction,
                cut,
                low,
                high,
            });
            best = Some((candidate.cost + below + above, place));
        }
        if self.steps_left > 0 {
            let known = match best {
                Some((cost, place)) => Known::Best(cost, place),
                None => Known::AtLeast(limit),
            };
            self.remember(work, known);
        }
        best
    }

    fn remember(&mut self, work: &Workpiece, known: Known) {
        let alike = self.known.entry(bits(&work.rect)).or_default();
        match alike.iter_mut().find(|(w, _)| w == work) {
            Some(old) => old.1 = known,
            None => alike.push((*work, known)),
        }
    }

    fn best_of(
        &mut self,
        work: Option<&Workpiece>,
        members: &[usize],
        limit: f64,
    ) -> Option<(f64, Place)> {
        match work {
            Some(work) => self.best(work, members, limit),
            None if members.is_empty() && limit > 0.0 => Some((0.0, self.add(Branch::Rest))),
            None => None,
        }
    }

    fn least_of(&self, work: Option<&Workpiece>, members: &[usize]) -> f64 {
        work.map_or(0.0, |work| self.least(work, members))
    }

    /// A floor under the cost of a workpiece: cuts between the members, cuts beside the
    /// outermost, and no more earned than by keeping all of it.
    fn least(&self, work: &Workpiece, members: &[usize]) -> f64 {
        let blanks: f64 = members.iter().map(|m| self.members[*m].rect.area()).sum();
        let earned = -self.earned(self.share(work), blanks / self.area);
        let Some(held) = self.held(members) else {
            return earned;
        };
        let beyond = |s: &&Side| s.excess(&work.tight, &held) > self.ground.leaf_play;
        let beside = SIDES.iter().filter(beyond).count();
        (members.len() - 1 + beside) as f64 + earned
    }

    pub(super) fn held(&self, members: &[usize]) -> Option<Bounds> {
        let rects = members.iter().map(|m| self.members[*m].rect);
        rects.reduce(Bounds::union)
    }

    fn share(&self, work: &Workpiece) -> f64 {
        (work.tight.area() / self.area).min(1.0)
    }

    /// What offcuts out of a share of the board earn at most, where blanks take some of it.
    fn earned(&self, share: f64, blanks: f64) -> f64 {
        match self.offcuts {
            Offcuts::Few => OFFCUT * share * share,
            Offcuts::Kept => OFFCUT_KEPT * (share - blanks).max(0.0),
        }
    }

    /// What a piece without blanks costs: less than nothing where it is worth keeping.
    fn rest(&self, work: &Workpiece) -> f64 {
        if is_offcut(self.job, self.ground, work) {
            -self.earned(self.share(work), 0.0)
        } else {
            0.0
        }
    }

    /// All cuts that a tool can make through a gap between the members, or beside the outermost, the most promising first.
    fn candidates(&mut self, work: &Workpiece, members: &[usize]) -> Vec<Candidate> {
        let mut found: Vec<Candidate> = Vec::new();
        for direction in [Direction::Crosscut, Direction::Rip] {
            let (low_side, high_side) = Side::pair(direction);
            let mut sorted = members.to_vec();
            let from = |m: usize| low_side.of(&self.members[m].rect);
            sorted.arrange_by(|a, b| from(*a).total_cmp(&from(*b)).then(a.cmp(b)));
            // How many members lie below each gap, and the gap.
            let mut gaps = vec![(
                0,
                low_side.of(&work.tight),
                sorted.first().map_or(0.0, |m| from(*m)),
            )];
            let mut reached = f64::NEG_INFINITY;
            for (below, member) in sorted.iter().enumerate() {
                if below > 0 && from(*member) >= reached {
                    gaps.push((below, reached, from(*member)));
                }
                reached = reached.max(high_side.of(&self.members[*member].rect));
            }
            gaps.push((sorted.len(), reached, high_side.of(&work.tight)));
            for (below, low, high) in gaps {
                let (below, above) = sorted.split_at(below);
                self.cuts_in_gap(work, direction, (low, high), (below, above), &mut found);
            }
        }
        found.arrange_by(|a, b| a.least.total_cmp(&b.least));
        found
    }

    fn cuts_in_gap(
        &mut self,
        work: &Workpiece,
        direction: Direction,
        (low, high): (f64, f64),
        (below, above): (&[usize], &[usize]),
        found: &mut Vec<Candidate>,
    ) {
        let (job, ground, saws) = (self.job, self.ground, self.saws);
        if high - low <= ground.leaf_play {
            return;
        }
        // Saws stand in the order of their kerfs.
        let mut thinnest: [Option<f64>; 2] = [None; 2];
        for index in saws.along(direction) {
            let tool = &job.workshop.tools[*index];
            let kerf = tool.kerf;
            let between = !below.is_empty() && !above.is_empty();
            let room = if between || !tool.can_skim {
                high - low
                    + if between {
                        ground.leaf_play
                    } else {
                        ground.noise
                    }
            } else {
                f64::INFINITY
            };
            if kerf > room || !is_saw(tool) {
                continue;
            }
            // Beside a member on the one side of the gap or on the other: never into the middle.
            let mut lines = Vec::with_capacity(2);
            if !below.is_empty() {
                lines.push(low);
            }
            if !above.is_empty() && (below.is_empty() || high - low - kerf > ground.leaf_play) {
                lines.push(high - kerf);
            }
            for at in lines {
                if self.steps_left == 0 {
                    return;
                }
                self.steps_left -= 1;
                let cut = Cut {
                    tool: *index,
                    at,
                    kerf,
                };
                if !can_make(job, ground, work, direction, &cut) {
                    continue;
                }
                let (low_work, high_work) = cut.halves(job, ground, work, direction);
                let keeps = [!below.is_empty(), !above.is_empty()];
                let least = *thinnest[usize::from(at == low)].get_or_insert(kerf);
                if self.offcuts == Offcuts::Kept && kerf > least {
                    let rest = [&low_work, &high_work].into_iter().zip(keeps);
                    let is_kept = |(work, keeps): (&Option<Workpiece>, bool)| {
                        !keeps && work.as_ref().is_some_and(|w| is_offcut(job, ground, w))
                    };
                    if rest.into_iter().any(is_kept) {
                        continue;
                    }
                }
                let cost = self.price(work, direction, &cut, keeps);
                let least = cost
                    + self.least_of(low_work.as_ref(), below)
                    + self.least_of(high_work.as_ref(), above);
                found.push(Candidate {
                    direction,
                    cut,
                    low: low_work,
                    high: high_work,
                    below: below.to_vec(),
                    above: above.to_vec(),
                    cost,
                    least,
                });
            }
        }
    }

    /// What a cut costs, in cuts: itself, its setting, how surely it is guided, how long the board is.
    fn price(&self, work: &Workpiece, direction: Direction, cut: &Cut, keeps: [bool; 2]) -> f64 {
        let tool = &self.job.workshop.tools[cut.tool];
        let ripping = direction == Direction::Rip;
        let (low, high) = Side::pair(direction);
        let fence = ripping && tool.has_rip_fence();
        let stop = !ripping && tool.has_square_fence();
        let sizes = if ripping { &self.widths } else { &self.lengths };
        let sides = [
            (low, cut.at - low.of(&work.tight), keeps[0]),
            (high, high.of(&work.tight) - cut.at - cut.kerf, keeps[1]),
        ];
        let mut setting = SETTING;
        for (side, distance, keeps) in sides {
            let can = work.is_true(self.ground, side)
                && distance > 0.0
                && (fence && distance <= tool.max_width || stop && keeps);
            if can {
                setting = setting.min(SETTING / wanted(sizes, distance).max(1.0));
            }
        }
        let guide = if fence || stop {
            0.0
        } else if tool.leaves_true_edge {
            RAIL
        } else {
            UNGUIDED
        };
        let long = ripping && work.tight.width() > LONG;
        1.0 + setting + guide + if long { LONG_RIP } else { 0.0 }
    }

    /// The tree of a branch, children after their parents.
    fn tree(&self, root: Place, whole: Workpiece) -> CutTree {
        let mut nodes = vec![CutNode::Waste];
        let mut waiting = vec![(root, Some(whole), 0usize)];
        while let Some((place, work, node)) = waiting.pop() {
            nodes[node] = match self.branches[place] {
                Branch::Member(member) => self.members[member].leaf.clone(),
                Branch::Rest => match &work {
                    Some(work) if is_offcut(self.job, self.ground, work) => CutNode::Offcut,
                    _ => CutNode::Waste,
                },
                Branch::Cut {
                    direction,
                    cut,
                    low,
                    high,
                } => {
                    let next = nodes.len();
                    nodes.extend([CutNode::Waste, CutNode::Waste]);
                    let halves = work.map(|w| cut.halves(self.job, self.ground, &w, direction));
                    let (below, above) = halves.unwrap_or((None, None));
                    waiting.extend([(high, above, next + 1), (low, below, next)]);
                    cut_node(self.job, direction, &cut, next, next + 1)
                }
            };
        }
        CutTree { nodes }
    }
}

fn bits(rect: &Bounds) -> [u64; 4] {
    [rect.min.x, rect.min.y, rect.max.x, rect.max.y].map(f64::to_bits)
}

/// A tool that parts wood; planers true edges and part nothing.
fn is_saw(tool: &Tool) -> bool {
    !tool.trues
}

/// Sizes that differ by less can share a setting, in millimetres.
const SAME_SIZE: f64 = 0.05;

pub(super) const SIDES: [Side; 4] = [Side::LowX, Side::HighX, Side::LowY, Side::HighY];

fn add_size(sizes: &mut Vec<(f64, f64)>, size: f64, count: f64) {
    match sizes.iter_mut().find(|s| (s.0 - size).abs() < SAME_SIZE) {
        Some(known) => known.1 += count,
        None => sizes.push((size, count)),
    }
}

/// How many blanks have this size.
fn wanted(sizes: &[(f64, f64)], size: f64) -> f64 {
    let same = sizes.iter().find(|s| (s.0 - size).abs() < SAME_SIZE);
    same.map_or(0.0, |s| s.1)
}
