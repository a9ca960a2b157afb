//! The budgets of the README, measured natively. `cargo xtask bench` runs this and the
//! same in Chromium, and prints both beside the budgets.
//!
//! `cargo bench -p heartside-cli --bench budgets -- [--jobs FOLDER]`: with a folder, the
//! jobs measured are written there for the browser's run. Results are JSON lines.
#![allow(clippy::print_stdout, missing_docs)]

use std::path::Path;
use std::time::Instant;

use heartside_app::protocol::{Answer, Ask, AskKind, CopyOf, PageName, SearchSettings, View};
use heartside_app::session::Session;
use heartside_app::snapping::to_contact;
use heartside_check::{Checker, check};
use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::{CutApart, JobSize, cut_apart, three_panels_job, workshop_job};
use heartside_timber::choices::Choices;
use heartside_timber::document::Document;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::{prepare, prepare_with};

/// Jobs a figure is the median of.
const JOBS: u32 = 9;

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let folder = arguments
        .iter()
        .position(|a| a == "--jobs")
        .and_then(|i| arguments.get(i + 1));
    if arguments.iter().any(|a| a == "--memory") {
        return memory();
    }
    for (name, sawn, way, steps) in [
        ("straight", 0, WayWanted::Straight, 40_000),
        ("sawn", 100, WayWanted::Sawn, 2_000),
    ] {
        let (mut first, mut steps_time, mut placed) = (Vec::new(), Vec::new(), Vec::new());
        for seed in 0..JOBS {
            let document = workshop_job(
                seed,
                JobSize {
                    boards: 12,
                    pieces: 60,
                    sawn,
                },
            );
            let text = document.save();
            if let Some(folder) = folder {
                std::fs::create_dir_all(folder).expect("the folder can be made");
                std::fs::write(Path::new(folder).join(format!("{name}-{seed}.json")), &text)
                    .expect("written");
            }
            let opened = Document::open(&text)
                .expect("our own document opens")
                .document;
            let (millis, job, mut search) = first_plan(&opened, way);
            first.push(millis);
            placed.push(search.best().placed_count() as f64 / job.piece_count() as f64);
            let start = Instant::now();
            // Enough of them that the browser has compiled what it runs.
            search.step(steps);
            steps_time.push(start.elapsed().as_secs_f64() * 1000.0);
        }
        row(
            &format!("first checked plan, 12 boards x 60 {name} parts"),
            "ms",
            median(&mut first),
        );
        row(
            &format!("parts placed by it, {name}"),
            "%",
            100.0 * median(&mut placed),
        );
        row(
            &format!("{steps} further steps, {name}"),
            "ms",
            median(&mut steps_time),
        );
    }
    three_panels(folder.map(Path::new));
    the_rest(folder.map(Path::new));
    drag(folder.map(Path::new));
    // A process of its own, so that nothing measured before counts.
    let out = std::process::Command::new(std::env::current_exe().expect("this program"))
        .arg("--memory")
        .output();
    if let Ok(out) = out {
        print!("{}", String::from_utf8_lossy(&out.stdout));
    }
}

/// From the read document to the first plan with a placed part, checked: milliseconds.
fn first_plan(document: &Document, way: WayWanted) -> (f64, Job, Search) {
    let start = Instant::now();
    let job = prepare(document).job;
    let mut search = Search::new(
        &job,
        Settings {
            way,
            ..Settings::default()
        },
    )
    .expect("worker 0 of 1 exists");
    while search.best().placed_count() == 0 && !search.step(1).finished {}
    let findings = check(&job, search.best());
    let millis = start.elapsed().as_secs_f64() * 1000.0;
    assert!(
        heartside_timber::finding::is_sound(&findings),
        "{findings:?}"
    );
    (millis, job, search)
}

/// From the document to the first checked plan of the same job with three panels, and the longest of the
/// steps that follow, in which staves are proposed; the jobs are written to the folder.
fn three_panels(folder: Option<&Path>) {
    let (mut first, mut longest) = (Vec::new(), Vec::new());
    for seed in 0..JOBS {
        let text = three_panels_job(seed).save();
        if let Some(folder) = folder {
            std::fs::write(folder.join(format!("panels-{seed}.json")), &text).expect("written");
        }
        let start = Instant::now();
        let mut search = heartside_app::search::Search::new(
            &text,
            &SearchSettings {
                seed: 1,
                workers: 1,
                ..SearchSettings::default()
            },
        );
        let plan = loop {
            let finished = search.step(1).finished;
            let plan = Plan::read(&search.best().expect("a plan")).expect("our own plan");
            if finished || plan.placed_count() > 0 {
                break plan;
            }
        };
        let document = Document::open(&text)
            .expect("our own document opens")
            .document;
        let job = prepare_with(&document, &Choices::of(&plan)).job;
        assert!(heartside_timber::finding::is_sound(&check(&job, &plan)));
        first.push(start.elapsed().as_secs_f64() * 1000.0);
        let steps = (0..1_500).map(|_| {
            let start = Instant::now();
            search.step(1);
            start.elapsed().as_secs_f64() * 1000.0
        });
        longest.push(steps.fold(0.0, f64::max));
    }
    let what = "first checked plan, 12 boards x 60 straight parts and three panels";
    row(what, "ms", median(&mut first));
    row(
        "the longest of 1,500 steps after it",
        "ms",
        median(&mut longest),
    );
}

/// From a piece that came out 15 mm short, 20 cuts into the job, to the first plan of the rest that is new,
/// checked and on the floor; the jobs are written to the folder.
fn the_rest(folder: Option<&Path>) {
    let mut times = Vec::new();
    for seed in 0..JOBS {
        let wanted = CutApart {
            boards: 12,
            parts_a_board: 5,
            ..CutApart::default()
        };
        let mut session = Session::default();
        session.open(&cut_apart(seed, wanted).save());
        let view = View {
            place: PageName::Bench,
            ..View::default()
        };
        for _ in 0..20 {
            let bench = session.state(PageName::Bench, &view).bench;
            let mut steps = bench.set_ups.iter().flat_map(|s| &s.steps);
            if let Some(step) = steps.find(|s| s.ready) {
                session.tick(&step.tick.clone());
            }
        }
        let text = session.save();
        let document = Document::open(&text)
            .expect("our own document opens")
            .document;
        let job = prepare(&document).job;
        let layouts = document.plan.iter().flat_map(|p| &p.layouts);
        let fullest = layouts
            .max_by_key(|l| l.placements.len())
            .expect("a plan of the rest");
        let board = job.board(&fullest.board.board).expect("its board");
        let ask = Ask {
            kind: AskKind::Measure,
            board: Some(CopyOf {
                id: fullest.board.board.clone(),
                copy: fullest.board.copy,
            }),
            answers: vec![Answer {
                name: "length".into(),
                text: format!("{}", board.outline.bounds().width() - 15.0),
            }],
            ..Ask::default()
        };
        session.answer(&ask);
        let text = session.save();
        if let Some(folder) = folder {
            std::fs::write(folder.join(format!("rest-{seed}.json")), &text).expect("written");
        }
        let start = Instant::now();
        let begun = session.begin_set_out();
        let settings = SearchSettings {
            seed: 1,
            worker: 0,
            workers: 1,
            ..SearchSettings::default()
        };
        let mut search = heartside_app::search::Search::new(&begun.document, &settings);
        loop {
            let status = search.step(1);
            if status.improved || status.finished {
                break;
            }
        }
        let best = search.best().expect("a plan");
        let offered = session.offer(&best, begun.revision);
        times.push(start.elapsed().as_secs_f64() * 1000.0);
        assert!(offered.problem.is_none(), "{:?}", offered.problem);
    }
    row(
        "new plan after a done cut that changed something, 12 boards x 60 parts",
        "ms",
        median(&mut times),
    );
}

/// One move while dragging among 300 parts on 40 boards; the job is written to the folder, with its plan.
fn drag(folder: Option<&Path>) {
    let document = cut_apart(
        7,
        CutApart {
            boards: 40,
            parts_a_board: 8,
            ..CutApart::default()
        },
    );
    let job = prepare(&document).job;
    if let Some(folder) = folder {
        std::fs::write(folder.join("drag.json"), document.save()).expect("written");
    }
    let plan = document.plan.expect("a job cut apart has a plan");
    let live = Checker::new(&job).live(&plan);
    let mut times = Vec::new();
    for layout in &plan.layouts {
        for placement in &layout.placements {
            let mut pose = placement.pose();
            for (dx, dy) in [(3.0, 1.0), (40.0, -20.0), (-15.0, 6.0)] {
                (pose.x, pose.y) = (pose.x + dx, pose.y + dy);
                let start = Instant::now();
                let part = placement.part_copy();
                let snapped = to_contact(&live, &part, &layout.board, pose, 8.0);
                let findings = live.trial(&part, &layout.board, snapped);
                times.push(start.elapsed().as_secs_f64() * 1000.0);
                std::hint::black_box(findings);
            }
        }
    }
    row(
        "one move while dragging among 300 parts on 40 boards",
        "ms",
        median(&mut times),
    );
    row(
        "the slowest of these moves",
        "ms",
        times.last().copied().unwrap_or(0.0),
    );
}

/// Peak memory with 100 boards and 1,000 parts, a plan searched for 500 steps and checked.
fn memory() {
    let job = prepare(&workshop_job(
        3,
        JobSize {
            boards: 100,
            pieces: 1000,
            sawn: 20,
        },
    ))
    .job;
    let mut search = Search::new(&job, Settings::default()).expect("worker 0 of 1 exists");
    search.step(500);
    std::hint::black_box(check(&job, search.best()));
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status
        .lines()
        .find_map(|l| l.strip_prefix("VmHWM:"))
        .and_then(|l| l.split_whitespace().next());
    if let Some(kilobytes) = peak.and_then(|k| k.parse::<f64>().ok()) {
        row("memory, 100 boards x 1,000 parts", "MB", kilobytes / 1024.0);
    }
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

fn row(what: &str, unit: &str, value: f64) {
    println!(
        "{}",
        serde_json::json!({ "what": what, "unit": unit, "native": (value * 1000.0).round() / 1000.0 })
    );
}
