//! Writes cases for the outside oracle: job documents with plans, good and broken, each
//! with the rules that our own checker finds broken, one JSON object a line.
//!
//! `cargo run -p heartside-testkit --example oracle_cases -- 600 > cases.jsonl`

#![allow(clippy::print_stdout)]

use std::collections::BTreeSet;

use heartside_testkit::{
    AskewBreakage, Chance, CutApart, Outfit, WAYS, askew_apart, break_askew, break_one,
    broken_down_in, cut_apart, sawn_apart_in,
};
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::prepare;

fn main() {
    let count: usize = std::env::args()
        .nth(1)
        .and_then(|n| n.parse().ok())
        .unwrap_or(600);
    for case in 0..count / 3 {
        askew_case(count + case);
    }
    for case in 0..count {
        let seed = case as u32;
        let mut chance = Chance::new(seed ^ 0x0a0a_0a0a);
        // One in eight stays good; the others take the ways of breaking in turn.
        let way = (case % 8 != 0).then(|| WAYS[(case - case / 8) % WAYS.len()]);
        let boards = if way == Some(heartside_testkit::Breakage::SameBoard) {
            2
        } else {
            1 + chance.below(2)
        };
        // Half of the cases have tools of all kinds.
        let outfit = chance.percent(50).then_some(Outfit::Sensible);
        let mut document = if case % 6 == 5 {
            broken_down_in(seed, boards, 2 + chance.below(5), outfit)
        } else if case % 3 == 2 {
            sawn_apart_in(seed, boards, 2 + chance.below(5), outfit)
        } else {
            cut_apart(
                seed,
                CutApart {
                    boards,
                    outfit,
                    ..CutApart::default()
                },
            )
        };
        if let Some(way) = way {
            // Half by a hundredth or a few, the others by what a hand would do.
            let by = if chance.percent(50) {
                chance.between(0.01, 0.05)
            } else {
                chance.between(0.2, 6.0)
            };
            break_one(&mut document, way, by, &mut chance);
        }
        let way = way.map_or_else(|| "good".to_owned(), |w| format!("{w:?}"));
        print_case(case, &way, &document);
    }
}

/// A job with pieces turned from their line; one in eight stays good, half of the others are broken
/// where they are turned.
fn askew_case(case: usize) {
    let mut chance = Chance::new(case as u32 ^ 0x0b0b_0b0b);
    let mut document = askew_apart(case as u32, 1 + chance.below(2));
    let by = if chance.percent(50) {
        chance.between(0.01, 0.05)
    } else {
        chance.between(0.2, 6.0)
    };
    let way = match (case % 8, case % 2) {
        (0, _) => "good".to_owned(),
        (_, 0) => {
            let way = *chance.one_of(&WAYS);
            break_one(&mut document, way, by, &mut chance);
            format!("{way:?}")
        }
        _ => {
            let way = *chance.one_of(&AskewBreakage::ALL);
            break_askew(&mut document, way, by, &mut chance);
            format!("{way:?}")
        }
    };
    print_case(case, &way, &document);
}

fn print_case(case: usize, way: &str, document: &Document) {
    let prepared = prepare(document);
    let Some(plan) = &document.plan else { return };
    // A document whose broken board or part was left out is no case for judging plans.
    let whole = prepared.job.boards.len() == document.boards.len()
        && prepared.job.parts.len() == document.parts.len();
    if !whole {
        return;
    }
    let findings = heartside_check::check(&prepared.job, plan);
    let broken: BTreeSet<u8> = findings
        .iter()
        .filter(|f| f.severity == Severity::Broken)
        .map(|f| f.rule.number())
        .collect();
    let messages: Vec<&str> = findings.iter().map(|f| f.message.as_str()).collect();
    let line = serde_json::json!({
        "case": case,
        "way": way,
        "broken": broken,
        "messages": messages,
        "document": document,
    });
    println!("{line}");
}
