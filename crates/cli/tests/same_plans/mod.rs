//! The engines make the plans that were written down, step for step.
//!
//! Moving or renaming code changes none of them. A change that does change some writes the record anew
//! (`HEARTSIDE_RECORD=1 cargo test -p heartside-cli --test all same_plans`) and its commit says why, and by
//! how much plans became better or worse: each line ends with the pieces placed and the cost. The browser
//! test `same-answer.spec.ts` holds the page to the same plans.

// What is skipped or changed is said.
#![allow(clippy::print_stdout)]

mod jobs;

use std::fmt::Write;

use heartside_nest::{Search, Settings, WayWanted};
use heartside_timber::job::Job;
use heartside_timber::plan::{Plan, Way};
use heartside_timber::prepare::prepare;
use heartside_trials::ENGINES;

const RECORD: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/same_plans/record.txt");

/// FNV-1a (Fowler, Noll & Vo) over a plan's layouts and what it leaves out, as its file says them.
fn hash(plan: &Plan) -> String {
    let text = serde_json::to_string(&(&plan.layouts, &plan.unplaced)).expect("a plan is written");
    let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    format!("{hash:016x}")
}

fn cut(way: WayWanted) -> Settings {
    Settings {
        way,
        ..Settings::default()
    }
}

fn line(name: &str, job: &Job, settings: Settings, steps: u64) -> String {
    let way = settings.way;
    let mut search = Search::new(job, settings).expect("worker 0 of 1 exists");
    search.step(steps);
    let plan = search.best();
    format!(
        "{name}, {way:?}, {steps} steps: {} {} of {} placed, cost {}",
        hash(plan),
        plan.placed_count(),
        job.piece_count(),
        search.score().cost
    )
}

/// Compares the lines that begin alike with those of the record, or writes them there.
fn hold(lines: &[String]) {
    let name = |line: &str| line.split(": ").next().unwrap_or_default().to_owned();
    let record = std::fs::read_to_string(RECORD).unwrap_or_default();
    let mut kept: Vec<String> = record.lines().map(str::to_owned).collect();
    let mut changed = String::new();
    for line in lines {
        match kept.iter_mut().find(|k| name(k) == name(line)) {
            Some(kept) if kept == line => {}
            Some(kept) => {
                writeln!(changed, "was {kept}\nnow {line}").expect("text can be written");
                kept.clone_from(line);
            }
            None => {
                writeln!(changed, "new {line}").expect("text can be written");
                kept.push(line.clone());
            }
        }
    }
    if std::env::var_os("HEARTSIDE_RECORD").is_some() {
        println!("{changed}");
        std::fs::write(RECORD, kept.join("\n") + "\n").expect("the record can be written");
    } else {
        assert!(changed.is_empty(), "plans have changed:\n{changed}");
    }
}

#[test]
fn plans_are_those_of_the_record() {
    let mut lines: Vec<String> = jobs::fixtures()
        .into_iter()
        .chain(jobs::generated())
        .map(|r| line(&r.name, &prepare(&r.document).job, cut(r.way), r.steps))
        .collect();
    for (instance, steps) in jobs::instances() {
        let way = match instance.way {
            Way::Straight => WayWanted::Straight,
            Way::Sawn => WayWanted::Sawn,
        };
        let with_trials = Settings {
            beside: ENGINES,
            ..cut(way)
        };
        lines.push(line(&instance.name, &instance.job, with_trials, steps));
        let document = jobs::as_document(&instance);
        let name = format!("{} as a job", instance.name);
        lines.push(line(&name, &prepare(&document).job, cut(way), steps));
    }
    hold(&lines);
}
