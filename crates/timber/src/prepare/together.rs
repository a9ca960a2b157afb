//! Parts that must lie together: matches that contradict each other, pins or the boards, before anything is
//! planned.

use heartside_geometry::{Bounds, Region};

use super::reading::{Reading, Thing};
use crate::blank::{Blank, greatest_finished_thickness};
use crate::composite::{Composite, Odd, Saw, is_of_leaves, is_run, resawn_extents};
use crate::diagnostic::{Place, Subject};
use crate::job::{Board, Job, Match, MatchKind, PartCopy};
use crate::length::write_length;
use crate::misfit::{Boards, Misfit, RuledOut};
use crate::words::listed;

/// A match with its row in the document.
pub(super) type Row = (usize, Match);

/// Leaves out what contradicts a match before it, and says so; the matches that are left.
pub(super) fn sound(rows: Vec<Row>, job: &Job, reading: &mut Reading<'_>) -> Vec<Row> {
    let mut kept: Vec<Row> = Vec::with_capacity(rows.len());
    for (row, wanted) in rows {
        let shared = wanted.parts.iter().find_map(|copy| {
            let together = |(_, m): &&Row| is_composed(m) && m.parts.contains(copy);
            Some((copy, kept.iter().find(together)?.0))
        });
        if let (Some((copy, other)), true) = (shared, is_composed(&wanted)) {
            let name = name(job, copy);
            let message = format!("{name} has its place by match {} already", other + 1);
            let hint = "take it out of one of the two, or make them one row";
            reading.error("match-shares", place(row, "parts"), message, hint);
            continue;
        }
        if let Some(Err(odd)) = blank(job, &wanted) {
            let (message, hint) = odd_words(job, &wanted, odd);
            reading.error("match-cannot-be", place(row, "parts"), message, hint);
            continue;
        }
        kept.push((row, wanted));
    }
    kept
}

/// Says what no board can give, what no tool can resaw, and which pins contradict a match.
pub(super) fn note(rows: &[usize], job: &Job, reading: &mut Reading<'_>) {
    let boards = Boards::of(job);
    for (row, wanted) in rows.iter().zip(&job.matches) {
        note_pins(*row, job, wanted, reading);
        let Some(Ok(composite)) = blank(job, wanted) else {
            continue;
        };
        if wanted.parts.iter().any(|copy| is_in_hand(job, copy)) {
            continue;
        }
        if is_of_leaves(wanted) {
            note_resawing(*row, job, &composite, reading);
        }
        let fits_alone = |copy: &PartCopy| {
            let part = job.part(&copy.part);
            part.is_some_and(|p| boards.open_to(p, 1).is_ok())
        };
        // What is said of a part itself is not said again.
        let Err(ruled_out) = boards.open_to(&composite.part, 1) else {
            continue;
        };
        if wanted.parts.iter().all(fits_alone) {
            too_large(*row, job, &boards, &composite, ruled_out, reading);
        }
    }
}

fn is_composed(wanted: &Match) -> bool {
    is_run(wanted) || is_of_leaves(wanted)
}

/// The blank of a match, as short as any saw leaves it; none for matches that need none.
fn blank(job: &Job, wanted: &Match) -> Option<Result<Composite, Odd>> {
    if is_of_leaves(wanted) {
        return Some(Composite::leaves(job, wanted.kind, &wanted.parts));
    }
    let saws = job.workshop.tools.iter().filter(|t| t.rips || t.crosscuts);
    let kerf = saws.map(|t| t.kerf).fold(job.workshop.sawn_kerf, f64::min);
    let saw = Saw { kerf, strip: 0.0 };
    is_run(wanted).then(|| Composite::run(job, wanted.kind, &wanted.parts, saw))
}

fn place(row: usize, field: &str) -> Place {
    let thing = Thing::row(Subject::Relation, row, "", &format!("match {}", row + 1));
    thing.field(&format!("matches[{row}].{field}"))
}

fn name(job: &Job, copy: &PartCopy) -> String {
    job.name_of(copy).unwrap_or_else(|| copy.part.clone())
}

fn is_in_hand(job: &Job, copy: &PartCopy) -> bool {
    let part = job.part(&copy.part);
    part.is_some_and(|p| p.in_hand.binary_search(&copy.copy).is_ok())
}

fn odd_words(job: &Job, wanted: &Match, odd: Odd) -> (String, &'static str) {
    let names: Vec<String> = wanted.parts.iter().map(|c| name(job, c)).collect();
    let names = listed(&names);
    match odd {
        Odd::Species => (
            format!("{names} must come from one board, but no wood is accepted by all of them"),
            "let all of them be of one wood",
        ),
        Odd::Grain => (
            format!("{names} must lie the same way, but their grain is to run differently"),
            "give them the same direction of grain",
        ),
        Odd::Unlike => (
            format!("{names} are to be leaves of one blank, but differ in size or thickness"),
            "make them alike, or ask for one board only",
        ),
        Odd::Turned => (
            format!(
                "of {names} every other one is turned over when the leaves are opened, but one of these may not be"
            ),
            "let it be turned over, or slip the leaves",
        ),
        Odd::Unknown => (format!("{names} cannot lie together"), "see the parts"),
    }
}

/// Pins that put parts of one board on different ones.
fn note_pins(row: usize, job: &Job, wanted: &Match, reading: &mut Reading<'_>) {
    if matches!(wanted.kind, MatchKind::Balanced | MatchKind::Frame) {
        return;
    }
    let mut pinned = wanted.parts.iter().filter_map(|copy| {
        let pin = job.pins.iter().find(|p| p.part == *copy)?;
        Some((copy, pin))
    });
    let Some((first, home)) = pinned.next() else {
        return;
    };
    for (copy, pin) in pinned {
        let (one, two) = (name(job, first), name(job, copy));
        let turned = home.at.turned_over != pin.at.turned_over || home.at.turn != pin.at.turn;
        let message = if job.root(&home.board) != job.root(&pin.board) {
            format!("{one} and {two} must come from one board, but are pinned to different ones")
        } else if is_run(wanted) && turned {
            format!(
                "the grain is to run on from {one} to {two}, but they are pinned turned against each other"
            )
        } else {
            continue;
        };
        let hint = "let go of one of the pins, or of the match";
        reading.warn("match-against-pins", place(row, "parts"), message, hint);
    }
}

/// Whether the workshop can resaw the blank, and what is counted where it does not say.
fn note_resawing(row: usize, job: &Job, composite: &Composite, reading: &mut Reading<'_>) {
    let (length, width) = resawn_extents(&Blank::of(&composite.part).bounds());
    let shown = |mm: f64| write_length(mm, &job.units);
    let workshop = &job.workshop;
    if !workshop.can_resaw(length, width) {
        let message = format!(
            "no tool resaws a blank that is {} long and {} wide",
            shown(length),
            shown(width)
        );
        let hint = "add a saw that resaws so wide, or make the parts narrower";
        reading.warn("match-not-resawn", place(row, "kind"), message, hint);
    } else if workshop.resawing_tool_for(length, width).is_none() {
        let kerf = shown(workshop.resaw_kerf_for(length, width));
        let message =
            format!("no tool is said to resaw: a kerf of {kerf} is counted between leaves");
        let hint = "say in the workshop which saw resaws, and its kerf";
        reading.warn("match-resaw-kerf", place(row, "kind"), message, hint);
    }
}

/// A blank that certainly no board gives: how long a row or how thick a blank one could be.
fn too_large(
    row: usize,
    job: &Job,
    boards: &Boards<'_>,
    composite: &Composite,
    ruled_out: RuledOut,
    reading: &mut Reading<'_>,
) {
    let shown = |mm: f64| write_length(mm, &job.units);
    let count = composite.members.len();
    let is_leaves = composite.members.iter().any(|m| m.leaf.is_some());
    let part = &composite.part;
    match ruled_out {
        RuledOut::NoBoards => {}
        RuledOut::Species => {
            let message = format!("no board to be used is {}", part.species.join(" or "));
            let hint = "let all of them be of another wood, or add a board";
            reading.warn("match-no-species", place(row, "parts"), message, hint);
        }
        RuledOut::Misfit(Misfit::Thickness) if is_leaves => {
            let finished = |b: &&Board| greatest_finished_thickness(b, &part.allowances, 0.0, 0.0);
            let usable = job.boards.iter().filter(|b| b.is_usable());
            let of_species =
                usable.filter(|b| part.species.is_empty() || part.species.contains(&b.species));
            let best = of_species.max_by(|a, b| finished(a).total_cmp(&finished(b)));
            let given = best.map_or(String::new(), |b| {
                let given = shown(finished(&b).max(0.0));
                format!(" and the best board, {}, gives {given}", b.name)
            });
            let message = format!(
                "no board is thick enough for {count} leaves: with the kerf between them and planing they need {} once flat{given}",
                shown(part.thickness)
            );
            let hint = "make them thinner, or add a thicker board";
            reading.warn("leaves-too-thick", place(row, "parts"), message, hint);
        }
        RuledOut::Misfit(Misfit::Length | Misfit::Width) if !is_leaves => {
            let blank = Blank::of(part).bounds();
            let across = composite.kind == MatchKind::ContinuousAcross;
            let whole = if across {
                blank.height()
            } else {
                blank.width()
            };
            let longest = longest(job, boards, composite, whole);
            let given = longest.map_or(String::new(), |(length, board)| {
                format!(
                    "; the longest run of these parts that any board could give is {} ({})",
                    shown(length),
                    board.name
                )
            });
            let message = format!(
                "no board gives these {count} parts in a row: they need {}{given}",
                shown(whole)
            );
            let hint = "take one out of the row, make them smaller, or add a larger board";
            reading.warn("run-too-long", place(row, "parts"), message, hint);
        }
        RuledOut::Misfit(_) => {
            let message = format!("no board gives these {count} parts in one piece");
            let hint = "see which of them asks for most, or add a board";
            reading.warn("match-no-board", place(row, "parts"), message, hint);
        }
    }
}

/// The longest row of the same width that some board could give, in whole millimetres, and that board.
fn longest<'j>(
    job: &'j Job,
    boards: &Boards<'_>,
    composite: &Composite,
    whole: f64,
) -> Option<(f64, &'j Board)> {
    let gives = |length: f64| {
        let mut part = composite.part.clone();
        let (mut along, mut across) = (part.length(), part.width());
        match composite.kind {
            MatchKind::ContinuousAcross => across -= whole - length,
            _ => along -= whole - length,
        }
        part.outline = Region::rectangle(Bounds::of_size(along, across))?;
        boards.open_to(&part, 1).ok()?.first().copied()
    };
    let finished = match composite.kind {
        MatchKind::ContinuousAcross => composite.part.width(),
        _ => composite.part.length(),
    };
    // A row shorter than its own allowances is none.
    let (mut low, mut high) = ((whole - finished).ceil(), whole.floor());
    let mut found = None;
    while high - low > 1.0 {
        let middle = (0.5 * (low + high)).floor();
        match gives(middle) {
            Some(board) => (low, found) = (middle, Some(board)),
            None => high = middle,
        }
    }
    found.map(|board| (low, &job.boards[board]))
}
