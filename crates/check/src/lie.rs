//! Rules 5 to 7: how the grain runs in a part, how thick it comes out, and which way up it lies.

use heartside_geometry::math::normalise_deg;
use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Allowances, GrainRule};

use crate::index::{ANGLE_SLACK, GRAIN_SLACK, JobIndex, Piece};
use crate::report::{About, broken};

/// Rule 5: the angle between the part's grain axis and the grain of the board, worst over
/// the blank, is within tolerance; or the turn is one of those named.
pub(crate) fn grain(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
) -> Option<Finding> {
    let (wood, _) = index.board(board);
    match &index.part(piece.part).grain {
        GrainRule::Any => None,
        GrainRule::Axis { across, tolerance } => {
            let axis = piece.pose.turn + if *across { 90.0 } else { 0.0 };
            let (worst, at) = wood.grain.worst_over(axis, &piece.core, piece.radius);
            let by = worst - tolerance;
            let message = || index.words().grain_off(&piece.copy, copy, by, *tolerance);
            (by > GRAIN_SLACK).then(|| {
                broken(Rule::Grain, "grain-off", message())
                    .on(copy)
                    .of(&piece.copy)
                    .at(at)
                    .degrees(by)
            })
        }
        GrainRule::Turns(turns) => {
            let by = turns
                .iter()
                .map(|turn| turn_between(*turn, piece.pose.turn))
                .fold(360.0, f64::min);
            let message = || index.words().turn_not_allowed(&piece.copy, copy, by);
            (by > ANGLE_SLACK).then(|| {
                let at = piece.bounds.centre();
                broken(Rule::Grain, "turn-not-allowed", message())
                    .on(copy)
                    .of(&piece.copy)
                    .at(at)
                    .degrees(by)
            })
        }
    }
}

/// The angle between two turns, 0 to 180 degrees.
pub(crate) fn turn_between(a: f64, b: f64) -> f64 {
    let off = normalise_deg(a - b);
    off.min(360.0 - off)
}

/// Rule 6: what is left once the blank is flat, and planed on both faces, is thick enough.
pub(crate) fn thickness(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
) -> Option<Finding> {
    let by = too_thin_by(index, board, piece)?;
    let part = index.part(piece.part);
    let message = index.words().too_thin(part, &piece.copy, copy, by);
    Some(
        broken(Rule::Thickness, "too-thin", message)
            .on(copy)
            .of(&piece.copy)
            .at(piece.bounds.centre())
            .mm(by),
    )
}

/// By how much a piece comes out too thin; none if it does not.
pub(crate) fn too_thin_by(index: &JobIndex<'_>, board: usize, piece: &Piece) -> Option<f64> {
    let (wood, _) = index.board(board);
    let part = index.part(piece.part);
    let (along, across) = (piece.bounds.width(), piece.bounds.height());
    let by = part.thickness - greatest_finished_thickness(wood, &part.allowances, along, across);
    (by > index.slack()).then_some(by)
}

/// By how much a leaf in hand comes out too thin, one of its faces planed already; none if it does not.
pub(crate) fn leaf_too_thin_by(index: &JobIndex<'_>, board: usize, piece: &Piece) -> Option<f64> {
    let (wood, _) = index.board(board);
    let part = index.part(piece.part);
    let half = Allowances {
        planing: 0.5 * part.allowances.planing,
        clean_up: 0.5 * part.allowances.clean_up,
        ..part.allowances
    };
    let (along, across) = (piece.bounds.width(), piece.bounds.height());
    let by = part.thickness - greatest_finished_thickness(wood, &half, along, across);
    (by > index.slack()).then_some(by)
}

/// Rule 7: only parts that may be turned over are.
pub(crate) fn turned_over(
    index: &JobIndex<'_>,
    copy: &BoardCopy,
    piece: &Piece,
) -> Option<Finding> {
    let refused = piece.pose.turned_over && !index.part(piece.part).may_turn_over;
    let message = || index.words().turned_over(&piece.copy, copy);
    refused.then(|| {
        broken(Rule::TurnedOver, "may-not-turn-over", message())
            .on(copy)
            .of(&piece.copy)
            .at(piece.bounds.centre())
    })
}
