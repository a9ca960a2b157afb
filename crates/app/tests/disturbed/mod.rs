//! Generated jobs, cut into and disturbed as a maker at the bench does it.

#![allow(clippy::unwrap_used)]

pub(crate) use crate::searched;

use heartside_app::protocol::{Answer, Ask, AskKind, Bench, CopyOf, PageName, PartState, View};
use heartside_app::session::Session;
use heartside_testkit::Chance;
use heartside_timber::document::{BoardCopy, Document};
use heartside_timber::plan::Layout;
use heartside_timber::prepare::prepare;

/// What a maker meets in the middle of a job.
pub(crate) const DISTURBANCES: [&str; 4] = ["sprung", "fixing", "short", "spoiled"];

/// Sets out as the page does; the document that was searched, if there was anything to search.
pub(crate) fn set_out(session: &mut Session, steps: u32) -> Option<Document> {
    let start = session.begin_set_out();
    if !start.ready {
        return None;
    }
    let document = Document::open(&start.document).unwrap().document;
    let (_, plan) = searched::set_out(&document, steps);
    let offered = session.offer(&serde_json::to_string(&plan).unwrap(), start.revision);
    assert_eq!(offered.problem, None, "{}", document.title);
    session.end_set_out();
    Some(document)
}

pub(crate) fn document_of(session: &Session) -> Document {
    Document::open(&session.save()).unwrap().document
}

pub(crate) fn bench(session: &mut Session) -> Bench {
    let view = View {
        place: PageName::Bench,
        ..View::default()
    };
    session.state(PageName::Bench, &view).bench
}

/// Makes some of the cuts, in any order in which they can be made.
pub(crate) fn cut_some(session: &mut Session, chance: &mut Chance) {
    let all: usize = bench(session).set_ups.iter().map(|s| s.steps.len()).sum();
    for _ in 0..all * (20 + chance.below(50)) / 100 {
        let now = bench(session);
        let steps = now.set_ups.iter().flat_map(|s| &s.steps);
        let ready: Vec<&String> = steps.filter(|s| s.ready).map(|s| &s.tick).collect();
        if ready.is_empty() {
            return;
        }
        let tick = (*chance.one_of(&ready)).clone();
        let outcome = session.tick(&tick);
        assert!(outcome.done, "{:?}", outcome.problem);
    }
}

fn measure(session: &mut Session, board: &BoardCopy, answers: &[(&str, String)]) -> bool {
    let answers = answers.iter().map(|(name, text)| Answer {
        name: (*name).to_owned(),
        text: text.clone(),
    });
    let ask = Ask {
        kind: AskKind::Measure,
        board: Some(CopyOf {
            id: board.board.clone(),
            copy: board.copy,
        }),
        answers: answers.collect(),
        ..Ask::default()
    };
    session.answer(&ask).done
}

/// Something happens to a piece that parts are still to be sawn from; true if something did.
pub(crate) fn disturb(session: &mut Session, chance: &mut Chance, what: &str) -> bool {
    let document = document_of(session);
    let job = prepare(&document).job;
    if what == "spoiled" {
        let parts = bench(session).parts;
        let copies = parts.iter().flat_map(|p| &p.copies);
        let held = copies.filter(|c| c.state == PartState::InHand);
        let held: Vec<&CopyOf> = held.map(|c| &c.part).collect();
        if held.is_empty() {
            return false;
        }
        let one = *chance.one_of(&held);
        return session.spoil(&one.id, one.copy).done;
    }
    let layouts = document.plan.iter().flat_map(|p| &p.layouts);
    let layouts: Vec<&Layout> = layouts.filter(|l| !l.placements.is_empty()).collect();
    if layouts.is_empty() {
        return false;
    }
    let layout = *chance.one_of(&layouts);
    let board = job.board(&layout.board.board).unwrap();
    let bounds = board.outline.bounds();
    let answers = match what {
        "sprung" => {
            let gap = *chance.one_of(&["2", "3.5"]);
            let edge = *chance.one_of(&["right", "left"]);
            vec![
                (
                    ["right_edge", "left_edge"][usize::from(edge == "left")],
                    "hollow".to_owned(),
                ),
                (
                    ["right_gap", "left_gap"][usize::from(edge == "left")],
                    gap.to_owned(),
                ),
            ]
        }
        "short" => vec![("length", format!("{}", bounds.width() - 15.0))],
        _ => {
            let lying = chance.one_of(&layout.placements);
            let middle = job.part(&lying.part).unwrap().outline.bounds().centre();
            let at = lying.pose().apply(middle);
            let (x, y) = (at.x - bounds.min.x, at.y - bounds.min.y);
            let kind = *chance.one_of(&["wood", "metal"]);
            vec![
                ("found", kind.to_owned()),
                ("begins", format!("{}", x - 4.0)),
                ("ends", format!("{}", x + 4.0)),
                ("near", format!("{}", y - 4.0)),
                ("far", format!("{}", y + 4.0)),
            ]
        }
    };
    measure(session, &layout.board.clone(), &answers)
}
