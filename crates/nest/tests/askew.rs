//! Layouts whose staves lie at different small angles get an order of cuts that can be sawn.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use heartside_check::check;
use heartside_nest::{TreeResult, tree_for};
use heartside_testkit::{TiltedStaves, pinned_layouts, tilted_staves};
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Plan, UnplacedReason};
use heartside_timber::prepare::prepare;

const STEPS: u64 = 20_000;

/// How many proposals are tried; by hand 300.
fn proposals() -> u32 {
    let asked = std::env::var("HEARTSIDE_PROPOSALS").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(40)
}

/// The pinned layouts of a job with their trees; for a board that cannot be cut up the parts named.
fn cut_up(document: &Document) -> (Job, Vec<Result<Layout, Vec<usize>>>) {
    let job = prepare(document).job;
    let layouts = pinned_layouts(document).into_iter();
    let found = layouts.map(|mut layout| {
        let board = job.board_index(&layout.board.board).unwrap();
        match tree_for(&job, board, &layout.placements, STEPS) {
            TreeResult::Tree(tree, frame) => {
                layout.cuts = Some(tree);
                layout.frame = frame;
                Ok(layout)
            }
            TreeResult::Inseparable(places) => Err(places),
            TreeResult::GaveUp => Err(Vec::new()),
        }
    });
    let found = found.collect();
    (job, found)
}

/// What the checker finds broken, but that the other parts are not placed.
fn broken(job: &Job, layouts: Vec<Layout>) -> Vec<String> {
    let placed: Vec<_> = layouts.iter().flat_map(|l| &l.placements).collect();
    let missing = |part: &heartside_timber::job::Part| {
        let is_open = |copy: &u32| !placed.iter().any(|p| p.part == part.id && p.copy == *copy);
        let copies: Vec<u32> = part.wanted().filter(is_open).collect();
        (!copies.is_empty()).then(|| heartside_timber::plan::Unplaced {
            part: part.id.clone(),
            copies,
            reason: UnplacedReason::NoRoom,
            least_board: None,
            longest: None,
        })
    };
    let mut job = job.clone();
    let kept: Vec<_> = placed.iter().map(|p| p.part_copy()).collect();
    job.pins.retain(|pin| kept.contains(&pin.part));
    let plan = Plan {
        unplaced: job.parts.iter().filter_map(missing).collect(),
        layouts,
        ..Plan::default()
    };
    let found = check(&job, &plan).into_iter();
    let found = found.filter(|f| f.severity == Severity::Broken);
    found
        .map(|f| format!("{}: {}", f.cause, f.message))
        .collect()
}

#[test]
fn every_proposal_that_is_cut_up_is_legal() {
    let (mut cut, mut turned, mut not) = (0, 0, Vec::new());
    for seed in 0..proposals() {
        let document = tilted_staves(seed, TiltedStaves::default());
        let (job, found) = cut_up(&document);
        for (place, found) in found.into_iter().enumerate() {
            match found {
                Ok(layout) => {
                    cut += 1;
                    let nodes = &layout.cuts.as_ref().unwrap().nodes;
                    let turns = |n: &&heartside_timber::plan::CutNode| {
                        n.cut().is_some_and(|cut| cut.angle != 0.0)
                    };
                    turned += nodes.iter().filter(turns).count();
                    let wrong = broken(&job, vec![layout]);
                    assert_eq!(wrong, Vec::<String>::new(), "seed {seed}");
                }
                Err(places) => not.push((seed, place, places)),
            }
        }
    }
    println!("{cut} boards cut up, {turned} cuts turn; not: {not:?}");
    assert!(
        turned > cut && not.len() * 4 < cut,
        "{cut}, {turned}, {not:?}"
    );
}
