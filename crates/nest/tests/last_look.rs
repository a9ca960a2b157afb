//! After a search nothing waits that an empty board is seen to take.
//!
//! Places and orders of cuts are found here without the engines and judged by the checker alone.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use crate::pairs;

use heartside_check::check;
use heartside_nest::{Search, Settings};
use heartside_testkit::{FilledJob, Outfit, filled_job};
use heartside_timber::finding::is_sound;
use heartside_timber::plan::UnplacedReason;
use heartside_timber::prepare::prepare;
use pairs::alone::alone;
use pairs::could_lie;

/// Random jobs, from those with room to spare to those that cannot all be placed.
const JOBS: u32 = 26;

/// By so many steps every job of this size has had its last look: one begins by the thousandth step,
/// and each look at one part and one board is a step.
const STEPS: u64 = 1_500;

/// What waits beside an empty board that takes it.
fn waiting() -> Vec<String> {
    let mut told = Vec::new();
    for seed in 0..JOBS {
        let wanted = FilledJob {
            boards: 1 + seed as usize % 5,
            share: [40.0, 60.0, 75.0, 110.0][seed as usize / 5 % 4],
            sawn: [0, 0, 20, 60][seed as usize / 7 % 4],
            outfit: match seed % 3 {
                0 => Outfit::Odd,
                _ => Outfit::Sensible,
            },
        };
        let job = prepare(&filled_job(seed, wanted)).job;
        let settings = Settings {
            seed,
            ..Settings::default()
        };
        let mut search = Search::new(&job, settings).unwrap();
        search.step(STEPS);
        let plan = search.best();
        let found = check(&job, plan);
        assert!(is_sound(&found), "{wanted:?} {seed}: {found:#?}");
        for waiting in could_lie(&job, plan) {
            told.push(format!("job {seed} ({wanted:?}): {waiting:?}"));
        }
    }
    told
}

#[test]
fn nothing_waits_beside_an_empty_board_that_takes_it() {
    let told = waiting();
    assert!(told.is_empty(), "{}", told.join("\n"));
}

/// A reason that says of every board that it does not take a part is never given where an empty
/// one is seen to take it.
#[test]
fn reasons_are_true_of_empty_boards() {
    let mut told = Vec::new();
    for seed in 0..JOBS / 2 {
        let wanted = FilledJob {
            boards: 1 + seed as usize % 3,
            share: [60.0, 110.0][seed as usize / 2 % 2],
            sawn: [0, 30][seed as usize / 4 % 2],
            outfit: match seed % 2 {
                0 => Outfit::Odd,
                _ => Outfit::Sensible,
            },
        };
        let job = prepare(&filled_job(seed, wanted)).job;
        let mut search = Search::new(&job, Settings::default()).unwrap();
        search.step(STEPS);
        for unplaced in &search.best().unplaced {
            let part = job.part_index(&unplaced.part).unwrap();
            let speaks_of_no_board = matches!(
                unplaced.reason,
                UnplacedReason::NoRoom | UnplacedReason::NotTried | UnplacedReason::PartNotSound
            );
            let taken_by = |b: &usize| !speaks_of_no_board && alone(&job, part, *b).is_some();
            if let Some(board) = (0..job.boards.len()).find(taken_by) {
                let board = &job.boards[board].id;
                let (part, reason) = (&unplaced.part, unplaced.reason);
                told.push(format!(
                    "job {seed} ({wanted:?}): {part} waits ({reason:?}), board {board} takes it"
                ));
            }
        }
    }
    assert!(
        told.is_empty(),
        "{} of them\n{}",
        told.len(),
        told.join("\n")
    );
}
