//! A legal order of cuts for a layout that is given.
//!
//! A first cut must run in a gap right across the workpiece. If a layout can be cut
//! apart at all, so can every part of it, so geometry alone never asks to take a cut
//! back; tools, fixings and slivers may, and for their sake other gaps are tried.

use heartside_geometry::math;
use heartside_timber::job::{Job, PartCut};
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame, Placement};

use super::cutting::{Cutout, Cutting, First};
use super::ground::Ground;
use super::offcut::is_offcut;
use super::saw::{Cut, Saws, can_make};
use super::workpiece::{Side, Workpiece};

/// What came of looking for an order of cuts.
#[derive(Debug, Clone, PartialEq)]
pub enum TreeResult {
    /// An order of cuts, and the frame it lies in.
    Tree(CutTree, Frame),
    /// No straight cut can separate these placements (places in the list given).
    Inseparable(Vec<usize>),
    /// Nothing was found within the step limit.
    GaveUp,
}

/// Looks for a legal order of straight cuts that frees exactly the blanks of a layout.
///
/// The frame is that of the blanks' common turn (modulo a quarter); straight parts that
/// lie askew to the first are reported as inseparable. Sawn parts get the upright
/// rectangle round their blank. One step is one cut looked at.
pub fn tree_for(
    job: &Job,
    board_index: usize,
    placements: &[Placement],
    step_limit: u64,
) -> TreeResult {
    if board_index >= job.boards.len() {
        return TreeResult::GaveUp;
    }
    let angle = common_angle(job, placements);
    let ground = Ground::for_parts(job, board_index, angle, |_| false);
    let saws = Saws::of(job);
    match cutting_for(job, &ground, &saws, placements, step_limit) {
        Ok((cutting, order)) => {
            let mut tree = cutting.finished_tree(|w| is_offcut(job, &ground, w));
            for node in &mut tree.nodes {
                match node {
                    CutNode::Blank { placement } => *placement = order[*placement],
                    CutNode::Region { placements } => {
                        placements.iter_mut().for_each(|p| *p = order[*p])
                    }
                    _ => {}
                }
            }
            TreeResult::Tree(tree, ground.frame)
        }
        Err(Failure::Inseparable(list)) => TreeResult::Inseparable(list),
        Err(Failure::GaveUp) => TreeResult::GaveUp,
    }
}

/// The turn, modulo a quarter and within half a quarter of nought, that the straight parts share.
pub(crate) fn common_angle(job: &Job, placements: &[Placement]) -> f64 {
    let is_straight = |p: &&Placement| {
        job.part(&p.part)
            .is_some_and(|part| part.cut == PartCut::Straight)
    };
    let turn = placements
        .iter()
        .find(is_straight)
        .map_or(0.0, |p| p.at.turn);
    let angle = math::normalise_deg(turn).rem_euclid(90.0);
    let angle = if angle > 45.0 { angle - 90.0 } else { angle };
    if angle.abs() < 1e-9 { 0.0 } else { angle }
}

/// Why there is no tree.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Failure {
    /// These cannot be separated.
    Inseparable(Vec<usize>),
    /// The steps ran out.
    GaveUp,
}

/// A board cut up so that exactly these blanks are free, and which placement each cutout is.
pub(crate) fn cutting_for(
    job: &Job,
    ground: &Ground,
    saws: &Saws,
    placements: &[Placement],
    step_limit: u64,
) -> Result<(Cutting, Vec<usize>), Failure> {
    let mut blanks = Vec::with_capacity(placements.len());
    let mut askew = Vec::new();
    for (place, placement) in placements.iter().enumerate() {
        let cutout = job.part_index(&placement.part).and_then(|part| {
            let rect = ground.rect_of(&job.parts[part], &placement.at)?;
            Some(Cutout {
                part,
                copy: Some(placement.copy),
                placed: placement.at,
                rect,
            })
        });
        match cutout {
            Some(cutout) => blanks.push((place, cutout)),
            None => askew.push(place),
        }
    }
    if !askew.is_empty() {
        return Err(Failure::Inseparable(askew));
    }
    let mut separator = Separator {
        job,
        ground,
        saws,
        blanks: &blanks,
        steps_left: step_limit,
    };
    let members = (0..blanks.len()).collect();
    let (cutting, order) = separator.separate(Cutting::whole(ground), Vec::new(), 0, members)?;
    Ok((cutting, order.into_iter().map(|b| blanks[b].0).collect()))
}

struct Separator<'a> {
    job: &'a Job,
    ground: &'a Ground,
    saws: &'a Saws,
    blanks: &'a [(usize, Cutout)],
    steps_left: u64,
}

/// A cut that separates two groups.
struct Parting {
    direction: Direction,
    cut: Cut,
    low: Vec<usize>,
    high: Vec<usize>,
}

type Progress = (Cutting, Vec<usize>);

impl Separator<'_> {
    /// Frees the members from a leaf. As deep as cuts follow one another, at most one level for each member.
    fn separate(
        &mut self,
        cutting: Cutting,
        order: Vec<usize>,
        leaf: usize,
        members: Vec<usize>,
    ) -> Result<Progress, Failure> {
        if self.steps_left == 0 {
            return Err(Failure::GaveUp);
        }
        match members.as_slice() {
            [] => return Ok((cutting, order)),
            [only] => return self.free(cutting, order, leaf, *only),
            _ => {}
        }
        let Some(work) = cutting.works[leaf] else {
            return Err(self.inseparable(members));
        };
        let mut worst: Option<Failure> = None;
        for parting in self.partings(&work, &members) {
            let mut trial = cutting.clone();
            let Some((low, high)) =
                trial.cut(self.job, self.ground, leaf, parting.direction, &parting.cut)
            else {
                continue;
            };
            let result = self
                .separate(trial, order.clone(), low, parting.low)
                .and_then(|(trial, order)| self.separate(trial, order, high, parting.high));
            match result {
                Err(Failure::GaveUp) => return Err(Failure::GaveUp),
                Err(failure) => worst = worst.or(Some(failure)),
                done => return done,
            }
        }
        Err(worst.unwrap_or_else(|| self.inseparable(members)))
    }

    fn free(
        &mut self,
        cutting: Cutting,
        mut order: Vec<usize>,
        leaf: usize,
        member: usize,
    ) -> Result<Progress, Failure> {
        self.steps_left = self.steps_left.saturating_sub(1);
        for first in [First::Rips, First::Crosscuts] {
            let mut trial = cutting.clone();
            if trial.free(
                self.job,
                self.ground,
                self.saws,
                leaf,
                self.blanks[member].1,
                first,
            ) {
                order.push(member);
                return Ok((trial, order));
            }
        }
        Err(self.inseparable(vec![member]))
    }

    fn inseparable(&self, members: Vec<usize>) -> Failure {
        Failure::Inseparable(members.into_iter().map(|m| self.blanks[m].0).collect())
    }

    /// The cuts that a tool can make through the gaps between the members, along the frame first.
    fn partings(&mut self, work: &Workpiece, members: &[usize]) -> Vec<Parting> {
        let mut partings = Vec::new();
        for direction in [Direction::Rip, Direction::Crosscut] {
            let (low_side, high_side) = Side::pair(direction);
            let mut sorted = members.to_vec();
            let from = |m: usize| low_side.of(&self.blanks[m].1.rect);
            sorted.sort_by(|a, b| from(*a).total_cmp(&from(*b)).then(a.cmp(b)));
            let mut reached = f64::NEG_INFINITY;
            for k in 0..sorted.len() {
                if k > 0 && from(sorted[k]) > reached {
                    let (gap_low, gap_high) = (reached, from(sorted[k]));
                    for cut in self.cuts_in_gap(work, direction, gap_low, gap_high) {
                        partings.push(Parting {
                            direction,
                            cut,
                            low: sorted[..k].to_vec(),
                            high: sorted[k..].to_vec(),
                        });
                    }
                } else if k > 0 && from(sorted[k]) == reached {
                    // Touching blanks can be parted only by a saw without a kerf.
                    for cut in self.cuts_in_gap(work, direction, reached, reached) {
                        partings.push(Parting {
                            direction,
                            cut,
                            low: sorted[..k].to_vec(),
                            high: sorted[k..].to_vec(),
                        });
                    }
                }
                reached = reached.max(high_side.of(&self.blanks[sorted[k]].1.rect));
            }
        }
        partings
    }

    fn cuts_in_gap(
        &mut self,
        work: &Workpiece,
        direction: Direction,
        low: f64,
        high: f64,
    ) -> Vec<Cut> {
        let mut cuts = Vec::new();
        for (tool, kerf) in self
            .saws
            .tools_for(self.job, self.ground, work, direction)
            .map(|(t, tool)| (t, tool.kerf))
        {
            if kerf > high - low + self.ground.leaf_play {
                continue;
            }
            for at in [low, high - kerf] {
                self.steps_left = self.steps_left.saturating_sub(1);
                let cut = Cut { tool, at, kerf };
                if can_make(self.job, self.ground, work, direction, &cut) {
                    cuts.push(cut);
                }
                if (high - low - kerf).abs() <= self.ground.leaf_play {
                    break;
                }
            }
        }
        cuts
    }
}
