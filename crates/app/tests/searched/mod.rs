//! A job set out as one worker of the page does it.

#![allow(clippy::unwrap_used)]

use heartside_app::protocol::SearchSettings;
use heartside_app::search::Search;
use heartside_timber::choices::Choices;
use heartside_timber::document::Document;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare_with;

/// The plan of a search of so many steps, and the job made for what it has chosen.
pub(crate) fn set_out(document: &Document, steps: u32) -> (Job, Plan) {
    let settings = SearchSettings {
        seed: 1,
        worker: 0,
        workers: 1,
        ..SearchSettings::default()
    };
    let mut search = Search::new(&document.save(), &settings);
    assert_eq!(search.problem(), None, "{}", document.title);
    search.step(steps);
    let plan = Plan::read(&search.best().unwrap()).unwrap();
    (prepare_with(document, &Choices::of(&plan)).job, plan)
}
