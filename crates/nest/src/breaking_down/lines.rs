//! The lines right across a workpiece that a tool can cut, between its blanks and beside them.

use heartside_geometry::{Arrange, area_in_bounds};
use heartside_timber::length::Unit;
use heartside_timber::plan::Direction;

use super::Breaking;
use crate::cuts::saw::{Cut, can_make};
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;

/// How far a cut keeps from the blanks beside it where there is room, in millimetres: about what
/// a saw that starts beside its mark may be off.
const CLEAR: f64 = 10.0;

/// A cut and what lies on its two sides.
pub(super) struct Parting {
    pub(super) direction: Direction,
    pub(super) cut: Cut,
    pub(super) low: Vec<usize>,
    pub(super) high: Vec<usize>,
}

/// A line that a tool can cut: how many of the blanks, in their order, lie below it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    pub(super) below: usize,
    pub(super) cut: Cut,
    /// Wood of the workpiece below the kerf, and below its high side, in square millimetres.
    pub(super) area: (f64, f64),
}

/// A row of blanks in the order in which lines square to it meet them, and the lines.
pub(super) struct Row {
    pub(super) members: Vec<usize>,
    pub(super) lines: Vec<Line>,
}

impl Row {
    pub(super) fn parting(&self, direction: Direction, line: &Line) -> Parting {
        let (low, high) = self.members.split_at(line.below);
        Parting {
            direction,
            cut: line.cut,
            low: low.to_vec(),
            high: high.to_vec(),
        }
    }
}

impl Breaking<'_> {
    /// The blanks of a workpiece as a row, and every line right across between or beside them
    /// that a tool can cut.
    pub(super) fn row(&self, work: &Workpiece, members: &[usize], direction: Direction) -> Row {
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
        let (low, high) = self.halves(work, direction, cut);
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
