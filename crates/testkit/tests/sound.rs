//! The plans that come with generated jobs obey every rule, whatever the tools are.

use std::collections::BTreeSet;

use heartside_check::check;
use heartside_testkit::{CutApart, Outfit, askew_apart, broken_down_in, cut_apart, sawn_apart_in};
use heartside_timber::document::Document;
use heartside_timber::finding::Severity;
use heartside_timber::plan::CutNode;
use heartside_timber::prepare;

const OUTFITS: [Option<Outfit>; 2] = [None, Some(Outfit::Sensible)];

fn assert_sound(what: &str, document: &Document) {
    let prepared = prepare(document);
    assert_eq!(prepared.job.boards.len(), document.boards.len(), "{what}");
    assert_eq!(prepared.job.parts.len(), document.parts.len(), "{what}");
    let plan = document.plan.clone().unwrap_or_default();
    assert!(plan.placed_count() > 0, "{what}: nothing is placed");
    let found = check(&prepared.job, &plan);
    let broken: Vec<_> = found
        .iter()
        .filter(|f| f.severity == Severity::Broken)
        .take(3)
        .collect();
    assert!(
        broken.is_empty(),
        "{what}: {broken:?} {:?}",
        document.workshop.tools
    );
}

#[test]
fn boards_cut_apart_are_sound_in_every_workshop() {
    for seed in 0..150 {
        for outfit in OUTFITS {
            let wanted = CutApart {
                boards: 1 + seed as usize % 3,
                parts_a_board: 2 + seed as usize % 6,
                outfit,
                ..CutApart::default()
            };
            let document = cut_apart(seed, wanted);
            assert_sound(&format!("cut apart {seed} {outfit:?}"), &document);
        }
    }
}

#[test]
fn boards_sawn_apart_are_sound_in_every_workshop() {
    for seed in 0..60 {
        for outfit in OUTFITS {
            let boards = 1 + seed as usize % 2;
            let document = sawn_apart_in(seed, boards, 4, outfit);
            assert_sound(&format!("sawn apart {seed} {outfit:?}"), &document);
            let document = broken_down_in(seed, boards, 5, outfit);
            assert_sound(&format!("broken down {seed} {outfit:?}"), &document);
        }
    }
}

/// Not just the one tool that may do everything.
#[test]
fn cuts_are_made_with_many_tools() {
    let mut names = BTreeSet::new();
    for seed in 0..60 {
        let wanted = CutApart {
            outfit: Some(Outfit::Sensible),
            ..CutApart::default()
        };
        let plan = cut_apart(seed, wanted).plan.unwrap_or_default();
        let trees = plan.layouts.iter().filter_map(|l| l.cuts.as_ref());
        for node in trees.flat_map(|tree| &tree.nodes) {
            if let CutNode::Cut { tool, .. } = node {
                names.insert(tool.clone());
            }
        }
    }
    for name in [
        "Hand saw",
        "Guided saw",
        "Table saw",
        "Mitre saw",
        "Band saw",
    ] {
        assert!(names.contains(name), "{name}: {names:?}");
    }
}

#[test]
fn pieces_turned_from_their_line_are_sound() {
    let (mut turned, mut named) = (0, BTreeSet::new());
    for seed in 0..400 {
        let document = askew_apart(seed, 1 + seed as usize % 2);
        assert_sound(&format!("askew apart {seed}"), &document);
        let plan = document.plan.unwrap_or_default();
        let trees = plan.layouts.iter().filter_map(|l| l.cuts.as_ref());
        for cut in trees.flat_map(|tree| &tree.nodes).filter_map(CutNode::cut) {
            turned += usize::from(cut.angle != 0.0);
            named.insert(cut.tool.to_owned());
        }
    }
    assert!(turned > 800, "{turned} cuts turn");
    assert_eq!(named.len(), 3, "{named:?}");
}
