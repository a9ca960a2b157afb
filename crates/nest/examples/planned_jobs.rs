//! Writes random jobs with the plans that the engines make for them, each with the rules that our
//! own checker finds broken (none), one JSON object a line, for the outside oracle.
//!
//! `cargo run -p heartside-nest --example planned_jobs -- 1000 > plans.jsonl`; with `sawn` after
//! the number only jobs that are sawn by line, with `tilted` jobs in which staves are pinned at small
//! angles of their own and can be cut free.

#![allow(clippy::print_stdout)]

use std::collections::BTreeSet;

use heartside_check::check;
use heartside_nest::{Search, Settings, TreeResult, WayWanted, tree_for};
use heartside_testkit::{
    Chance, CutApart, JobSize, Outfit, SawnCutApart, TiltedStaves, by_corners, cut_apart, fit_out,
    pinned_layouts, sawn_apart, sawn_cut_apart, tilted_staves, workshop_job,
};
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::prepare::prepare;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let count: u32 = arguments.next().and_then(|n| n.parse().ok()).unwrap_or(100);
    let job = match arguments.next().as_deref() {
        Some("sawn") => sawn_job,
        Some("tilted") => return tilted_jobs(count),
        _ => any_job,
    };
    for seed in 0..count {
        let mut chance = Chance::new(seed ^ 0x0b0b_0b0b);
        let (way, steps, mut document) = job(seed, &mut chance);
        document.plan = None;
        // Half of the jobs are done with tools of all kinds, some of which lack a kind of cut.
        match seed % 8 {
            0 | 2 | 5 => fit_out(&mut document, seed, Outfit::Sensible),
            7 => fit_out(&mut document, seed, Outfit::Odd),
            _ => {}
        }
        // A third of the boards is entered by corners, which begin to count anywhere.
        for (k, board) in document.boards.iter_mut().enumerate() {
            if (k + seed as usize) % 3 == 2 {
                by_corners(board, (300.0 - 37.0 * k as f64, 150.0 * k as f64 - 260.0));
            }
        }
        print_planned(seed, way, steps, document);
    }
}

/// Jobs whose staves are tilted, the rest planned round them; those that no cuts part are passed over.
fn tilted_jobs(count: u32) {
    for seed in 0..count {
        let document = tilted_staves(seed, TiltedStaves::default());
        let job = prepare(&document).job;
        let is_cut = pinned_layouts(&document).iter().all(|layout| {
            let board = job.board_index(&layout.board.board).unwrap_or(0);
            let found = tree_for(&job, board, &layout.placements, 20_000);
            matches!(found, TreeResult::Tree(..))
        });
        if is_cut {
            print_planned(seed, WayWanted::Straight, 300, document);
        }
    }
}

fn print_planned(seed: u32, way: WayWanted, steps: u64, mut document: Document) {
    let job = prepare(&document).job;
    let settings = Settings {
        seed,
        way,
        ..Settings::default()
    };
    let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
    search.step(steps);
    let findings = check(&job, search.best());
    let broken = findings.iter().filter(|f| f.severity == Severity::Broken);
    let broken: BTreeSet<u8> = broken.map(|f| f.rule.number()).collect();
    document.plan = Some(search.best().clone());
    let messages: Vec<&str> = findings.iter().map(|f| f.message.as_str()).collect();
    let line = serde_json::json!({
        "case": seed, "way": format!("{way:?}"), "placed": search.best().placed_count(),
        "broken": broken, "messages": messages, "document": document,
    });
    println!("{line}");
}

/// By which way a job is searched, for how many steps, and the job.
type Asked = (WayWanted, u64, Document);

fn any_job(seed: u32, chance: &mut Chance) -> Asked {
    match seed % 8 {
        0 => (WayWanted::AsJob, 120, workshop(seed, chance, (3, 8), 40)),
        1 => (
            WayWanted::Sawn,
            120,
            sawn_apart(seed, 2, 2 + chance.below(4)),
        ),
        2..=4 => (WayWanted::Straight, 800, apart(seed, chance)),
        _ => (WayWanted::Straight, 800, workshop(seed, chance, (5, 20), 0)),
    }
}

/// Parts that lay apart or were cut apart, and jobs of a workshop, some with straight parts too.
fn sawn_job(seed: u32, chance: &mut Chance) -> Asked {
    let document = match seed % 4 {
        0 => sawn_apart(seed, 2, 2 + chance.below(4)),
        1 => {
            let boards = 1 + chance.below(3);
            let parts = boards * (3 + chance.below(5));
            sawn_cut_apart(
                seed,
                SawnCutApart {
                    boards,
                    parts,
                    ..SawnCutApart::default()
                },
            )
        }
        2 => workshop(seed, chance, (3, 12), 100),
        _ => workshop(seed, chance, (3, 12), 50),
    };
    (WayWanted::Sawn, 150, document)
}

/// A job of up to so many boards and pieces more than the least.
fn workshop(
    seed: u32,
    chance: &mut Chance,
    (boards, pieces): (usize, usize),
    sawn: usize,
) -> Document {
    let size = JobSize {
        boards: 2 + chance.below(boards),
        pieces: 4 + chance.below(pieces),
        sawn,
    };
    workshop_job(seed, size)
}

fn apart(seed: u32, chance: &mut Chance) -> Document {
    let wanted = CutApart {
        boards: 1 + chance.below(3),
        parts_a_board: 2 + chance.below(6),
        ..CutApart::default()
    };
    cut_apart(seed, wanted)
}
