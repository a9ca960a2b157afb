//! Rings and pith of a board, and what a cupped one finishes at.

use heartside_timber::document::RingRun;
use heartside_timber::job::ZoneKind;

use super::*;

const ONE: &str = r#"{"format": "heartside-job", "version": 3,
    "workshop": {"tools": [{"name": "table saw", "does": ["rip", "crosscut"], "kerf": 3}]},
    "boards": [{"id": "A", "thickness": 27, "rings": {"start": "boxed_heart", "end": "rift", "later": 7},
        "outline": {"form": "tape", "length": 2000, "stations": [
            {"at": 0, "left": 110, "right": 90}, {"at": 2000, "left": 120, "right": 100}]}}]}"#;

fn field(session: &Session, name: &str) -> Option<Field> {
    let form = session.form(&board(0));
    form.fields.into_iter().find(|field| field.name == name)
}

#[test]
fn boxed_heart_is_told_of_until_its_pith_is_marked_or_allowed() {
    let mut session = opened(ONE);
    assert_eq!(
        session.job.boards[0].rings,
        [RingRun::BoxedHeart, RingRun::Rift]
    );
    let before = session.document.clone();
    let open = field(&session, "pith").unwrap();
    assert_eq!(open.text, "open");
    assert!(open.problem.unwrap().contains("pith"));

    assert!(session.set(&board(0), "pith", "marked").done);
    let marked = field(&session, "pith").unwrap();
    assert_eq!((marked.text.as_str(), marked.problem), ("marked", None));
    // A defect like any other from end to end: engines and checker keep out of it.
    let zone = &session.job.boards[0].zones[0];
    let bounds = zone.shape.bounds();
    assert_eq!(zone.kind, ZoneKind::Defect);
    assert_eq!((bounds.min.x, bounds.max.x), (0.0, 2000.0));
    assert_eq!((bounds.min.y, bounds.max.y), (-5.0, 25.0));

    assert!(session.set(&board(0), "pith", "allowed").done);
    let allowed = field(&session, "pith").unwrap();
    assert_eq!((allowed.text.as_str(), allowed.problem), ("allowed", None));
    assert!(session.job.boards[0].zones.is_empty());
    assert!(session.undo().done && session.undo().done);
    assert_eq!(session.document, before);

    // A marked area that somebody called pith is one; taken away, the board is told of again.
    assert!(session.add(ThingKind::Zone, Some(&board(0))).done);
    let zone = Thing::inner(ThingKind::Zone, 0, 0);
    assert!(session.set(&zone, "note", "Pith, wandering").done);
    assert_eq!(field(&session, "pith").unwrap().problem, None);
    assert!(session.remove(&zone).done);
    assert!(field(&session, "pith").unwrap().problem.is_some());
    assert!(session.set(&board(0), "rings.start", "quarter").done);
    assert!(field(&session, "pith").is_none());
}

#[test]
fn rings_are_kept_with_what_is_not_known_of_them_and_harm_no_board() {
    let session = opened(ONE);
    let again = opened(&session.save());
    assert_eq!(again.document.boards, session.document.boards);
    assert!(session.save().contains("\"later\""));
    let wrong = opened(&ONE.replace("\"rift\"", "\"aslant\""));
    assert_eq!(wrong.job.boards.len(), 1);
    assert!(wrong.save().contains("aslant"));
    for run in field(&session, "rings.end").unwrap().choices {
        assert_eq!(run.value == "unknown", run.picture.unwrap().sign.is_empty());
    }
}

#[test]
fn a_measured_cup_tells_what_staves_finish_at() {
    let mut session = opened(ONE);
    assert!(session.form(&board(0)).ripped.is_empty());
    assert!(session.set(&board(0), "warp", "measured").done);
    assert!(session.set(&board(0), "warp.cup.gap", "4").done);
    assert!(field(&session, "warp.cup.gap").unwrap().picture.is_some());
    let rows = session.form(&board(0)).ripped;
    assert_eq!((rows[0].staves, rows[0].finishes_at.as_str()), (1, "21.4"));
    assert_eq!(rows[1].staves, 2);
}
