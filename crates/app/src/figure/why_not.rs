//! Why no better face can be looked for.

use heartside_drawing::FaceOf;
use heartside_timber::choices::stave_named;
use heartside_timber::document::{BoardCopy, MatchKind};
use heartside_timber::job::{GrainRule, Job, Part};
use heartside_timber::misfit::Boards;

use super::known::{KnownFace, place_on};
use super::wanted::Wanted;

/// So many parts are looked for together.
pub(super) const MOST: usize = 6;

/// The reason in a sentence without its full stop; none where a better face can be looked for.
pub(crate) fn why_not(job: &Job, known: &[KnownFace], wanted: &Wanted) -> Option<String> {
    let seats = &wanted.seats;
    let parts: Vec<&Part> = seats
        .iter()
        .filter_map(|s| job.part(&s.part.part))
        .collect();
    let is_frame = |row: usize| {
        let wanted = job.matches.get(row);
        wanted.is_some_and(|m| m.kind == MatchKind::Frame)
    };
    if matches!(wanted.of, FaceOf::Match(row) if is_frame(row)) {
        return Some("Parts of a frame lie across each other: better faces are looked for where all lie alike. Ask the stiles to mirror each other, or the rails".to_owned());
    }
    if seats.len() < 2 {
        return Some("It is in one piece: there is nothing to match".to_owned());
    }
    if seats
        .iter()
        .any(|s| stave_named(&s.part.part).is_some_and(|s| s.piece > 0))
    {
        return Some("Its staves are joined end to end: better faces are looked for where each is in one piece".to_owned());
    }
    if seats.len() > MOST {
        return Some(format!(
            "It is of {} parts: better faces are looked for with two to six. Wider staves make fewer of them",
            seats.len()
        ));
    }
    let in_hand = |k: usize| {
        parts
            .get(k)
            .is_some_and(|p| p.in_hand.contains(&seats[k].part.copy))
    };
    if parts.len() != seats.len() || (0..seats.len()).any(in_hand) {
        return Some("Some of it is sawn already: what is in hand stays as it is".to_owned());
    }
    if known.is_empty() {
        return Some("Nothing is known of the figure of any board: lay photographs on the boards, or mark figure and sapwood on them".to_owned());
    }
    if parts
        .iter()
        .any(|p| !matches!(p.grain, GrainRule::Axis { .. }))
    {
        return Some("Its grain may run anyhow: say along which side it runs".to_owned());
    }
    let copies = job.board_copies();
    let usable: Vec<&BoardCopy> = copies
        .iter()
        .filter(|c| job.board(&c.board).is_some_and(|b| b.is_usable()))
        .collect();
    let shown = |c: &&BoardCopy| {
        [false, true]
            .iter()
            .any(|down| place_on(job, known, c, *down).is_some())
    };
    let photographed: Vec<&BoardCopy> = usable.iter().copied().filter(|c| shown(c)).collect();
    if photographed.is_empty() {
        return Some(
            "The boards whose figure is known are cut or left alone: photograph others".to_owned(),
        );
    }
    let boards = Boards::of(job);
    let is_shown = |board: &usize| {
        photographed
            .iter()
            .any(|c| c.board == job.boards[*board].id)
    };
    let gives = |part: &&&Part| {
        let open = boards.open_to(part, job.boards.len());
        open.is_ok_and(|open| open.iter().any(is_shown))
    };
    if let Some(part) = parts.iter().find(|part| !gives(part)) {
        return Some(format!(
            "No board whose figure is known gives {}: photograph a larger or thicker one, or change its sizes",
            part.name
        ));
    }
    None
}
