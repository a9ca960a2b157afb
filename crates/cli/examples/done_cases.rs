//! Writes jobs in the middle of the sawing for the outside oracle: documents in which some cuts of
//! their plan are made, some of them broken afterwards, each with the rules that our own checker
//! finds broken, one JSON object a line.
//!
//! `cargo run -p heartside-cli --example done_cases -- 400 > cases.jsonl`

#![allow(clippy::print_stdout)]

use std::collections::BTreeSet;

use heartside_check::check;
use heartside_cutting::{as_planned, steps};
use heartside_testkit::{
    Chance, CutApart, Outfit, askew_apart, broken_down, cut_apart, cut_to_make, sawn_apart,
};
use heartside_timber::document::{BoardOutline, Document, Length};
use heartside_timber::edit::apply;
use heartside_timber::finding::Severity;
use heartside_timber::plan::{Unplaced, UnplacedReason};
use heartside_timber::prepare::prepare;

/// Ways of breaking what was cut; the first breaks nothing.
const WAYS: [&str; 7] = [
    "good",
    "Corner",
    "DoneKerf",
    "CutAgain",
    "MadeAgain",
    "Listed",
    "Measured",
];

fn main() {
    let count = std::env::args().nth(1).and_then(|n| n.parse().ok());
    for case in 0..count.unwrap_or(400u32) {
        let mut chance = Chance::new(case ^ 0x0c0c_0c0c);
        let mut document = match case % 5 {
            0 => sawn_apart(case, 1, 4),
            1 => broken_down(case, 1, 5),
            2 => askew_apart(case, 1),
            _ => {
                let wanted = CutApart {
                    boards: 1 + case as usize % 2,
                    outfit: chance.percent(50).then_some(Outfit::Sensible),
                    ..CutApart::default()
                };
                cut_apart(case, wanted)
            }
        };
        let cuts = 1 + chance.below(8);
        if !cut_some(&mut document, cuts, &mut chance) {
            continue;
        }
        let way = WAYS[case as usize / 5 % WAYS.len()];
        let by = if chance.percent(50) {
            chance.between(0.02, 0.06)
        } else {
            chance.between(0.3, 8.0)
        };
        break_one(&mut document, way, by, &mut chance);
        print_case(case, way, &document);
    }
}

/// Makes so many of the plan's cuts in some legal order; false where that cannot be.
fn cut_some(document: &mut Document, cuts: usize, chance: &mut Chance) -> bool {
    for _ in 0..cuts {
        let Some(plan) = &document.plan else {
            return false;
        };
        let Some(cut) = cut_to_make(chance, plan) else {
            break;
        };
        let job = prepare(document).job;
        let steps = steps(&job, plan);
        let is_it = (cut.layout, cut.node, cut.placement);
        let mut steps = steps.iter();
        let Some(step) = steps.find(|s| (s.layout, s.node, s.placement) == is_it) else {
            return false;
        };
        let done = as_planned(document, &job, step).map(|edit| apply(document, edit));
        if !matches!(done, Ok(Ok(_))) {
            return false;
        }
    }
    !document.done.is_empty()
}

/// Breaks something about the cuts made, by about `by` millimetres.
fn break_one(document: &mut Document, way: &str, by: f64, chance: &mut Chance) {
    let Some(mut plan) = document.plan.take() else {
        return;
    };
    let sign = if chance.percent(50) { 1.0 } else { -1.0 };
    let held = document.boards.iter().filter_map(|b| b.holds.clone());
    let held: Vec<_> = held.collect();
    let cut = chance.below(document.done.len());
    match way {
        "Corner" | "Measured" => {
            let pieces = document.boards.iter_mut().filter(|b| b.from.is_some());
            let mut pieces: Vec<_> = pieces.collect();
            let place = chance.below(pieces.len());
            pieces[place].measured = way == "Measured";
            if let Some(BoardOutline::Polygon { points, .. }) = &mut pieces[place].outline {
                let (corner, axis) = (chance.below(points.len()), chance.below(2));
                if let Length::Mm(mm) = &mut points[corner][axis] {
                    *mm += sign * by;
                }
            }
        }
        "DoneKerf" => document.done[cut].kerf = (document.done[cut].kerf + sign * by).max(0.0),
        "CutAgain" => plan.layouts.extend(document.done[cut].layout.clone()),
        "MadeAgain" => {
            let lying = plan.layouts.iter_mut().flat_map(|l| &mut l.placements);
            if let (Some(held), Some(lying)) = (held.first(), lying.last()) {
                (lying.part, lying.copy) = (held.part.clone(), held.copy);
            }
        }
        "Listed" => plan.unplaced.extend(held.first().map(|held| Unplaced {
            part: held.part.clone(),
            copies: vec![held.copy],
            reason: UnplacedReason::NoRoom,
            least_board: None,
            longest: None,
        })),
        _ => {}
    }
    document.plan = Some(plan);
}

fn print_case(case: u32, way: &str, document: &Document) {
    let prepared = prepare(document);
    let Some(plan) = &document.plan else { return };
    // What is left out, or mended in reading, is no case for judging.
    if prepared.has_errors() || prepared.job.boards.len() != document.boards.len() {
        return;
    }
    let findings = check(&prepared.job, plan);
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
