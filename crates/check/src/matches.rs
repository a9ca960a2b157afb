//! Rule 8: parts that must look related.

use heartside_geometry::{Bounds, Pose, PreparedRegion};
use heartside_timber::document::{MatchKind, PartCopy};
use heartside_timber::finding::{Finding, Rule, Severity};
use heartside_timber::job::{Match, Part, PartCut};

use crate::index::{JobIndex, Piece};
use crate::leaves;
use crate::lie::turn_between;
use crate::lying::{EQUAL_TURN, Layouts, Lying};
use crate::report::{About, broken};

/// Everything rule 8 has to say about one match. Copies without a place are passed over:
/// rule 10 speaks of them.
pub(crate) fn check(index: &JobIndex<'_>, wanted: &Match, layouts: &dyn Layouts) -> Vec<Finding> {
    match wanted.kind {
        MatchKind::SameBoard => same_board(index, wanted, layouts),
        // It says how parts are seen, and nothing of where they lie.
        MatchKind::Frame => Vec::new(),
        MatchKind::ContinuousAlong => continuous(index, wanted, layouts, Axis::Along),
        MatchKind::ContinuousAcross => continuous(index, wanted, layouts, Axis::Across),
        MatchKind::Slip | MatchKind::Book => leaves::check(index, wanted, layouts),
        MatchKind::Balanced => vec![not_checked(
            index,
            wanted,
            "are balanced about their middle",
        )],
    }
}

fn not_checked(index: &JobIndex<'_>, wanted: &Match, what: &str) -> Finding {
    let message = index.words().match_not_checked(what, &wanted.parts);
    let mut finding = broken(Rule::Matches, "not-checked", message);
    finding.severity = Severity::NotChecked;
    finding.parts = wanted.parts.clone();
    finding
}

fn same_board(index: &JobIndex<'_>, wanted: &Match, layouts: &dyn Layouts) -> Vec<Finding> {
    let job = index.job();
    let mut lying = wanted
        .parts
        .iter()
        .filter_map(|copy| Some((copy, layouts.lying(copy)?)));
    let Some((first, home)) = lying.next() else {
        return Vec::new();
    };
    lying
        .filter(|(_, there)| job.root(there.board) != job.root(home.board))
        .map(|(copy, there)| {
            let message = index
                .words()
                .not_same_board(copy, there.board, first, home.board);
            broken(Rule::Matches, "not-same-board", message)
                .on(there.board)
                .of(copy)
                .of(first)
                .at(there.piece.bounds.centre())
        })
        .collect()
}

/// Along which axis of the parts their grain runs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Axis {
    /// End to end: the end of each meets the start of the next.
    Along,
    /// Side by side, upwards or downwards, but the same way all along.
    Across,
}

fn continuous(
    index: &JobIndex<'_>,
    wanted: &Match,
    layouts: &dyn Layouts,
    axis: Axis,
) -> Vec<Finding> {
    let pairs: Vec<(&PartCopy, Lying<'_>, &PartCopy, Lying<'_>)> = wanted
        .parts
        .windows(2)
        .filter_map(|pair| {
            Some((
                &pair[0],
                layouts.lying(&pair[0])?,
                &pair[1],
                layouts.lying(&pair[1])?,
            ))
        })
        .collect();
    let mut found = Vec::new();
    let mut upwards = None;
    for (a, here, b, there) in pairs {
        let kerf = if index.job().root(here.board) == index.job().root(there.board) {
            layouts.kerf_between(a, b)
        } else {
            0.0
        };
        let pair = Pair {
            a,
            b,
            here,
            there,
            axis,
            kerf,
        };
        if let Some(finding) = runs_on(index, &pair, &mut upwards) {
            found.push(finding);
        }
    }
    found
}

struct Pair<'a> {
    a: &'a PartCopy,
    b: &'a PartCopy,
    here: Lying<'a>,
    there: Lying<'a>,
    axis: Axis,
    kerf: f64,
}

/// The first thing that keeps the grain from running on between two neighbours.
fn runs_on(index: &JobIndex<'_>, pair: &Pair<'_>, upwards: &mut Option<bool>) -> Option<Finding> {
    let (words, slack) = (index.words(), index.slack());
    let Pair {
        a,
        b,
        here,
        there,
        axis,
        kerf,
    } = pair;
    let about = |cause: &str, message: String| {
        broken(Rule::Matches, cause, message)
            .on(there.board)
            .of(a)
            .of(b)
            .at(there.piece.bounds.centre())
    };
    if index.job().root(here.board) != index.job().root(there.board) {
        return Some(about("match-other-board", words.runs_on_other_board(a, b)));
    }
    if here.piece.pose.turned_over != there.piece.pose.turned_over {
        return Some(about("match-other-face", words.runs_on_other_face(a, b)));
    }
    let turned = turn_between(here.piece.pose.turn, there.piece.pose.turn) - EQUAL_TURN;
    if turned > crate::index::ANGLE_SLACK {
        return Some(
            about("match-other-turn", words.runs_on_other_turn(a, b, turned)).degrees(turned),
        );
    }
    let (one, two) = in_own_frame(here.piece, there.piece);
    let spans = |bounds: &Bounds| match axis {
        Axis::Along => ((bounds.min.x, bounds.max.x), (bounds.min.y, bounds.max.y)),
        Axis::Across => ((bounds.min.y, bounds.max.y), (bounds.min.x, bounds.max.x)),
    };
    let ((run_one, band_one), (run_two, band_two)) = (spans(&one), spans(&two));
    let forwards = match axis {
        Axis::Along => true,
        Axis::Across => *upwards.get_or_insert(run_two.0 + run_two.1 >= run_one.0 + run_one.1),
    };
    let gap = if forwards {
        run_two.0 - run_one.1
    } else {
        run_one.0 - run_two.1
    };
    if gap < -slack {
        return Some(about("match-order", words.runs_on_wrong_order(a, b, -gap)).mm(-gap));
    }
    let out_of_line = out_of_band(band_one, band_two);
    if out_of_line > slack {
        return Some(
            about(
                "match-out-of-line",
                words.runs_on_out_of_line(a, b, out_of_line),
            )
            .mm(out_of_line),
        );
    }
    let allowance = |piece: &Piece| allowance(index.part(piece.part), *axis);
    let limit = allowance(here.piece) + allowance(there.piece) + kerf;
    let by = gap - limit;
    (by > index.upper_slack())
        .then(|| about("match-too-far", words.runs_on_too_far(a, b, by, limit)).mm(by))
}

/// The finished outlines' boxes along the first one's own axes (mirrored with it if it lies
/// turned over).
fn in_own_frame(one: &Piece, two: &Piece) -> (Bounds, Bounds) {
    let pose: Pose = one.pose;
    let boxed = |finished: &PreparedRegion| {
        Bounds::of_points(
            finished
                .region()
                .outer()
                .points()
                .iter()
                .map(|p| pose.inverse_apply(*p)),
        )
        .unwrap_or(*finished.bounds())
    };
    (boxed(one.finished()), boxed(two.finished()))
}

/// By how much the narrower of two spans leaves the wider.
fn out_of_band(one: (f64, f64), two: (f64, f64)) -> f64 {
    let (narrow, wide) = if one.1 - one.0 <= two.1 - two.0 {
        (one, two)
    } else {
        (two, one)
    };
    (wide.0 - narrow.0).max(narrow.1 - wide.1)
}

fn allowance(part: &Part, axis: Axis) -> f64 {
    match (part.cut, axis) {
        (PartCut::Sawn, _) => part.allowances.sawn,
        (PartCut::Straight, Axis::Along) => part.allowances.end,
        (PartCut::Straight, Axis::Across) => part.allowances.edge,
    }
}
