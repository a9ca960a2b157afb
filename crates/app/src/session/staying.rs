//! What lies on the floor stays there: no edit of one thing makes another one unusable.

use heartside_timber::document::Document;
use heartside_timber::expression::is_name;
use heartside_timber::ids::{TakenIds, is_safe_id};
use heartside_timber::job::{Job, Part};
use heartside_timber::prepare::Prepared;

use super::Session;
use super::editing::adding::{free_letter, free_part_id};
use crate::protocol::{Thing, ThingKind};

impl Session {
    /// Why a text cannot be the name of a thing: others are called by it, or it is none. The
    /// thing then keeps the name that it has.
    pub(super) fn name_refused(&self, thing: &Thing, field: &str, text: &str) -> Option<String> {
        let (d, row, text) = (&self.document, thing.at(), text.trim());
        match (thing.kind, field) {
            (ThingKind::Board, "id") => {
                let stays = &d.boards.get(row)?.id;
                let others = others(d.boards.iter().map(|b| b.id.as_str()), row);
                let free = || free_letter(d);
                mark_refused("board", text, stays, others, free)
            }
            (ThingKind::Part, "id") => {
                let stays = &d.parts.get(row)?.id;
                let others = others(d.parts.iter().map(|p| p.id.as_str()), row);
                let free = || free_part_id(d, text);
                mark_refused("part", text, stays, others, free)
            }
            (ThingKind::Dimension, "name") => {
                let stays = &d.dimensions.get(row)?.name;
                let taken = d.dimensions.iter().enumerate();
                let mut taken = taken.filter(|(k, other)| *k != row && other.name.trim() == text);
                let why = if taken.next().is_some() {
                    format!("there is a dimension called \u{201c}{text}\u{201d} already")
                } else if is_name(text) {
                    return None;
                } else {
                    format!(
                        "\u{201c}{text}\u{201d} cannot be the name of a dimension: begin with a letter, and use no signs and no unit"
                    )
                };
                Some(format!("{why}; this one stays \u{201c}{stays}\u{201d}"))
            }
            _ => None,
        }
    }

    /// What an edited document comes to, or why the edit is refused: a board or part that can be
    /// used, and is still there after it, could no longer be used.
    pub(super) fn with_all_usable(&mut self, after: &Document) -> Result<Prepared, String> {
        let then = self.work.prepare(after);
        match self.lost_by(after, &then) {
            Some(why) => Err(why),
            None => Ok(then),
        }
    }

    /// Why an edit is refused after which a board or part, still there, could no longer be used.
    pub(super) fn lost_by(&self, after: &Document, then: &Prepared) -> Option<String> {
        let boards = self.job.boards.iter().filter(|board| {
            after.boards.iter().any(|b| b.id == board.id) && then.job.board(&board.id).is_none()
        });
        let parts = makers_parts(&self.job).filter(|part| {
            after.parts.iter().any(|p| p.id == part.id)
                && !makers_parts(&then.job).any(|p| p.id == part.id)
        });
        let board = boards.map(|b| (format!("board {}", b.id), &b.id)).next();
        let (called, id) = board.or_else(|| parts.map(|p| (p.name.clone(), &p.id)).next())?;
        let because = then.left_out.iter().find(|l| l.id == *id);
        let because = because.map_or("it could not be read", |l| l.because.as_str());
        Some(format!("{called} could not be used any more: {because}"))
    }
}

/// The sound parts that a maker knows of, panels whole and not by their staves.
pub(super) fn makers_parts(job: &Job) -> impl Iterator<Item = &Part> {
    let parts = job.parts.iter().filter(|p| p.stave.is_none());
    parts.chain(job.panels.iter().map(|p| &p.part))
}

fn others<'a>(ids: impl Iterator<Item = &'a str>, row: usize) -> TakenIds {
    let others = ids.enumerate().filter(|(k, _)| *k != row);
    TakenIds::of(others.map(|(_, id)| id))
}

fn mark_refused(
    kind: &str,
    text: &str,
    stays: &str,
    mut others: TakenIds,
    free: impl FnOnce() -> String,
) -> Option<String> {
    let why = if text.is_empty() {
        format!("a {kind} needs a mark")
    } else if !is_safe_id(text) {
        format!(
            "\u{201c}{text}\u{201d} cannot be a mark: use letters, figures, - and _, beginning with a letter or figure"
        )
    } else if others.take(text) {
        return None;
    } else {
        let free = free();
        format!("there is a {kind} marked \u{201c}{text}\u{201d} already ({free} is free)")
    };
    let stays = if stays.trim().is_empty() {
        "nothing was changed".to_owned()
    } else {
        format!("this one stays {stays}")
    };
    Some(format!("{why}; {stays}"))
}

#[cfg(test)]
mod tests {
    use heartside_testkit::{Chance, JobSize, workshop_job};
    use heartside_timber::document::{BoardOutline, Length};

    use super::*;
    use crate::protocol::Outcome;

    fn board(row: usize) -> Thing {
        Thing::row(ThingKind::Board, row)
    }

    fn places(session: &Session, row: usize) -> Vec<(f64, f64, f64)> {
        let Some(BoardOutline::Tape { stations, .. }) = &session.document.boards[row].outline
        else {
            panic!("not by tape")
        };
        let mm = |length: &Length| match length {
            Length::Mm(mm) => *mm,
            Length::Typed { mm, .. } => mm.unwrap_or(f64::NAN),
            Length::Expr { .. } => f64::NAN,
        };
        stations
            .iter()
            .map(|s| (mm(&s.at), mm(&s.left), mm(&s.right)))
            .collect()
    }

    #[test]
    fn widths_are_added_at_new_places_between_their_neighbours() {
        let mut session = Session::default();
        assert!(session.add(ThingKind::Board, None).done);
        assert!(session.add(ThingKind::Station, Some(&board(0))).done);
        assert!(
            session
                .set(&board(0), "outline.stations[1].left", "60")
                .done
        );
        for _ in 0..3 {
            assert!(session.add(ThingKind::Station, Some(&board(0))).done);
            assert_eq!(session.job.boards.len(), 1);
        }
        assert_eq!(
            places(&session, 0),
            [
                (0.0, 100.0, 100.0),
                (500.0, 90.0, 100.0),
                (1000.0, 80.0, 100.0),
                (1500.0, 70.0, 100.0),
                (2000.0, 60.0, 100.0),
            ]
        );
    }

    #[test]
    fn a_mark_given_twice_is_refused_and_the_free_one_named() {
        let mut session = Session::default();
        for _ in 0..3 {
            assert!(session.add(ThingKind::Board, None).done);
        }
        let outcome = session.set(&board(1), "id", "a");
        assert!(!outcome.done);
        assert_eq!(
            outcome.problem.as_deref(),
            Some("there is a board marked \u{201c}a\u{201d} already (D is free); this one stays B")
        );
        assert_eq!(session.job.boards.len(), 3);
        assert!(!session.set(&board(1), "id", " ").done);
        assert!(session.set(&board(1), "id", "Q").done);
    }

    /// Boards and parts that can be used, by id.
    fn usable(session: &Session) -> Vec<(bool, String)> {
        let boards = session.job.boards.iter().map(|b| (true, b.id.clone()));
        let parts = session.job.parts.iter().map(|p| (false, p.id.clone()));
        boards.chain(parts).collect()
    }

    fn still_typed(session: &Session, (of_board, id): &(bool, String)) -> bool {
        match of_board {
            true => session.document.boards.iter().any(|b| b.id == *id),
            false => session.document.parts.iter().any(|p| p.id == *id),
        }
    }

    /// Any thing of the job, and things inside boards and parts.
    fn any_thing(session: &Session, chance: &mut Chance) -> Thing {
        let d = &session.document;
        let kinds = [
            (ThingKind::Board, d.boards.len()),
            (ThingKind::Part, d.parts.len()),
            (ThingKind::Dimension, d.dimensions.len()),
            (ThingKind::Tool, d.workshop.tools.len()),
            (ThingKind::Zone, d.boards.len()),
            (ThingKind::Station, d.boards.len()),
            (ThingKind::Corner, d.boards.len()),
            (ThingKind::Corner, d.parts.len()),
        ];
        let which = chance.below(kinds.len());
        let (kind, count) = kinds[which];
        let row = chance.below(count.max(1));
        match kind {
            ThingKind::Zone | ThingKind::Station | ThingKind::Corner => Thing {
                of_part: which + 1 == kinds.len(),
                ..Thing::inner(kind, row, chance.below(6))
            },
            _ => Thing::row(kind, row),
        }
    }

    fn any_edit(session: &mut Session, chance: &mut Chance) -> (String, Outcome) {
        let thing = any_thing(session, chance);
        let said = format!("{thing:?}");
        let owner = Thing::row(
            if thing.of_part {
                ThingKind::Part
            } else {
                ThingKind::Board
            },
            thing.at(),
        );
        let inner = matches!(
            thing.kind,
            ThingKind::Zone | ThingKind::Station | ThingKind::Corner
        );
        match chance.below(5) {
            0 if inner => (format!("add {said}"), session.add(thing.kind, Some(&owner))),
            0 => (format!("add {said}"), session.add(thing.kind, Some(&thing))),
            1 => (format!("remove {said}"), session.remove(&thing)),
            2 => (format!("double {said}"), session.duplicate(&thing)),
            3 => (
                format!("move {said}"),
                session.move_in_list(&thing, chance.below(6)),
            ),
            _ => {
                let name = *chance.one_of(&[
                    "A", "b", "p1", "p2", "size", "size_2", "", "a/b", "mm", "new",
                ]);
                let field = match thing.kind {
                    ThingKind::Board | ThingKind::Part => "id",
                    _ => "name",
                };
                (
                    format!("rename {said} {name}"),
                    session.set(&thing, field, name),
                )
            }
        }
    }

    /// Whatever is added, taken away, doubled, moved or renamed: what could be used and is
    /// still there can still be used.
    #[test]
    fn nothing_vanishes_by_an_edit_of_something_else() {
        for seed in 0..24 {
            let size = JobSize {
                boards: 3,
                pieces: 8,
                sawn: 30,
            };
            let mut session = Session::default();
            assert!(session.open(&workshop_job(seed, size).save()).accepted);
            assert!(session.add(ThingKind::Board, None).done);
            assert!(session.add(ThingKind::Dimension, None).done);
            let first = Thing::row(ThingKind::Part, 0);
            assert!(session.set(&first, "thickness", "size / 25").done);
            let mut chance = Chance::new(seed);
            for _ in 0..40 {
                let before = usable(&session);
                let (what, outcome) = any_edit(&mut session, &mut chance);
                let after = usable(&session);
                for thing in before.iter().filter(|t| still_typed(&session, t)) {
                    assert!(
                        after.contains(thing),
                        "seed {seed}, {what}: {thing:?} is gone"
                    );
                }
                assert!(outcome.done || outcome.problem.is_some(), "{what}");
            }
        }
    }
}
