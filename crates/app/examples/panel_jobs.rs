//! Writes jobs with panels and the plans that are set out for them, each with the rules that our own
//! checker finds broken (none), one JSON object a line, for the outside oracle and the exact reference.
//!
//! `cargo run -p heartside-app --example panel_jobs -- 100 1500 > plans.jsonl`; with `every` after the
//! numbers of jobs and steps panels of every kind beside other parts, with `joined` staves that may be joined end to end, with `broken` the same with most
//! of their panels broken afterwards, every third of staves that are joined end to end.

#![allow(clippy::print_stdout)]

#[path = "../tests/searched/mod.rs"]
mod searched;

use std::collections::BTreeSet;

use heartside_check::check;
use heartside_testkit::{Chance, PanelBreakage, break_panel, joined_job, panel_job, panels_job};
use heartside_timber::choices::Choices;
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::prepare::prepare_with;
use heartside_timber::score::Score;
use searched::set_out;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let mut number = |usual| {
        arguments
            .next()
            .and_then(|n| n.parse().ok())
            .unwrap_or(usual)
    };
    let (count, steps): (u32, u32) = (number(100), number(1_500));
    let (way, make): (_, fn(u32) -> _) = match arguments.next().as_deref() {
        Some("every") => ("every", panels_job),
        Some("joined") => ("joined", joined_job),
        Some("broken") => ("broken", panels_job),
        _ => ("free", panel_job),
    };
    let from = arguments.next().and_then(|n| n.parse().ok()).unwrap_or(0);
    for seed in from..from + count {
        let is_broken = way == "broken";
        let breakage = (is_broken && seed % 8 != 0).then(|| breakage_of(seed));
        // Every other good one is joined too.
        let joined = breakage.map_or(is_broken && seed % 16 == 8, PanelBreakage::is_of_ends);
        let mut document = if joined { joined_job(seed) } else { make(seed) };
        let (_, plan) = set_out(&document, steps);
        document.plan = Some(plan);
        // One in eight stays good.
        let way = match breakage {
            Some(way) => break_one_way(&mut document, way, seed),
            None if is_broken => "good".to_owned(),
            None => way.to_owned(),
        };
        let plan = document.plan.clone().unwrap_or_default();
        let job = prepare_with(&document, &Choices::of(&plan)).job;
        let findings = check(&job, &plan);
        let broken = findings.iter().filter(|f| f.severity == Severity::Broken);
        let broken: BTreeSet<u8> = broken.map(|f| f.rule.number()).collect();
        let messages: Vec<&str> = findings.iter().map(|f| f.message.as_str()).collect();
        let score = Score::of(&job, &plan);
        let line = serde_json::json!({
            "case": seed, "way": way, "cost": score.cost,
            "missing": score.missing.iter().sum::<f64>(),
            "broken": broken, "messages": messages, "document": document,
        });
        println!("{line}");
    }
}

/// The ways in turn.
fn breakage_of(seed: u32) -> PanelBreakage {
    let ways = PanelBreakage::ALL;
    ways[(seed - seed / 8) as usize % ways.len()]
}

/// Breaks a panel; half by a hundredth or a few, the others by what a hand would do.
fn break_one_way(document: &mut Document, way: PanelBreakage, seed: u32) -> String {
    let mut chance = Chance::new(seed ^ 0x0d0d_0d0d);
    let by = if chance.percent(50) {
        chance.between(0.01, 0.05)
    } else {
        chance.between(0.2, 6.0)
    };
    break_panel(document, way, by, &mut chance);
    format!("{way:?}")
}
