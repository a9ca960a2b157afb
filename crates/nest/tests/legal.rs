//! Whatever the search returns, the independent checker accepts.

use heartside_check::check;
use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit as testkit;
use heartside_timber::finding::{Finding, Severity};
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare;

fn broken(job: &Job, plan: &Plan) -> Vec<Finding> {
    check(job, plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect()
}

fn assert_legal(what: &str, job: &Job, plan: &Plan) {
    let found = broken(job, plan);
    assert!(
        found.is_empty(),
        "{what}: {:#?}",
        found.iter().take(3).collect::<Vec<_>>()
    );
}

#[test]
fn plans_of_workshop_jobs_are_legal() {
    for seed in 0..24 {
        let size = testkit::JobSize {
            boards: 3 + seed as usize % 5,
            pieces: 6 + 3 * (seed as usize % 9),
            sawn: 15,
        };
        let job = prepare(&testkit::workshop_job(seed, size)).job;
        let mut search = Search::new(
            &job,
            Settings {
                seed,
                way: WayWanted::Straight,
                ..Settings::default()
            },
        )
        .unwrap();
        for _ in 0..4 {
            search.step(400);
            assert_legal(&format!("workshop job {seed}"), &job, search.best());
        }
        assert!(search.best().placed_count() > 0);
    }
}

#[test]
fn plans_of_boards_cut_apart_are_legal() {
    for seed in 0..16 {
        let mut document = testkit::cut_apart(seed, testkit::CutApart::default());
        document.pins.clear();
        let job = prepare(&document).job;
        let mut search = Search::new(
            &job,
            Settings {
                seed,
                way: WayWanted::Straight,
                ..Settings::default()
            },
        )
        .unwrap();
        search.step(1500);
        assert_legal(&format!("boards cut apart {seed}"), &job, search.best());
    }
}

#[test]
fn plans_of_the_demo_jobs_are_legal() {
    let fixtures = concat!(env!("CARGO_MANIFEST_DIR"), "/../../fixtures");
    for name in [
        "writing-desk",
        "writing-desk-inches",
        "step-stool",
        "bench-that-does-not-fit",
    ] {
        let text = std::fs::read_to_string(format!("{fixtures}/{name}.heartside.json")).unwrap();
        let document = serde_json::from_str(&text).unwrap();
        let job = prepare(&document).job;
        for way in [WayWanted::Straight, WayWanted::AsJob] {
            let mut search = Search::new(
                &job,
                Settings {
                    way,
                    ..Settings::default()
                },
            )
            .unwrap();
            search.step(3000);
            assert_legal(name, &job, search.best());
        }
    }
}
