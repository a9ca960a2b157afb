//! Sizes and staves give while the rest of a job is planned, too: what is sawn stays as it was sawn.

#![allow(clippy::unwrap_used)]

use crate::disturbed;

use disturbed::{DISTURBANCES, cut_some, disturb, document_of, set_out};
use heartside_app::session::Session;
use heartside_check::check;
use heartside_testkit::{Chance, joined_job, panels_job, sizes_job};
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::job::Job;
use heartside_timber::prepare::prepare;

/// What is in hand, with its finished length, width and thickness.
fn in_hand(job: &Job) -> Vec<(String, u32, [f64; 3])> {
    let parts = job.parts.iter();
    let held = parts.flat_map(|p| {
        let size = [p.length(), p.width(), p.thickness];
        p.in_hand.iter().map(move |c| (p.id.clone(), *c, size))
    });
    held.collect()
}

fn assert_sound(document: &Document, when: &str) {
    let job = prepare(document).job;
    let Some(plan) = &document.plan else { return };
    let broken: Vec<String> = check(&job, plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .map(|f| f.message)
        .collect();
    assert!(broken.is_empty(), "{} {when}: {broken:?}", document.title);
}

/// How many jobs had something in hand, and in how many the rest gave way otherwise than before.
fn go_through(jobs: impl Iterator<Item = Document>, steps: u32) -> (u32, u32) {
    let (mut cut, mut gave) = (0, 0);
    for (seed, document) in (0..).zip(jobs) {
        let mut chance = Chance::new(seed);
        let mut session = Session::default();
        assert!(session.open(&document.save()).accepted);
        set_out(&mut session, steps);
        cut_some(&mut session, &mut chance);
        let before = document_of(&session);
        let held = in_hand(&prepare(&before).job);
        assert_sound(&before, "after some cuts");
        if held.is_empty() {
            continue;
        }
        cut += 1;
        let what = *chance.one_of(&DISTURBANCES[..3]);
        disturb(&mut session, &mut chance, what);
        let disturbed = document_of(&session);
        if set_out(&mut session, steps).is_none() {
            continue;
        }
        let after = document_of(&session);
        assert_sound(&after, "after the rest was set out");
        let now = in_hand(&prepare(&after).job);
        // What set-out found free already is in hand besides.
        for one in &held {
            assert!(now.contains(one), "{}: {one:?} in {now:?}", document.title);
        }
        let chosen = |d: &Document| {
            let plan = d.plan.clone().unwrap_or_default();
            (plan.dimensions, plan.panels)
        };
        gave += u32::from(chosen(&after) != chosen(&disturbed));
        while document_of(&session).plan != disturbed.plan {
            assert!(session.undo().done, "{}: undo gives back", document.title);
        }
        assert_eq!(in_hand(&prepare(&document_of(&session)).job), held);
    }
    (cut, gave)
}

#[test]
fn sizes_of_what_is_sawn_stay_and_the_others_give() {
    let (cut, _) = go_through((0..24).map(sizes_job), 1_000);
    assert!(cut >= 12, "only {cut} jobs had something in hand");
}

#[test]
fn staves_that_are_sawn_stay_and_the_others_give() {
    let (cut, gave) = go_through((0..8).map(panels_job), 500);
    assert!(cut >= 4, "only {cut} jobs had something in hand");
    assert!(
        gave >= 1,
        "no panel was glued from other staves than before"
    );
}

#[test]
fn pieces_of_staves_that_are_sawn_stay_as_they_are() {
    let (cut, _) = go_through((0..8).map(joined_job), 500);
    assert!(cut >= 4, "only {cut} jobs had something in hand");
}
