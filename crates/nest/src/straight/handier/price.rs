//! What cuts cost and offcuts earn, in cuts, and a floor under the cost of a workpiece.

use heartside_timber::plan::Direction;

use super::finder::{Branch, Finder, Offcuts, Place, SAME_SIZE, SIDES};
use crate::cuts::offcut::is_offcut;
use crate::cuts::saw::Cut;
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;

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

impl Finder<'_> {
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

    /// What a cut costs, in cuts: itself, its setting, how surely it is guided, how long the board is.
    pub(super) fn price(
        &self,
        work: &Workpiece,
        direction: Direction,
        cut: &Cut,
        keeps: [bool; 2],
    ) -> f64 {
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

    /// What a piece without blanks costs: less than nothing where it is worth keeping.
    pub(super) fn rest(&self, work: &Workpiece) -> f64 {
        if is_offcut(self.job, self.ground, work) {
            -self.earned(self.share(work), 0.0)
        } else {
            0.0
        }
    }

    /// What offcuts out of a share of the board earn at most, where blanks take some of it.
    fn earned(&self, share: f64, blanks: f64) -> f64 {
        match self.offcuts {
            Offcuts::Few => OFFCUT * share * share,
            Offcuts::Kept => OFFCUT_KEPT * (share - blanks).max(0.0),
        }
    }

    fn share(&self, work: &Workpiece) -> f64 {
        (work.tight.area() / self.area).min(1.0)
    }

    pub(super) fn least_of(&self, work: Option<&Workpiece>, members: &[usize]) -> f64 {
        work.map_or(0.0, |work| self.least(work, members))
    }

    /// A floor under the cost of a workpiece: cuts between the members, cuts beside the
    /// outermost, and no more earned than by keeping all of it.
    pub(super) fn least(&self, work: &Workpiece, members: &[usize]) -> f64 {
        let blanks: f64 = members.iter().map(|m| self.members[*m].rect.area()).sum();
        let earned = -self.earned(self.share(work), blanks / self.area);
        let Some(held) = self.held(members) else {
            return earned;
        };
        let beyond = |s: &&Side| s.excess(&work.tight, &held) > self.ground.leaf_play;
        let beside = SIDES.iter().filter(beyond).count();
        (members.len() - 1 + beside) as f64 + earned
    }
}

/// How many blanks have this size.
fn wanted(sizes: &[(f64, f64)], size: f64) -> f64 {
    let same = sizes.iter().find(|s| (s.0 - size).abs() < SAME_SIZE);
    same.map_or(0.0, |s| s.1)
}
