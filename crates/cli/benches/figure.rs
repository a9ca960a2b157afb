//! How well halves that mirror each other are found, and how soon.
//!
//! `cargo bench -p heartside-cli --bench figure [-- --cases 20] [--from 0] [--told]`: two staves hidden in two boards, four in
//! two to four, and the time of a two-stave top out of three boards of 2.5 m. `--told` tells each case; `--from 20` takes
//! cases that nothing was tuned by.
#![allow(clippy::print_stdout, missing_docs)]

use std::rc::Rc;
use std::time::Instant;

use heartside_figure::balance::{Answer, Wish};
use heartside_figure::matching::{Matching, Sought};
use heartside_testkit::{AnsweringBoards, AnsweringSettings, answering_boards};

fn main() {
    let (cases, begin) = (given("--cases", 20), given("--from", 0));
    for staves in [2, 4] {
        let (mut found, mut first, mut all) = (0, Vec::new(), Vec::new());
        for seed in begin..begin + cases {
            let settings = settings(staves, seed);
            let boards = answering_boards(seed, &settings);
            let run = run(&boards, seed);
            found += u32::from(run.is_found);
            first.push(run.first);
            all.push(run.all);
            if told("--told") {
                println!("{staves} staves, case {seed}: {}", run.told);
            }
        }
        println!(
            "{staves} staves: found {found} of {cases}; first proposal {:.3} s, all {:.3} s (medians), at most {:.3} s",
            median(&mut first),
            median(&mut all),
            all.last().copied().unwrap_or(0.0)
        );
    }
    let (mut first, mut all) = (Vec::new(), Vec::new());
    for seed in 0..5 {
        let boards = answering_boards(
            1000 + seed,
            &AnsweringSettings {
                stave: [1200.0, 180.0],
                boards: 3,
                board: [2500.0, 300.0],
                both_faces: 3,
                ..AnsweringSettings::default()
            },
        );
        let run = run(&boards, seed);
        first.push(run.first);
        all.push(run.all);
        if told("--told") {
            println!("top of three boards, case {seed}: {}", run.told);
        }
    }
    println!(
        "two staves out of three boards of 2.5 m, both faces seen: first proposal {:.3} s, all {:.3} s (medians of 5)",
        median(&mut first),
        median(&mut all)
    );
}

/// Boards of several sizes; four staves lie in two to four.
fn settings(staves: usize, seed: u32) -> AnsweringSettings {
    let of = |k: u32| f64::from(seed % k);
    if staves == 2 {
        AnsweringSettings {
            stave: [800.0 + 60.0 * of(7), 130.0 + 20.0 * of(4)],
            board: [1800.0 + 150.0 * of(5), 340.0],
            ..AnsweringSettings::default()
        }
    } else {
        AnsweringSettings {
            staves: 4,
            stave: [700.0 + 60.0 * of(6), 95.0 + 10.0 * of(5)],
            boards: 2 + seed as usize % 3,
            board: [2000.0 + 150.0 * of(4), 330.0],
            ..AnsweringSettings::default()
        }
    }
}

struct Run {
    is_found: bool,
    first: f64,
    all: f64,
    told: String,
}

fn run(boards: &AnsweringBoards, seed: u32) -> Run {
    let sought = Sought {
        maps: Rc::from(boards.maps.clone()),
        sources: boards.sources.clone(),
        tiles: boards.tiles.clone(),
        size: boards.size,
        wish: Wish {
            answer: Answer::Mirror,
            ..Wish::default()
        },
        room: Rc::new(boards.room.clone()),
        seed,
        start: None,
    };
    let from = Instant::now();
    let mut matching = Matching::new(sought);
    let (mut first, mut steps) = (f64::NAN, 0);
    loop {
        let is_done = matching.step(1);
        steps += 1;
        if first.is_nan() && !matching.proposals().is_empty() {
            first = from.elapsed().as_secs_f64();
        }
        if is_done {
            break;
        }
    }
    let all = from.elapsed().as_secs_f64();
    let off = matching.proposals().first().map(|p| boards.off(&p.lies));
    let worths: Vec<f64> = matching.proposals().iter().map(|p| p.worth).collect();
    Run {
        is_found: off
            .as_ref()
            .is_some_and(|o| o.iter().all(|o| o.0 <= 5.0 && o.1 <= 0.3)),
        first,
        all,
        told: format!("{off:.2?}, worth {worths:.3?}, {steps} steps, {first:.3} and {all:.3} s"),
    }
}

fn median(of: &mut [f64]) -> f64 {
    of.sort_by(f64::total_cmp);
    of.get(of.len() / 2).copied().unwrap_or(f64::NAN)
}

fn told(name: &str) -> bool {
    std::env::args().any(|a| a == name)
}

fn given(name: &str, otherwise: u32) -> u32 {
    let value = std::env::args().skip_while(|a| a != name).nth(1);
    value.and_then(|v| v.parse().ok()).unwrap_or(otherwise)
}
