//! The floor by prices: no plan of its class is under it.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use crate::law;

use std::sync::Arc;

use heartside_nest::{Floor, Giving, Search, Settings, WayWanted, is_square};
use heartside_testkit as testkit;
use heartside_timber::document::Document;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::{prepare, prepare_with};
use heartside_timber::score::Score;
use law::in_a_workshop;
use proptest::prelude::*;

/// The floor when nothing more comes of it, or after so many steps.
fn floor(job: &Job, plan: &Plan, most: usize) -> Option<f64> {
    let mut floor = Floor::of(job, plan)?;
    let mut before = floor.bound().value;
    for _ in 0..most {
        floor.step(job);
        assert!(floor.bound().value >= before, "a floor that sinks");
        before = floor.bound().value;
    }
    Some(before)
}

/// True where the floor was held against the plan.
fn is_not_above(job: &Job, plan: &Plan, what: &str) -> bool {
    let missing: f64 = Score::of(job, plan).missing.iter().sum();
    if missing > 0.0 || !is_square(job, plan) {
        return false;
    }
    let Some(floor) = floor(job, plan, 700) else {
        return false;
    };
    let cost = Score::of(job, plan).cost;
    assert!(
        floor <= cost + 1e-6 * (1.0 + cost.abs()),
        "{what}: a floor of {floor}, a plan for {cost}"
    );
    true
}

/// Boards cut apart into the job's parts, and as many boards again: if the floor took too little room for
/// anything it would ask for one of these.
#[test]
fn boards_that_were_cut_apart_suffice() {
    let mut held = 0;
    for seed in 0..40 {
        let wanted = testkit::CutApart {
            boards: 1 + seed as usize % 3,
            parts_a_board: 4 + seed as usize % 5,
            waste: [0, 3, 12][seed as usize % 3],
            outfit: (seed % 2 == 1).then_some(testkit::Outfit::Sensible),
            ..testkit::CutApart::default()
        };
        let mut document = testkit::cut_apart(seed, wanted);
        let plan = document.plan.clone().unwrap();
        document.boards.iter_mut().for_each(|b| b.count = Some(2.0));
        held += u32::from(is_not_above(
            &prepare(&document).job,
            &plan,
            &format!("cut apart {seed}"),
        ));
    }
    assert!(held >= 35, "only {held} of 40 are of the class");
}

/// Found by searches, on boards as they come: tapered, flawed, raw or straight, some sawn by line, kept
/// offcuts worth something or not.
fn searched(seed: u32, shop: Option<u32>) -> (Job, Plan) {
    let size = testkit::JobSize {
        boards: 3 + seed as usize % 4,
        pieces: 4 + seed as usize % 9,
        sawn: if seed.is_multiple_of(3) { 20 } else { 0 },
    };
    let mut document = match shop {
        Some(shop) => in_a_workshop(seed, size, shop),
        None => testkit::workshop_job(seed, size),
    };
    if seed % 4 == 1 {
        document.timber_rate = Some(900.0);
        document.offcut_value = Some(400.0);
        document.boards.iter_mut().for_each(|b| b.price = None);
    }
    let job = prepare(&document).job;
    let mut search = Search::new(
        &job,
        Settings {
            seed,
            ..Settings::default()
        },
    )
    .unwrap();
    search.step(1_500);
    let plan = search.best().clone();
    (job, plan)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20))]

    #[test]
    fn no_plan_of_its_class_is_under_it(seed in 0..5_000u32, shop in prop::option::of(0..10_000u32)) {
        let (job, plan) = searched(seed, shop);
        is_not_above(&job, &plan, &format!("job {seed} in {shop:?}"));
        // A part less is no dearer, nor is more timber: the plan without it, or as it is, is still one.
        let mut less = job.clone();
        let gone = less.parts.remove(seed as usize % job.parts.len());
        let mut rest = plan.clone();
        rest.layouts = rest.layouts.into_iter().map(|l| l.without(|copy| copy.part == gone.id)).collect();
        rest.layouts.retain(|l| !l.placements.is_empty());
        rest.unplaced.retain(|u| u.part != gone.id);
        is_not_above(&less, &rest, &format!("job {seed} less {}", gone.id));
        let mut more = job;
        more.boards.iter_mut().for_each(|b| b.count += 1);
        is_not_above(&more, &plan, &format!("job {seed} with more boards"));
    }
}

fn giving(document: &Document, floor: bool) -> Giving {
    let job = prepare(document).job;
    let document = document.clone();
    let remake = Arc::new(move |choices: &_| prepare_with(&document, choices).job);
    Giving::new(
        &job,
        Settings {
            floor,
            way: WayWanted::Straight,
            ..Settings::default()
        },
        remake,
    )
    .unwrap()
}

/// Stopping and going on changes nothing of the floor, and the floor nothing of the plan.
#[test]
fn steps_add_up_and_plans_are_as_without() {
    let size = testkit::JobSize {
        boards: 4,
        pieces: 12,
        sawn: 0,
    };
    for (seed, document) in [
        (1, testkit::workshop_job(1, size)),
        (2, testkit::sizes_job(2)),
        (3, testkit::panel_job(3)),
    ] {
        let mut once = giving(&document, true);
        let mut often = giving(&document, true);
        let mut without = giving(&document, false);
        once.step(4_000);
        for n in [1, 99, 100, 0, 137, 1_663, 2_000] {
            often.step(n);
        }
        without.step(4_000);
        assert_eq!(once.bound(), often.bound(), "job {seed}");
        assert_eq!(once.best().layouts, often.best().layouts, "job {seed}");
        assert_eq!(once.best().layouts, without.best().layouts, "job {seed}");
        assert!(once.bound().value >= without.bound().value, "job {seed}");
    }
}

/// A desk whose staves are typed in one by one: areas alone come to under half of what any plan costs.
#[test]
fn it_tells_more_than_areas() {
    let text = include_str!("../../timber/tests/form-3/writing-desk.heartside.json");
    let job = prepare(&Document::open(text).unwrap().document).job;
    let mut search = Search::new(&job, Settings::default()).unwrap();
    search.step(6_000);
    let cost = search.score().cost;
    let by_area = search.bound().value;
    let floor = floor(&job, search.best(), 1_500).unwrap();
    assert!(
        floor > 1.15 * by_area && floor <= cost,
        "{by_area} by areas, {floor} by prices, {cost} planned"
    );
}
