//! The checker accepts what is left after every cut, whichever legal order they are made in.

#![allow(clippy::unwrap_used)]

use heartside_check::check;
use heartside_cutting::{as_planned, steps};
use heartside_testkit::{
    Chance, CutApart, Outfit, askew_apart, broken_down, cut_apart, cut_to_make, sawn_apart,
};
use heartside_timber::document::Document;
use heartside_timber::edit::apply;
use heartside_timber::finding::Severity;
use heartside_timber::prepare;

/// Makes every cut of the document's plan; how many there were.
fn cut_all(mut document: Document, seed: u32, what: &str) -> usize {
    let mut chance = Chance::new(seed ^ 0x0d0e);
    for made in 0.. {
        let prepared = prepare(&document);
        assert!(!prepared.has_errors(), "{what}: {:?}", prepared.diagnostics);
        let plan = document.plan.clone().unwrap();
        let found = check(&prepared.job, &plan);
        let broken: Vec<_> = found
            .iter()
            .filter(|f| f.severity == Severity::Broken)
            .take(3)
            .collect();
        assert!(broken.is_empty(), "{what} after {made} cuts: {broken:#?}");
        let Some(cut) = cut_to_make(&mut chance, &plan) else {
            return made;
        };
        let steps = steps(&prepared.job, &plan);
        let is_it = (cut.layout, cut.node, cut.placement);
        let step = steps
            .iter()
            .find(|s| (s.layout, s.node, s.placement) == is_it);
        let edit = as_planned(&document, &prepared.job, step.unwrap()).unwrap();
        apply(&mut document, edit).unwrap();
    }
    0
}

#[test]
fn what_is_left_after_a_straight_cut_is_sound() {
    let mut cuts = 0;
    for seed in 0..120 {
        let wanted = CutApart {
            boards: 1 + seed as usize % 2,
            parts_a_board: 2 + seed as usize % 6,
            outfit: (seed % 2 == 0).then_some(Outfit::Sensible),
            ..CutApart::default()
        };
        cuts += cut_all(cut_apart(seed, wanted), seed, &format!("cut apart {seed}"));
    }
    assert!(cuts > 500, "{cuts} cuts");
}

#[test]
fn what_is_left_after_a_cut_askew_is_sound() {
    let mut cuts = 0;
    for seed in 0..80 {
        let apart = askew_apart(seed, 1 + seed as usize % 2);
        cuts += cut_all(apart, seed, &format!("askew apart {seed}"));
    }
    assert!(cuts > 500, "{cuts} cuts");
}

#[test]
fn what_is_left_after_a_sawn_line_is_sound() {
    let mut cuts = 0;
    for seed in 0..30 {
        cuts += cut_all(sawn_apart(seed, 1, 4), seed, &format!("sawn apart {seed}"));
        cuts += cut_all(
            broken_down(seed, 1, 5),
            seed,
            &format!("broken down {seed}"),
        );
    }
    assert!(cuts > 150, "{cuts} cuts");
}
