//! Jobs in which sizes and staves give, set out as the page does it and judged by the checker.

#![allow(clippy::unwrap_used)]

use heartside_app::protocol::SearchSettings;
use heartside_app::search::Search;
use heartside_check::check;
use heartside_testkit::sizes_job;
use heartside_timber::choices::Choices;
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::job::Job;
use heartside_timber::plan::{DimensionValue, Plan};
use heartside_timber::prepare::{prepare, prepare_with};
use heartside_timber::score::Score;

/// The plan of a search of so many steps, and the job that it is made for.
fn set_out(document: &Document, steps: u32) -> (Job, Plan) {
    let settings = SearchSettings {
        seed: 1,
        worker: 0,
        workers: 1,
        ..SearchSettings::default()
    };
    let mut search = Search::new(&document.save(), &settings);
    assert_eq!(search.problem(), None);
    search.step(steps);
    let plan = Plan::read(&search.best().unwrap()).unwrap();
    (prepare_with(document, &Choices::of(&plan)).job, plan)
}

fn assert_sound(title: &str, job: &Job, plan: &Plan) {
    let found = check(job, plan);
    let broken: Vec<_> = found
        .iter()
        .filter(|f| f.severity == Severity::Broken)
        .map(|f| &f.message)
        .collect();
    assert!(broken.is_empty(), "{title}: {broken:?}");
}

#[test]
fn sizes_against_every_value() {
    let steps = 400;
    let mut good = 0;
    let jobs = 20;
    for seed in 0..jobs {
        let document = sizes_job(seed);
        let prepared = prepare(&document);
        assert!(!prepared.has_errors(), "{:?}", prepared.diagnostics);
        let (job, plan) = set_out(&document, 3 * steps);
        assert_sound(&document.title, &job, &plan);
        let found = Score::of(&job, &plan);
        let mut best: Option<(Score, Vec<f64>)> = None;
        let mut all = vec![Vec::new()];
        for dimension in &job.dimensions {
            let count = ((dimension.most - dimension.least) / 5.0).round() as usize;
            all = all
                .into_iter()
                .flat_map(|some: Vec<f64>| {
                    (0..=count).map(move |k| {
                        let mut more = some.clone();
                        more.push(dimension.least + 5.0 * k as f64);
                        more
                    })
                })
                .collect();
        }
        for values in all {
            let mut fixed = document.clone();
            for (dimension, value) in fixed.dimensions.iter_mut().zip(&values) {
                let value = Some(heartside_timber::document::Length::Mm(*value));
                dimension.preferred.clone_from(&value);
                dimension.least.clone_from(&value);
                dimension.most = value;
            }
            let (_, plan) = set_out(&fixed, steps);
            let names = job.dimensions.iter().zip(&values);
            let choices = Choices {
                dimensions: names
                    .map(|(d, v)| DimensionValue {
                        value: *v,
                        ..d.value.clone()
                    })
                    .collect(),
                ..Choices::default()
            };
            let there = prepare_with(&document, &choices).job;
            let score = Score::of(&there, &plan);
            if best
                .as_ref()
                .is_none_or(|b| score.better_than(&b.0, &job.order))
            {
                best = Some((score, values));
            }
        }
        let (best, values) = best.unwrap();
        let is_good = !(best.missing.clone(), best.cost, best.sizes)
            .partial_cmp(&(found.missing.clone(), found.cost, found.sizes))
            .unwrap()
            .is_lt();
        good += usize::from(is_good);
        let chosen: Vec<f64> = job.dimensions.iter().map(|d| d.value.value).collect();
        println!(
            "{seed}: {is_good} {chosen:?} {} {:?} {:.3} | {values:?} {} {:?} {:.3}",
            found.cost, found.missing, found.sizes, best.cost, best.missing, best.sizes
        );
    }
    println!("good: {good} of {jobs}");
}
