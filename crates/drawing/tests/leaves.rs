//! Leaves of one thick blank: their words stand on top, and the blank is seen from its end where it is resawn.

#![allow(clippy::unwrap_used)]

use heartside_cutting::{Action, as_planned, steps};
use heartside_drawing::{Options, Paper, at_machine, board_svg, sheets};
use heartside_timber::document::Document;
use heartside_timber::edit::apply;
use heartside_timber::prepare::prepare;

/// Two doors, opened like a book, from one crosscut of a board as wide as they are.
fn document() -> Document {
    let job = r#"{
        "format": "heartside-job", "version": 3, "title": "Cupboard",
        "workshop": {"trim": {"end": 0, "edge": 0}, "tools": [
            {"name": "Saw", "does": ["rip", "crosscut"], "kerf": 3, "guide": "along", "work_moves": false},
            {"name": "Band saw", "does": ["sawn", "resaw"], "kerf": 2, "max_depth": 200}]},
        "allowances": {"end": 6, "edge": 3, "planing": 2, "clean_up": 1},
        "boards": [{"id": "A", "thickness": 30, "warp": {},
            "outline": {"form": "tape", "length": 900, "stations": [{"at": 0, "left": 0, "right": 146}],
                        "left": "straight", "right": "straight", "start": "straight", "end": "straight"}}],
        "parts": [{"id": "door", "name": "Door", "count": 2, "thickness": 10,
                   "shape": {"form": "rectangle", "length": 500, "width": 140}}],
        "matches": [{"kind": "book", "parts": [{"part": "door", "copy": 1}, {"part": "door", "copy": 2}]}],
        "plan": {"layouts": [{"board": "A", "copy": 1, "way": "straight",
            "placements": [{"part": "door", "copy": 1, "x": 6, "y": -3, "turned_over": true, "leaf": 1},
                           {"part": "door", "copy": 2, "x": 6, "y": -143, "leaf": 2}],
            "cuts": {"nodes": [
                {"node": "cut", "direction": "crosscut", "tool": "Saw", "at": 512, "kerf": 3, "low": 1, "high": 2},
                {"node": "leaves", "placements": [0, 1]},
                {"node": "waste"}]}}]}
    }"#;
    Document::open(job).unwrap().document
}

#[test]
fn the_words_of_a_blank_of_leaves_are_covered_by_no_other_leaf() {
    let document = document();
    let (job, plan) = (prepare(&document).job, document.plan.clone().unwrap());
    let all = steps(&job, &plan);
    let copy = &plan.layouts[0].board;
    let svg = board_svg(&job, &plan, copy, &all, &Options::default())
        .unwrap()
        .svg;
    assert!(svg.contains("Door 1 and Door 2"));
    let [first, second] = [1, 2].map(|copy| {
        let begins = svg.find(&format!("id=\"part-door-{copy}\"")).unwrap();
        let own = &svg[begins..];
        own[..own.find("</g>").unwrap()].contains("hs-blank")
    });
    assert!(first && !second, "the second is drawn over the first");
}

#[test]
fn what_is_resawn_is_seen_from_its_end_and_printed_while_it_is_in_hand() {
    let mut document = document();
    let job = prepare(&document).job;
    let all = steps(&job, document.plan.as_ref().unwrap());
    let edit = as_planned(&document, &job, &all[0]).unwrap();
    apply(&mut document, edit).unwrap();
    let (job, plan) = (prepare(&document).job, document.plan.clone().unwrap());
    assert!(plan.layouts.is_empty(), "all of the board is cut");
    let left = steps(&job, &plan);
    assert_eq!(left.len(), 1);
    assert_eq!(left[0].action, Action::Resaw);
    let drawn = at_machine(&job, &plan, &left[0]).unwrap();
    for word in ["Door 1", "Door 2", "high fence", "13 mm", "hs-kerf"] {
        assert!(drawn.svg.contains(word), "{word}: {}", drawn.svg);
    }
    assert_eq!(
        drawn.description,
        "The end of Door 1 and 2, standing on its edge, the up face against a high fence at the right, set to 13 mm; from there Door 1 and Door 2"
    );
    let pages = sheets(&job, &plan, &left, Paper::A4, &Options::default());
    assert_eq!(pages.len(), 1);
    for word in ["to be resawn", "high fence", "featherboard"] {
        assert!(pages[0].svg.contains(word), "{word}");
    }
}
