//! Jobs far larger than a workshop's: a first plan comes within the steps that laying every piece once
//! takes, and what is asked of an engine in between does not keep it from coming.

use crate::sample;

use heartside_nest::{Search, Settings};
use heartside_timber::document::Document;
use heartside_timber::job::Job;
use heartside_timber::prepare::prepare;
use sample::assert_legal;
use serde_json::{Value, json};

/// Boards and kinds of parts, each of another size.
#[allow(clippy::unwrap_used)]
fn job(boards: usize, kinds: usize) -> Job {
    let mut state = 7_u64;
    let mut below = |most: u64| {
        // Numerical Recipes' generator: it need not be good, only the same everywhere.
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223) & 0xffff_ffff;
        (state >> 8) % most
    };
    let boards: Vec<Value> = (0..boards)
        .map(|k| {
            let (length, half) = (1_500 + below(1_500), (120 + below(180)) as f64 / 2.0);
            json!({"id": format!("B{k}"), "thickness": 27, "outline": {"form": "tape", "length": length,
                "stations": [{"at": 0, "left": half, "right": half}, {"at": length, "left": half - 4.0, "right": half}]}})
        })
        .collect();
    let parts: Vec<Value> = (0..kinds)
        .map(|k| {
            json!({"id": format!("p{k}"), "name": format!("Part {k}"), "thickness": 20, "shape":
                {"form": "rectangle", "length": 200 + below(600), "width": 35 + below(60)}})
        })
        .collect();
    let tools = json!([
        {"name": "Guided saw", "does": ["rip", "crosscut"], "kerf": 2.2, "guide": "along", "work_moves": false},
        {"name": "Band saw", "does": ["sawn", "rip"], "kerf": 2.0},
    ]);
    let document = json!({"format": "heartside-job", "version": 3, "title": "Large", "workshop":
        {"tools": tools}, "boards": boards, "parts": parts});
    prepare(&Document::open(&document.to_string()).unwrap().document).job
}

#[test]
#[allow(clippy::unwrap_used)]
fn a_first_plan_takes_no_more_steps_than_laying_each_piece_once() {
    let job = job(60, 900);
    let mut search = Search::new(&job, Settings::default()).unwrap();
    // A step lays a blank or gives a workpiece up; of those there are two or three a blank.
    search.step(4 * 900 + 60);
    let placed: usize = search
        .best()
        .layouts
        .iter()
        .map(|l| l.placements.len())
        .sum();
    assert!(placed > 450, "{placed} of 900 are placed");
    assert_legal("a large job", &job, search.best());
}
