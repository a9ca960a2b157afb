//! What the laws by straight cuts and by line ask alike.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use heartside_check::check;
use heartside_nest::{Search, Settings};
use heartside_testkit as testkit;
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::job::{Job, Pin};
use heartside_timber::plan::Plan;

/// The rules that a plan breaks, by the checker's words.
pub(crate) fn broken(job: &Job, plan: &Plan) -> Vec<String> {
    let found = check(job, plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken);
    found
        .map(|f| format!("{}: {}", f.cause, f.message))
        .collect()
}

/// A job in a workshop at random, one in two of which may lack things.
pub(crate) fn in_a_workshop(seed: u32, size: testkit::JobSize, shop: u32) -> Document {
    let mut document = testkit::workshop_job(seed, size);
    let outfit = match shop % 2 {
        0 => testkit::Outfit::Odd,
        _ => testkit::Outfit::Sensible,
    };
    testkit::fit_out(&mut document, shop, outfit);
    document
}

/// Plans a job, pins every so many of its parts, plans again, and looks whether the pins lie where they
/// were and can be cut.
pub(crate) fn pins_are_kept(
    mut job: Job,
    settings: Settings,
    every: usize,
    (first, then): (u64, u64),
) {
    let mut search = Search::new(&job, settings).unwrap();
    search.step(first);
    let placed = search.best().layouts.iter().flat_map(|layout| {
        let some = layout.placements.iter().step_by(every);
        some.map(|p| Pin {
            part: p.part_copy(),
            board: layout.board.clone(),
            at: p.at,
        })
    });
    let pins: Vec<Pin> = placed.collect();
    job.pins = pins.clone();
    let settings = Settings {
        seed: settings.seed + 1,
        ..settings
    };
    let mut search = Search::new(&job, settings).unwrap();
    assert_eq!(search.best().placed_count(), pins.len());
    search.step(then);
    assert_eq!(broken(&job, search.best()), Vec::<String>::new());
    for pin in &pins {
        let lies = search.best().layouts.iter().any(|layout| {
            let mut placements = layout.placements.iter();
            layout.board == pin.board
                && placements.any(|p| p.part_copy() == pin.part && p.at == pin.at)
        });
        assert!(lies, "{pin:?} has moved");
    }
}
