//! Fields typed into; rows added, removed, doubled and moved.
//!
//! Each edit is worked out on a copy of the document and handed over as one step.

pub(super) mod adding;
mod corners;
mod rows;
mod typing;
pub(super) mod widths;
pub(super) mod zones;

use heartside_timber::document::{Aim, Document};
use heartside_timber::job::Dimension;

use self::adding::{add_to, duplicate_in};
use self::rows::{move_in, remove_from};
use self::typing::{Did, type_into_document};
use super::engine::KnownCuts;
use super::{Change, Session, renaming};
use crate::protocol::{Outcome, Thing, ThingKind};
use crate::words::{GONE, kind_words};

/// True for fields that no plan depends on.
fn is_aside(kind: ThingKind, field: &str) -> bool {
    match kind {
        ThingKind::Job => matches!(field, "title" | "currency"),
        ThingKind::Board => field == "note",
        ThingKind::Part => matches!(
            field,
            "note" | "panel.rings" | "panel.driest" | "panel.dampest"
        ),
        _ => false,
    }
}

impl Session {
    /// Types a text into a field.
    pub fn set(&mut self, thing: &Thing, field: &str, text: &str) -> Outcome {
        let refused = self.name_refused(thing, field, text);
        if let Some(why) = refused.or_else(|| self.marked_too_late(thing.kind, Some(thing))) {
            return Outcome::refused(why);
        }
        let mut after = self.document.clone();
        let did =
            self.with_reader(|reader| type_into_document(&mut after, thing, field, text, reader));
        match did {
            Did::Same => Outcome::done().with_thing(thing.clone()),
            Did::Refused(why) => Outcome::refused(why),
            Did::Changed(typed) => {
                if let Some(why) = self.cut_copy_stays(&after, thing) {
                    return Outcome::refused(why);
                }
                renaming::follow(&self.document, &mut after, thing, field);
                let label = format!("{} of {}", typed.label, self.called(thing));
                let change = if is_aside(thing.kind, field) {
                    Change::Aside
                } else {
                    Change::Job
                };
                if thing.kind == ThingKind::Part && field == "panel" {
                    self.commit_made_otherwise(&label, after, thing);
                } else {
                    self.commit(&label, after, change);
                }
                Outcome {
                    problem: typed.problem,
                    ..Outcome::done().with_thing(thing.clone())
                }
            }
        }
    }

    /// A part is glued up from now on, or in one piece again: what lay there for it is another thing now.
    fn commit_made_otherwise(&mut self, label: &str, mut after: Document, thing: &Thing) {
        if let Some(part) = self.document.parts.get(thing.at()) {
            renaming::forget_other_making(&mut after, &part.id);
        }
        let prepared = self.work.prepare(&after);
        if let Some(plan) = &mut after.plan {
            KnownCuts::default().find(&prepared.job, plan);
        }
        self.commit_prepared(label, after, Change::Job, prepared);
    }

    /// Adds a thing.
    pub fn add(&mut self, kind: ThingKind, owner: Option<&Thing>) -> Outcome {
        if let Some(why) = self.marked_too_late(kind, owner) {
            return Outcome::refused(why);
        }
        let mut after = self.document.clone();
        let Some(thing) = add_to(&mut after, kind, owner) else {
            return Outcome::refused("this cannot be added here");
        };
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        let what = kind_words(kind);
        self.commit_prepared(&format!("adding {what}"), after, Change::Job, prepared);
        Outcome::done()
            .saying(format!("Added: {}", self.called(&thing)))
            .with_thing(thing)
    }

    /// Takes a thing away.
    pub fn remove(&mut self, thing: &Thing) -> Outcome {
        let called = self.called(thing);
        if let Some(why) = self.cut_stays(thing) {
            return Outcome::refused(why);
        }
        let mut after = self.document.clone();
        if !remove_from(&mut after, thing) {
            return Outcome::refused(GONE);
        }
        if thing.kind == ThingKind::Dimension {
            let values = self.job.dimensions.iter().map(|d| &d.value);
            let typed = self.document.dimensions.get(thing.at());
            let name = typed.map_or("", |d| d.name.trim());
            if let Some(known) = values.into_iter().find(|v| v.name == name) {
                renaming::forget_dimension(&mut after, name, known.value);
            }
        }
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        if thing.kind == ThingKind::Part {
            // Boards that lost a part are cut in another order; what cannot be is a finding.
            let mut cuts = KnownCuts::default();
            if let Some(plan) = &mut after.plan {
                cuts.find(&prepared.job, plan);
            }
        }
        self.commit_prepared(
            &format!("taking away {called}"),
            after,
            Change::Job,
            prepared,
        );
        Outcome::done().saying(format!("Taken away: {called}"))
    }

    /// Why a board cannot be taken away: it was cut, or came from a cut, that can be taken back.
    fn cut_stays(&self, thing: &Thing) -> Option<String> {
        let board = self.document.boards.get(thing.at());
        let board = board.filter(|_| thing.kind == ThingKind::Board)?;
        let id = &board.id;
        if self.document.done.iter().any(|cut| cut.board == *id) {
            return Some(format!(
                "board {id} was cut: take its cuts back first, at the bench"
            ));
        }
        let from = board.from.as_ref()?;
        let cut = self.document.done.iter().find(|cut| cut.id == from.done)?;
        Some(format!(
            "{id} is a piece of {}: take that cut back, or say \u{201c}leave it alone\u{201d}",
            cut.board
        ))
    }

    /// Why there cannot be so few of a board: one of those that would go was cut.
    fn cut_copy_stays(&self, after: &Document, thing: &Thing) -> Option<String> {
        let board = |d: &Document| d.boards.get(thing.at()).and_then(|b| b.count);
        let count = board(after).filter(|_| thing.kind == ThingKind::Board)?;
        if board(&self.document) == Some(count) {
            return None;
        }
        let id = &self.document.boards.get(thing.at())?.id;
        let mut cuts = self.document.done.iter();
        let cut = cuts.find(|c| c.board == *id && f64::from(c.board_copy) > count)?;
        Some(format!(
            "number {} of board {id} was cut: take its cuts back first, at the bench",
            cut.board_copy
        ))
    }

    /// Why a marked area of a board says nothing any more: the board was cut, and its pieces have their own.
    pub(super) fn marked_too_late(&self, kind: ThingKind, on: Option<&Thing>) -> Option<String> {
        let typed = self.document.boards.get(on?.at())?;
        let board = self.job.board(&typed.id);
        let is_cut_up = board.is_some_and(|b| b.left() == 0) && kind == ThingKind::Zone;
        is_cut_up.then(|| format!("{} is cut up: mark it on its pieces", typed.id))
    }

    /// Adds another like it, after it.
    pub fn duplicate(&mut self, thing: &Thing) -> Outcome {
        let called = self.called(thing);
        let mut after = self.document.clone();
        let Some(new) = duplicate_in(&mut after, thing) else {
            return Outcome::refused(GONE);
        };
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        let flawed = self.document.boards.get(thing.at()).is_some_and(|b| {
            thing.kind == ThingKind::Board && (!b.zones.is_empty() || b.warp.is_some())
        });
        self.commit_prepared(&format!("doubling {called}"), after, Change::Job, prepared);
        let without = match flawed {
            true => ", of the same sizes; its own flaws are still to be marked",
            false => "",
        };
        Outcome::done()
            .saying(format!("Added: {}{without}", self.called(&new)))
            .with_thing(new)
    }

    /// Moves a thing to another place of its list.
    pub fn move_in_list(&mut self, thing: &Thing, to: usize) -> Outcome {
        let called = self.called(thing);
        let mut after = self.document.clone();
        let Some(new) = move_in(&mut after, thing, to) else {
            return Outcome::refused(GONE);
        };
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        self.commit_prepared(&format!("moving {called}"), after, Change::Job, prepared);
        Outcome::done().with_thing(new)
    }

    /// The aims that do something, in the maker's order.
    pub(super) fn aims(&self) -> Vec<Aim> {
        let gives = self.job.dimensions.iter().any(Dimension::gives);
        let does_something = |aim: &Aim| match aim {
            Aim::Sizes => gives,
            Aim::Figure => self.job.judge.is_some(),
            Aim::Timber | Aim::Labour | Aim::Offcuts => true,
        };
        self.job
            .order
            .iter()
            .copied()
            .filter(does_something)
            .collect()
    }

    /// Puts one of [`State::aims`](crate::protocol::State::aims) at another place. An aim that is
    /// not offered stays where the file has it.
    pub fn move_aim(&mut self, from: usize, to: usize) -> Outcome {
        let mut order = self.aims();
        if from >= order.len() || to >= order.len() {
            return Outcome::refused(GONE);
        }
        let aim: Aim = order.remove(from);
        order.insert(to, aim);
        let mut after = self.document.clone();
        for (at, aim) in self.document.objective.iter().enumerate() {
            if !order.contains(aim) {
                order.insert(at.min(order.len()), *aim);
            }
        }
        after.objective = order;
        self.commit("what matters most", after, Change::Job);
        Outcome::done()
    }
}
