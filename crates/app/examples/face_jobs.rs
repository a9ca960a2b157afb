//! Writes faces that were found for jobs with maps of figure, each taken as a maker would take it, with the rules that
//! our own checker finds broken (none), one JSON object a line, for the outside oracle.
//!
//! `cargo run -p heartside-app --example face_jobs -- 300 > plans.jsonl`: so many faces.

#![allow(clippy::print_stdout, clippy::unwrap_used)]

use std::collections::BTreeSet;

use heartside_app::figure::asked::FaceAsked;
use heartside_app::session::Session;
use heartside_check::check;
use heartside_testkit::figured_job;
use heartside_timber::choices::Choices;
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::prepare::prepare_with;
use heartside_timber::score::Score;

fn main() {
    let wanted = std::env::args().nth(1).and_then(|n| n.parse().ok());
    let mut left: u32 = wanted.unwrap_or(20);
    for seed in 0.. {
        let text = figured_job(seed).save();
        let key = "panel top 1 front";
        let mut asked = FaceAsked::new(&text, key, None);
        while asked.step() {}
        for card in asked.found().cards {
            if left == 0 {
                return;
            }
            left -= 1;
            let mut session = Session::default();
            assert!(session.open(&text).accepted);
            let plan = asked.plan(card.index).unwrap();
            assert!(session.take_face(key, &plan).done, "{seed}: {}", card.lies);
            let document = Document::open(&session.save()).unwrap().document;
            let plan = document.plan.clone().unwrap_or_default();
            let job = prepare_with(&document, &Choices::of(&plan)).job;
            let findings = check(&job, &plan);
            let broken = findings.iter().filter(|f| f.severity == Severity::Broken);
            let broken: BTreeSet<u8> = broken.map(|f| f.rule.number()).collect();
            let messages: Vec<&str> = findings.iter().map(|f| f.message.as_str()).collect();
            let placements = plan.layouts.iter().flat_map(|l| &l.placements);
            let askew = placements.filter(|p| p.at.turn % 90.0 != 0.0).count();
            let score = Score::of(&job, &plan);
            let line = serde_json::json!({
                "case": seed, "way": format!("face, {askew} askew"), "cost": score.cost,
                "missing": score.missing.iter().sum::<f64>(),
                "broken": broken, "messages": messages, "document": document,
            });
            println!("{line}");
        }
    }
}
