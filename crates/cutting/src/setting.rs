//! How a straight cut is set: from which side of the workpiece, how far, and on which side the kerf falls.

use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;
use heartside_timber::length::write_length;
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame};

use crate::datum::Datum;
use crate::step::Setting;
use crate::workpiece::{Side, Workpiece, Workpieces};

/// Two marks that differ by less are one, in millimetres.
const SAME_MARK: f64 = 0.05;

/// A straight cut about to be worded.
pub(crate) struct CutToSet<'a> {
    pub(crate) job: &'a Job,
    pub(crate) tree: &'a CutTree,
    pub(crate) frame: &'a Frame,
    pub(crate) datum: &'a Datum,
    pub(crate) pieces: &'a Workpieces,
    pub(crate) workpiece: &'a Workpiece,
    /// "board C", "piece C2".
    pub(crate) name: &'a str,
    /// "board C": what the board itself is called.
    pub(crate) board_words: &'a str,
    pub(crate) direction: Direction,
    pub(crate) at: f64,
    pub(crate) kerf: f64,
    pub(crate) low: usize,
    pub(crate) high: usize,
    /// The tool has a fence.
    pub(crate) fence: bool,
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
    /// The named side is straight and true.
    pub(crate) from_true_side: bool,
}

impl CutToSet<'_> {
    /// Chooses the side to measure from: a true one before a raw one, then the one whose
    /// piece is kept, then the one whose piece is a blank (its size is then set directly),
    /// then the right edge or the start end.
    pub(crate) fn set(&self) -> Set {
        let sides = match self.direction {
            Direction::Rip => [(Side::Right, self.low), (Side::Left, self.high)],
            Direction::Crosscut => [(Side::Start, self.low), (Side::Far, self.high)],
        };
        let rank = |(side, child): (Side, usize)| {
            (
                self.workpiece.sides.has(side),
                self.is_kept(child),
                matches!(self.tree.nodes.get(child), Some(CutNode::Blank { .. })),
            )
        };
        let (chosen, child) = if rank(sides[1]) > rank(sides[0]) {
            sides[1]
        } else {
            sides[0]
        };
        // Nothing true to measure from: waste is measured off the side it lies on, a short way.
        let (low_waste, high_waste) = (!self.is_kept(self.low), !self.is_kept(self.high));
        let (chosen, child) = match (self.workpiece.sides.has(chosen), low_waste, high_waste) {
            (false, true, false) => sides[0],
            (false, false, true) => sides[1],
            _ => (chosen, child),
        };
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
        let is_true = self.workpiece.sides.has(chosen);
        let square_to_board = (self.frame.angle.rem_euclid(90.0)).abs() < 1e-9;
        let setting = if is_true || (self.direction == Direction::Crosscut && square_to_board) {
            self.measured_on_side(chosen, mark, keeps_low, is_true)
        } else {
            self.marked_on_board(line, keeps_low)
        };
        Set {
            setting,
            line,
            keeps_low,
            from_true_side: is_true,
        }
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

    fn measured_on_side(&self, side: Side, mark: f64, keeps_low: bool, is_true: bool) -> Setting {
        let extent = self.workpiece.extent;
        let distance = match side {
            Side::Right => mark - extent.min.y,
            Side::Left => extent.max.y - mark,
            Side::Start => mark - extent.min.x,
            Side::Far => extent.max.x - mark,
        };
        let words = side.words(self.frame);
        let raw = if is_true || self.workpiece.square.has(side) {
            ""
        } else {
            " (at its furthest point)"
        };
        let shown = write_length(distance, &self.job.units);
        let from = format!("its {words}{raw}");
        Setting {
            distance,
            distance_far: None,
            words: format!("{shown} from {from}"),
            shown,
            from,
            kerf_side: self.kerf_side(keeps_low),
            by_fence: self.fence && is_true,
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
            words,
            shown,
            from,
            kerf_side: self.kerf_side(keeps_low),
            by_fence: false,
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
