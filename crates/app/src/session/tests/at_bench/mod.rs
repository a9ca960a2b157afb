//! Cuts that are made, taken back and made otherwise; pieces measured; the rest set out again.
//!
//! Most of it is laws over random orders of what can be done.

mod any_order;
mod bad_input;
mod change_words;
mod cuts;
mod questions;
mod shown;
mod whole_job;

use heartside_testkit::{Chance, JobSize, related_job, workshop_job};
use heartside_timber::document::Document;

use super::*;

/// A demo job set out, as the page does.
fn planned(text: &str) -> Session {
    let mut session = opened(text);
    assert!(set_out(&mut session, 1, 1_000) > 0);
    assert!(session.judged.as_ref().unwrap().is_sound());
    session
}

/// A generated job, half of its parts sawn by line.
fn generated(seed: u32) -> String {
    let size = JobSize {
        boards: 3,
        pieces: 9,
        sawn: 50,
    };
    workshop_job(seed, size).save()
}

/// A generated job with slip or book matched doors, on boards cut by straight cuts or by line.
fn with_leaves(seed: u32) -> String {
    related_job(seed).save()
}

fn bench(session: &mut Session) -> Bench {
    state(session, PageName::Bench).bench
}

/// The ticks of all cuts that can be made now.
fn ready(session: &Session) -> Vec<String> {
    let steps = &session.judged.as_ref().unwrap().steps;
    let ready = steps.iter().filter(|s| s.is_ready());
    ready.map(|s| session.tick_of(s)).collect()
}

fn tick_any(session: &mut Session, chance: &mut Chance) -> bool {
    let ready = ready(session);
    if ready.is_empty() {
        return false;
    }
    let tick = chance.one_of(&ready).clone();
    let outcome = session.tick(&tick);
    assert!(outcome.done, "{:?}", outcome.problem);
    assert!(outcome.announce.is_some());
    true
}

/// Makes cuts as they come until a part is in hand; which.
fn one_in_hand(session: &mut Session) -> CopyOf {
    for _ in 0..40 {
        let rows = bench(session).parts;
        let mut held = rows.iter().flat_map(|p| &p.copies);
        if let Some(copy) = held.find(|c| c.state == PartState::InHand) {
            return copy.part.clone();
        }
        let tick = bench(session).next.expect("a cut is left");
        assert!(session.tick(&tick).done);
    }
    panic!("no part came free");
}

/// A document without its revisions: no number is given out twice.
fn without_revision(document: &Document) -> Document {
    let mut document = document.clone();
    document.revision = 0;
    if let Some(plan) = &mut document.plan {
        plan.revision = 0;
    }
    document
}

fn counts(bench: &Bench) -> (usize, usize, usize) {
    let copies = || bench.parts.iter().flat_map(|p| &p.copies);
    let of = |state| copies().filter(|c| c.state == state).count();
    (
        of(PartState::InHand),
        of(PartState::ToSaw),
        of(PartState::Waiting),
    )
}

fn ask(kind: AskKind, board: Option<CopyOf>, answers: &[(&str, &str)]) -> Ask {
    let answers = answers.iter().map(|(name, text)| Answer {
        name: (*name).to_owned(),
        text: (*text).to_owned(),
    });
    Ask {
        kind,
        board,
        answers: answers.collect(),
        ..Ask::default()
    }
}

/// A piece that lies there and is no blank.
fn a_piece(session: &mut Session) -> CopyOf {
    let mut chance = Chance::new(3);
    for _ in 0..6 {
        tick_any(session, &mut chance);
    }
    let pieces = session.job.boards.iter();
    let mut pieces = pieces.filter(|b| b.from.is_some() && b.is_usable());
    let widest = |b: &&heartside_timber::job::Board| b.outline.area() as u64;
    let piece = pieces
        .by_ref()
        .max_by_key(widest)
        .expect("a piece lies there");
    CopyOf {
        id: piece.id.clone(),
        copy: 1,
    }
}
