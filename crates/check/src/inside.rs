//! Rule 1: the blank lies inside the board, clear of what is trimmed off raw sides.

use heartside_geometry::{Point, distance_to_segment, protrusion_at_most};
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Finding, Rule};

use crate::index::{JobIndex, Piece};
use crate::report::{About, broken};

/// The worst that rule 1 has to say, once for sticking out, for raw ends and for raw edges.
///
/// The blank must keep the trim from every raw side as a distance, and must not cross the
/// outline. The amount is by how much the blank would have to draw back: where it sticks
/// out over a raw side, the trim of that side is counted in.
pub(crate) fn inside(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
) -> Vec<Finding> {
    let mut found = Vec::new();
    let sticks_out = outside(index, board, copy, piece);
    for is_end in [true, false] {
        if sticks_out
            .as_ref()
            .is_some_and(|out| out.over == Over::Raw { is_end })
        {
            continue;
        }
        if let Some((by, at, trim)) = nearest_side(index, board, piece, is_end) {
            let cause = if is_end {
                "too-near-raw-end"
            } else {
                "too-near-raw-edge"
            };
            let message = index
                .words()
                .too_near_side(&piece.copy, copy, by, trim, is_end);
            found.push(
                broken(Rule::Inside, cause, message)
                    .on(copy)
                    .of(&piece.copy)
                    .at(at)
                    .mm(by),
            );
        }
    }
    found.extend(sticks_out.map(|out| out.finding));
    found
}

/// What a blank sticks out over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Over {
    Raw { is_end: bool },
    Straight,
}

struct StickingOut {
    finding: Finding,
    over: Over,
}

fn outside(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
) -> Option<StickingOut> {
    let (_, prepared) = index.board(board);
    let clearance = protrusion_at_most(&piece.core, &prepared.outline, piece.radius)?;
    let depth = piece.radius - clearance.amount;
    if depth <= index.slack() {
        return None;
    }
    let (over, trim) = side_at(index, board, clearance.to);
    let by = depth + trim;
    let message = index.words().outside(&piece.copy, copy, by, trim);
    let finding = broken(Rule::Inside, "outside-board", message)
        .on(copy)
        .of(&piece.copy)
        .at(clearance.to)
        .mm(by);
    Some(StickingOut { finding, over })
}

/// The side of the board, or of a hole in it, nearest to a point of its outline, and what is
/// trimmed off it.
fn side_at(index: &JobIndex<'_>, board: usize, point: Point) -> (Over, f64) {
    let (board, prepared) = index.board(board);
    let distance = |a: Point, b: Point| point.distance_to_segment(a, b);
    let all = board
        .outline
        .edges()
        .map(|(a, b)| distance(a, b))
        .fold(f64::INFINITY, f64::min);
    let mut best = (Over::Straight, 0.0);
    for side in &prepared.sides {
        if distance(side.a, side.b) <= all + index.slack() && side.trim > best.1 {
            best = (
                Over::Raw {
                    is_end: side.is_end,
                },
                side.trim,
            );
        }
    }
    best
}

/// The raw end (or edge) to which the blank is too near by most: amount, place, its trim.
fn nearest_side(
    index: &JobIndex<'_>,
    board: usize,
    piece: &Piece,
    is_end: bool,
) -> Option<(f64, Point, f64)> {
    let (_, prepared) = index.board(board);
    let mut worst: Option<(f64, Point, f64)> = None;
    for side in prepared
        .sides_near(&piece.bounds)
        .filter(|s| s.is_end == is_end)
    {
        // A side that runs through the blank is as near as can be.
        let distance = distance_to_segment(&piece.core, side.a, side.b).max(0.0);
        let by = side.trim + piece.radius - distance;
        if by > index.slack() && worst.is_none_or(|(most, _, _)| by > most) {
            let at = piece
                .core
                .bounds()
                .centre()
                .nearest_on_segment(side.a, side.b);
            worst = Some((by, at, side.trim));
        }
    }
    worst
}
