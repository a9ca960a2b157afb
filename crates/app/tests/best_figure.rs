//! What holds of plans that are chosen for their figure, on generated jobs with maps of their boards.
//!
//! `HEARTSIDE_FIGURED=100` for more jobs, told line by line.

use std::sync::Arc;

use heartside_app::figure::{judge_figure, judge_like};
use heartside_check::check;
use heartside_nest::{Giving, Remake, Settings, WayWanted};
use heartside_testkit::figured_job;
use heartside_timber::choices::Choices;
use heartside_timber::document::{Cuts, Document, Price, PricePer};
use heartside_timber::finding::is_sound;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::{prepare, prepare_with};
use heartside_timber::score::Score;

const STEPS: u64 = 150;

/// A figured job whose boards have prices, of which some are the same; every third is sawn by line.
fn priced(seed: u32) -> Document {
    let mut document = figured_job(seed);
    for (place, board) in document.boards.iter_mut().enumerate() {
        board.price = Some(Price {
            amount: [40.0, 40.0, 43.0][(place + seed as usize) % 3],
            per: PricePer::Board,
        });
        if seed.is_multiple_of(3) {
            board.cuts = Cuts::Sawn;
        }
    }
    document.figure_worth = [None, Some(5.0), Some(400.0)][seed as usize / 3 % 3];
    document
}

fn job_of(document: &Document) -> Job {
    let mut job = prepare(document).job;
    judge_figure(&mut job);
    job
}

fn search(document: &Document, is_judged: bool) -> Giving {
    let mut job = job_of(document);
    if !is_judged {
        job.judge = None;
    }
    let document = document.clone();
    let remake: Remake = Arc::new(move |choices| prepare_with(&document, choices).job);
    let settings = Settings {
        way: WayWanted::AsJob,
        ..Settings::default()
    };
    Giving::new(&job, settings, remake).expect("one worker of one")
}

/// The score of a plan with its figure, in the job made for it. The checker must find nothing wrong.
fn judged(document: &Document, plan: &Plan) -> Score {
    let mut job = prepare_with(document, &Choices::of(plan)).job;
    judge_like(&mut job, &job_of(document));
    let found = check(&job, plan);
    assert!(is_sound(&found), "{found:?}");
    Score::of(&job, plan)
}

#[test]
fn figure_is_never_worse_at_equal_cost_nor_dearer_than_what_it_is_worth() {
    let asked = std::env::var("HEARTSIDE_FIGURED").ok();
    let count: Option<u32> = asked.and_then(|n| n.parse().ok());
    let (mut better, mut all) = (0, 0);
    for seed in 0..count.unwrap_or(9) {
        let document = priced(seed);
        let mut plain = search(&document, false);
        let mut figured = search(&document, true);
        // Where more is asked for, searches have time to come to dearer plans.
        let steps = if count.is_some() { 1_500 } else { STEPS };
        plain.step(steps);
        figured.step(steps);
        let (without, with) = (
            judged(&document, plain.best()),
            judged(&document, figured.best()),
        );
        assert_eq!(*figured.score(), with, "{seed}: the score that is told");
        if count.is_some() {
            let [a, b] = [&without, &with].map(|s| (s.cost, 1.0 - s.figure));
            println!(
                "{seed}: cost {:.2} -> {:.2}, figure {:.3} -> {:.3}",
                a.0, b.0, a.1, b.1
            );
        }
        assert_eq!(without.missing, with.missing);
        let won = without.figure - with.figure;
        assert!(with.weighed() <= without.weighed() + 1e-9, "{seed}");
        if (with.cost - without.cost).abs() < 1e-9 {
            assert!(won >= 0.0, "{seed}");
        }
        let worth = document.figure_worth.unwrap_or(0.0);
        assert!(with.cost - without.cost <= worth * won + 1e-9, "{seed}");
        let is_dearer = with.cost > without.cost + 1e-9;
        assert_eq!(figured.best().cheapest.is_some(), is_dearer, "{seed}");
        better += u32::from(won > 0.05);
        all += 1;
        // Steps at a time change nothing.
        if seed < 4 {
            let mut again = search(&document, true);
            for n in [1, 2, 40, 7, steps - 50] {
                again.step(n);
            }
            assert_eq!(again.best(), figured.best(), "{seed}");
        }
    }
    assert!(
        2 * better > all,
        "{better} of {all} are better by a twentieth"
    );
}
