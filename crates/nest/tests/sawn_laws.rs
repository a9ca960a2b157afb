//! Laws of the search by line on random small jobs, alone and as the job says.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use crate::law;

use heartside_app::still_sound::still_sound;
use heartside_nest::{Search, Settings, WayWanted, bound_of};
use heartside_testkit as testkit;
use heartside_timber::document::{Cuts, Document};
use heartside_timber::job::Job;
use heartside_timber::plan::{Plan, UnplacedReason, Way};
use heartside_timber::prepare::prepare;
use heartside_timber::score::Score;
use law::{broken, in_a_workshop, pins_are_kept};
use proptest::prelude::*;

/// Two boards, six pieces, most of them sawn; in a workshop at random, one in two of which may lack things.
fn job(seed: u32, shop: u32) -> Job {
    let size = testkit::JobSize {
        boards: 2,
        pieces: 6,
        sawn: 60,
    };
    let mut document = in_a_workshop(seed, size, shop);
    // Some boards are for line alone, so that both engines have a share of the job.
    if seed.is_multiple_of(3) {
        document.boards[0].cuts = Cuts::Sawn;
    }
    prepare(&document).job
}

fn settings(seed: u32, way: WayWanted) -> Settings {
    Settings {
        seed,
        way,
        ..Settings::default()
    }
}

fn way() -> impl Strategy<Value = WayWanted> {
    prop_oneof![Just(WayWanted::Sawn), Just(WayWanted::AsJob)]
}

fn planned(job: &Job, from: Option<&Plan>, steps: u64) -> (Plan, Score) {
    let mut search = Search::new(job, settings(1, WayWanted::AsJob)).unwrap();
    if let Some(plan) = from {
        search.go_on_from(plan.layouts.clone());
    }
    search.step(steps);
    (search.best().clone(), search.score().clone())
}

/// A document all of whose boards are sawn by line.
fn by_line(document: &Document) -> Document {
    let mut document = document.clone();
    for board in &mut document.boards {
        board.cuts = Cuts::Sawn;
    }
    document
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Stopping and going on changes nothing.
    #[test]
    fn steps_add_up(seed in 0..1000u32, way in way(), a in 0..80u64, b in 0..80u64) {
        let job = job(seed, seed);
        let mut once = Search::new(&job, settings(seed, way)).unwrap();
        let mut twice = Search::new(&job, settings(seed, way)).unwrap();
        once.step(a + b);
        twice.step(a);
        twice.step(b);
        prop_assert_eq!(once.best(), twice.best());
    }

    /// More steps never worsen the best, and no plan goes under the bound.
    #[test]
    fn the_best_never_worsens(seed in 0..1000u32, way in way()) {
        let job = job(seed, seed);
        let mut search = Search::new(&job, settings(seed, way)).unwrap();
        let mut before = search.score().clone();
        for _ in 0..5 {
            search.step(40);
            prop_assert!(!before.better_than(search.score(), &job.order));
            before = search.score().clone();
        }
        prop_assert_eq!(&Score::of(&job, search.best()), search.score());
        if search.best().unplaced.iter().all(|u| u.reason != UnplacedReason::NoRoom) {
            prop_assert!(bound_of(&job).value <= search.score().cost + 1e-6);
        }
    }

    /// Whatever the tools: every plan can be sawn, everything is accounted for, and by line alone nothing is laid
    /// out for straight cuts.
    #[test]
    fn any_workshop_gives_a_legal_plan(seed in 0..1000u32, shop in 0..10_000u32, way in way()) {
        let job = job(seed, shop);
        let mut search = Search::new(&job, settings(seed, way)).unwrap();
        search.step(150);
        prop_assert_eq!(broken(&job, search.best()), Vec::<String>::new());
        let placed = search.best().placed_count() as u64;
        let unplaced: u64 = search.best().unplaced.iter().map(|u| u.copies.len() as u64).sum();
        prop_assert_eq!(placed + unplaced, job.piece_count());
        if way == WayWanted::Sawn {
            prop_assert!(search.best().layouts.iter().all(|l| l.way == Way::Sawn));
        }
    }

    /// Pins stay where they are, and the rest is laid out round them.
    #[test]
    fn pins_stay(seed in 0..1000u32, every in 1..4usize, way in way()) {
        pins_are_kept(job(seed, 1), settings(seed, way), every, (60, 120));
    }

    /// A plan of a job holds for an easier one, and going on from it never ends with a worse one.
    #[test]
    fn an_easier_job_is_planned_no_worse(seed in 0..1000u32) {
        let twins = testkit::twins(seed, 60.0, |document| {
            planned(&prepare(document).job, None, 40).0
        });
        let (harder, easier) = (prepare(&by_line(&twins.harder)).job, prepare(&by_line(&twins.easier)).job);
        let (plan, _) = planned(&harder, None, 40);
        let kept = Plan { layouts: still_sound(&easier, &plan), ..Plan::default() };
        if twins.easing != testkit::Easing::PieceFewer {
            prop_assert_eq!(kept.placed_count(), plan.placed_count(), "{}", twins.told);
        }
        let (after, score) = planned(&easier, Some(&kept), 40);
        prop_assert!(!Score::of(&easier, &kept).better_than(&score, &easier.order), "{}", twins.told);
        prop_assert_eq!(broken(&easier, &after), Vec::<String>::new());
    }
}
