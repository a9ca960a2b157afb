//! What is done with a job on the floor, and what is then shown of it.

mod at_bench;
mod by_hand;
mod editing;
mod faces;
mod figure_maps;
mod files_out;
mod opening;
mod panels;
mod photos;
mod rings;
mod setting_out;
mod shown;
mod typing;

use heartside_testkit::{JobSize, workshop_job};
use heartside_timber::document::{Aim, Document};
use heartside_timber::plan::Plan;

use super::Session;
use crate::protocol::*;
use crate::search::Search;

const DESK: &str = include_str!("../../../../../fixtures/writing-desk.heartside.json");
const STOOL: &str = include_str!("../../../../../fixtures/step-stool.heartside.json");
const BENCH: &str = include_str!("../../../../../fixtures/bench-that-does-not-fit.heartside.json");

fn opened(text: &str) -> Session {
    let mut session = Session::default();
    let opened = session.open(text);
    assert!(opened.accepted, "{:?}", opened.problems);
    session
}

/// Two boards and four parts.
pub(super) fn small_workshop() -> Session {
    let size = JobSize {
        boards: 2,
        pieces: 4,
        sawn: 0,
    };
    opened(&workshop_job(3, size).save())
}

/// A board by tape, 2,000 long, and nothing else.
pub(super) fn one_board() -> Session {
    opened(
        r#"{"format": "heartside-job", "version": 3, "boards": [{"id": "A", "thickness": 27,
        "outline": {"form": "tape", "length": 2000, "stations": [
            {"at": 0, "left": 100, "right": 110}, {"at": 2000, "left": 120, "right": 110}]}}]}"#,
    )
}

fn view(place: PageName) -> View {
    View {
        place,
        ..View::default()
    }
}

fn state(session: &mut Session, place: PageName) -> State {
    session.state(place, &View::default())
}

fn board(row: usize) -> Thing {
    Thing::row(ThingKind::Board, row)
}

fn part(row: usize) -> Thing {
    Thing::row(ThingKind::Part, row)
}

/// Sets a job out with one worker's search, as the page does; the number of plans taken.
fn set_out(session: &mut Session, rounds: u32, steps: u32) -> usize {
    let start = session.begin_set_out();
    assert!(start.ready, "{:?}", start.problem);
    let mut search = Search::new(
        &start.document,
        &SearchSettings {
            seed: 1,
            worker: 0,
            workers: 1,
            ..Default::default()
        },
    );
    assert_eq!(search.problem(), None);
    let mut taken = 0;
    for _ in 0..rounds {
        let status = search.step(steps);
        if let Some(best) = search.best() {
            let offered = session.offer(&best, start.revision);
            assert_eq!(offered.problem, None);
            taken += usize::from(offered.taken);
        }
        if status.finished {
            break;
        }
    }
    session.end_set_out();
    taken
}
