//! Rule 9: the cuts exist and can be made.

mod leaves;
mod machine;
mod sawing;
mod tree;
mod workpiece;

use heartside_timber::defaults::MOST_ASKEW;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::Cuts;
use heartside_timber::plan::{Cut, CutTree, Layout, Way};

use crate::fixings::Band;
use crate::index::{ANGLE_SLACK, FAR, JobIndex, Piece, is_a_place};
use crate::report::{About, broken};
use machine::Bench;
pub(crate) use tree::Parting;
pub(crate) use workpiece::Workpiece;
use workpiece::{along, place};

/// What the cuts of one board come to.
#[derive(Default)]
pub(crate) struct Judged {
    /// Findings of rule 9.
    pub(crate) found: Vec<Finding>,
    /// Every straight cut as the saw runs, for rule 4.
    pub(crate) bands: Vec<Band>,
}

/// Reads the tree of a layout; none where it has none.
pub(crate) fn parting(index: &JobIndex<'_>, layout: &Layout) -> Option<(Parting, Vec<Finding>)> {
    let tree = layout.cuts.as_ref()?;
    Some(tree::read(index, layout, tree))
}

/// Judges the cuts of one layout.
///
/// `pieces` are the placements of the layout, in its order; none where one has no place.
/// O(cuts x corners of the outline).
pub(crate) fn judge(
    index: &JobIndex<'_>,
    board: usize,
    layout: &Layout,
    pieces: &[Option<&Piece>],
    parting: Option<&Parting>,
) -> Judged {
    let words = index.words();
    let (wood, _) = index.board(board);
    let copy = &layout.board;
    let mut judged = Judged::default();
    let refused = match (wood.cuts, layout.way) {
        (Cuts::Straight, Way::Sawn) => Some(true),
        (Cuts::Sawn, Way::Straight) => Some(false),
        _ => None,
    };
    if let Some(sawn) = refused.filter(|_| !layout.placements.is_empty()) {
        judged.found.push(
            broken(
                Rule::Cuts,
                "way-not-allowed",
                words.way_not_allowed(copy, sawn),
            )
            .on(copy),
        );
    }
    match (layout.way, &layout.cuts) {
        (Way::Straight, None) if !layout.placements.is_empty() => {
            judged
                .found
                .push(broken(Rule::Cuts, "no-cut-order", words.no_cut_order(copy)).on(copy));
        }
        // Through cuts break a sawn board down before anything is sawn by line: they obey the
        // same rules as any others.
        (_, Some(tree)) => walk(index, board, layout, tree, pieces, &mut judged),
        (_, None) => {}
    }
    let by_line =
        |place: usize| layout.way == Way::Sawn || parting.is_some_and(|p| p.is_sawn_by_line(place));
    let sawn = pieces
        .iter()
        .enumerate()
        .filter(|(place, _)| by_line(*place))
        .filter_map(|(_, piece)| *piece);
    judged.found.extend(sawing::judge(index, board, copy, sawn));
    judged
}

/// Goes from the whole board down through the cuts, a workpiece at a time.
fn walk(
    index: &JobIndex<'_>,
    board: usize,
    layout: &Layout,
    tree: &CutTree,
    pieces: &[Option<&Piece>],
    judged: &mut Judged,
) {
    let words = index.words();
    let copy = &layout.board;
    let pose = layout.frame.pose();
    if !is_a_place(&pose) {
        judged
            .found
            .push(broken(Rule::Cuts, "bad-frame", words.bad_frame(copy)).on(copy));
        return;
    }
    let (wood, prepared) = index.board(board);
    // One for every line of reference, the layout's own first.
    let mut benches = vec![Bench::new(index, wood, copy, layout.frame)];
    let piece = |placement: usize| pieces.get(placement).copied().flatten();
    let whole = Workpiece::whole(&prepared.outline, &pose);
    let all = whole.area();
    let (mut accounted, mut complete) = (0.0, true);
    let mut seen = vec![false; tree.nodes.len()];
    let mut waiting = vec![(0usize, whole, 0usize)];
    while let Some((node, mut workpiece, mut own)) = waiting.pop() {
        // A list that is no tree has been reported on reading it.
        if node >= tree.nodes.len() || std::mem::replace(&mut seen[node], true) {
            complete = false;
            continue;
        }
        let Some(cut) = tree.nodes[node].cut() else {
            accounted += workpiece.area();
            let leaf = &tree.nodes[node];
            let in_frame = (&workpiece, &benches[own].frame);
            judged
                .found
                .extend(leaves::judge(index, layout, leaf, in_frame, &piece));
            continue;
        };
        let Cut {
            direction,
            at,
            kerf,
            angle,
            ..
        } = cut;
        if !(at.abs() <= FAR && (0.0..=FAR).contains(&kerf)) {
            judged.found.push(
                broken(Rule::Cuts, "cut-not-a-number", words.cut_not_a_number(copy)).on(copy),
            );
            complete = false;
            continue;
        }
        if angle != 0.0 {
            let by = (benches[own].turned + angle).abs() - MOST_ASKEW;
            if by.is_nan() || by > ANGLE_SLACK {
                let message = words.too_far_askew(direction, at, copy, MOST_ASKEW);
                let finding = broken(Rule::Cuts, "too-far-askew", message).on(copy);
                judged.found.push(finding.degrees(by));
                complete = false;
                continue;
            }
            workpiece = workpiece.turned(angle);
            benches.push(benches[own].turned(angle));
            own = benches.len() - 1;
        }
        let bench = &benches[own];
        let pose = bench.frame.pose();
        let parted = workpiece.part(direction, at, kerf, bench.leaves_true(&cut));
        judged.found.extend(bench.judge(&cut, &workpiece, &parted));
        accounted += parted.dust.area();
        if let Some(dust) = parted.dust.extents() {
            let (from, to) = (along(direction, dust.min), along(direction, dust.max));
            let corners = [(from, at), (to, at), (to, at + kerf), (from, at + kerf)]
                .map(|(along, across)| pose.apply(place(direction, along, across)));
            judged.bands.push(Band {
                direction,
                at,
                corners,
            });
        }
        waiting.extend([(cut.high, parted.high, own), (cut.low, parted.low, own)]);
    }
    // One part in a million of the board: what sums of areas lose to rounding is far less.
    if complete && (accounted - all).abs() > 1e-6 * all {
        judged
            .found
            .push(broken(Rule::Cuts, "areas-do-not-add", words.areas_do_not_add(copy)).on(copy));
    }
}
