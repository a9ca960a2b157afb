//! At which angles and where a piece can be parted between groups of blanks.

use std::sync::Arc;

use heartside_geometry::{Arrange, Bounds, Point};
use heartside_timber::plan::Direction;

use super::{Bench, MOST_TRIMMINGS, Part, is_same, square_angle};
use crate::cuts::ground::Ground;
use crate::cuts::saw::{Cut, can_make};
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;
use crate::straight::separator::{Failure, lines_in_gap};

/// Blanks side by side further apart than this are parted at any of the plainer angles, in mm.
const NEAR: f64 = 40.0;

/// What lies beyond the blanks of a piece and is longer than this is cut off before the piece is turned, in
/// mm: a rip askew would run on through it.
const LONG_END: f64 = 120.0;

/// Where a piece may be parted: between `from` and `to`, its frame turned first.
pub(super) struct Line {
    pub(super) turn: f64,
    direction: Direction,
    from: f64,
    to: f64,
    low: Vec<usize>,
    high: Vec<usize>,
}

impl Line {
    /// The same line beside waste, so much further from what is kept.
    fn further(&self, by: f64) -> Line {
        let by = if self.low.is_empty() { -by } else { by };
        Line {
            from: self.from + by,
            to: self.to + by,
            low: self.low.clone(),
            high: self.high.clone(),
            ..*self
        }
    }
}

impl Bench<'_> {
    /// The gaps that run right across between the members, and the cuts beside all of them: across
    /// before along, the fewest turns first, waste last.
    pub(super) fn lines(
        &mut self,
        ground: &Ground,
        work: &Workpiece,
        members: &[usize],
    ) -> Vec<Line> {
        let turns = self.turns(ground, members);
        let mut lines = Vec::new();
        for direction in [Direction::Crosscut, Direction::Rip] {
            for turn in &turns {
                let frame = TurnedFrame::of(self, ground, *turn, members);
                lines.extend(frame.gaps(direction, ground.noise));
            }
        }
        if !lines.is_empty() && self.trimmed < MOST_TRIMMINGS {
            let frame = TurnedFrame::of(self, ground, 0.0, members);
            lines.extend(frame.beside(&work.tight, 1.0));
        }
        lines
    }

    /// By what the frame may be turned before a cut, plainest first.
    fn turns(&self, ground: &Ground, members: &[usize]) -> Vec<f64> {
        let own = self.angles_of(members);
        let halfway = own.windows(2).map(|pair| 0.5 * (pair[0] + pair[1]));
        let mut angles = vec![ground.frame.angle, self.first];
        angles.extend(own.iter().copied().chain(halfway));
        for (k, a) in members.iter().enumerate() {
            for b in &members[k + 1..] {
                let shortest = shortest_way(&self.lying[*a].corners, &self.lying[*b].corners);
                if let Some(way) = shortest.filter(|way| way.length <= NEAR) {
                    angles.push(way.square);
                }
            }
        }
        let mut turns: Vec<f64> = Vec::new();
        for angle in angles {
            let turn = match is_same(angle, ground.frame.angle) {
                true => 0.0,
                false => self.turn_to(ground, angle),
            };
            if turns.iter().all(|known| !is_same(*known, turn)) {
                turns.push(turn);
            }
        }
        turns
    }

    /// The cuts that a tool can make along a line, at either end of it and just past each fixing.
    pub(super) fn cuts_along(
        &mut self,
        ground: &Ground,
        piece: &Workpiece,
        line: &Line,
    ) -> Vec<Cut> {
        let (job, saws, direction) = (self.job, self.saws, line.direction);
        let mut cuts = Vec::new();
        let is_waste = line.low.is_empty() || line.high.is_empty();
        if is_waste {
            let (low, high) = Side::pair(direction);
            let (side, edge) = match line.low.is_empty() {
                true => (low, line.to),
                false => (high, line.from),
            };
            self.steps_left = self.steps_left.saturating_sub(1);
            let is_true = |cut: &Cut| job.workshop.tools[cut.tool].leaves_true_edge;
            let able = || saws.cuts(job, ground, piece, side, edge);
            cuts.extend(able().find(is_true).or_else(|| able().next()));
            return cuts;
        }
        let tools: Vec<(usize, f64)> = saws
            .tools_for(job, ground, piece, direction)
            .map(|(place, tool)| (place, tool.kerf))
            .collect();
        for (tool, kerf) in tools {
            if kerf > line.to - line.from + ground.leaf_play {
                continue;
            }
            let mut places = lines_in_gap(ground, direction, (line.from, line.to), kerf);
            // Where nothing skims, what is cut off a stave later has to be as wide as the kerf.
            let beside = self.widest_kerf(direction);
            let apart = [line.from + beside, line.to - beside - kerf];
            places.extend(
                apart
                    .into_iter()
                    .filter(|at| *at > line.from && at + kerf < line.to),
            );
            for at in places {
                self.steps_left = self.steps_left.saturating_sub(1);
                let cut = Cut { tool, at, kerf };
                if can_make(job, ground, piece, direction, &cut) {
                    cuts.push(cut);
                }
            }
        }
        cuts
    }

    fn widest_kerf(&self, direction: Direction) -> f64 {
        let tools = self.saws.along(direction).iter();
        let kerfs = tools.map(|tool| self.job.workshop.tools[*tool].kerf);
        kerfs.fold(0.0, f64::max)
    }

    /// Where a piece may be crosscut between its members before it is turned.
    pub(super) fn across_between(&self, ground: &Ground, members: &[usize]) -> Vec<Line> {
        let frame = TurnedFrame::of(self, ground, 0.0, members);
        frame.gaps(Direction::Crosscut, ground.noise)
    }

    /// Long ends beyond all members, crosscut before the rest is turned: right at them, or a kerf further on.
    pub(super) fn ends_beyond(
        &self,
        ground: &Ground,
        work: &Workpiece,
        members: &[usize],
    ) -> Vec<Line> {
        let frame = TurnedFrame::of(self, ground, 0.0, members);
        let beside = self.widest_kerf(Direction::Crosscut);
        let mut lines = frame.beside(&work.tight, LONG_END);
        lines.retain(|line| line.direction == Direction::Crosscut);
        let further = lines.iter().map(|line| line.further(beside));
        let further: Vec<Line> = further.collect();
        lines.into_iter().chain(further).collect()
    }

    /// Makes a cut and frees the members on both sides of it.
    pub(super) fn part_at(
        &mut self,
        ground: &Arc<Ground>,
        piece: &Workpiece,
        line: &Line,
        cut: Cut,
    ) -> Result<Part, Failure> {
        let is_waste = line.low.is_empty() || line.high.is_empty();
        let (low, high) = cut.halves(self.job, ground, piece, line.direction);
        self.trimmed += usize::from(is_waste);
        let low = self.separate(ground, low, line.low.clone());
        let both = low.and_then(|low| Ok((low, self.separate(ground, high, line.high.clone())?)));
        self.trimmed -= usize::from(is_waste);
        let (low, high) = both?;
        Ok(Part::Cut {
            direction: line.direction,
            cut,
            turn: line.turn,
            low: Box::new(low),
            high: Box::new(high),
        })
    }
}

/// The members' boxes in a frame.
struct TurnedFrame {
    turn: f64,
    boxes: Vec<(usize, Bounds)>,
}

impl TurnedFrame {
    fn of(bench: &Bench<'_>, ground: &Ground, turn: f64, members: &[usize]) -> TurnedFrame {
        let frame = ground.frame.turned(turn);
        let boxed = |m: &usize| (*m, bench.box_in(frame, *m));
        TurnedFrame {
            turn,
            boxes: members.iter().map(boxed).collect(),
        }
    }

    /// Where a line right across runs between the members and through none.
    fn gaps(&self, direction: Direction, noise: f64) -> Vec<Line> {
        let (low_side, high_side) = Side::pair(direction);
        let mut sorted = self.boxes.clone();
        let from = |of: &(usize, Bounds)| low_side.of(&of.1);
        sorted.arrange_by(|a, b| from(a).total_cmp(&from(b)).then(a.0.cmp(&b.0)));
        let names = |some: &[(usize, Bounds)]| {
            let mut names: Vec<usize> = some.iter().map(|b| b.0).collect();
            names.arrange();
            names
        };
        let mut gaps = Vec::new();
        let mut reached = f64::NEG_INFINITY;
        for k in 0..sorted.len() {
            if k > 0 && from(&sorted[k]) >= reached - noise {
                gaps.push(Line {
                    turn: self.turn,
                    direction,
                    from: reached,
                    to: from(&sorted[k]),
                    low: names(&sorted[..k]),
                    high: names(&sorted[k..]),
                });
            }
            reached = reached.max(high_side.of(&sorted[k].1));
        }
        gaps
    }

    /// Cuts that take off what lies beyond all members on one side, more than `least`.
    fn beside(&self, wood: &Bounds, least: f64) -> Vec<Line> {
        let all: Vec<usize> = self.boxes.iter().map(|b| b.0).collect();
        let boxes = self.boxes.iter().map(|b| b.1);
        let Some(held) = boxes.reduce(Bounds::union) else {
            return Vec::new();
        };
        let sides = [Side::LowX, Side::HighX, Side::LowY, Side::HighY];
        let sides = sides.into_iter().filter(|s| s.excess(wood, &held) > least);
        let line = |side: Side| Line {
            turn: self.turn,
            direction: side.direction(),
            from: side.of(&held),
            to: side.of(&held),
            low: if side.is_low() {
                Vec::new()
            } else {
                all.clone()
            },
            high: if side.is_low() {
                all.clone()
            } else {
                Vec::new()
            },
        };
        sides.map(line).collect()
    }
}

/// The shortest way between two outlines.
struct Way {
    length: f64,
    /// The angle of lines square to it.
    square: f64,
}

/// The shortest way from corners to corners and sides; none where they touch.
///
/// Along a side the line square to it runs along that side, whose angle is tried anyway.
fn shortest_way(one: &[Point], other: &[Point]) -> Option<Way> {
    let mut least: Option<(f64, Point, Point)> = None;
    let mut consider = |from: Point, to: Point| {
        let length = from.distance(to);
        if least.is_none_or(|(known, ..)| length < known) {
            least = Some((length, from, to));
        }
    };
    for (points, others) in [(one, other), (other, one)] {
        for p in points {
            for (k, a) in others.iter().enumerate() {
                let b = others[(k + 1) % others.len()];
                let side = b - *a;
                let along =
                    ((*p - *a).dot(side) / side.dot(side).max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
                consider(*p, a.towards(b, along));
            }
        }
    }
    let (length, from, to) = least.filter(|(length, ..)| *length > 1e-9)?;
    let square = square_angle((to - from).angle_deg());
    Some(Way { length, square })
}
