//! Small flawed boards against an exact reference, [`heartside_testkit::SmallBoard`].
//!
//! 40 jobs are compared in every test run; for more set `HEARTSIDE_SMALL_JOBS`:
//! `HEARTSIDE_SMALL_JOBS=300 cargo test --release -p heartside-trials --test all -- --nocapture small`

use heartside_check::check;
use heartside_nest::{Floor, Search, Settings, WayWanted, bound_of};
use heartside_testkit::SmallBoard;
use heartside_timber::finding::Severity;
use heartside_timber::job::{Goal, Job, Part};
use heartside_timber::plan::Plan;
use heartside_trials::ENGINES;

#[test]
fn as_good_as_the_reference_and_never_better() {
    let jobs = std::env::var("HEARTSIDE_SMALL_JOBS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(40);
    let (mut equal, mut proved, mut gaps, mut bounds) = (0, 0, Vec::new(), Vec::new());
    for seed in 0..jobs {
        let small = SmallBoard::random(seed);
        let job = small.job().expect("our own instance is read");
        let best = f64::from(small.best());
        let settings = Settings {
            way: WayWanted::Straight,
            beside: ENGINES,
            ..Settings::default()
        };
        let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
        search.step(6_000);
        let broken: Vec<_> = check(&job, search.best())
            .into_iter()
            .filter(|f| f.severity == Severity::Broken)
            .collect();
        assert!(broken.is_empty(), "job {seed}: {broken:?}");
        let found = -search.score().missing[0];
        assert!(
            found <= best + 1e-9,
            "job {seed}: {found} found, {best} is possible"
        );
        assert!(
            bound_of(&job).value >= best - 1e-9,
            "job {seed}: the bound is below {best}"
        );
        let asked = furnish(&job, search.best());
        if let Some(mut floor) = Floor::of(&asked, search.best()) {
            for _ in 0..200 {
                floor.step(&asked);
            }
            let floor = floor.bound().value;
            assert!(
                floor <= 1.0 + 1e-9,
                "job {seed}: one board gives the parts, the floor asks for {floor}"
            );
        }
        let is_proved = search.bound().proved_for.is_some();
        assert!(
            !is_proved || found >= best - 1e-9,
            "job {seed}: {found} is called proved, {best} is possible"
        );
        proved += u32::from(is_proved);
        equal += u32::from(found >= best - 1e-9);
        gaps.push(100.0 * (1.0 - found / best.max(1.0)));
        bounds.push(best.max(1.0) / bound_of(&job).value.max(1.0));
    }
    gaps.sort_by(f64::total_cmp);
    bounds.sort_by(f64::total_cmp);
    let worst = gaps.last().copied().unwrap_or(0.0);
    println!(
        "{jobs} jobs: {equal} equal to the reference, {proved} proved, worst gap {worst:.2} %; best over bound: median {:.3}, least {:.3}",
        bounds[bounds.len() / 2],
        bounds[0],
    );
    assert_eq!(equal, jobs, "not equal to the reference");
    assert!(worst <= 0.005, "worst gap {worst:.2} %");
}

/// The parts that a plan places are all wanted, of as many such boards as one likes, at one each: as the plan
/// lies on one board, 1 is the least.
fn furnish(job: &Job, plan: &Plan) -> Job {
    let mut job = job.clone();
    job.goal = Goal::Furnish;
    let placed = |part: &Part| {
        plan.layouts
            .iter()
            .flat_map(|l| &l.placements)
            .any(|p| p.part == part.id)
    };
    job.parts.retain(placed);
    job.boards[0].count = 3;
    job.boards[0].cost = 1.0;
    job
}
