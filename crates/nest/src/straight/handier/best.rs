//! Branch and bound over the workpieces that cuts can leave.

use heartside_geometry::Bounds;

use super::candidates::Candidate;
use super::finder::{Branch, Finder, Known, Place, SIDES};
use crate::cuts::workpiece::Workpiece;

/// Most blanks of a workpiece whose cuts are sought as a whole: beyond, only branches are.
const MOST_BLANKS: usize = 14;

impl Finder<'_> {
    /// A branch at least as handy: anew as a whole where it holds few blanks, else cut as it
    /// was and its two sides bettered. None where nothing is better.
    pub(super) fn improved(
        &mut self,
        place: Place,
        work: Option<Workpiece>,
        steps: u32,
    ) -> Option<Place> {
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
}

fn bits(rect: &Bounds) -> [u64; 4] {
    [rect.min.x, rect.min.y, rect.max.x, rect.max.y].map(f64::to_bits)
}
