//! The cuts that a tool can make through the gaps of a workpiece, the most promising first.

use heartside_geometry::Arrange;
use heartside_timber::job::Tool;
use heartside_timber::plan::Direction;

use super::finder::{Finder, Offcuts};
use crate::cuts::offcut::is_offcut;
use crate::cuts::saw::{Cut, can_make};
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;

/// A cut that may be made next, and what lies on either side of it.
pub(super) struct Candidate {
    pub(super) direction: Direction,
    pub(super) cut: Cut,
    pub(super) low: Option<Workpiece>,
    pub(super) high: Option<Workpiece>,
    pub(super) below: Vec<usize>,
    pub(super) above: Vec<usize>,
    pub(super) cost: f64,
    /// A floor under the cost of everything from here on.
    pub(super) least: f64,
}

impl Finder<'_> {
    /// All cuts that a tool can make through a gap between the members, or beside the outermost, the most promising first.
    pub(super) fn candidates(&mut self, work: &Workpiece, members: &[usize]) -> Vec<Candidate> {
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
}

/// A tool that parts wood; planers true edges and part nothing.
fn is_saw(tool: &Tool) -> bool {
    !tool.trues
}
