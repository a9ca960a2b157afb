//! An order of cuts that frees a rectangle from a workpiece.

use heartside_geometry::Bounds;
use heartside_timber::job::Job;
use heartside_timber::plan::Direction;

use super::ground::Ground;
use super::saw::{Cut, Saws};
use super::side::Side;
use super::workpiece::Workpiece;

/// Which cuts free a blank first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum First {
    /// Along the frame: the strip runs on beyond the blank.
    Rips,
    /// Across it: the section runs on above and below the blank.
    Crosscuts,
}

impl First {
    fn sides(self) -> [Side; 4] {
        match self {
            First::Rips => [Side::LowY, Side::HighY, Side::LowX, Side::HighX],
            First::Crosscuts => [Side::LowX, Side::HighX, Side::LowY, Side::HighY],
        }
    }

    /// The other one.
    pub(crate) fn other(self) -> First {
        match self {
            First::Rips => First::Crosscuts,
            First::Crosscuts => First::Rips,
        }
    }
}

/// One cut of a chain that frees a rectangle: the cut, and on which side of it the work goes on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Link {
    pub(crate) direction: Direction,
    pub(crate) cut: Cut,
    pub(crate) keeps_low: bool,
    pub(crate) rest: Option<Workpiece>,
    pub(crate) kept: Workpiece,
}

/// How hard an order of cuts is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Care {
    /// As filling does it, thousands of times a second.
    Quick,
    /// As it is done once, before a piece is left out.
    Thorough,
}

impl Care {
    /// Cuts looked at in one chain.
    ///
    /// Four sides and three tools make some hundred orders, most of which fail in the same way:
    /// fewer cuts miss orders that need the third tool, more make full boards slow to give up.
    fn most_cuts(self) -> u32 {
        match self {
            Care::Quick => 40,
            Care::Thorough => 150,
        }
    }
}

/// Most cuts in a chain: four sides, and as many cuts that prepare them.
const MOST_LINKS: usize = 8;

/// An order of cuts that frees a rectangle from a workpiece; none if none is found.
///
/// Preferred sides first, the least kerf first, each as soon as a tool can. Where that leads nowhere
/// the last cut is taken back: another tool makes it (its edge may be true, its kerf may pass a
/// screw), another side comes first, or waste is cut off beforehand (past a screw, or down to what
/// the next saw can hold). So which tool comes first decides how a blank is freed, not whether.
pub(crate) fn chain(
    bench: (&Job, &Ground, &Saws),
    work: Workpiece,
    rect: &Bounds,
    first: First,
    care: Care,
) -> Option<Vec<Link>> {
    let (job, ground, saws) = bench;
    let mut chain = Chain {
        job,
        ground,
        saws,
        rect,
        sides: first.sides(),
        prepares: care == Care::Thorough || !ground.fixings.is_empty(),
        cuts_left: care.most_cuts(),
        links: Vec::new(),
    };
    chain.goes_on(work).then_some(chain.links)
}

struct Chain<'a> {
    job: &'a Job,
    ground: &'a Ground,
    saws: &'a Saws,
    rect: &'a Bounds,
    sides: [Side; 4],
    /// Waste may be cut off before the sides of the rectangle are cut.
    prepares: bool,
    cuts_left: u32,
    links: Vec<Link>,
}

impl Chain<'_> {
    /// Frees the rectangle from what is left of the workpiece; where it cannot, the links are as they were.
    fn goes_on(&mut self, piece: Workpiece) -> bool {
        let excess = |side: &Side| side.excess(&piece.tight, self.rect);
        let (play, bite) = (self.ground.leaf_play, self.ground.bite);
        if self.sides.iter().all(|s| excess(s) <= play) {
            return self.sides.iter().all(|s| excess(s) >= -bite);
        }
        if self.links.len() >= MOST_LINKS {
            return false;
        }
        let waiting = self
            .sides
            .map(|side| (excess(&side) > play).then_some(side));
        for side in waiting.into_iter().flatten() {
            if self.cuts_at(&piece, side, side.of(self.rect)) {
                return true;
            }
        }
        for (side, edge) in self.edges_to_true(&piece) {
            if self.cuts_at(&piece, side, edge) {
                return true;
            }
        }
        if self.prepares {
            for side in waiting.into_iter().flatten() {
                for edge in self.edges_before(&piece, side) {
                    if self.cuts_at(&piece, side, edge) {
                        return true;
                    }
                }
            }
        }
        false
    }

    /// Takes off what lies beyond an edge, by each tool that can, and goes on.
    fn cuts_at(&mut self, piece: &Workpiece, side: Side, edge: f64) -> bool {
        let (job, ground, saws) = (self.job, self.ground, self.saws);
        for cut in saws.cuts(job, ground, piece, side, edge) {
            if self.cuts_left == 0 {
                return false;
            }
            self.cuts_left -= 1;
            let direction = side.direction();
            let (low, high) = cut.halves(job, ground, piece, direction);
            let keeps_low = !side.is_low();
            let (kept, rest) = if keeps_low { (low, high) } else { (high, low) };
            let Some(kept) = kept else {
                continue;
            };
            self.links.push(Link {
                direction,
                cut,
                keeps_low,
                rest,
                kept,
            });
            if self.goes_on(kept) {
                return true;
            }
            self.links.pop();
        }
        false
    }

    /// Where a raw edge may be planed true, as deep as the planer goes, before a fence can guide any
    /// other cut; none where the workshop has no planer, or an edge is true already.
    fn edges_to_true(&self, piece: &Workpiece) -> Vec<(Side, f64)> {
        let planers = self.saws.planers(Direction::Rip);
        let sides = [Side::LowY, Side::HighY];
        if planers.is_empty() || sides.iter().any(|s| piece.is_true(self.ground, *s)) {
            return Vec::new();
        }
        let mut edges = Vec::new();
        for side in sides {
            let inwards = if side.is_low() { 1.0 } else { -1.0 };
            for planer in planers {
                let depth = self.job.workshop.tools[*planer].kerf;
                let edge = side.of(&piece.tight) + inwards * depth;
                let is_waste = side.excess(&piece.tight, self.rect) > depth;
                if is_waste && piece.would_be_true(self.ground, side, edge) {
                    edges.push((side, edge));
                }
            }
        }
        edges
    }

    /// Where waste on this side may be cut off before the rectangle's own sides are: to each side of a
    /// fixing in the waste, and where what is left just goes on to a saw.
    fn edges_before(&self, piece: &Workpiece, side: Side) -> Vec<f64> {
        let (wood, held) = (&piece.tight, self.rect);
        let sign = if side.is_low() { -1.0 } else { 1.0 };
        let opposite = match side {
            Side::LowX => Side::HighX,
            Side::HighX => Side::LowX,
            Side::LowY => Side::HighY,
            Side::HighY => Side::LowY,
        };
        let mut edges = Vec::new();
        for (fixing, _) in &self.ground.fixings {
            let fixing = self.ground.pieces[*fixing].bounds();
            edges.push(side.of(fixing));
            let near = opposite.of(fixing);
            edges.extend(
                self.saws
                    .along(side.direction())
                    .iter()
                    .map(|tool| near - sign * self.job.workshop.tools[*tool].kerf),
            );
        }
        // Extents square to this side's cuts are what the other cuts run along.
        let other = match side.direction() {
            Direction::Rip => Direction::Crosscut,
            Direction::Crosscut => Direction::Rip,
        };
        let tools = &self.job.workshop.tools;
        let along = self.saws.along(other).iter().map(|t| tools[*t].max_length);
        let across = self.saws.along(side.direction()).iter();
        let limits = along.chain(across.map(|t| tools[*t].max_width));
        let from = opposite.of(wood);
        edges.extend(limits.filter(|l| l.is_finite()).map(|l| from + sign * l));
        let play = self.ground.leaf_play;
        edges.retain(|edge| {
            sign * (edge - side.of(held)) > play && sign * (side.of(wood) - edge) > play
        });
        edges
    }
}
