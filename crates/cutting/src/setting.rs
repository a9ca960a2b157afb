//! How a straight cut is set: from which side of the workpiece, how far, and on which side the kerf falls.

use heartside_geometry::{Bounds, Point};
use heartside_timber::job::{Job, Tool};
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame};

use crate::datum::Datum;
use crate::rough::moved_into_waste;
use crate::step::Setting;
use crate::workpiece::{Guided, Side, Workpiece, Workpieces};

/// Two marks that differ by less are one, in millimetres.
const SAME_MARK: f64 = 0.05;
/// A fence or a limit that is overrun by less counts as kept, in millimetres.
const PLAY: f64 = 0.01;

/// A straight cut about to be worded.
pub(crate) struct CutToSet<'a> {
    pub(crate) job: &'a Job,
    pub(crate) tree: &'a CutTree,
    /// What the cut is square to.
    pub(crate) frame: &'a Frame,
    pub(crate) datum: &'a Datum,
    pub(crate) pieces: &'a Workpieces,
    pub(crate) workpiece: &'a Workpiece,
    /// The same as it came free: square to its own frame until this cut turns it.
    pub(crate) came: &'a Workpiece,
    /// "board C", "piece C2".
    pub(crate) name: &'a str,
    /// "board C": what the board itself is called.
    pub(crate) board_words: &'a str,
    pub(crate) direction: Direction,
    pub(crate) at: f64,
    pub(crate) kerf: f64,
    pub(crate) low: usize,
    pub(crate) high: usize,
    /// The tool's name as the plan has it.
    pub(crate) named: &'a str,
    /// None where the job knows none of that name.
    pub(crate) tool: Option<&'a Tool>,
    /// The kerf within the wood, in the frame.
    pub(crate) band: Bounds,
}

/// The setting and what else follows from it.
pub(crate) struct Set {
    pub(crate) setting: Setting,
    /// The line to mark, in the board's frame.
    pub(crate) line: [Point; 2],
    /// The kept piece is the low one.
    pub(crate) keeps_low: bool,
    /// How the edge came about that runs along the fence or lies against it; none where none does.
    pub(crate) against_fence: Option<Guided>,
    /// The least length by which the piece is held against a fence.
    pub(crate) held: Option<f64>,
}

impl CutToSet<'_> {
    /// How the cut is set: along a rip fence or against a stop where it can be, else to a mark.
    pub(crate) fn set(&self) -> Set {
        let guided = self.guided_side();
        let (chosen, child) =
            guided.map_or_else(|| self.measured_side(), |side| (side, self.child_at(side)));
        let from_low = child == self.low;
        // The mark lies on the kept side; where both or neither are kept, on the side measured from.
        let (low_kept, high_kept) = (self.is_kept(self.low), self.is_kept(self.high));
        let keeps_low = if low_kept == high_kept {
            from_low
        } else {
            low_kept
        };
        let mark = if keeps_low {
            self.at
        } else {
            self.at + self.kerf
        };
        let line = self.line(mark);
        let measured = self.workpiece.sides.has(chosen);
        let square_to_board = (self.frame.angle.rem_euclid(90.0)).abs() < 1e-9;
        let setting = if guided.is_some() {
            self.against(chosen, mark, keeps_low)
        } else if measured || (self.direction == Direction::Crosscut && square_to_board) {
            self.measured_on_side(chosen, mark, keeps_low, measured)
        } else if let Some(side) = self.askew_from() {
            self.measured_at_both_ends(side, line, keeps_low)
        } else {
            self.marked_on_board(line, keeps_low)
        };
        Set {
            setting,
            line,
            keeps_low,
            against_fence: self.against_fence(guided),
            held: self.held(guided),
        }
    }

    /// The sides that the cut runs between, low first.
    fn sides(&self) -> [Side; 2] {
        match self.direction {
            Direction::Rip => [Side::Right, Side::Left],
            Direction::Crosscut => [Side::Start, Side::Far],
        }
    }

    fn child_at(&self, side: Side) -> usize {
        if side == self.sides()[0] {
            self.low
        } else {
            self.high
        }
    }

    fn has_rip_fence(&self) -> bool {
        let has = |t: &Tool| t.has_rip_fence() && !t.trues;
        self.direction == Direction::Rip && self.tool.is_some_and(has)
    }

    fn has_square_fence(&self) -> bool {
        self.direction == Direction::Crosscut && self.tool.is_some_and(Tool::has_square_fence)
    }

    /// The side that runs along a rip fence (true, and not too far from the blade) or touches a
    /// stop (true, with the kept piece on it); where both could, the one whose piece is kept,
    /// then the one whose piece is a blank, so that its size is set directly, then the low one.
    fn guided_side(&self) -> Option<Side> {
        if !self.has_rip_fence() && !self.has_square_fence() {
            return None;
        }
        let most = self.tool.map_or(f64::INFINITY, |t| t.max_width);
        let can = |side: &Side| {
            let distance = self.to_blade(*side);
            self.workpiece.guided(*side).is_some()
                && distance > PLAY
                && if self.has_rip_fence() {
                    distance <= most + PLAY
                } else {
                    self.is_kept(self.child_at(*side))
                }
        };
        let [low, high] = self.sides();
        let rank = |side: Side| {
            let child = self.child_at(side);
            (self.is_kept(child), self.is_blank(child))
        };
        match (can(&low), can(&high)) {
            (true, true) if rank(high) > rank(low) => Some(high),
            (true, _) => Some(low),
            (false, true) => Some(high),
            (false, false) => None,
        }
    }

    /// From a side of the workpiece to the near side of the kerf: what a fence or a stop is set to.
    fn to_blade(&self, side: Side) -> f64 {
        let edge = side.of(&self.workpiece.extent);
        match side {
            Side::Right | Side::Start => self.at - edge,
            Side::Left | Side::Far => edge - (self.at + self.kerf),
        }
    }

    /// Chooses the side to measure from: a true one before a raw one, then the one whose
    /// piece is kept, then the one whose piece is a blank (its size is then set directly),
    /// then the right edge or the start end.
    fn measured_side(&self) -> (Side, usize) {
        let [low, high] = self.sides();
        let sides = [(low, self.low), (high, self.high)];
        let rank = |(side, child): (Side, usize)| {
            (
                self.workpiece.sides.has(side),
                self.is_kept(child),
                self.is_blank(child),
            )
        };
        let (chosen, child) = if rank(sides[1]) > rank(sides[0]) {
            sides[1]
        } else {
            sides[0]
        };
        // Nothing true to measure from: waste is measured off the side it lies on, a short way.
        let (low_waste, high_waste) = (!self.is_kept(self.low), !self.is_kept(self.high));
        match (self.workpiece.sides.has(chosen), low_waste, high_waste) {
            (false, true, false) => sides[0],
            (false, false, true) => sides[1],
            _ => (chosen, child),
        }
    }

    /// The edge along a rip fence, or the better of the two that can lie against a square one.
    fn against_fence(&self, guided: Option<Side>) -> Option<Guided> {
        if self.has_rip_fence() {
            return self.workpiece.guided(guided?);
        }
        [Side::Right, Side::Left]
            .into_iter()
            .find_map(|side| self.workpiece.guided(side))
    }

    /// By how much the piece is held against a fence, before the cut and after it: along a rip
    /// fence its length, against a square one the length of the piece kept.
    fn held(&self, guided: Option<Side>) -> Option<f64> {
        let length = |child: usize| self.pieces.get(child).map_or(0.0, |p| p.extent.width());
        let own = self.workpiece.extent.width();
        if self.has_rip_fence() {
            let beside = guided.map_or(own, |side| length(self.child_at(side)));
            return Some(own.min(beside));
        }
        let longer = length(self.low).max(length(self.high));
        self.has_square_fence().then_some(own.min(longer))
    }

    /// A distance from a side as tape and scale read it. Where a blank is set by it, or wood is kept
    /// on both sides, it stays as it is: there a tenth is somebody's.
    fn on_scale(&self, side: Side, distance: f64) -> f64 {
        let kept = (self.is_kept(self.low), self.is_kept(self.high));
        if kept.0 == kept.1 || self.is_blank(self.low) || self.is_blank(self.high) {
            return distance;
        }
        // The kept piece between side and blade grows with the distance; beyond the blade it shrinks.
        let upwards = self.is_kept(self.child_at(side));
        moved_into_waste(distance, upwards, &self.job.units)
    }

    fn is_blank(&self, child: usize) -> bool {
        matches!(
            self.tree.nodes.get(child),
            Some(CutNode::Blank { .. } | CutNode::Leaves { .. })
        )
    }

    fn is_kept(&self, child: usize) -> bool {
        !self.pieces.is_waste(child)
    }

    fn line(&self, mark: f64) -> [Point; 2] {
        let Bounds { min, max } = self.band;
        let ends = match self.direction {
            Direction::Rip => [Point { x: min.x, y: mark }, Point { x: max.x, y: mark }],
            Direction::Crosscut => [Point { x: mark, y: min.y }, Point { x: mark, y: max.y }],
        };
        let pose = self.frame.pose();
        ends.map(|p| pose.apply(p))
    }

    /// Along a fence or against a stop, set to what lies between it and the blade, kept or not.
    fn against(&self, side: Side, mark: f64, keeps_low: bool) -> Setting {
        let edge = side.of(&self.workpiece.extent);
        let distance = self.to_blade(side);
        let scale = self.on_scale(side, distance);
        // What the scale takes or gives, the kept side begins sooner or later by.
        let kept_at = (mark - edge).abs() + scale - distance;
        let words = side.words(self.frame);
        let units = &self.job.units;
        let from = format!("its {words}");
        // Where waste runs between fence and blade, the kept side begins beyond the kerf.
        let waste_between = !self.is_kept(self.child_at(side));
        Setting {
            distance,
            distance_far: None,
            scale,
            words: format!("{} from {from}", write_length(kept_at, units)),
            brief: format!("from {words}", words = words.trim_start_matches("the ")),
            shown: write_length(scale, units),
            from,
            towards: side.outwards(self.frame),
            kerf_side: self.kerf_side(keeps_low),
            by_fence: self.has_rip_fence(),
            by_stop: self.has_square_fence(),
            kept_from: waste_between.then_some(kept_at),
        }
    }

    fn measured_on_side(&self, side: Side, mark: f64, keeps_low: bool, is_true: bool) -> Setting {
        let distance = (mark - side.of(&self.workpiece.extent)).abs();
        let scale = self.on_scale(side, distance);
        let words = side.words(self.frame);
        let raw = if is_true || self.workpiece.square.has(side) {
            ""
        } else {
            " (at its furthest point)"
        };
        let shown = write_length(scale, &self.job.units);
        let from = format!("its {words}{raw}");
        Setting {
            distance,
            distance_far: None,
            scale,
            words: format!("{shown} from {from}"),
            brief: format!("{} from {words}", write_dimension(scale, &self.job.units)),
            shown,
            from,
            towards: side.outwards(self.frame),
            kerf_side: self.kerf_side(keeps_low),
            by_fence: false,
            by_stop: false,
            kept_from: None,
        }
    }

    /// The true side of the piece as it came that a cut askew is measured from; none where it has
    /// none, or the cut is square.
    fn askew_from(&self) -> Option<Side> {
        if self.came.frame == *self.frame {
            return None;
        }
        let rank = |side: &Side| {
            let child = self.child_at(*side);
            (self.is_kept(child), self.is_blank(child))
        };
        let [low, high] = self
            .sides()
            .map(|side| Some(side).filter(|s| self.came.sides.has(*s)));
        match (low, high) {
            (Some(low), Some(high)) if rank(&high) > rank(&low) => Some(high),
            _ => low.or(high),
        }
    }

    /// Marks at both ends of a line askew, each from where that side of the piece is.
    fn measured_at_both_ends(&self, side: Side, line: [Point; 2], keeps_low: bool) -> Setting {
        let (frame, units) = (&self.came.frame, &self.job.units);
        let pose = frame.pose();
        let edge = side.of(&self.came.extent);
        let [near, far] = line.map(|p| {
            let p = pose.inverse_apply(p);
            match self.direction {
                Direction::Rip => (p.y - edge).abs(),
                Direction::Crosscut => (p.x - edge).abs(),
            }
        });
        // The line runs along the frame of the cut.
        let ends = match self.direction {
            Direction::Rip => [Side::Start, Side::Far],
            Direction::Crosscut => [Side::Right, Side::Left],
        };
        let ends = ends.map(|end| end.words(frame));
        let words = side.words(frame);
        let from = format!("its {words}");
        let between = |write: &dyn Fn(f64) -> String| {
            let [start, end] = ends;
            format!(
                "{} at the {start} to {} at the {end}",
                write(near),
                write(far)
            )
        };
        let shown = between(&|mm| write_length(mm, units));
        let short = between(&|mm| write_dimension(mm, units));
        Setting {
            distance: near,
            distance_far: Some(far),
            scale: near,
            words: format!("from {shown}, measured from {from}"),
            brief: format!("{}, from {words}", short.replace(" at the ", " at ")),
            shown,
            from,
            towards: side.outwards(frame),
            kerf_side: self.kerf_side(keeps_low),
            by_fence: false,
            by_stop: false,
            kept_from: None,
        }
    }

    /// Marks at both ends of the line, from the board's own datum: there is no true side to measure from.
    fn marked_on_board(&self, line: [Point; 2], keeps_low: bool) -> Setting {
        let units = &self.job.units;
        let along_board = (line[1].x - line[0].x).abs() >= (line[1].y - line[0].y).abs();
        let (distances, from, ends) = if along_board {
            let distances = line.map(|p| self.datum.across_at(p));
            (
                distances,
                self.datum.across_words(),
                ["towards the start end", "towards the far end"],
            )
        } else {
            (
                line.map(|p| self.datum.along(p)),
                "the start end",
                ["at the right edge", "at the left edge"],
            )
        };
        let chalk = along_board && self.datum.chalk_from_right.is_some();
        let shown_one = |value: f64| match (chalk, value) {
            (true, v) if v.abs() < SAME_MARK => "nothing".into(),
            (true, v) if v < 0.0 => format!("{} to the right", write_length(-v, units)),
            (true, v) => format!("{} to the left", write_length(v, units)),
            (false, v) => write_length(v, units),
        };
        let same = (distances[0] - distances[1]).abs() < SAME_MARK;
        let shown = if same {
            shown_one(distances[0])
        } else {
            format!(
                "{} {} and {} {}",
                shown_one(distances[0]),
                ends[0],
                shown_one(distances[1]),
                ends[1]
            )
        };
        let brief = {
            let one = |value: f64| write_dimension(value.abs(), units);
            let side = |value: f64| match (chalk, value) {
                (true, v) if v < -SAME_MARK => " right",
                (true, v) if v > SAME_MARK => " left",
                _ => "",
            };
            let [near, far] = distances.map(|v| format!("{}{}", one(v), side(v)));
            let from = from.trim_start_matches("the ");
            match (same, along_board) {
                (true, _) if chalk && distances[0].abs() < SAME_MARK => format!("on {from}"),
                (true, _) if chalk => format!("{near} of {from}"),
                (true, _) => format!("{near} from {from}"),
                (false, true) => format!("{near} at start, {far} at far end, from {from}"),
                (false, false) => format!("{near} right, {far} left, from {from}"),
            }
        };
        let from = if self.name == self.board_words {
            from.replacen("the ", "its ", 1)
        } else {
            format!("{from} of {}", self.board_words)
        };
        let words = match (chalk, same) {
            (true, true) if distances[0].abs() < SAME_MARK => format!("on {from}"),
            (true, true) => format!("{shown} of {from}"),
            (true, false) => format!("{shown}, measured from {from}"),
            (false, _) => format!("{shown} from {from}"),
        };
        Setting {
            distance: distances[0],
            distance_far: (!same).then_some(distances[1]),
            scale: distances[0],
            words,
            brief,
            shown,
            from,
            // The right edge, or the chalk line seen from its left; the start end.
            towards: match along_board {
                true => Point { x: 0.0, y: -1.0 },
                false => Point { x: -1.0, y: 0.0 },
            },
            kerf_side: self.kerf_side(keeps_low),
            by_fence: false,
            by_stop: false,
            kept_from: None,
        }
    }

    /// Which way from the mark the kerf falls.
    fn kerf_side(&self, keeps_low: bool) -> String {
        let towards = match (self.direction, keeps_low) {
            (Direction::Rip, true) => Side::Left,
            (Direction::Rip, false) => Side::Right,
            (Direction::Crosscut, true) => Side::Far,
            (Direction::Crosscut, false) => Side::Start,
        };
        format!("towards the {}", towards.words(self.frame))
    }
}
