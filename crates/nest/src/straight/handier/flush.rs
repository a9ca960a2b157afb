//! Blanks that slide into the waste beside them, so that they end flush with their workpiece.
//!
//! An engine lays a blank where it is free and leaves what is over on both sides: two cuts,
//! where one would do with the blank against an edge that is there already. The outermost blanks
//! of a small workpiece are moved square to that edge until they lie on it, if nothing they keep
//! clear of is there (by the engines' own rules, raw edges with their trim), and stay moved
//! where the workpiece then takes a cut less. Pinned parts, those that must look related
//! and those that lay there before never move, nor do sawn parts.

use heartside_geometry::Bounds;
use heartside_timber::plan::{CutNode, Placed, Placement};

use super::finder::{Branch, Finder, Place, SIDES};
use crate::cuts::fits::Fit;
use crate::cuts::position::place_at;
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;

/// Most blanks of a workpiece whose outermost are moved: in larger ones other cuts run through the same lines.
const MOST_BLANKS: usize = 6;
/// Most workpieces and sides tried on one board.
const TRIES: u32 = 40;
/// Cuts looked at for one of them.
const STEPS: u32 = 300;
/// A move must spare as much, in cuts.
const WORTH: f64 = 0.6;

impl Finder<'_> {
    /// Slides blanks where that spares a cut; true if any moved. The tree below `root` is changed in its place.
    pub(super) fn slide(
        &mut self,
        root: Place,
        whole: Workpiece,
        placements: &mut [Placement],
    ) -> bool {
        let mut moved = false;
        let mut tries = TRIES;
        let mut waiting = vec![(root, whole)];
        while let Some((place, work)) = waiting.pop() {
            if self.members_of(place).len() <= MOST_BLANKS {
                for side in SIDES {
                    if tries == 0 {
                        return moved;
                    }
                    moved |= self.slide_to(place, &work, side, placements, &mut tries);
                }
            }
            if let Branch::Cut {
                direction,
                cut,
                low,
                high,
            } = self.branches[place]
            {
                let (below, above) = cut.halves(self.job, self.ground, &work, direction);
                waiting.extend(above.map(|w| (high, w)));
                waiting.extend(below.map(|w| (low, w)));
            }
        }
        moved
    }

    /// Slides the outermost blanks of a workpiece on to one side of it, if that spares a cut.
    fn slide_to(
        &mut self,
        place: Place,
        work: &Workpiece,
        side: Side,
        placements: &mut [Placement],
        tries: &mut u32,
    ) -> bool {
        let members = self.members_of(place);
        let Some(held) = self.held(&members) else {
            return false;
        };
        let by = side.excess(&work.tight, &held);
        if by <= self.ground.leaf_play {
            return false;
        }
        let is_outermost =
            |m: &&usize| side.excess(&held, &self.members[**m].rect) <= self.ground.leaf_play;
        let outermost: Vec<usize> = members.iter().filter(is_outermost).copied().collect();
        let spots: Option<Vec<(Placed, Bounds)>> = outermost
            .iter()
            .map(|m| self.on_the_side(*m, work, side, placements))
            .collect();
        let Some(spots) = spots else { return false };
        *tries -= 1;
        let limit = self.cost_of(place, Some(*work)) - WORTH;
        let before: Vec<Bounds> = outermost.iter().map(|m| self.members[*m].rect).collect();
        for (member, (_, rect)) in outermost.iter().zip(&spots) {
            self.members[*member].rect = *rect;
        }
        // What was known of workpieces was known of blanks where they lay.
        self.known.clear();
        self.steps_left = STEPS;
        let found = self.best(work, &members, limit);
        self.known.clear();
        let Some((_, found)) = found else {
            for (member, rect) in outermost.iter().zip(before) {
                self.members[*member].rect = rect;
            }
            return false;
        };
        self.branches[place] = self.branches[found];
        for (member, (placed, _)) in outermost.iter().zip(spots) {
            if let CutNode::Blank { placement } = self.members[*member].leaf {
                placements[placement].at = placed;
            }
        }
        true
    }

    /// Where a blank lies that is moved square on to a side of its workpiece; none where it
    /// may not move or not lie there.
    fn on_the_side(
        &self,
        member: usize,
        work: &Workpiece,
        side: Side,
        placements: &[Placement],
    ) -> Option<(Placed, Bounds)> {
        let CutNode::Blank { placement } = self.members[member].leaf else {
            return None;
        };
        let lying = placements.get(placement)?;
        let copy = lying.part_copy();
        let is_pinned = self.job.pins.iter().any(|p| p.part == copy);
        let is_related = self.job.matches.iter().any(|m| m.parts.contains(&copy));
        if is_pinned || is_related || self.job.lay_there(self.board, lying) {
            return None;
        }
        let part = self.job.part_index(&lying.part)?;
        let same = |f: &&Fit| f.turn == lying.at.turn && f.turned_over == lying.at.turned_over;
        let fit = self.ground.fits.get(part)?.iter().find(same)?;
        let rect = &self.members[member].rect;
        let (mut x, mut y) = (rect.min.x, rect.min.y);
        match side {
            Side::LowX => x = work.tight.min.x,
            Side::HighX => x = work.tight.max.x - fit.width,
            Side::LowY => y = work.tight.min.y,
            Side::HighY => y = work.tight.max.y - fit.height,
        }
        let room = work.tight.intersection(self.ground.usable)?;
        let spot = place_at(self.ground, fit, (x, y), &room)?;
        let off = side.excess(&work.tight, &spot.rect);
        let lies = off <= self.ground.leaf_play && off >= -self.ground.bite;
        lies.then_some((spot.placed, spot.rect))
    }
}
