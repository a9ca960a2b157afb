//! Blanks parted by cuts that are square to one frame.
//!
//! A first cut must run in a gap right across the workpiece. If a layout can be cut
//! apart at all, so can every part of it, so geometry alone never asks to take a cut
//! back; tools, fixings and slivers may, and for their sake other gaps are tried, other
//! lines in a gap, and cuts that take off waste first (a board too long for the saw, a raw
//! edge that no fence can hold, a screw in the way).

use heartside_geometry::{Arrange, Bounds, Pose, PreparedRegion, math, separation_at_most};
use heartside_timber::blank::Blank;
use heartside_timber::job::{Job, PartCut};
use heartside_timber::plan::{Direction, Placement};

use crate::cuts::cutting::{Care, Cutout, Cutting, First};
use crate::cuts::ground::Ground;
use crate::cuts::saw::{Cut, Saws, can_make};
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;

/// Most cuts that take off waste before a blank is freed: one kerf after the other could be shaved off
/// a board without end.
const MOST_TRIMMINGS: usize = 40;

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
    square_angle(turn)
}

/// A turn modulo a quarter, within half a quarter of nought.
pub(super) fn square_angle(turn: f64) -> f64 {
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
    let mut separator = Separator::new((job, ground, saws), &blanks, step_limit);
    let (cutting, order) = separator.free_all(Cutting::whole(ground))?;
    Ok((cutting, order.into_iter().map(|b| blanks[b].0).collect()))
}

/// A board cut up further: these blanks are freed from one of its leaves; none where no saw can.
pub(crate) fn cut_apart(
    (job, ground, saws): (&Job, &Ground, &Saws),
    cutting: &Cutting,
    leaf: usize,
    cutouts: &[Cutout],
    step_limit: u64,
) -> Option<Cutting> {
    let blanks: Vec<(usize, Cutout)> = cutouts.iter().copied().enumerate().collect();
    let mut separator = Separator::new((job, ground, saws), &blanks, step_limit);
    let members = (0..blanks.len()).collect();
    let found = separator.separate(cutting.clone(), Vec::new(), leaf, members);
    found.ok().map(|(cutting, _)| cutting)
}

pub(super) struct Separator<'a> {
    job: &'a Job,
    ground: &'a Ground,
    saws: &'a Saws,
    blanks: &'a [(usize, Cutout)],
    steps_left: u64,
    /// Pieces from which these blanks cannot be freed: many orders of cuts lead to the same ones.
    dead_ends: Vec<(Workpiece, Vec<usize>, Failure)>,
    /// How many cuts lie before the one that is looked at, each in what the one before left.
    deep: usize,
}

/// A cut that separates two groups.
struct Parting {
    direction: Direction,
    cut: Cut,
    low: Vec<usize>,
    high: Vec<usize>,
}

type Progress = (Cutting, Vec<usize>);

impl<'a> Separator<'a> {
    /// Blanks with their places, to be freed within so many steps.
    pub(super) fn new(
        (job, ground, saws): (&'a Job, &'a Ground, &'a Saws),
        blanks: &'a [(usize, Cutout)],
        step_limit: u64,
    ) -> Separator<'a> {
        Separator {
            job,
            ground,
            saws,
            blanks,
            steps_left: step_limit,
            dead_ends: Vec::new(),
            deep: 0,
        }
    }

    /// Frees all of them from a board or a piece of one, and says which blank each cutout is.
    pub(super) fn free_all(&mut self, whole: Cutting) -> Result<Progress, Failure> {
        let members = (0..self.blanks.len()).collect();
        self.separate(whole, Vec::new(), 0, members)
    }

    /// The steps that are left.
    pub(super) fn steps_left(&self) -> u64 {
        self.steps_left
    }

    /// Frees the members from a leaf. As deep as cuts follow one another: at most one level for each
    /// member, and one for each cut that takes off waste first.
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
        if members.is_empty() {
            return Ok((cutting, order));
        }
        let Some(work) = cutting.works[leaf] else {
            return Err(self.inseparable(&members));
        };
        let mut known = self.dead_ends.iter();
        let known = known.find(|(piece, blanks, _)| *piece == work && *blanks == members);
        if let Some((.., failure)) = known {
            return Err(failure.clone());
        }
        if self.deep > self.blanks.len() + MOST_TRIMMINGS {
            return Err(self.inseparable(&members));
        }
        self.deep += 1;
        let found = self.separate_piece(cutting, order, (leaf, &work), &members);
        self.deep -= 1;
        if let Err(failure @ Failure::Inseparable(_)) = &found {
            self.dead_ends.push((work, members, failure.clone()));
        }
        found
    }

    /// As [`Separator::separate`] where there is a piece and something to free.
    fn separate_piece(
        &mut self,
        cutting: Cutting,
        order: Vec<usize>,
        (leaf, work): (usize, &Workpiece),
        members: &[usize],
    ) -> Result<Progress, Failure> {
        let by_line = members.len() > 1 && members.iter().all(|m| self.is_sawn(*m));
        let mut partings = if members.len() == 1 {
            if let Some(done) = self.free(&cutting, &order, leaf, members) {
                return Ok(done);
            }
            Vec::new()
        } else {
            if !by_line && !self.has_gap(members) {
                return Err(self.inseparable(members));
            }
            self.partings(work, members)
        };
        partings.extend(self.trimmings(work, members));
        let mut worst: Option<Failure> = None;
        for parting in partings {
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
        // Sawn parts that no straight cut parts share a piece, and are parted by line.
        if by_line
            && self.has_room_for_lines(members)
            && let Some(done) = self.free(&cutting, &order, leaf, members)
        {
            return Ok(done);
        }
        Err(worst.unwrap_or_else(|| self.inseparable(members)))
    }

    /// Cuts the last blank of a leaf free, or several sawn parts together, if the four sides
    /// round them can be cut one after the other.
    fn free(
        &mut self,
        cutting: &Cutting,
        order: &[usize],
        leaf: usize,
        members: &[usize],
    ) -> Option<Progress> {
        self.steps_left = self.steps_left.saturating_sub(1);
        let cutouts: Vec<Cutout> = members.iter().map(|m| self.blanks[*m].1).collect();
        let rect = cutouts.iter().map(|c| c.rect).reduce(|a, b| a.union(b))?;
        // A piece that was freed at a last look can be freed again only by looking as hard.
        let ways = [Care::Quick, Care::Thorough]
            .into_iter()
            .flat_map(|care| [(First::Rips, care), (First::Crosscuts, care)]);
        for way in ways {
            let mut trial = cutting.clone();
            let bench = (self.job, self.ground, self.saws);
            if trial.free_together(bench, leaf, &cutouts, &rect, way) {
                let mut order = order.to_vec();
                order.extend_from_slice(members);
                return Some((trial, order));
            }
        }
        None
    }

    /// Whether the kerf of a sawn line fits between all blanks: those that a thinner saw was to part may lie closer.
    fn has_room_for_lines(&self, members: &[usize]) -> bool {
        let kerf = self.job.workshop.sawn_kerf_for(self.ground.thickness);
        let forgiven = 0.5 * self.job.tolerance.slack;
        let posed = members.iter().map(|m| {
            let cutout = &self.blanks[*m].1;
            let blank = Blank::of(&self.job.parts[cutout.part]);
            let core = PreparedRegion::new(blank.core);
            (core.posed(&Pose::from(cutout.placed)), blank.radius)
        });
        let posed: Vec<(PreparedRegion, f64)> = posed.collect();
        posed.iter().enumerate().all(|(k, (core, radius))| {
            posed[..k].iter().all(|(other, around)| {
                let needed = kerf + radius + around - forgiven;
                separation_at_most(core, other, needed).is_none_or(|s| s.amount >= needed)
            })
        })
    }

    fn is_sawn(&self, member: usize) -> bool {
        self.job.parts[self.blanks[member].1.part].cut == PartCut::Sawn
    }

    fn inseparable(&self, members: &[usize]) -> Failure {
        Failure::Inseparable(members.iter().map(|m| self.blanks[*m].0).collect())
    }

    /// True where some straight line right across runs between the members and through none.
    fn has_gap(&self, members: &[usize]) -> bool {
        [Direction::Rip, Direction::Crosscut]
            .into_iter()
            .any(|direction| !self.gaps(direction, members).is_empty())
    }

    /// The gaps that run right across between the members: the members sorted, how many lie below, and the gap.
    fn gaps(&self, direction: Direction, members: &[usize]) -> Vec<(Vec<usize>, usize, f64, f64)> {
        let (low_side, high_side) = Side::pair(direction);
        let mut sorted = members.to_vec();
        let from = |m: usize| low_side.of(&self.blanks[m].1.rect);
        sorted.arrange_by(|a, b| from(*a).total_cmp(&from(*b)).then(a.cmp(b)));
        let mut gaps = Vec::new();
        let mut reached = f64::NEG_INFINITY;
        for k in 0..sorted.len() {
            // Touching blanks can be parted only by a saw without a kerf.
            if k > 0 && from(sorted[k]) >= reached {
                gaps.push((sorted.clone(), k, reached, from(sorted[k])));
            }
            reached = reached.max(high_side.of(&self.blanks[sorted[k]].1.rect));
        }
        gaps
    }

    /// The cuts that a tool can make through the gaps between the members, along the frame first.
    fn partings(&mut self, work: &Workpiece, members: &[usize]) -> Vec<Parting> {
        let mut partings = Vec::new();
        for direction in [Direction::Rip, Direction::Crosscut] {
            for (sorted, below, low, high) in self.gaps(direction, members) {
                for cut in self.cuts_in_gap(work, direction, low, high) {
                    partings.push(Parting {
                        direction,
                        cut,
                        low: sorted[..below].to_vec(),
                        high: sorted[below..].to_vec(),
                    });
                }
            }
        }
        partings
    }

    /// The cuts that a tool can make beside all members, taking off waste.
    fn trimmings(&mut self, work: &Workpiece, members: &[usize]) -> Vec<Parting> {
        let mut trimmings = Vec::new();
        let rects = members.iter().map(|m| self.blanks[*m].1.rect);
        let Some(held) = rects.reduce(|a, b| a.union(b)) else {
            return trimmings;
        };
        for side in [Side::LowX, Side::HighX, Side::LowY, Side::HighY] {
            if side.excess(&work.tight, &held) <= self.ground.leaf_play {
                continue;
            }
            let direction = side.direction();
            for edge in self.edges_beside(side, &work.tight, &held) {
                self.steps_left = self.steps_left.saturating_sub(1);
                // All that a tool can change beside waste is the edge: a true one serves later fences.
                let cuts = || self.saws.cuts(self.job, self.ground, work, side, edge);
                let is_true = |cut: &Cut| self.job.workshop.tools[cut.tool].leaves_true_edge;
                let Some(cut) = cuts().find(is_true).or_else(|| cuts().next()) else {
                    continue;
                };
                let (low, high) = if side.is_low() {
                    (Vec::new(), members.to_vec())
                } else {
                    (members.to_vec(), Vec::new())
                };
                trimmings.push(Parting {
                    direction,
                    cut,
                    low,
                    high,
                });
            }
        }
        trimmings
    }

    /// Where waste may be cut off beside what is held: right at it, and just past each fixing in the waste.
    fn edges_beside(&self, side: Side, wood: &Bounds, held: &Bounds) -> Vec<f64> {
        let mut edges = vec![side.of(held)];
        for (piece, _) in &self.ground.fixings {
            let fixing = self.ground.pieces[*piece].bounds();
            // The kerf lies beyond the edge, so the edge may touch the fixing's margin from outside.
            let edge = side.of(fixing);
            if side.excess(fixing, held) > 0.0 && side.excess(wood, fixing) > 0.0 {
                edges.push(edge);
            }
        }
        edges
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
            for at in lines_in_gap(self.ground, direction, (low, high), kerf) {
                self.steps_left = self.steps_left.saturating_sub(1);
                let cut = Cut { tool, at, kerf };
                if can_make(self.job, self.ground, work, direction, &cut) {
                    cuts.push(cut);
                }
            }
        }
        cuts
    }
}

/// Lines for a kerf within a gap: at its ends, and just past each fixing.
///
/// A blank may have been laid right beside a fixing. Its edge, worked out anew from where its part
/// lies, may then be a rounding error within the fixing's margin, so lines just past fixings count
/// up to that error beyond the gap.
pub(super) fn lines_in_gap(
    ground: &Ground,
    direction: Direction,
    (low, high): (f64, f64),
    kerf: f64,
) -> Vec<f64> {
    let mut lines = vec![low];
    if high - low - kerf > ground.leaf_play {
        lines.push(high - kerf);
    }
    let noise = ground.noise;
    let (low_side, high_side) = Side::pair(direction);
    for (piece, _) in &ground.fixings {
        let fixing = ground.pieces[*piece].bounds();
        let beside = [high_side.of(fixing), low_side.of(fixing) - kerf];
        lines.extend(
            beside
                .into_iter()
                .filter(|at| *at > low - noise && *at + kerf < high + noise),
        );
    }
    lines
}
