//! A thick blank that is resawn into two leaves: a step of its own, made and taken back.

#![allow(clippy::unwrap_used)]

use heartside_cutting::{
    Action, Becomes, Step, as_planned, cut_list, not_cut, set_up_words, spoiled, steps,
    steps_by_board, totals, work_after_saw,
};
use heartside_timber::document::{Board, Document, Length, PartCopy};
use heartside_timber::edit::{Edit, apply};
use heartside_timber::job::Job;
use heartside_timber::prepare;
use serde_json::{Value, json};

/// Two doors of 10 mm, opened like a book, from the start end of a flat board of 30 mm: planed on both faces it
/// yields 28, two leaves with a kerf of 2 and a clean-up on both fresh faces take 24, so that each leaf is 10 + 1 + 2.
fn book() -> Value {
    let cut = |direction: &str, at: f64, low: usize, high: usize| {
        json!({"node": "cut", "direction": direction, "tool": "Guided saw", "at": at, "kerf": 3,
               "low": low, "high": high})
    };
    json!({
        "format": "heartside-job", "version": 3, "title": "Cupboard", "revision": 4,
        "workshop": {
            "trim": {"end": 0, "edge": 0}, "min_offcut": {"length": 200, "width": 40},
            "tools": [
                {"name": "Guided saw", "does": ["rip", "crosscut"], "kerf": 3, "guide": "along",
                 "work_moves": false, "can_skim": true},
                {"name": "Band saw", "does": ["sawn", "resaw"], "kerf": 2, "max_depth": 200}]},
        "allowances": {"end": 6, "edge": 3, "sawn": 3, "planing": 2, "clean_up": 1},
        "boards": [{"id": "A", "thickness": 30, "price": {"amount": 20}, "warp": {},
            "outline": {"form": "tape", "length": 1000, "stations": [{"at": 0, "left": 0, "right": 200}],
                        "left": "straight", "right": "straight", "start": "straight", "end": "straight"},
            "zones": [
                {"note": "stain", "face": "up", "depth": 2, "sound": true, "margin": 0, "kind": "figure",
                 "shape": {"form": "polygon", "points": [[100, -90], [120, -90], [120, -70], [100, -70]]}},
                {"note": "mark", "face": "down", "depth": 2, "sound": true, "margin": 0, "kind": "figure",
                 "shape": {"form": "polygon", "points": [[300, -90], [320, -90], [320, -70], [300, -70]]}}]}],
        "parts": [{"id": "door", "name": "Door", "count": 2, "thickness": 10, "faces": "none",
                   "shape": {"form": "rectangle", "length": 500, "width": 140}}],
        "matches": [{"kind": "book", "parts": [{"part": "door", "copy": 1}, {"part": "door", "copy": 2}]}],
        "plan": {"revision": 4, "layouts": [{"board": "A", "copy": 1, "way": "straight",
            "placements": [
                {"part": "door", "copy": 1, "x": 6, "y": -57, "turned_over": true, "leaf": 1},
                {"part": "door", "copy": 2, "x": 6, "y": -197, "leaf": 2}],
            "cuts": {"nodes": [
                cut("crosscut", 512.0, 1, 4),
                cut("rip", -54.0, 2, 3),
                {"node": "leaves", "placements": [0, 1]},
                {"node": "waste"},
                {"node": "offcut"}]}}]},
    })
}

fn opened(job: &Value) -> Document {
    Document::open(&job.to_string()).unwrap().document
}

fn job(document: &Document) -> Job {
    prepare(document).job
}

fn list(document: &Document) -> Vec<Step> {
    steps(&job(document), document.plan.as_ref().unwrap())
}

fn tick(document: &mut Document, number: u32) {
    let list = list(document);
    let step = list.iter().find(|s| s.number == number).unwrap();
    let edit: Edit = as_planned(document, &job(document), step).unwrap();
    apply(document, edit).unwrap();
}

fn board<'a>(document: &'a Document, id: &str) -> &'a Board {
    document.boards.iter().find(|b| b.id == id).unwrap()
}

fn without_revision(document: &Document) -> Document {
    let mut document = document.clone();
    document.revision = 0;
    if let Some(plan) = &mut document.plan {
        plan.revision = 0;
    }
    document
}

#[test]
fn resawing_is_a_numbered_step_after_the_blank_is_free() {
    let document = opened(&book());
    assert_eq!(prepare(&document).diagnostics, []);
    let job = job(&document);
    let plan = document.plan.as_ref().unwrap();
    for all in [steps(&job, plan), steps_by_board(&job, plan)] {
        let numbers: Vec<u32> = all.iter().map(|s| s.number).collect();
        assert_eq!(numbers, [1, 2, 3]);
        let freeing = all.iter().position(|s| {
            let leaves = |b: &Becomes| matches!(b, Becomes::Leaves { parts } if parts.len() == 2);
            s.yields.iter().any(|y| leaves(&y.becomes))
        });
        let resawing = all.iter().position(|s| s.action == Action::Resaw).unwrap();
        assert!(freeing.unwrap() < resawing);
        let freeing = &all[freeing.unwrap()];
        assert!(freeing.cautions.iter().any(|c| c.code == "mark-leaves"));
        let step = &all[resawing];
        assert!(!step.is_ready(), "its blank is still part of the board");
        assert_eq!(step.tool, "Band saw");
        assert_eq!(step.title, "Resaw Door 1 and 2, 13 mm from its up face");
        assert_eq!(step.brief, "Resaw Door 1 and 2 from up face");
        assert_eq!(set_up_words(&job, step), "Band saw, high fence at 13 mm");
        assert_eq!(step.setting.as_ref().unwrap().distance, 13.0);
        assert_eq!(step.sawn_length, 512.0);
        let gives: Vec<&str> = step.yields.iter().map(|y| y.name.as_str()).collect();
        assert_eq!(gives, ["Door 1", "Door 2"]);
        let text = step.text.join(" ");
        for said in [
            "With the Band saw. The blank is 512 × 146 × 30 mm and stands on its longer edge: the blade cuts 146 mm deep.",
            "Set a high fence to 13 mm, the up face against it; the kerf is 2 mm.",
            "Gives 2 leaves, each 13 mm thick before it is cleaned up: Door 1 and Door 2, from the up face down.",
            "Open them like a book",
        ] {
            assert!(text.contains(said), "{said}\n{text}");
        }
        let care = step.cautions.iter().find(|c| c.code == "resaw").unwrap();
        assert!(care.is_grave());
        for word in [
            "high fence",
            "featherboard",
            "push block",
            "guard",
            "base",
            "close on the blade",
            "manual",
            "local rules",
            "qualified person",
        ] {
            assert!(care.text.contains(word), "{word}: {}", care.text);
        }
        let sums = totals(&job, plan, &all);
        assert_eq!((sums.cuts, sums.tool_changes), (3, 2));
        assert_eq!(sums.sawn_mm, 200.0 + 512.0 + 512.0);
        let listed = cut_list(&job, &all);
        assert_eq!(listed.rows[resawing][2], "Resaw");
        assert_eq!(
            listed.rows[resawing][4],
            "fence 13 mm, its up face against it"
        );
    }
    let work = work_after_saw(&job, job.part("door").unwrap()).join(" ");
    assert!(!work.contains("esaw"), "it is a step now: {work}");
}

#[test]
fn a_resaw_is_refused_before_its_blank_is_free_and_gives_leaves_then() {
    let mut document = opened(&book());
    let step = list(&document).pop().unwrap();
    let refused = as_planned(&document, &job(&document), &step)
        .unwrap_err()
        .to_string();
    assert!(refused.starts_with("first make cut 1"), "{refused}");
    tick(&mut document, 1);
    tick(&mut document, 2);
    // Half done: both are in hand in one blank, and the step is still there.
    let half = job(&document);
    assert_eq!(half.parts[0].in_hand, [1, 2]);
    let left = list(&document);
    assert_eq!(left.len(), 1);
    assert_eq!((left[0].action, left[0].number), (Action::Resaw, 3));
    assert!(left[0].is_ready());
    assert_eq!(left[0].setting.as_ref().unwrap().distance, 13.0);
    let before = document.clone();
    let rest = |d: &Document| d.plan.clone().map(|p| (p.layouts, p.unplaced));
    tick(&mut document, 3);
    assert_eq!(
        rest(&document),
        rest(&before),
        "nothing of the rest changes"
    );
    let cut = document.done.last().unwrap();
    assert!(cut.resawn && cut.kerf == 2.0 && cut.tool == "Band saw" && cut.set_to == Some(13.0));
    let after = prepare(&document);
    assert_eq!(after.diagnostics, []);
    assert_eq!(after.job.parts[0].in_hand, [1, 2]);
    assert!(list(&document).is_empty());
    for (id, copy, note) in [("door-1", 1, "stain"), ("door-2", 2, "mark")] {
        let leaf = board(&document, id);
        assert_eq!(leaf.thickness, Some(Length::Mm(13.0)));
        let held = leaf.holds.as_ref().unwrap();
        assert_eq!((held.copy, held.leaf), (copy, Some(copy)));
        let notes: Vec<&str> = leaf.zones.iter().map(|z| z.note.as_str()).collect();
        assert_eq!(
            notes,
            [note],
            "a mark of the other face lies on the other leaf"
        );
    }
    let id = cut.id;
    let edit = not_cut(&document, &job(&document), id).unwrap();
    apply(&mut document, edit).unwrap();
    assert_eq!(without_revision(&document), without_revision(&before));
}

#[test]
fn the_cut_that_freed_a_blank_is_taken_back_only_before_it_is_resawn() {
    let mut document = opened(&book());
    for number in 1..=3 {
        tick(&mut document, number);
    }
    let id = document.done[1].id;
    let refused = not_cut(&document, &job(&document), id)
        .unwrap_err()
        .to_string();
    assert!(
        refused.starts_with("first take back the cut of"),
        "{refused}"
    );
}

#[test]
fn one_leaf_is_spoiled_and_the_other_stays_in_hand() {
    let mut document = opened(&book());
    for number in 1..=3 {
        tick(&mut document, number);
    }
    let spoilt = PartCopy {
        part: "door".into(),
        copy: 2,
    };
    let edit = spoiled(&document, &spoilt).unwrap();
    apply(&mut document, edit).unwrap();
    assert_eq!(job(&document).parts[0].in_hand, [1]);
    let id = document.done.last().unwrap().id;
    let edit = not_cut(&document, &job(&document), id).unwrap();
    apply(&mut document, edit).unwrap();
    assert_eq!(
        job(&document).parts[0].in_hand,
        [1],
        "what is spoiled stays so"
    );
}

#[test]
fn where_no_tool_resaws_a_line_is_gauged_and_the_kerf_is_told() {
    let mut typed = book();
    typed["workshop"]["tools"][1]["does"] = json!(["sawn"]);
    let document = opened(&typed);
    let all = list(&document);
    let step = all.last().unwrap();
    assert_eq!((step.action, step.tool.as_str()), (Action::Resaw, ""));
    // The kerf of a rip is a millimetre wider, which both leaves bear.
    assert_eq!(step.title, "Resaw Door 1 and 2, 12.5 mm from its up face");
    assert_eq!(step.brief, "Resaw Door 1 and 2, 12.5 from up face");
    let text = step.text.join(" ");
    assert!(
        text.contains("No tool is said to resaw: take a saw with a kerf of at most 3 mm."),
        "{text}"
    );
    assert!(
        text.contains("Gauge a line 12.5 mm from the up face all round"),
        "{text}"
    );
}

/// A blank that is sawn out by line is one step for all its leaves, and resawn after it.
#[test]
fn a_blank_sawn_by_line_is_resawn_too() {
    let mut typed = book();
    let layout = &mut typed["plan"]["layouts"][0];
    layout["way"] = json!("sawn");
    layout.as_object_mut().unwrap().remove("cuts");
    typed["boards"][0]["cuts"] = json!("sawn");
    let mut document = opened(&typed);
    let all = list(&document);
    let actions: Vec<Action> = all.iter().map(|s| s.action).collect();
    assert_eq!(actions, [Action::SawByLine, Action::Resaw]);
    assert_eq!(all[0].title, "Saw Door 1 and 2 out of board A by line");
    assert!(all[0].is_ready() && !all[1].is_ready());
    let before = document.clone();
    tick(&mut document, 1);
    assert_eq!(job(&document).parts[0].in_hand, [1, 2]);
    assert!(prepare(&document).diagnostics.is_empty());
    let held = document.clone();
    tick(&mut document, 2);
    assert!(list(&document).is_empty());
    for then in [held, before] {
        let id = document.done.last().unwrap().id;
        let edit = not_cut(&document, &job(&document), id).unwrap();
        apply(&mut document, edit).unwrap();
        assert_eq!(without_revision(&document), without_revision(&then));
    }
}
