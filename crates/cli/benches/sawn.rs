//! The table of the engine for sawn shapes: published instances and generated jobs.
//!
//! `cargo bench -p heartside-cli --bench sawn -- --kept FOLDER [--share N]` runs each row for
//! its full time, or for `N` per cent of it (what is counted in steps always in full), keeps
//! every single result in the folder, and goes on after a break with what is not there yet.
//! The short runs come first. `--only-told` runs nothing and prints the table of what is there
//! so far, and so does a break; each figure tells the runs it rests on where some are missing.
//! Results of another engine, which is known by its sources, are told and left out.
//!
//! Everything goes through `heartside trial` and `heartside set-out` with two workers, and
//! everything is checked; only the first layouts of hides are taken from the search itself,
//! step by step. Each row tells how long its longest run was.
//!
//! A long run passes through the shorter ones: the strips of 10 s and 60 s are told from runs
//! of 60 s and 600 s too, as they stood at the last whole round that had ended by then.
#![allow(clippy::print_stdout, missing_docs)]

mod shared;
#[path = "shared/table.rs"]
mod table;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::ExitCode;

use heartside_check::check;
use heartside_nest::{Search, Settings};
use heartside_testkit::{Chance, JobSize, SawnCutApart, sawn_cut_apart, workshop_job};
use heartside_timber::document::{BoardGrain, Document};
use heartside_timber::finding::is_sound;
use heartside_timber::prepare::prepare;
use heartside_timber::score::Score;
use heartside_trials::instance::{Instance, Options};
use serde_json::{Value, json};
use shared::median;
use table::{Effort, RestsOn, Table, Trials, checked, count, found_again, mean, named, numbers};

const FIVE: &[u32] = &[1, 2, 3, 4, 5];

/// Seven strips that many papers report.
const STRIPS: Trials = Trials {
    name: "seven strips, 60 s",
    folder: "strip-irregular",
    files: &[
        "albano", "fu", "jakobs1", "mao", "shapes0", "shapes2", "trousers",
    ],
    arguments: &[],
    seconds: 60,
    marks: &[10],
    seeds: &[3, 4, 5],
};

/// The same, for as long as the papers' searches.
const LONG_STRIPS: Trials = Trials {
    name: "seven strips, 600 s",
    seconds: 600,
    marks: &[10, 60],
    seeds: &[1, 2],
    ..STRIPS
};

const JIGSAW: Trials = Trials {
    name: "dighe1, whose parts fill the strip",
    folder: "strip-irregular",
    files: &["dighe1"],
    arguments: &[],
    seconds: 60,
    marks: &[],
    seeds: FIVE,
};

const QUARTER_TURNS: Trials = Trials {
    name: "strips of industry, quarter turns",
    folder: "strip-irregular",
    files: &["gardeyn0", "gardeyn4", "gardeyn6"],
    arguments: &[],
    seconds: 300,
    marks: &[],
    seeds: &[1],
};

const ANY_TURN: Trials = Trials {
    name: "strips of industry, turned freely",
    files: &["gardeyn0_c", "gardeyn4_c", "gardeyn6_c"],
    ..QUARTER_TURNS
};

const EQUAL_BOARDS: Trials = Trials {
    name: "equal boards that the parts fill",
    folder: "bin-irregular",
    files: &["*"],
    arguments: &[],
    seconds: 60,
    marks: &[],
    seeds: &[1],
};

const HIDES: Trials = Trials {
    name: "hides",
    folder: "irregular-defects",
    files: &["hide*"],
    arguments: &[],
    seconds: 120,
    marks: &[],
    seeds: &[1],
};

/// The same hides, the largest clear offcut kept whole.
const HIDES_LESS_OFFCUT: Trials = Trials {
    name: "hides, the largest clear offcut kept whole",
    arguments: &["--offcuts"],
    ..HIDES
};

/// A length is the optimum where it is no more than this part of it above.
const ROUNDING: f64 = 1e-6;

/// Steps of each worker in the comparison of grain tolerances: some seconds a job.
const GRAIN_STEPS: u64 = 4_000;

fn main() -> ExitCode {
    let table = Table::begin("sawn");
    let jigsaw = table.trials(&JIGSAW);
    let equal_boards = table.trials(&EQUAL_BOARDS);
    let quarter_turns = table.trials(&QUARTER_TURNS);
    let hides = [&HIDES, &HIDES_LESS_OFFCUT].map(|trials| {
        let files = table.files(trials);
        let keeps_offcuts = trials.arguments.contains(&"--offcuts");
        let name = format!("first layouts of {}", trials.name);
        let first = table.seeds(&name, RestsOn::Trials, files.len() as u32, |k| {
            Some(first_layout(&files[k as usize], keeps_offcuts))
        });
        (trials, table.trials(trials), first)
    });
    let strips = table.trials(&STRIPS);
    let any_turn = table.trials(&ANY_TURN);
    let apart_name = "sawn cut apart: 40 parts on 6 boards";
    let apart_seconds = table.seconds(60);
    let apart = table.seeds(apart_name, RestsOn::Engine, 10, |seed| {
        let wanted = SawnCutApart {
            boards: 6,
            parts: 40,
            tolerance: 5.0,
        };
        table.again(sawn_cut_apart(seed, wanted), "sawn", seed, apart_seconds)
    });
    let grain_name = "workshop jobs, grain within 5 degrees against 0";
    let grains = table.seeds(grain_name, RestsOn::Engine, 30, |seed| grain(&table, seed));
    let long_strips = table.trials(&LONG_STRIPS);

    tell_strips(&table, &strips, &long_strips);
    table.row_of(&JIGSAW, &jigsaw, optimum_reached);
    table.row_of(&QUARTER_TURNS, &quarter_turns, published_gaps);
    table.row_of(&ANY_TURN, &any_turn, |r| shorter(r, &quarter_turns));
    table.row_of(&EQUAL_BOARDS, &equal_boards, boards_over);
    for (trials, results, first) in &hides {
        table.row_of(trials, results, |r| over_the_first(r, first));
    }
    table.row(
        apart_name,
        &format!("{apart_seconds}"),
        &apart,
        10,
        found_again,
    );
    table.row(
        grain_name,
        &format!("{GRAIN_STEPS} steps"),
        &grains,
        30,
        saved,
    );
    table.end()
}

/// The rows of the seven strips: each run is told in the row of its own length and in those of its marks.
fn tell_strips(table: &Table, strips: &[Value], long_strips: &[Value]) {
    let short = table.by(10, strips);
    let of_10: Vec<Value> = [table.by(10, long_strips), short].concat();
    let of_60: Vec<Value> = [table.by(60, long_strips), strips.to_vec()].concat();
    let both = table.wanted(&STRIPS) + table.wanted(&LONG_STRIPS);
    for (full, results, wanted) in [
        (10, &*of_10, both),
        (60, &*of_60, both),
        (600, long_strips, table.wanted(&LONG_STRIPS)),
    ] {
        let name = format!("seven strips, {full} s");
        let seconds = table.seconds(full);
        table.row(&name, &format!("{seconds}"), results, wanted, densities);
    }
}

/// The value of the first plan in which anything lies, before the search has bettered it.
fn first_layout(file: &Path, keeps_offcuts: bool) -> Value {
    let text = fs::read_to_string(file).expect("the instance can be read");
    let options = Options {
        keeps_offcuts,
        ..Options::default()
    };
    let instance = Instance::read(&text, &options).expect("the instance is sound");
    let settings = Settings {
        workers: 2,
        ..Settings::default()
    };
    let mut search = Search::new(&instance.job, settings).expect("worker 0 of 2 exists");
    while search.best().placed_count() == 0 && !search.step(1).finished {}
    json!({
        "name": instance.name,
        "value": instance.value(search.best()),
        "steps": search.best().made.steps,
        "checked": is_sound(&check(&instance.job, search.best())),
    })
}

/// One workshop job of sawn parts with more boards than it needs, set out with the grain within 5 degrees and with none.
///
/// The grain of its boards runs out by up to 4 degrees, as it does in most: with no tolerance
/// every part lies askew to the edges.
fn grain(table: &Table, seed: u32) -> Option<Value> {
    let size = JobSize {
        boards: 16,
        pieces: 72,
        sawn: 100,
    };
    let planned = |tolerance| {
        let mut document = workshop_job(3000 + seed, size);
        let mut chance = Chance::new(seed);
        for board in &mut document.boards {
            board.grain = Some(BoardGrain {
                angle: chance.between(-4.0, 4.0),
                ..BoardGrain::default()
            });
        }
        for part in &mut document.parts {
            part.grain.tolerance = Some(tolerance);
        }
        let planned = table.set_out(document, "sawn", seed, Effort::Steps(GRAIN_STEPS))?;
        Some(judged(planned))
    };
    let (free, free_sound) = planned(5.0)?;
    let (strict, strict_sound) = planned(0.0)?;
    let alike = free.missing == strict.missing && free.reluctant == strict.reluctant;
    Some(json!({
        "saved": alike.then(|| 100.0 * (1.0 - free.cost / strict.cost)),
        "left_out": [free.missing.iter().sum::<f64>(), strict.missing.iter().sum::<f64>()],
        "checked": free_sound && strict_sound,
    }))
}

fn judged(planned: Document) -> (Score, bool) {
    let job = prepare(&planned).job;
    let plan = planned.plan.expect("a plan is there");
    (Score::of(&job, &plan), is_sound(&check(&job, &plan)))
}

/// "slowest 61.2 s".
fn slowest(results: &[Value]) -> String {
    let most = numbers(results, "seconds").into_iter().fold(0.0, f64::max);
    format!("slowest {most:.1} s")
}

/// The results of each instance, by its name.
fn by_name(results: &[Value]) -> BTreeMap<&str, Vec<Value>> {
    let mut by_name: BTreeMap<&str, Vec<Value>> = BTreeMap::new();
    for result in results {
        let name = result["name"].as_str().unwrap_or("?");
        by_name.entry(name).or_default().push(result.clone());
    }
    by_name
}

/// The mean over each instance's seeds, then over the instances, with the runs that each rests on.
fn densities(results: &[Value]) -> String {
    let strips = by_name(results);
    let runs: Vec<usize> = strips.values().map(Vec::len).collect();
    let runs = match runs.as_slice() {
        [first, others @ ..] if others.iter().all(|n| n == first) => format!("{first} runs each"),
        unlike => format!("runs: {unlike:?}"),
    };
    let means: Vec<Value> = strips
        .into_iter()
        .map(|(name, of_seeds)| {
            let values = numbers(&of_seeds, "value");
            let whole = values.len() == of_seeds.len();
            json!({ "name": name, "mean": whole.then(|| mean(&values)) })
        })
        .collect();
    format!(
        "mean density of {} strips ({runs}) {:.2} % ({}); {}; {}",
        means.len(),
        mean(&numbers(&means, "mean")),
        named(&means, "mean", 2),
        slowest(results),
        checked(results)
    )
}

fn optimum_reached(results: &[Value]) -> String {
    let optimum = |r: &Value| {
        let (length, best) = (r["value"].as_f64(), r["best_known"].as_f64());
        length
            .zip(best)
            .is_some_and(|(length, best)| length <= best * (1.0 + ROUNDING))
    };
    let lengths: Vec<String> = numbers(results, "value")
        .iter()
        .map(|length| format!("{length:.3}"))
        .collect();
    format!(
        "optimum in {} of {}; lengths {}; {}; {}",
        count(results, optimum),
        results.len(),
        lengths.join(", "),
        slowest(results),
        checked(results)
    )
}

fn published_gaps(results: &[Value]) -> String {
    format!(
        "per cent longer than the best published: {}; {}; {}",
        named(results, "gap_percent", 2),
        slowest(results),
        checked(results)
    )
}

/// Strips of the same parts, turned freely and by quarters: how much longer the first are.
fn shorter(any_turn: &[Value], quarter_turns: &[Value]) -> String {
    let quarter_turns = by_name(quarter_turns);
    let longer: Vec<Value> = any_turn
        .iter()
        .map(|result| {
            let name = result["name"].as_str().unwrap_or("?");
            let quarter = quarter_turns
                .get(name.trim_end_matches("_c"))
                .and_then(|of_seeds| of_seeds.first()?["value"].as_f64());
            // Same parts, same height: lengths are to each other as densities are inversely.
            let longer = quarter
                .zip(result["value"].as_f64())
                .map(|(quarter, any)| 100.0 * (quarter / any - 1.0));
            json!({ "name": name, "longer": longer })
        })
        .collect();
    format!(
        "per cent longer than ours with quarter turns (negative is shorter): {}; density {}; {}; {}",
        named(&longer, "longer", 2),
        named(any_turn, "value", 2),
        slowest(any_turn),
        checked(any_turn)
    )
}

fn boards_over(results: &[Value]) -> String {
    let over = |r: &Value| Some(r["value"].as_f64()? - r["best_known"].as_f64()?);
    let at = |holds: fn(f64) -> bool| count(results, |r| over(r).is_some_and(holds));
    let worse: Vec<Value> = results
        .iter()
        .filter(|r| over(r).is_none_or(|boards| boards > 1.5))
        .map(|r| json!({ "name": r["name"], "over": over(r) }))
        .collect();
    let names = match worse.is_empty() {
        true => String::new(),
        false => format!(" ({})", named(&worse, "over", 0)),
    };
    format!(
        "boards over the optimum: none on {} of {}, one on {}, more on {}{names}; {}; {}",
        at(|boards| boards < 0.5),
        results.len(),
        at(|boards| (0.5..1.5).contains(&boards)),
        worse.len(),
        slowest(results),
        checked(results)
    )
}

fn over_the_first(results: &[Value], first: &[Value]) -> String {
    let first_values = by_name(first);
    let more: Vec<Value> = results
        .iter()
        .map(|result| {
            let name = result["name"].as_str().unwrap_or("?");
            let first = first_values
                .get(name)
                .and_then(|of_seeds| of_seeds.first()?["value"].as_f64());
            let more = first
                .zip(result["value"].as_f64())
                .map(|(first, found)| 100.0 * (found / first - 1.0));
            json!({ "name": name, "more": more })
        })
        .collect();
    let all: Vec<Value> = results.iter().chain(first).cloned().collect();
    let measured = match results.first().map(|r| &r["measure"]) {
        Some(measure) if measure == "used area less offcut %" => {
            "parts in per cent of the hides cut less the largest clear offcut"
        }
        _ => "parts in per cent of the hides cut",
    };
    format!(
        "per cent more than in the first layout: {}; {measured}: {}; in the first layout {}; {}; {}",
        named(&more, "more", 2),
        named(results, "value", 1),
        named(first, "value", 1),
        slowest(results),
        checked(&all)
    )
}

fn saved(results: &[Value]) -> String {
    let mut savings = numbers(results, "saved");
    let left_out = |r: &Value, k: usize| r["left_out"][k].as_f64().unwrap_or(0.0);
    format!(
        "timber cost saved: median {:.1} %, mean {:.1} % of {} jobs (least {:.1} %, most {:.1} %); more left out with 0 degrees in {}, with 5 in {}; {}",
        median(&mut savings).unwrap_or(f64::NAN),
        mean(&savings),
        savings.len(),
        savings.first().copied().unwrap_or(f64::NAN),
        savings.last().copied().unwrap_or(f64::NAN),
        count(results, |r| left_out(r, 0) < left_out(r, 1)),
        count(results, |r| left_out(r, 0) > left_out(r, 1)),
        checked(results)
    )
}
