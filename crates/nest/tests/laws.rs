//! Laws of the search for straight cuts on random small jobs; those by line stand in `sawn_laws`.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use crate::law;

use heartside_nest::{Search, Settings, TreeResult, WayWanted, bound_of, tree_for};
use heartside_testkit as testkit;
use heartside_timber::document::Cuts;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, UnplacedReason, Way};
use heartside_timber::prepare::prepare;
use heartside_timber::score::Score;
use law::{broken, in_a_workshop, pins_are_kept};
use proptest::prelude::*;

fn small_job(seed: u32) -> Job {
    let size = testkit::JobSize {
        boards: 3,
        pieces: 10,
        sawn: 20,
    };
    prepare(&testkit::workshop_job(seed, size)).job
}

fn settings(seed: u32) -> Settings {
    Settings {
        seed,
        way: WayWanted::Straight,
        ..Settings::default()
    }
}

/// The small job in a workshop at random, one in two of which may lack things.
fn small_job_in_a_workshop(seed: u32, shop: u32) -> Job {
    let size = testkit::JobSize {
        boards: 3,
        pieces: 10,
        sawn: 20,
    };
    prepare(&in_a_workshop(seed, size, shop)).job
}

fn pins_of_a_small_job_are_kept(seed: u32, every: usize) {
    pins_are_kept(small_job(seed), settings(seed), every, (300, 700));
}

/// Blanks laid right beside a screw: worked out anew, their edges lie a rounding error within its margin.
#[test]
fn pins_stay_beside_a_screw() {
    for (seed, every) in [(749, 1), (749, 3), (800, 1), (800, 3)] {
        pins_of_a_small_job_are_kept(seed, every);
    }
}

fn a_tree_is_found(seed: u32, any_tools: bool) {
    let wanted = testkit::CutApart {
        outfit: any_tools.then_some(testkit::Outfit::Sensible),
        ..testkit::CutApart::default()
    };
    let document = testkit::cut_apart(seed, wanted);
    let job = prepare(&document).job;
    let mut plan = document.plan.clone().unwrap();
    for layout in &mut plan.layouts {
        let board = job.board_index(&layout.board.board).unwrap();
        match tree_for(&job, board, &layout.placements, 100_000) {
            TreeResult::Tree(tree, frame) => {
                layout.cuts = Some(tree);
                layout.frame = frame;
            }
            other => panic!("seed {seed}: no tree for {}: {other:?}", layout.board.board),
        }
    }
    assert_eq!(broken(&job, &plan), Vec::<String>::new(), "seed {seed}");
}

/// The saw with the least kerf trims raw edges, but leaves none that a rip fence can guide by.
#[test]
fn a_tree_is_found_where_waste_must_leave_a_true_edge() {
    a_tree_is_found(153, true);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Stopping and going on changes nothing.
    #[test]
    fn steps_add_up(seed in 0..1000u32, a in 0..900u64, b in 0..900u64) {
        let job = small_job_in_a_workshop(seed, seed);
        let mut once = Search::new(&job, settings(seed)).unwrap();
        let mut twice = Search::new(&job, settings(seed)).unwrap();
        once.step(a + b);
        twice.step(a);
        twice.step(b);
        prop_assert_eq!(once.best(), twice.best());
    }

    /// More steps never worsen the best, and no plan goes under the bound.
    #[test]
    fn the_best_never_worsens(seed in 0..1000u32) {
        let job = small_job_in_a_workshop(seed, seed);
        let mut search = Search::new(&job, settings(seed)).unwrap();
        let mut before = search.score().clone();
        for _ in 0..6 {
            search.step(200);
            prop_assert!(!before.better_than(search.score(), &job.order));
            before = search.score().clone();
        }
        prop_assert_eq!(&Score::of(&job, search.best()), search.score());
        let could_all = search.best().unplaced.iter().all(|u| u.reason != UnplacedReason::NoRoom);
        if could_all {
            prop_assert!(bound_of(&job).value <= search.score().cost + 1e-6);
        }
    }

    /// Whatever the tools: every plan can be sawn, nothing hangs, everything is accounted for.
    #[test]
    fn any_workshop_gives_a_legal_plan(seed in 0..1000u32, shop in 0..10_000u32, any_way in any::<bool>()) {
        let job = small_job_in_a_workshop(seed, shop);
        let way = if any_way { WayWanted::AsJob } else { WayWanted::Straight };
        let mut search = Search::new(&job, Settings { way, ..settings(seed) }).unwrap();
        search.step(700);
        prop_assert_eq!(broken(&job, search.best()), Vec::<String>::new());
        let placed = search.best().placed_count() as u64;
        let unplaced: u64 = search.best().unplaced.iter().map(|u| u.copies.len() as u64).sum();
        prop_assert_eq!(placed + unplaced, job.piece_count());
    }

    /// Pins stay where they are, and the rest is laid out round them by legal cuts.
    #[test]
    fn pins_stay(seed in 0..1000u32, keep in 1..4usize) {
        pins_of_a_small_job_are_kept(seed, keep);
    }

    /// A layout that was cut apart by a legal tree has an order of cuts that the checker accepts.
    #[test]
    fn a_tree_is_found_for_what_was_cut_apart(seed in 0..1000u32, any_tools in any::<bool>()) {
        a_tree_is_found(seed, any_tools);
    }

    /// A plan found by one worker is taken over by another only if it is better, and stays legal from there.
    #[test]
    fn workers_exchange_plans(seed in 0..1000u32) {
        let job = small_job_in_a_workshop(seed, seed);
        let worker = |worker| Settings { worker, workers: 2, ..settings(seed) };
        let mut first = Search::new(&job, worker(0)).unwrap();
        let mut second = Search::new(&job, worker(1)).unwrap();
        first.step(900);
        second.step(20);
        let better = first.score().better_than(second.score(), &job.order);
        prop_assert_eq!(second.adopt(first.best()), better);
        prop_assert!(!first.score().better_than(second.score(), &job.order));
        second.step(600);
        prop_assert!(!first.score().better_than(second.score(), &job.order));
        prop_assert_eq!(broken(&job, second.best()), Vec::<String>::new());
    }
}

/// The same four blanks round a middle one, each reaching past the next: no first cut.
#[test]
fn a_pinwheel_is_inseparable() {
    let job = small_job(3);
    let part = &job.parts[0];
    let (length, width) = (
        part.length() + 2.0 * part.allowances.end,
        part.width() + 2.0 * part.allowances.edge,
    );
    let place = |x: f64, y: f64, turn: f64, copy: u32| heartside_timber::plan::Placement {
        part: part.id.clone(),
        copy,
        at: heartside_timber::plan::Placed {
            x,
            y,
            turn,
            turned_over: false,
        },
        ..heartside_timber::plan::Placement::default()
    };
    let (a, b) = (part.allowances.end, part.allowances.edge);
    let gap = 6.0;
    let reach = length + gap;
    // Lower left corners of the four blanks of a pinwheel whose arms are `width` wide.
    let placements = vec![
        place(a, b, 0.0, 1),
        place(reach + width - b, a, 90.0, 2),
        place(width + gap + a, reach + b, 0.0, 3),
        place(width - b, width + gap + a, 90.0, 4),
    ];
    let result = tree_for(&job, 0, &placements, 10_000);
    assert_eq!(result, TreeResult::Inseparable(vec![0, 1, 2, 3]));
}

#[test]
fn a_board_to_be_sawn_is_left_alone() {
    let mut job = small_job(5);
    job.boards[0].cuts = Cuts::Sawn;
    let sawn = job.boards[0].id.clone();
    let mut search = Search::new(&job, settings(1)).unwrap();
    search.step(500);
    let straight = |l: &Layout| l.way == Way::Straight && l.board.board != sawn;
    assert!(search.best().layouts.iter().all(straight));
}
