//! Rule 8 as to leaves: parts that one thick blank is resawn into.

use heartside_geometry::{Bounds, Point};
use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::composite::{leaves_thickness, resawn_extents};
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Match, MatchKind, Part, PartCopy};

use crate::index::{ANGLE_SLACK, JobIndex, Piece};
use crate::lie::turn_between;
use crate::lying::{EQUAL_TURN, Layouts, Lying};
use crate::report::{About, broken};

/// Everything the rule has to say about one match: which leaf each copy is, that all lie in one place and
/// the right way up, and that their blank is thick enough and can be resawn. Copies without a place are
/// passed over.
pub(crate) fn check(index: &JobIndex<'_>, wanted: &Match, layouts: &dyn Layouts) -> Vec<Finding> {
    let lying: Vec<(u32, &PartCopy, Lying<'_>)> = (1u32..)
        .zip(&wanted.parts)
        .filter_map(|(number, copy)| Some((number, copy, layouts.lying(copy)?)))
        .collect();
    let Some((_, first, home)) = lying.first() else {
        return Vec::new();
    };
    let mut found: Vec<Finding> = lying
        .iter()
        .filter_map(|(number, copy, there)| {
            let to = (*first, home);
            amiss(index, wanted, *number, (*copy, there), to)
        })
        .collect();
    if found.is_empty() && lying.len() > 1 {
        found.extend(too_thin(index, wanted, first, home));
        found.extend(not_resawn(index, first, home));
    }
    found
}

type Copy<'a> = (&'a PartCopy, &'a Lying<'a>);

/// The first thing that is wrong with a copy as a leaf.
fn amiss(
    index: &JobIndex<'_>,
    wanted: &Match,
    number: u32,
    (copy, there): Copy<'_>,
    (first, home): Copy<'_>,
) -> Option<Finding> {
    let words = index.words();
    let about = |cause: &str, message: String| {
        broken(Rule::Matches, cause, message)
            .on(there.board)
            .of(copy)
            .at(there.piece.bounds.centre())
    };
    if there.board != home.board {
        let message = words.leaf_elsewhere(copy, first);
        return Some(about("leaf-elsewhere", message).of(first));
    }
    if there.piece.leaf.map(|leaf| leaf.said) != Some(number) {
        let message = words.leaf_order(copy, number, there.piece.leaf.map(|leaf| leaf.said));
        return Some(about("leaf-order", message));
    }
    let over = match wanted.kind {
        MatchKind::Book => number % 2 == 1,
        _ => home.piece.pose.turned_over,
    };
    if there.piece.pose.turned_over != over {
        let message = words.leaf_face(copy, wanted.kind == MatchKind::Book, over);
        return Some(about("leaf-face", message));
    }
    let turned = turn_between(home.piece.pose.turn, there.piece.pose.turn) - EQUAL_TURN;
    if turned > ANGLE_SLACK {
        let message = words.leaf_turn(copy, first, turned);
        return Some(about("leaf-turn", message).of(first).degrees(turned));
    }
    let (a, b) = (
        in_frame_of(home.piece, home.piece),
        in_frame_of(there.piece, home.piece),
    );
    let by = [
        a.min.x - b.min.x,
        a.min.y - b.min.y,
        a.max.x - b.max.x,
        a.max.y - b.max.y,
    ];
    let by = by.into_iter().map(f64::abs).fold(0.0, f64::max);
    // Each place may be off by a step of the grid.
    (by > index.upper_slack()).then(|| {
        let message = words.leaf_beside(copy, first, by);
        about("leaf-beside", message).of(first).mm(by)
    })
}

/// The box round a blank along the axes of another.
fn in_frame_of(piece: &Piece, other: &Piece) -> Bounds {
    let points = piece.core.region().outer().points().iter();
    let seen = points.map(|p: &Point| other.pose.inverse_apply(*p));
    let seen = Bounds::of_points(seen).unwrap_or(piece.bounds);
    seen.grown(piece.radius)
}

/// Rule 6 for the whole blank: all leaves, the kerfs between them and what is planed off each face.
fn too_thin(
    index: &JobIndex<'_>,
    wanted: &Match,
    first: &PartCopy,
    home: &Lying<'_>,
) -> Option<Finding> {
    let wood = index.job().board(&home.board.board)?;
    let parts: Option<Vec<&Part>> = wanted
        .parts
        .iter()
        .map(|c| index.job().part(&c.part))
        .collect();
    let needed = leaves_thickness(index.job(), &parts?);
    let (along, across) = (home.piece.bounds.width(), home.piece.bounds.height());
    let part = index.part(home.piece.part);
    let by = needed - greatest_finished_thickness(wood, &part.allowances, along, across);
    (by > index.slack()).then(|| {
        let message = index.words().leaves_too_thin(&wanted.parts, home.board, by);
        let mut finding = broken(Rule::Thickness, "leaves-too-thin", message)
            .on(home.board)
            .of(first)
            .at(home.piece.bounds.centre())
            .mm(by);
        finding.parts.clone_from(&wanted.parts);
        finding
    })
}

/// Rule 9 for resawing: some tool takes the blank standing on its edge.
fn not_resawn(index: &JobIndex<'_>, first: &PartCopy, home: &Lying<'_>) -> Option<Finding> {
    let blank = in_frame_of(home.piece, home.piece);
    let (length, width) = resawn_extents(&blank);
    (!index.job().workshop.can_resaw(length, width)).then(|| {
        let message = index.words().cannot_resaw(first, home.board, length, width);
        broken(Rule::Cuts, "cannot-resaw", message)
            .on(home.board)
            .of(first)
            .at(home.piece.bounds.centre())
    })
}
