//! Writes jobs whose parts must look related and the plans that are set out for them, most of them broken
//! afterwards, each with the rules that our own checker finds broken, one JSON object a line, for the
//! outside oracle.
//!
//! `cargo run -p heartside-app --example related_jobs -- 320 600 > plans.jsonl`

#![allow(clippy::print_stdout)]

use std::collections::BTreeSet;

use heartside_app::protocol::SearchSettings;
use heartside_app::search::Search;
use heartside_check::check;
use heartside_testkit::{Chance, RelatedBreakage, break_related, related_job};
use heartside_timber::choices::Choices;
use heartside_timber::finding::Severity;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare_with;

fn main() -> Result<(), serde_json::Error> {
    let mut arguments = std::env::args().skip(1);
    let mut number = |usual| {
        let given = arguments.next();
        given.and_then(|n| n.parse().ok()).unwrap_or(usual)
    };
    let (count, steps): (u32, u32) = (number(320), number(600));
    for seed in 0..count {
        let mut document = related_job(seed);
        let settings = SearchSettings {
            seed: 1,
            worker: 0,
            workers: 1,
            ..SearchSettings::default()
        };
        let mut search = Search::new(&document.save(), &settings);
        search.step(steps);
        let plan = Plan::read(&search.best().unwrap_or_default())?;
        document.plan = Some(plan);
        let mut way = "good".to_owned();
        // One in eight stays good; the ways in turn, half by a hundredth or a few.
        if seed % 8 != 0 {
            let mut chance = Chance::new(seed ^ 0x0b0b_0b0b);
            let ways = RelatedBreakage::ALL;
            let chosen = ways[(seed - seed / 8) as usize % ways.len()];
            let by = if chance.percent(50) {
                chance.between(0.01, 0.05)
            } else {
                chance.between(0.2, 6.0)
            };
            if break_related(&mut document, chosen, by, &mut chance) {
                way = format!("{chosen:?}");
            }
        }
        let plan = document.plan.clone().unwrap_or_default();
        let job = prepare_with(&document, &Choices::of(&plan)).job;
        let findings = check(&job, &plan);
        let broken = findings.iter().filter(|f| f.severity == Severity::Broken);
        let broken: BTreeSet<u8> = broken.map(|f| f.rule.number()).collect();
        let messages: Vec<&str> = findings.iter().map(|f| f.message.as_str()).collect();
        let line = serde_json::json!({
            "case": seed, "way": way, "placed": plan.placed_count(), "kinds": placed_kinds(&job.matches, &plan),
            "broken": broken, "messages": messages, "document": document,
        });
        println!("{line}");
    }
    Ok(())
}

/// The kinds of matches of which all parts have a place.
fn placed_kinds(matches: &[heartside_timber::job::Match], plan: &Plan) -> Vec<String> {
    let laid = matches.iter().filter(|m| {
        let mut parts = m.parts.iter();
        parts.all(|c| plan.find(&c.part, c.copy).is_some())
    });
    laid.map(|m| format!("{:?}", m.kind)).collect()
}
