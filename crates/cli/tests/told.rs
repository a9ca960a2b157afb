//! What the command says of a job and draws of it is so: no flaw elsewhere than measured,
//! nothing left out unsaid, no number that means something else.

mod run;

use run::{plan_in, set_out, text_of};
use serde_json::{Value, json};

/// One board of 1200 x 200 by its corners, which begin to count at a place of their own, and a
/// part that nearly fills half of it; a knot 600 from the start end.
fn knotty(x: f64, y: f64) -> Value {
    json!({
        "format": "heartside-job", "version": 1, "title": "Knot",
        "boards": [{"id": "A", "thickness": 27,
            "outline": {"form": "polygon",
                "points": [[x, y], [x + 1200.0, y], [x + 1200.0, y + 200.0], [x, y + 200.0]],
                "sides": ["straight", "straight", "straight", "straight"]},
            "zones": [{"note": "knot", "margin": 5,
                "shape": {"form": "spot", "along": 600, "across": 100, "length": 60, "width": 60}}]}],
        "parts": [{"id": "p", "name": "Part", "thickness": 20,
            "shape": {"form": "rectangle", "length": 500, "width": 180}}]
    })
}

#[test]
fn no_part_lies_over_a_knot_of_a_board_whose_corners_begin_elsewhere() {
    let (run, folder) = set_out("knotty", &knotty(300.0, 0.0));
    assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
    let placement = &plan_in(&folder)["layouts"][0]["placements"][0];
    let x = placement["x"].as_f64().expect("a place");
    let turned = placement["turn"].as_f64().unwrap_or(0.0).abs() > 90.0;
    let (from, to) = if turned {
        (x - 500.0, x)
    } else {
        (x, x + 500.0)
    };
    // The knot with its margin lies from 865 to 935.
    assert!(
        to < 865.0 || from > 935.0,
        "the part lies from {from} to {to}"
    );
}

#[test]
fn where_corners_begin_to_count_changes_nothing_in_the_drawing() {
    let drawing = |name: &str, x: f64, y: f64| {
        let (run, folder) = set_out(name, &knotty(x, y));
        assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
        let svg = std::fs::read_to_string(folder.join("board-A.svg")).expect("a drawing");
        // Hatches and grain begin where they like; everything else stays.
        let told = svg.split('<').filter(|element| {
            !["hs-grain", "hs-faint", "hs-zone\""]
                .iter()
                .any(|class| element.contains(class))
        });
        told.map(str::to_owned).collect::<Vec<String>>()
    };
    let plain = drawing("knot-at-0", 0.0, 0.0);
    assert!(plain.iter().any(|element| element.ends_with(">knot")));
    assert!(plain.len() > 60);
    assert_eq!(drawing("knot-at-300", 300.0, 0.0), plain);
    assert_eq!(drawing("knot-at-minus-64", -64.0, 512.0), plain);
}
