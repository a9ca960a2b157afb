//! Parts that must lie together, and cannot.

use serde_json::json;

use super::{codes, document, small};
use crate::prepare::{Prepared, prepare};

fn with(kind: &str, edit: impl Fn(&mut serde_json::Value)) -> Prepared {
    let mut whole = small();
    whole["matches"] =
        json!([{"kind": kind, "parts": [{"part": "leg"}, {"part": "leg", "copy": 2}]}]);
    edit(&mut whole);
    prepare(&document(whole))
}

fn told<'a>(prepared: &'a Prepared, code: &str) -> &'a str {
    let mut notes = prepared.diagnostics.iter();
    let note = notes.find(|n| n.code == code);
    note.map_or("", |n| n.message.as_str())
}

#[test]
fn a_copy_has_its_place_by_one_match_only() {
    let prepared = with("continuous_along", |whole| {
        let list = whole["matches"].as_array_mut().expect("a list");
        let again = list[0].clone();
        list.push(again.clone());
        list.push(json!({"kind": "book", "parts": again["parts"]}));
        list.push(json!({"kind": "same_board", "parts": again["parts"]}));
    });
    assert_eq!(prepared.job.matches.len(), 2, "{:?}", codes(&prepared));
    assert_eq!(
        codes(&prepared)
            .iter()
            .filter(|c| **c == "match-shares")
            .count(),
        2
    );
    assert!(told(&prepared, "match-shares").ends_with("has its place by match 1 already"));
}

#[test]
fn a_run_longer_than_any_board_says_how_long_one_could_be() {
    let prepared = with("continuous_along", |whole| {
        whole["parts"][0]["shape"]["length"] = json!(900);
        whole["boards"][0]["outline"] = json!({"form": "tape", "length": 1500, "stations": [{"at": 0, "left": 150, "right": 150}]});
    });
    let told = told(&prepared, "run-too-long");
    assert!(
        told.starts_with("no board gives these 2 parts in a row: they need "),
        "{:?} {told}",
        codes(&prepared)
    );
    assert!(
        told.contains("the longest run of these parts that any board could give is 1"),
        "{told}"
    );
    assert_eq!(prepared.job.matches.len(), 1);
}

#[test]
fn leaves_thicker_than_any_board_and_without_a_saw_are_told() {
    let prepared = with("book", |_| ());
    let told = told(&prepared, "leaves-too-thick");
    assert!(
        told.starts_with("no board is thick enough for 2 leaves"),
        "{:?} {told}",
        codes(&prepared)
    );
    assert!(codes(&prepared).contains(&"match-resaw-kerf"));
}

#[test]
fn matches_that_ask_for_different_things_are_left_out() {
    let prepared = with("book", |whole| {
        let mut other = whole["parts"][0].clone();
        other["id"] = json!("other");
        other["thickness"] = json!(11);
        whole["parts"].as_array_mut().expect("a list").push(other);
        whole["matches"][0]["parts"][1] = json!({"part": "other"});
    });
    assert!(told(&prepared, "match-cannot-be").ends_with("differ in size or thickness"));
    assert!(prepared.job.matches.is_empty());
}

#[test]
fn pins_that_contradict_a_match_are_told() {
    let prepared = with("continuous_along", |whole| {
        let mut other = whole["boards"][0].clone();
        other["id"] = json!("Z");
        whole["boards"].as_array_mut().expect("a list").push(other);
        let board = whole["boards"][0]["id"].clone();
        whole["pins"] = json!([
            {"part": "leg", "board": board, "x": 100, "y": 0},
            {"part": "leg", "copy": 2, "board": "Z", "x": 800, "y": 0}
        ]);
    });
    assert!(
        told(&prepared, "match-against-pins").ends_with("are pinned to different ones"),
        "{:?}",
        codes(&prepared)
    );
    assert_eq!(prepared.job.matches.len(), 1);
}
