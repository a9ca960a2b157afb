//! Layouts whose staves lie at different small angles get an order of cuts that can be sawn.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use heartside_check::check;
use heartside_nest::{Search, Settings, TreeResult, tree_crosscut_first, tree_for};
use heartside_testkit::{TiltedStaves, mirrored, pinned_layouts, tilted_staves};
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Plan, UnplacedReason};
use heartside_timber::prepare::prepare;
use serde_json::json;

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

fn all_broken(job: &Job, plan: &Plan) -> Vec<String> {
    let found = check(job, plan).into_iter();
    let found = found.filter(|f| f.severity == Severity::Broken);
    found
        .map(|f| format!("{}: {}", f.cause, f.message))
        .collect()
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
    all_broken(&job, &plan)
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

/// What a job comes to after some steps: pieces placed beside the pins, and the cost.
fn planned(document: &Document, steps: u64) -> (usize, f64) {
    let job = prepare(document).job;
    let settings = Settings {
        seed: 7,
        ..Settings::default()
    };
    let mut search = Search::new(&job, settings).unwrap();
    search.step(steps);
    let (plan, score) = (search.best(), search.score());
    assert_eq!(
        all_broken(&job, plan),
        Vec::<String>::new(),
        "{}",
        document.title
    );
    for pin in &job.pins {
        let lies = |l: &Layout| {
            let mut there = l.placements.iter();
            l.board == pin.board && there.any(|p| p.part_copy() == pin.part && p.at == pin.at)
        };
        assert!(plan.layouts.iter().any(lies), "{pin:?} has moved");
    }
    let count = plan.placed_count() + plan.unplaced.iter().map(|u| u.copies.len()).sum::<usize>();
    assert_eq!(count as u64, job.piece_count(), "{}", document.title);
    (plan.placed_count() - job.pins.len(), score.cost)
}

/// Beside tilted staves about as much is placed as beside the same staves laid straight.
#[test]
fn the_rest_is_planned_round_them() {
    let (mut tilted, mut straight) = (0, 0);
    let (mut cost, mut straight_cost) = (0.0, 0.0);
    for seed in 0..proposals() / 4 {
        let wanted = TiltedStaves {
            others: 6,
            ..TiltedStaves::default()
        };
        let document = tilted_staves(seed, wanted);
        if cut_up(&document).1.iter().any(Result::is_err) {
            continue;
        }
        let flat = tilted_staves(
            seed,
            TiltedStaves {
                most: 0.0,
                ..wanted
            },
        );
        if cut_up(&flat).1.iter().any(Result::is_err) {
            continue;
        }
        let (placed, spent) = planned(&document, 600);
        let (flat_placed, flat_spent) = planned(&flat, 600);
        (tilted, straight) = (tilted + placed, straight + flat_placed);
        (cost, straight_cost) = (cost + spent, straight_cost + flat_spent);
    }
    println!("placed {tilted} and {straight}, for {cost} and {straight_cost}");
    assert!(tilted * 10 >= straight * 8, "{tilted} and {straight}");
}

/// A board seen from its other side can be cut up just as well, and so can one by thinner saws. Where nothing was found
/// within the steps nothing is known: from one side an order may be found sooner than from the other.
#[test]
fn mirrors_and_thin_saws_change_nothing() {
    for seed in 0..proposals() {
        let document = tilted_staves(seed, TiltedStaves::default());
        let verdicts = |document: &Document| -> Vec<Option<bool>> {
            let verdict = |found: &Result<Layout, Vec<usize>>| match found {
                Ok(_) => Some(true),
                Err(places) if places.is_empty() => None,
                Err(_) => Some(false),
            };
            cut_up(document).1.iter().map(verdict).collect()
        };
        let own = verdicts(&document);
        for (own, mirrored) in own.iter().zip(verdicts(&mirrored(&document))) {
            let (Some(own), Some(mirrored)) = (own, mirrored) else {
                continue;
            };
            assert_eq!(mirrored, *own, "seed {seed}, mirrored");
        }
        let mut thin = document.clone();
        for tool in &mut thin.workshop.tools {
            tool.kerf = Some(heartside_timber::document::Length::Mm(0.8));
        }
        for (thin, own) in verdicts(&thin).into_iter().zip(own) {
            assert!(
                thin != Some(false) || own != Some(true),
                "seed {seed}: a thinner kerf parts less"
            );
        }
    }
}

/// Staves in a row that share a small angle: the board is crosscut first, and only pieces are ripped askew.
#[test]
fn a_board_whose_staves_share_an_angle_is_crosscut_first() {
    let stave = |copy: u32, x: f64| json!({"part": "stave", "copy": copy, "board": "A", "x": x, "y": 60.0, "turn": 1.5});
    let text = json!({
        "format": "heartside-job", "version": 3,
        "workshop": {"tools": [{"name": "circular saw", "does": ["rip", "crosscut"], "kerf": 2.5}]},
        "boards": [{"id": "A", "thickness": 30, "outline": {"form": "polygon",
            "points": [[0, 0], [2400, 0], [2400, 300], [0, 300]]}}],
        "parts": [{"id": "stave", "count": 2, "thickness": 20, "shape": {"form": "rectangle", "length": 600, "width": 120}},
            {"id": "rail", "count": 2, "thickness": 20, "shape": {"form": "rectangle", "length": 700, "width": 120}}],
        "pins": [stave(1, 60.0), stave(2, 730.0)],
    });
    let document = Document::open(&text.to_string()).unwrap().document;
    let job = prepare(&document).job;
    let mut layout = pinned_layouts(&document).remove(0);
    let found = tree_crosscut_first(&job, 0, &layout.placements, STEPS);
    let TreeResult::Tree(tree, frame) = found else {
        panic!("{found:?}")
    };
    assert_eq!(frame.angle, 0.0);
    let turns = |n: &heartside_timber::plan::CutNode| n.cut().map_or(0.0, |cut| cut.angle);
    assert_eq!(turns(&tree.nodes[0]), 0.0);
    assert_eq!(
        tree.nodes.iter().filter(|n| turns(n) != 0.0).count(),
        2,
        "each stave has its own line"
    );
    (layout.cuts, layout.frame) = (Some(tree), frame);
    assert_eq!(broken(&job, vec![layout]), Vec::<String>::new());
    // Beyond them the board stays square, and both rails find room there.
    assert_eq!(planned(&document, 400).0, 2);
}
