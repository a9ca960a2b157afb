//! The rest of a run beside what stays: where one of its members is pinned or in hand, there is but one
//! place for each of the others.

use heartside_timber::composite::{Composite, Saw};
use heartside_timber::document::Cuts;
use heartside_timber::job::{BoardCopy, Job, Match, PartCopy, Pin};
use heartside_timber::plan::{Placed, Placement};

use super::apart::is_same_place;
use super::saws::{kerfs_for, widest_strip};
use crate::fit;
use crate::sawn::spare::may_lie;
use crate::straight::tree_for::{TreeResult, tree_for};

/// Cuts looked at for a board on which a run is continued.
const STEPS: u64 = 4_000;

/// The members that can be laid, and those that cannot.
#[derive(Debug, Default)]
pub(super) struct Laid {
    pub(super) pins: Vec<Pin>,
    pub(super) left_out: Vec<PartCopy>,
}

/// True for a copy that stays where it is: pinned, or in hand.
pub(super) fn stays(job: &Job, copy: &PartCopy) -> bool {
    place_of(job, copy).is_some()
}

/// Where a copy that stays lies.
fn place_of(job: &Job, copy: &PartCopy) -> Option<(BoardCopy, Placed)> {
    if let Some(pin) = job.pins.iter().find(|p| p.part == *copy) {
        return Some((pin.board.clone(), pin.at));
    }
    job.boards.iter().find_map(|board| {
        let mut held = board.from.as_ref()?.held();
        let held = held.find(|p| p.part_copy() == *copy)?;
        let board = BoardCopy {
            board: board.id.clone(),
            copy: 1,
        };
        Some((board, held.at))
    })
}

/// Lays the members that do not stay beside those that do.
pub(super) fn beside_what_stays(job: &Job, run: &Match) -> Laid {
    let places: Vec<Option<(BoardCopy, Placed)>> =
        run.parts.iter().map(|copy| place_of(job, copy)).collect();
    let mut laid = Laid::default();
    let mut first = 0;
    while first < run.parts.len() {
        if places[first].is_some() {
            first += 1;
            continue;
        }
        let free = places[first..].iter().take_while(|p| p.is_none()).count();
        let end = first + free;
        let before = first.checked_sub(1).filter(|k| places[*k].is_some());
        let after = Some(end).filter(|k| *k < places.len());
        let from = before.unwrap_or(first);
        let to = after.map_or(end, |k| k + 1);
        let ends =
            [before, after].map(|k| k.and_then(|k| places[k].as_ref().map(|p| (k - from, p))));
        let segment = Match {
            kind: run.kind,
            parts: run.parts[from..to].to_vec(),
        };
        match pins_of(job, &segment, &ends, &laid.pins) {
            Some(pins) => laid.pins.extend(pins),
            None => laid.left_out.extend(run.parts[first..end].iter().cloned()),
        }
        first = end;
    }
    laid
}

type End<'a> = Option<(usize, &'a (BoardCopy, Placed))>;

/// Pins for the members of a stretch of a run that lie between its ends that stay; none where they cannot.
fn pins_of(job: &Job, stretch: &Match, ends: &[End<'_>; 2], laid: &[Pin]) -> Option<Vec<Pin>> {
    let mut known = ends.iter().flatten();
    let (anchor, (board, at)) = *known.next()?;
    let root = job.root(board);
    // On the board itself, or on pieces of the same one.
    let near = job
        .board_copies()
        .into_iter()
        .filter(|b| job.root(b) == root);
    for there in near {
        let wood = job.board(&there.board).filter(|b| b.is_usable());
        let Some(wood) = wood else { continue };
        let strip = widest_strip(job);
        let some = Composite::run(job, stretch.kind, &stretch.parts, Saw { kerf: 0.0, strip });
        let some = some.ok()?;
        let kerfs = match wood.cuts {
            Cuts::Sawn => vec![job.workshop.sawn_kerf_for(wood.thickness)],
            Cuts::Any | Cuts::Straight => kerfs_for(job, &some, wood.thickness),
        };
        for kerf in kerfs {
            let run =
                Composite::run(job, stretch.kind, &stretch.parts, Saw { kerf, strip }).ok()?;
            let blank = run.around(&run.members[anchor], at);
            let places = run.members_at(&blank, kerf);
            let ends_fit = ends
                .iter()
                .flatten()
                .all(|(k, (_, at))| is_same_place(&places[*k], at));
            if !ends_fit {
                continue;
            }
            let is_free = |k: &usize| ends.iter().flatten().all(|(end, _)| end != k);
            let pins = (0..places.len()).filter(is_free).map(|k| Pin {
                part: stretch.parts[k].clone(),
                board: there.clone(),
                at: places[k],
            });
            let pins: Vec<Pin> = pins.collect();
            if can_lie(job, &there, kerf, &pins, laid) {
                return Some(pins);
            }
        }
    }
    None
}

/// Whether pieces may lie so beside what is pinned on a board, and can be cut from it.
fn can_lie(job: &Job, board: &BoardCopy, kerf: f64, new: &[Pin], laid: &[Pin]) -> bool {
    let Some(place) = job.board_index(&board.board) else {
        return false;
    };
    let wood = &job.boards[place];
    let old = job.pins.iter().chain(laid).filter(|p| p.board == *board);
    let old: Vec<&Pin> = old.collect();
    let well = new.iter().all(|pin| {
        job.part(&pin.part.part).is_some_and(|part| {
            fit::species_fits(wood, part)
                && fit::thick_enough(job, wood, part, pin.at.turn, pin.at.turned_over)
                && (part.may_turn_over || !pin.at.turned_over)
        })
    });
    let all: Vec<(&PartCopy, Placed, bool)> = old
        .iter()
        .map(|p| (&p.part, p.at, true))
        .chain(new.iter().map(|p| (&p.part, p.at, false)))
        .collect();
    if !well || !may_lie(job, place, kerf, &all) {
        return false;
    }
    if wood.cuts == Cuts::Sawn {
        return true;
    }
    let placements: Vec<Placement> = all
        .iter()
        .map(|(copy, at, _)| Placement {
            part: copy.part.clone(),
            copy: copy.copy,
            at: *at,
            ..Placement::default()
        })
        .collect();
    matches!(
        tree_for(job, place, &placements, STEPS),
        TreeResult::Tree(..)
    )
}

/// Pins a thick blank instead of its leaves: where the first that is pinned puts it.
pub(super) fn pin_whole(composite: &Composite, pins: &mut Vec<Pin>) {
    let of = |copy: &PartCopy| composite.members.iter().find(|m| m.copy == *copy);
    let first = pins
        .iter()
        .find_map(|pin| Some((of(&pin.part)?, pin.clone())));
    let Some((member, pin)) = first else { return };
    pins.retain(|pin| of(&pin.part).is_none());
    pins.push(Pin {
        part: PartCopy {
            part: composite.part.id.clone(),
            copy: 1,
        },
        board: pin.board,
        at: composite.around(member, &pin.at),
    });
}
