//! Whether the pieces that the cuts leave are the blanks and regions they claim to be.

use heartside_geometry::{Bounds, Point, Pose, math::normalise_deg};
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::PartCut;
use heartside_timber::plan::{CutNode, Frame, Layout};

use super::workpiece::Workpiece;
use crate::index::{ANGLE_SLACK, JobIndex, Piece};
use crate::report::{About, broken};

/// What is wrong with one leaf of the tree.
///
/// `piece` finds the piece of a placement; placements of parts that the job does not know,
/// or that have no place, are judged by other rules. That offcuts and waste hold no part
/// follows: each placement lies in just one leaf, within that leaf's rectangle.
pub(crate) fn judge<'a>(
    index: &JobIndex<'_>,
    layout: &Layout,
    leaf: &CutNode,
    (workpiece, frame): (&Workpiece, &Frame),
    piece: &dyn Fn(usize) -> Option<&'a Piece>,
) -> Vec<Finding> {
    let mut found = Vec::new();
    match leaf {
        CutNode::Blank { placement } => {
            if let Some(piece) = piece(*placement) {
                blank(index, layout, (workpiece, frame), piece, &mut found);
            }
        }
        CutNode::Region { placements } => {
            if placements.is_empty() {
                let message = index.words().empty_region(&layout.board);
                found.push(broken(Rule::Cuts, "empty-region", message).on(&layout.board));
            }
            for piece in placements.iter().filter_map(|p| piece(*p)) {
                within(index, layout, (workpiece, frame), piece, &mut found);
            }
        }
        CutNode::Leaves { placements } => {
            let all = placements.iter().filter_map(|p| piece(*p));
            let leaves: Vec<&Piece> = all.collect();
            if leaves.len() < 2 || leaves.iter().any(|p| p.leaf.is_none()) {
                let message = index.words().no_leaves(&layout.board);
                found.push(broken(Rule::Cuts, "no-leaves", message).on(&layout.board));
            }
            // That all lie in one place says rule 8.
            if let Some(first) = leaves.first() {
                blank(index, layout, (workpiece, frame), first, &mut found);
            }
        }
        CutNode::Cut { .. } | CutNode::Offcut | CutNode::Waste => {}
    }
    found
}

/// A blank's leaf is its blank: square to the cuts, not cut into, and no larger.
fn blank(
    index: &JobIndex<'_>,
    layout: &Layout,
    (workpiece, frame): (&Workpiece, &Frame),
    piece: &Piece,
    found: &mut Vec<Finding>,
) {
    let words = index.words();
    let about = |cause: &str, message: String| {
        broken(Rule::Cuts, cause, message)
            .on(&layout.board)
            .of(&piece.copy)
            .at(piece.bounds.centre())
    };
    if index.part(piece.part).cut == PartCut::Sawn && piece.leaf.is_none() {
        found.push(about(
            "sawn-part-as-blank",
            words.sawn_part_as_blank(&piece.copy, &layout.board),
        ));
        return;
    }
    let off = off_square(piece.pose.turn - frame.angle);
    if off > ANGLE_SLACK {
        found.push(about("askew", words.askew(&piece.copy, &layout.board, off)).degrees(off));
        return;
    }
    if !within(index, layout, (workpiece, frame), piece, found) {
        return;
    }
    let Some(extents) = workpiece.extents() else {
        return;
    };
    let blank = box_of(piece, &in_frame(piece, &frame.pose()));
    let by = [
        blank.min.x - extents.min.x,
        blank.min.y - extents.min.y,
        extents.max.x - blank.max.x,
        extents.max.y - blank.max.y,
    ]
    .into_iter()
    .fold(f64::NEG_INFINITY, f64::max);
    if by > index.upper_slack() {
        found.push(
            about(
                "piece-too-large",
                words.piece_too_large(&piece.copy, &layout.board, by),
            )
            .mm(by),
        );
    }
}

/// Whether no cut of the leaf's rectangle runs into a blank; a finding if one does.
fn within(
    index: &JobIndex<'_>,
    layout: &Layout,
    (workpiece, frame): (&Workpiece, &Frame),
    piece: &Piece,
    found: &mut Vec<Finding>,
) -> bool {
    let core = in_frame(piece, &frame.pose());
    let blank = box_of(piece, &core);
    let rectangle = &workpiece.rectangle;
    let by = [
        rectangle.min.x - blank.min.x,
        rectangle.min.y - blank.min.y,
        blank.max.x - rectangle.max.x,
        blank.max.y - rectangle.max.y,
        workpiece.over_earlier_cuts(&core, piece.radius),
    ]
    .into_iter()
    .fold(f64::NEG_INFINITY, f64::max);
    if by > index.slack() {
        let message = index
            .words()
            .part_leaves_piece(&piece.copy, &layout.board, by);
        found.push(
            broken(Rule::Cuts, "cut-into-part", message)
                .on(&layout.board)
                .of(&piece.copy)
                .at(piece.bounds.centre())
                .mm(by),
        );
        return false;
    }
    true
}

/// The corners of a blank's core in the frame of the cuts.
fn in_frame(piece: &Piece, frame: &Pose) -> Vec<Point> {
    let points = piece.core.region().outer().points().iter();
    points.map(|p| frame.inverse_apply(*p)).collect()
}

/// The box round a blank, by the corners of its core.
fn box_of(piece: &Piece, core: &[Point]) -> Bounds {
    Bounds::of_points(core.iter().copied())
        .unwrap_or(piece.bounds)
        .grown(piece.radius)
}

/// How far a turn is from the nearest quarter turn, in degrees.
fn off_square(turn: f64) -> f64 {
    let rest = normalise_deg(turn) % 90.0;
    rest.min(90.0 - rest)
}
