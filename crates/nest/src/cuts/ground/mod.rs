//! A board seen in the frame of its straight cuts: wood, obstacles, true edges, and how each part may lie.

mod lies;
mod obstacles;
mod placing;
mod turned;
mod wood;

use std::sync::Arc;

use heartside_geometry::{Bounds, Point, Pose, Ring, Tolerance, Transform};
use heartside_timber::blank::twist_over;
use heartside_timber::document::{Stops, ZoneKind};
use heartside_timber::job::Job;
use heartside_timber::plan::Frame;

use crate::cuts::fits::{Class, Fit, Pair};
use crate::cuts::obstacle::Piece;
use crate::cuts::outline::{StraightEdge, is_upright_rectangle, straight_edges, straighten};

/// With this the id of a piece begins that was cut free after a turn: no id of a maker has two points in a row.
pub(crate) const OF_A_TURN: &str = "..turned.";

/// One board in one frame.
#[derive(Debug, Clone)]
pub struct Ground {
    /// The board's place in the job's list.
    pub(crate) board: usize,
    /// The frame.
    pub frame: Frame,
    /// Thickness of the board.
    pub thickness: f64,
    /// Bounds of the outline in the frame.
    pub bounds: Bounds,
    /// Where blanks may lie at all: the bounds less the trim where the outline is an upright rectangle, else the bounds.
    pub usable: Bounds,
    /// All obstacles.
    pub pieces: Vec<Piece>,
    /// The pieces that are fixings, and the cuts they stop.
    pub fixings: Vec<(usize, Stops)>,
    /// Sets of obstacles that some part keeps clear of.
    pub classes: Vec<Class>,
    /// What an offcut worth keeping is clear of: a place in the list of classes.
    pub(crate) offcut_class: usize,
    /// For each part of the job, the ways it may lie; boards on which they are the same share them.
    pub fits: Vec<Arc<[Fit]>>,
    /// Sawn parts that may share a rectangle, each in one way to lie.
    pub pairs: Vec<Pair>,
    /// For each part that is sawn, by its place in the job, all ways it may lie, by quarters of a turn
    /// against the frame.
    sawn_lies: Vec<(usize, Vec<(u32, Fit)>)>,
    /// Rounding below which two lines in the frame are the same, well under what the checker forgives.
    pub noise: f64,
    /// What a leaf may exceed its blank by, so that placements can lie on the grid.
    pub leaf_play: f64,
    /// What a cut may run into a blank by, where an exact fit leaves no room for the grid.
    pub bite: f64,
    outside_count: usize,
    board_count: usize,
    outline: Vec<Point>,
    holes: Vec<Vec<Point>>,
    is_upright: bool,
    /// A cut turned it: what was cut before is square to it no longer.
    pub(crate) is_turned: bool,
    straight_edges: Vec<StraightEdge>,
    /// Twist of each square millimetre of the board.
    twist: f64,
    to_board: Transform,
    tolerance: Tolerance,
}

impl Ground {
    /// The board in the frame turned by `angle` about the board's own origin.
    ///
    /// O(parts + kinds of demands x zones) and the cutting of outline and zones into convex pieces;
    /// O(parts x zones) on a board whose warp was measured.
    pub(crate) fn new(job: &Job, board_index: usize, angle: f64) -> Ground {
        Ground::for_parts(job, board_index, angle, &|_| true)
    }

    /// As [`Ground::new`], but only for some of the parts: the others have no way to lie.
    pub(crate) fn for_parts(
        job: &Job,
        board_index: usize,
        angle: f64,
        wanted: &dyn Fn(usize) -> bool,
    ) -> Ground {
        let board = &job.boards[board_index];
        let frame = Frame {
            x: 0.0,
            y: 0.0,
            angle,
        };
        let to_board = frame.pose().transform();
        let to_frame = Pose {
            x: 0.0,
            y: 0.0,
            turn: -angle,
            turned_over: false,
        }
        .transform();
        let noise = job.tolerance.slack * 0.1;
        let mut outline: Vec<Point> = board
            .outline
            .outer()
            .points()
            .iter()
            .map(|p| to_frame.apply(*p))
            .collect();
        straighten(&mut outline, noise);
        let bounds =
            Bounds::of_points(outline.iter().copied()).unwrap_or_else(|| board.outline.bounds());
        let in_frame = |hole: &Ring| hole.points().iter().map(|p| to_frame.apply(*p)).collect();
        let holes: Vec<Vec<Point>> = board.outline.holes().iter().map(in_frame).collect();
        let is_upright = holes.is_empty() && is_upright_rectangle(&outline);
        let mut ground = Ground {
            board: board_index,
            frame,
            thickness: board.thickness,
            bounds,
            usable: bounds,
            pieces: Vec::new(),
            fixings: Vec::new(),
            classes: Vec::new(),
            offcut_class: 0,
            fits: Vec::new(),
            pairs: Vec::new(),
            sawn_lies: Vec::new(),
            noise,
            leaf_play: job.tolerance.slack + 1.5 * job.tolerance.grid.unwrap_or(0.0),
            bite: 0.9 * job.tolerance.slack,
            straight_edges: straight_edges(board, &outline, noise),
            outside_count: 0,
            board_count: 0,
            outline,
            holes,
            is_upright,
            is_turned: board.id.starts_with(OF_A_TURN),
            twist: twist_over(board, 1.0, 1.0),
            to_board,
            tolerance: job.tolerance,
        };
        let outside = ground.add_outside(job, board, &to_frame);
        let zones = ground.add_zones(job, board, &to_frame);
        ground.outside_count = outside;
        ground.board_count = ground.pieces.len();
        let flaws = board
            .zones
            .iter()
            .zip(&zones)
            .filter(|(z, _)| matches!(z.kind, ZoneKind::Defect | ZoneKind::Fixing));
        let blank = (0..outside)
            .chain(flaws.flat_map(|(_, pieces)| pieces.margin.clone()))
            .collect();
        ground.offcut_class = ground.class_like(Class {
            blank,
            ..Class::default()
        });
        ground.add_fits(job, (outside, &zones, &to_frame), wanted);
        ground
    }

    /// Shares the ways to lie with another board's where they are the same: with thousands of kinds of
    /// parts on hundreds of boards they would take gigabytes.
    pub(crate) fn share_with(&mut self, other: &Ground) {
        for (own, theirs) in self.fits.iter_mut().zip(&other.fits) {
            if own == theirs {
                own.clone_from(theirs);
            }
        }
    }

    pub(crate) fn class_like(&mut self, class: Class) -> usize {
        match self.classes.iter().position(|c| *c == class) {
            Some(place) => place,
            None => {
                self.classes.push(class);
                self.classes.len() - 1
            }
        }
    }

    /// A rectangle of clear wood, as if it were a part.
    pub(crate) fn clear_rectangle(&self, width: f64, height: f64) -> Fit {
        Fit {
            width,
            height,
            inset: (0.0, 0.0),
            turn: 0.0,
            turned_over: false,
            class: self.offcut_class,
            origin: (0.0, 0.0),
        }
    }

    /// True for an upright rectangle without anything on it that blanks or cuts keep clear of.
    pub(crate) fn is_clear_rectangle(&self) -> bool {
        self.is_upright
            && self.usable == self.bounds
            && self.pieces.is_empty()
            && self.fixings.is_empty()
    }

    /// How many of the first pieces are the outline's outside and its trim.
    pub fn outside_count(&self) -> usize {
        self.outside_count
    }

    /// Twist of a workpiece with this box, in millimetres.
    pub(crate) fn twist_of(&self, tight: &Bounds) -> f64 {
        self.twist * tight.width() * tight.height()
    }

    /// A sawn part's way to lie, turned by quarters against the frame; none where it may not.
    pub(crate) fn sawn_lie(&self, part: usize, quarters: u32, turned_over: bool) -> Option<Fit> {
        let place = self.sawn_lies.binary_search_by_key(&part, |(of, _)| *of);
        let mut lies = self.sawn_lies[place.ok()?].1.iter();
        lies.find(|(q, fit)| *q == quarters && fit.turned_over == turned_over)
            .map(|(_, fit)| *fit)
    }
}
