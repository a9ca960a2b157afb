//! A workpiece turned from its line of reference: a ground of its own.

use std::sync::Arc;

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::job::Job;

use super::Ground;
use crate::cuts::fits::Fit;
use crate::cuts::obstacle::Piece;
use crate::cuts::outline::{StraightEdge, clipped, straight_edges, straighten};
use crate::cuts::side::Side;
use crate::cuts::workpiece::Workpiece;

const SIDES: [Side; 4] = [Side::LowX, Side::HighX, Side::LowY, Side::HighY];

impl Ground {
    /// The wood of a workpiece in the frame turned by some degrees.
    ///
    /// What blanks keep clear of is the same, and what lies beyond the sides of the workpiece
    /// besides. Parts have no way to lie there. Edges that were cut before the frame was turned
    /// count as raw. O(corners of outline and obstacles).
    pub(crate) fn turned(&self, job: &Job, work: &Workpiece, angle: f64) -> Ground {
        let turn = Pose {
            turn: angle,
            ..Pose::IDENTITY
        };
        let seen = |p: Point| turn.inverse_apply(p);
        let within = |points: &Vec<Point>| -> Vec<Point> {
            let clip = |kept: Vec<Point>, side: Side| clipped(&kept, side, side.of(&work.rect));
            let kept = SIDES.into_iter().fold(points.clone(), clip);
            kept.into_iter().map(seen).collect()
        };
        let outline = within(&self.outline);
        let mut holes: Vec<Vec<Point>> = self.holes.iter().map(within).collect();
        holes.retain(|hole| hole.len() > 2);
        let bounds = Bounds::of_points(outline.iter().copied()).unwrap_or(work.tight);
        let frame = self.frame.turned(angle);
        let none: Arc<[Fit]> = Arc::new([]);
        let mut ground = Ground {
            frame,
            bounds,
            usable: bounds,
            straight_edges: self.edges_of(job, &outline, &frame.pose()),
            outline,
            holes,
            is_upright: false,
            is_turned: true,
            to_board: frame.pose().transform(),
            // A list as long: other places in it are named.
            pieces: (self.pieces.iter())
                .map(|p| p.seen(seen).unwrap_or_else(|| p.clone()))
                .collect(),
            fits: self.fits.iter().map(|_| Arc::clone(&none)).collect(),
            pairs: Vec::new(),
            sawn_lies: Vec::new(),
            ..self.clone()
        };
        let room = work.rect.intersection(self.usable).unwrap_or(work.rect);
        let from = ground.pieces.len();
        for side in SIDES {
            let beyond = beyond(side, &room, 2.0 * self.reach());
            let corners = beyond.corners().iter().map(|p| seen(*p)).collect();
            ground.pieces.extend(Piece::new(corners, 0.0));
        }
        let added = from..ground.pieces.len();
        for class in &mut ground.classes {
            class.blank.extend(added.clone());
        }
        ground
    }

    /// True for the same wood in the same frame.
    pub(crate) fn is_like(&self, other: &Ground) -> bool {
        self.frame == other.frame && self.outline == other.outline
    }

    /// How far the board reaches from any of its points at most.
    fn reach(&self) -> f64 {
        self.bounds.width() + self.bounds.height()
    }

    /// The straight, true stretches of the board that are left in a piece's outline, seen from a frame.
    fn edges_of(&self, job: &Job, outline: &[Point], frame: &Pose) -> Vec<StraightEdge> {
        let board = &job.boards[self.board];
        let points = board.outline.outer().points().iter();
        let mut whole: Vec<Point> = points.map(|p| frame.inverse_apply(*p)).collect();
        straighten(&mut whole, self.noise);
        let mut left = Vec::new();
        for edge in straight_edges(board, &whole, self.noise) {
            for (k, a) in outline.iter().enumerate() {
                let b = &outline[(k + 1) % outline.len()];
                let ((u, v), (w, z)) = (edge.side.seen(*a), edge.side.seen(*b));
                let lies_there = |at: f64| (at - edge.at).abs() <= self.noise;
                let (from, to) = (edge.from.max(u.min(w)), edge.to.min(u.max(w)));
                if lies_there(v) && lies_there(z) && to > from {
                    left.push(StraightEdge { from, to, ..edge });
                }
            }
        }
        left
    }
}

/// What lies beyond a side of a rectangle, so far and as far to both sides of it.
fn beyond(side: Side, of: &Bounds, far: f64) -> Bounds {
    let mut beyond = of.grown(far);
    match side {
        Side::LowX => beyond.max.x = of.min.x,
        Side::HighX => beyond.min.x = of.max.x,
        Side::LowY => beyond.max.y = of.min.y,
        Side::HighY => beyond.min.y = of.max.y,
    }
    beyond
}
