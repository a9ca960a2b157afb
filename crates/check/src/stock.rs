//! Rule 10: counts, species, stock and pins; and of rule 12 what is planned on wood that is cut, or twice.

use heartside_geometry::{Pose, SortedMap, SortedSet};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Goal, Pin, Use};
use heartside_timber::plan::{Layout, Plan, UnplacedReason};

use crate::done;
use crate::index::{ANGLE_SLACK, JobIndex, Piece};
use crate::lie::turn_between;
use crate::report::{About, broken};

fn report(cause: &str, message: String) -> Finding {
    broken(Rule::Stock, cause, message)
}

/// What rule 10 says about one piece where it lies: its species and its pin.
pub(crate) fn piece(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
) -> Vec<Finding> {
    let mut found = species(index, board, copy, piece);
    let pins = index.job().pins.iter().filter(|pin| pin.part == piece.copy);
    found.extend(pins.filter_map(|pin| pinned(index, pin, copy, &piece.pose)));
    found
}

fn species(index: &JobIndex<'_>, board: usize, copy: &BoardCopy, piece: &Piece) -> Vec<Finding> {
    let (wood, _) = index.board(board);
    let part = index.part(piece.part);
    if part.species.is_empty() || part.species.contains(&wood.species) {
        return Vec::new();
    }
    let message = index
        .words()
        .wrong_species(part, &piece.copy, copy, &wood.species);
    vec![
        report("wrong-species", message)
            .on(copy)
            .of(&piece.copy)
            .at(piece.bounds.centre()),
    ]
}

fn pinned(index: &JobIndex<'_>, pin: &Pin, copy: &BoardCopy, pose: &Pose) -> Option<Finding> {
    let words = index.words();
    let about = |cause: &str, message: String| report(cause, message).on(copy).of(&pin.part);
    if pin.board != *copy {
        return Some(about(
            "pin-other-board",
            words.pin_other_board(&pin.part, &pin.board, copy),
        ));
    }
    if pin.at.turned_over != pose.turned_over {
        return Some(about(
            "pin-turned-over",
            words.pin_turned_over(&pin.part, copy),
        ));
    }
    let turned = turn_between(pin.at.turn, pose.turn);
    if turned > ANGLE_SLACK {
        return Some(
            about("pin-turned", words.pin_turned(&pin.part, copy, turned)).degrees(turned),
        );
    }
    let (dx, dy) = (pin.at.x - pose.x, pin.at.y - pose.y);
    let moved = (dx * dx + dy * dy).sqrt();
    (moved > index.slack())
        .then(|| about("pin-moved", words.pin_moved(&pin.part, copy, moved)).mm(moved))
}

/// What rule 10 says about the boards a plan cuts.
pub(crate) fn boards(index: &JobIndex<'_>, plan: &Plan) -> Vec<Finding> {
    let mut times: SortedMap<&BoardCopy, usize> = SortedMap::new();
    for layout in &plan.layouts {
        *times.entry(&layout.board).or_default() += 1;
    }
    let mut found = Vec::new();
    for (copy, times) in times {
        let is_cut =
            |l: &Layout| l.board == *copy && (!l.placements.is_empty() || l.cuts.is_some());
        found.extend(one_board(index, copy, plan.layouts.iter().any(is_cut)));
        if times > 1 && index.board_place(copy).is_some() {
            let message = index.words().board_used_twice(copy);
            found.push(
                report("board-used-twice", message)
                    .on(copy)
                    .count((times - 1) as f64),
            );
        }
    }
    found
}

/// What rule 10 says about one copy of a board, whatever lies on it.
pub(crate) fn one_board(index: &JobIndex<'_>, copy: &BoardCopy, is_cut: bool) -> Vec<Finding> {
    let words = index.words();
    let Some(place) = index.board_place(copy) else {
        return vec![report("unknown-board", words.unknown_board(copy)).on(copy)];
    };
    let (board, _) = index.board(place);
    let mut found = Vec::new();
    if let Some(over) = beyond(copy.copy, board.count) {
        found.push(
            report("no-such-board", words.no_such_board_copy(board, copy.copy))
                .on(copy)
                .count(over),
        );
    }
    let done = done::on_board(index, place, copy);
    if board.usage == Use::Leave && is_cut && done.is_none() {
        found.push(report("board-to-leave", words.board_to_leave(copy)).on(copy));
    }
    found.extend(done);
    found
}

/// What rule 10 says about one copy of a part, wherever it is named.
pub(crate) fn one_copy(index: &JobIndex<'_>, copy: &PartCopy) -> Option<Finding> {
    let words = index.words();
    let Some(place) = index.part_place(copy) else {
        return Some(report("unknown-part", words.unknown_part(copy)).of(copy));
    };
    let part = index.part(place);
    let over = beyond(copy.copy, part.count)?;
    Some(
        report("no-such-copy", words.no_such_copy(part, copy))
            .of(copy)
            .count(over),
    )
}

/// By how much a copy's number is out of the range from 1 to `count`.
fn beyond(copy: u32, count: u32) -> Option<f64> {
    (copy == 0 || copy > count).then(|| f64::from(copy.saturating_sub(count).max(1)))
}

/// What rule 10 says about how often each part is placed or listed as unplaced, and about
/// pinned parts that are not placed.
///
/// Where the aim is the greatest value on given boards, parts may be left out unlisted.
pub(crate) fn counts(index: &JobIndex<'_>, plan: &Plan) -> Vec<Finding> {
    let placed = times_placed(plan);
    let (listed, mut found) = listed(index, plan);
    let words = index.words();
    for (copy, times) in &placed {
        found.extend(one_copy(index, copy).or_else(|| done::placed(index, copy)));
        if *times > 1 {
            found.push(
                report("placed-twice", words.placed_twice(copy, *times))
                    .of(copy)
                    .count((times - 1) as f64),
            );
        }
        if listed.contains(copy) {
            found.push(report("placed-and-listed", words.placed_and_listed(copy)).of(copy));
        }
    }
    if index.job().goal != Goal::Value {
        found.extend(forgotten(index, &placed, &listed));
    }
    for pin in &index.job().pins {
        if !placed.contains_key(&pin.part) && index.part_place(&pin.part).is_some() {
            let message = words.pin_not_placed(&pin.part, &pin.board);
            found.push(
                report("pin-not-placed", message)
                    .on(&pin.board)
                    .of(&pin.part),
            );
        }
    }
    found
}

fn times_placed(plan: &Plan) -> SortedMap<PartCopy, usize> {
    let mut placed = SortedMap::new();
    for placement in plan.layouts.iter().flat_map(|l| &l.placements) {
        *placed.entry(placement.part_copy()).or_default() += 1;
    }
    placed
}

/// The copies listed as unplaced, and what is wrong with the list.
///
/// A part that the job leaves out because it has a problem of its own is not known here.
fn listed(index: &JobIndex<'_>, plan: &Plan) -> (SortedSet<PartCopy>, Vec<Finding>) {
    let words = index.words();
    let (mut listed, mut found) = (SortedSet::new(), Vec::new());
    for unplaced in &plan.unplaced {
        for number in &unplaced.copies {
            let copy = PartCopy {
                part: unplaced.part.clone(),
                copy: *number,
            };
            if !listed.insert(copy.clone()) {
                found.push(report("listed-twice", words.listed_twice(&copy)).of(&copy));
                continue;
            }
            let left_out = unplaced.reason == UnplacedReason::PartNotSound
                && index.part_place(&copy).is_none();
            if !left_out {
                found.extend(one_copy(index, &copy).or_else(|| done::listed(index, &copy)));
            }
        }
    }
    (listed, found)
}

fn forgotten(
    index: &JobIndex<'_>,
    placed: &SortedMap<PartCopy, usize>,
    listed: &SortedSet<PartCopy>,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for part in &index.job().parts {
        for number in part.wanted() {
            let copy = PartCopy {
                part: part.id.clone(),
                copy: number,
            };
            if !placed.contains_key(&copy) && !listed.contains(&copy) {
                found.push(
                    report("forgotten", index.words().forgotten(&copy))
                        .of(&copy)
                        .count(1.0),
                );
            }
        }
    }
    found
}
