//! Boards: faults, warp, prices, species.

use super::*;

#[test]
fn each_fault_of_a_board_is_named_and_the_rest_stays_usable() {
    for (path, value, code, field) in [
        (
            "thickness",
            json!({"typed": "1,400"}),
            "length-two-readings",
            "thickness",
        ),
        (
            "thickness",
            json!({"typed": "27.500"}),
            "length-two-readings",
            "thickness",
        ),
        // The value from before, to which the refused text was never read.
        (
            "thickness",
            json!({"mm": 27, "typed": "27.500"}),
            "length-two-readings",
            "thickness",
        ),
        (
            "thickness",
            json!({"typed": "8/4"}),
            "length-nominal",
            "thickness",
        ),
        ("thickness", json!(0), "length-not-positive", "thickness"),
        ("thickness", json!(null), "length-missing", "thickness"),
        ("count", json!(1.5), "count-not-usable", "count"),
        ("count", json!(1e9), "count-not-usable", "count"),
        ("outline", json!(null), "outline-missing", "outline"),
        ("id", json!("../x"), "id-not-usable", "id"),
        ("id", json!(""), "id-missing", "id"),
        ("moisture", json!(-3), "number-out-of-range", "moisture"),
        (
            "warp",
            json!({"cup": {"gap": -1}}),
            "length-negative",
            "warp.cup.gap",
        ),
        (
            "warp",
            json!({"cup": {"gap": 150}}),
            "warp-too-great",
            "warp.cup.gap",
        ),
        (
            "grain",
            json!({"angle": 1e9}),
            "number-out-of-range",
            "grain.angle",
        ),
        (
            "grain",
            json!({"lines": [[[0, 0], [1e9, 0]]]}),
            "grain-line-not-readable",
            "grain.lines[0]",
        ),
        (
            "zones",
            json!([{"kind": "defect"}]),
            "zone-without-shape",
            "zones[0].shape",
        ),
        (
            "zones",
            json!([{"shape": {"form": "polygon", "points": [[0, 0], [9, 9], [9, 0], [0, 8]]}}]),
            "outline-crosses-itself",
            "zones[0].shape",
        ),
    ] {
        let mut whole = serde_json::to_value(changed(&format!("boards/0/{path}"), value))
            .expect("documents can be written");
        let mut sound = small()["boards"][0].clone();
        sound["id"] = json!("B");
        whole["boards"].as_array_mut().expect("a list").push(sound);
        let prepared = only(&document(whole), code, field);
        let ids: Vec<_> = prepared.job.boards.iter().map(|b| b.id.as_str()).collect();
        assert_eq!(ids, ["B"], "{path}");
        assert_eq!(prepared.diagnostics[0].place.row, Some(0));
        assert_eq!(prepared.job.parts.len(), 1);
    }
}

#[test]
fn warp_is_unknown_flat_or_measured() {
    let warp = |value: Value| prepare(&changed("boards/0/warp", value)).job.boards[0].warp;
    assert_eq!(warp(json!(null)), Warp::Unknown);
    assert_eq!(warp(json!({})), Warp::Flat);
    assert_eq!(warp(json!({"bow": {"gap": 0}})), Warp::Flat);
    assert_eq!(
        warp(json!({"cup": {"gap": 3}, "twist": {"lift": 4, "over_length": 1500}})),
        Warp::Measured {
            cup: (3.0, 200.0),
            bow: (0.0, 2000.0),
            twist: (4.0, 1500.0, 200.0)
        }
    );
}

#[test]
fn costs_come_from_prices_rates_or_the_mean_of_the_others() {
    let mut whole = small();
    let board = whole["boards"][0].clone();
    let boards = whole["boards"].as_array_mut().expect("a list");
    for (id, price) in [
        ("B", json!({"amount": 1000, "per": "m3"})),
        ("C", json!({"amount": 9})),
    ] {
        let mut other = board.clone();
        other["id"] = json!(id);
        other["price"] = price;
        boards.push(other);
    }
    let costs = |whole: &Value| -> Vec<f64> {
        let job = prepare(&document(whole.clone())).job;
        assert!(!job.cost_is_volume);
        job.boards
            .iter()
            .map(|b| (b.cost * 1000.0).round() / 1000.0)
            .collect()
    };
    assert_eq!(costs(&whole), [9.9, 10.8, 9.0]);
    whole["timber_rate"] = json!(2000);
    assert_eq!(costs(&whole), [21.6, 10.8, 9.0]);
    whole["boards"][0]["species"] = json!("Ash ");
    whole["species"] = json!([{"name": "ash", "price_m3": 500}]);
    assert_eq!(costs(&whole), [5.4, 10.8, 9.0]);
    whole["boards"][2]["price"] = json!({"amount": -1});
    let prepared = prepare(&document(whole));
    assert!(codes(&prepared).contains(&"price-not-usable"));
    assert_eq!(prepared.job.boards.len(), 3);
}

/// AHEC guide, worked example: 6 1/4 in x 8 ft of 8/4 is 8 board feet, whatever it measures.
#[test]
fn a_price_by_the_board_foot_is_by_the_tally() {
    let mut whole = small();
    whole["boards"][0]["outline"] = json!({
        "form": "tape", "length": {"typed": "8'"},
        "stations": [{"at": 0, "left": {"typed": "6 1/4\""}, "right": 0}],
    });
    whole["boards"][0]["price"] = json!({"amount": 10, "per": "board_foot"});
    let cost = |whole: &Value| prepare(&document(whole.clone())).job.boards[0].cost;
    for (thickness, expected) in [("2\"", 80.0), ("1\"", 40.0), ("3/4\"", 40.0)] {
        whole["boards"][0]["thickness"] = json!({ "typed": thickness });
        assert!(
            (cost(&whole) - expected).abs() < 1e-9,
            "{thickness}: {}",
            cost(&whole)
        );
    }
    // What it was sold as counts, however thin it came from the planer.
    whole["boards"][0]["thickness"] = json!({"typed": "1 3/4\""});
    whole["boards"][0]["nominal"] = json!({"typed": "8/4"});
    assert!((cost(&whole) - 80.0).abs() < 1e-9);
    whole["boards"][0]["nominal"] = json!({"typed": "thick"});
    let prepared = prepare(&document(whole.clone()));
    let bad: Vec<_> = prepared
        .diagnostics
        .iter()
        .filter(|d| d.level != Level::Note)
        .map(|d| (d.level, d.place.field.as_deref()))
        .collect();
    assert_eq!(bad, [(Level::Warning, Some("nominal"))]);
    assert_eq!(prepared.job.boards.len(), 1);
    whole["boards"][0]["nominal"] = json!({"typed": "8/4"});
    whole["boards"][0]["thickness"] = json!(null);
    let prepared = prepare(&document(whole));
    assert!(prepared.diagnostics[0].message.contains("sold as 8/4"));
}

#[test]
fn a_name_of_several_woods_is_asked_about_once_and_kept() {
    let mut whole = small();
    whole["boards"][0]["species"] = json!("Oak");
    let mut other = whole["boards"][0].clone();
    other["id"] = json!("B");
    whole["boards"]
        .as_array_mut()
        .expect("a list")
        .push(other.clone());
    whole["parts"][0]["species"] = json!(["oak"]);
    for (unit, level) in [("mm", Level::Note), ("in", Level::Warning)] {
        whole["units"]["length"] = json!(unit);
        let prepared = prepare(&document(whole.clone()));
        let asked: Vec<_> = prepared
            .diagnostics
            .iter()
            .filter(|d| d.code == "species-which")
            .collect();
        assert_eq!(asked.len(), 1, "{:#?}", prepared.diagnostics);
        assert_eq!(asked[0].level, level);
        assert!(
            asked[0]
                .message
                .contains("white oak, red oak or European oak"),
            "{}",
            asked[0].message
        );
        assert_eq!(asked[0].place.row, Some(0));
        assert_eq!(prepared.job.boards[0].species, "Oak");
    }
    // Each board can be another oak, and the part that asks for oak takes them all.
    whole["boards"][0]["species"] = json!("White oak");
    whole["boards"][1]["species"] = json!("Black walnut");
    other["id"] = json!("C");
    other["species"] = json!("European oak");
    whole["boards"].as_array_mut().expect("a list").push(other);
    let prepared = prepare(&document(whole.clone()));
    assert!(!codes(&prepared).contains(&"species-which"));
    let accepted = &prepared.job.parts[0].species;
    assert_eq!(*accepted, ["oak", "White oak", "European oak"]);
    // Whoever writes what their oak weighs has said enough.
    whole["boards"][0]["species"] = json!("oak");
    whole["species"] = json!([{"name": "Oak", "density": 700}]);
    let prepared = prepare(&document(whole));
    assert!(!codes(&prepared).contains(&"species-which"));
}

#[test]
fn species_are_one_whatever_their_capitals() {
    let mut whole = small();
    whole["boards"][0]["species"] = json!("European Ash");
    whole["parts"][0]["species"] = json!([" european ash", "European Ash", ""]);
    let prepared = prepare(&document(whole.clone()));
    assert_eq!(prepared.job.parts[0].species, ["European Ash"]);
    assert_eq!(prepared.job.boards[0].density, 690.0);
    assert_eq!(codes(&prepared), Vec::<&str>::new());
    whole["parts"][0]["species"] = json!(["oak"]);
    only(&document(whole), "part-no-species", "species");
}

#[test]
fn a_board_to_be_left_stays_in_the_job() {
    let prepared = prepare(&changed("boards/0/use", json!("leave")));
    assert_eq!(prepared.job.boards[0].usage, Use::Leave);
}
