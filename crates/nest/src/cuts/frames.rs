//! The frames that a board may sensibly be cut in.

use heartside_geometry::Arrange;
use heartside_geometry::math;
use heartside_timber::document::EdgeKind;
use heartside_timber::grain::difference;
use heartside_timber::job::{Board, Job};

use super::fits::listed_turn;
use crate::fit;

/// The frames worth trying for a board, best first: the board's own axis, its true edges
/// and its grain, as far as the parts' grain lets them.
///
/// An angle is sensible within 15 degrees of the board's axis: beyond that a board is no
/// longer cut lengthwise. At most four, so that a wavy outline with many straight
/// stretches does not make the search wander.
pub(crate) fn frame_angles(job: &Job, board_index: usize) -> Vec<f64> {
    const MOST: f64 = 15.0;
    let board = &job.boards[board_index];
    let mut angles = vec![0.0];
    let add = |angles: &mut Vec<f64>, angle: f64| {
        let angle = if angle > 90.0 {
            angle - 180.0
        } else if angle <= -90.0 {
            angle + 180.0
        } else {
            angle
        };
        let angle = if angle.abs() < 1e-9 { 0.0 } else { angle };
        if angle.abs() <= MOST && angles.iter().all(|a: &f64| (a - angle).abs() > 1e-6) {
            angles.push(angle);
        }
    };
    let length = board.outline.bounds().width();
    let mut edges: Vec<(f64, f64)> = board
        .outline
        .outer()
        .edges()
        .zip(&board.sides)
        .filter(|((a, b), s)| {
            s.kind == EdgeKind::Straight && !s.is_end && a.distance(*b) >= 0.3 * length
        })
        .map(|((a, b), _)| (a.distance(b), (b - a).angle_deg()))
        .collect();
    edges.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.1.total_cmp(&b.1)));
    for (_, angle) in edges {
        add(&mut angles, angle);
    }
    if !board.grain.is_bent() {
        add(&mut angles, board.grain.base_angle());
    }
    let takes = |angle: f64| {
        job.parts
            .iter()
            .filter(|p| {
                fit::species_fits(board, p)
                    && [0.0, 90.0, 180.0, 270.0].iter().any(|q| {
                        let turn = math::normalise_deg(angle + q);
                        listed_turn(p, turn).is_some() && fit::grain_allows(board, p, turn)
                    })
            })
            .map(|p| u64::from(p.wanted_count()))
            .sum::<u64>()
    };
    let first_true = angles
        .get(1)
        .copied()
        .filter(|a| has_edge_along(board, *a) && !has_edge_along(board, 0.0));
    let mut ranked: Vec<(u64, usize, f64)> = angles
        .iter()
        .enumerate()
        .map(|(place, a)| {
            (
                takes(*a),
                if Some(*a) == first_true { 0 } else { place + 1 },
                *a,
            )
        })
        .collect();
    ranked.arrange_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    ranked.truncate(4);
    ranked.into_iter().map(|r| r.2).collect()
}

fn has_edge_along(board: &Board, angle: f64) -> bool {
    board
        .outline
        .outer()
        .edges()
        .zip(&board.sides)
        .any(|((a, b), s)| {
            s.kind == EdgeKind::Straight
                && !s.is_end
                && difference((b - a).angle_deg(), angle) < 1e-6
        })
}
