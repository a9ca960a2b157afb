//! Writes jobs whose parts must look related and the plans that are set out for them, most of them broken
//! afterwards, each with the rules that our own checker finds broken, one JSON object a line, for the
//! outside oracle.
//!
//! `cargo run -p heartside-app --example related_jobs -- 320 600 > plans.jsonl`

#![allow(clippy::print_stdout)]

#[path = "../tests/searched/mod.rs"]
mod searched;

use std::collections::BTreeSet;

use heartside_check::check;
use heartside_cutting::{Step, as_planned, steps};
use heartside_testkit::{Chance, RelatedBreakage, break_related, related_job};
use heartside_timber::choices::Choices;
use heartside_timber::document::{Board, BoardOutline, Document, Length};
use heartside_timber::edit::apply;
use heartside_timber::finding::Severity;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::{prepare, prepare_with};
use searched::set_out;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let mut number = |usual| {
        let given = arguments.next();
        given.and_then(|n| n.parse().ok()).unwrap_or(usual)
    };
    let (count, steps): (u32, u32) = (number(320), number(600));
    for seed in 0..count {
        let mut document = related_job(seed);
        let (_, plan) = set_out(&document, steps);
        document.plan = Some(plan);
        if seed % 4 == 0 {
            print_resawn(seed, document.clone());
        }
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
        print_case(seed, &way, &document);
    }
}

fn print_case(seed: u32, way: &str, document: &Document) {
    let plan = document.plan.clone().unwrap_or_default();
    let job = prepare_with(document, &Choices::of(&plan)).job;
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

/// Cuts are made until a thick blank is resawn, and half of them broken then: as good, a leaf thicker than the blank gave,
/// one too thin for its part, a corner off.
fn print_resawn(seed: u32, mut document: Document) {
    let mut chance = Chance::new(seed ^ 0x1eaf_1eaf);
    for _ in 0..60 {
        let Some(plan) = &document.plan else { return };
        let job = prepare(&document).job;
        let all = steps(&job, plan);
        let ready: Vec<&Step> = all.iter().filter(|s| s.is_ready()).collect();
        if ready.is_empty() || document.done.iter().any(|cut| cut.resawn) {
            break;
        }
        let edit = as_planned(&document, &job, ready[chance.below(ready.len())]);
        if !edit.is_ok_and(|edit| apply(&mut document, edit).is_ok()) {
            return;
        }
    }
    let Some(cut) = document.done.iter().find(|cut| cut.resawn) else {
        return;
    };
    let (id, kerf, job) = (cut.id, cut.kerf, prepare(&document).job);
    let thick = job.board(&cut.board).map_or(0.0, |b| b.thickness);
    let is_leaf = |b: &&mut Board| b.from.as_ref().is_some_and(|from| from.done == id);
    let mut leaves: Vec<&mut Board> = document.boards.iter_mut().filter(is_leaf).collect();
    let by = match chance.percent(50) {
        true => chance.between(0.01, 0.05),
        false => chance.between(0.2, 3.0),
    };
    let of = |b: &Board| job.board(&b.id).map_or(0.0, |b| b.thickness);
    let all: f64 = leaves.iter().map(|b| of(b)).sum();
    let kerfs = kerf * (leaves.len() as f64 - 1.0);
    let place = chance.below(leaves.len());
    let held = leaves[place].holds.clone().unwrap_or_default();
    let leaf = &mut *leaves[place];
    let way = ["resawn", "LeafThick", "LeafThin", "LeafCorner"][(seed / 4) as usize % 4];
    match way {
        "LeafThick" => leaf.thickness = Some(Length::Mm(of(leaf) + thick - all - kerfs + by)),
        "LeafThin" => {
            let part = job.part(&held.part);
            let least = part.map_or(0.0, |p| p.thickness + p.allowances.clean_up);
            leaf.thickness = Some(Length::Mm(least - by));
        }
        "LeafCorner" => {
            if let Some(BoardOutline::Polygon { points, .. }) = &mut leaf.outline
                && let Some([Length::Mm(x), _]) = points.first_mut()
            {
                *x -= by;
            }
        }
        _ => {}
    }
    print_case(seed, way, &document);
}

/// The kinds of matches of which all parts have a place.
fn placed_kinds(matches: &[heartside_timber::job::Match], plan: &Plan) -> Vec<String> {
    let laid = matches.iter().filter(|m| {
        let mut parts = m.parts.iter();
        parts.all(|c| plan.find(&c.part, c.copy).is_some())
    });
    laid.map(|m| format!("{:?}", m.kind)).collect()
}
