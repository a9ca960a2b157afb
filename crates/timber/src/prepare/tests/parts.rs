//! Parts: faults, tenons, what fits nowhere.

use super::*;

#[test]
fn what_fits_nowhere_is_said_beforehand() {
    let prepared = prepare(&fixture(MISFIT));
    assert!(
        codes(&prepared)
            .iter()
            .any(|code| code.starts_with("part-")),
        "{prepared:#?}"
    );
    assert!(!prepared.has_errors());
}

#[test]
fn each_fault_of_a_part_is_named() {
    for (path, value, code, field) in [
        ("thickness", json!(-20), "length-not-positive", "thickness"),
        ("shape", json!(null), "shape-missing", "shape"),
        (
            "shape",
            json!({"form": "rectangle", "length": {"expr": "tpo * 2"}, "width": 9}),
            "expression-unknown-name",
            "shape.length",
        ),
        ("count", json!(0), "count-not-usable", "count"),
        ("turns", json!([]), "turns-missing", "turns"),
        (
            "grain",
            json!({"tolerance": 91}),
            "number-out-of-range",
            "grain.tolerance",
        ),
        ("value", json!(-1), "number-out-of-range", "value"),
        (
            "allowances",
            json!({"end": -1}),
            "length-negative",
            "allowances.end",
        ),
        ("id", json!("a/b"), "id-not-usable", "id"),
        (
            "shape",
            json!({"form": "arc_sided", "points": [[0, 0], [100, 0], [100, 50], [0, 50]],
                   "swells": [-60]}),
            "outline-crosses-itself",
            "shape",
        ),
    ] {
        let prepared = only(&changed(&format!("parts/0/{path}"), value), code, field);
        assert!(prepared.job.parts.is_empty(), "{path}");
        assert_eq!(prepared.job.boards.len(), 1);
    }
    let tenon = json!({"id": "d", "thickness": 20, "shape": {"form": "disc", "diameter": 90},
                       "tenon": {"start": 20}});
    only(&changed("parts/0", tenon), "tenon-on-free-shape", "tenon");
}

#[test]
fn tenons_lengthen_the_finished_part() {
    let mut whole = small();
    whole["parts"][0]["tenon"] = json!({"start": 30, "end": 20});
    let part = prepare(&document(whole)).job.parts.remove(0);
    assert_eq!(
        (part.length(), part.width(), part.tenon),
        (550.0, 100.0, (30.0, 20.0))
    );
}

#[test]
fn parts_that_fit_nowhere_are_said() {
    // Unknown warp: 27 less 5 leaves 22.
    assert_eq!(
        prepare(&changed("parts/0/thickness", json!(22))).diagnostics,
        []
    );
    only(
        &changed("parts/0/thickness", json!(22.01)),
        "part-too-thick",
        "thickness",
    );
    let shape = |length: f64, width: f64| {
        changed(
            "parts/0/shape",
            json!({"form": "rectangle", "length": length, "width": width}),
        )
    };
    only(&shape(2100.0, 50.0), "part-too-long", "shape");
    only(&shape(500.0, 230.0), "part-too-wide", "shape");
}

#[test]
fn a_slanting_part_fits_where_its_box_does_not() {
    // A slat of 1500 x 90 that rises by 130: its box is too wide for a board of 200, but laid
    // with the grain, turned back by 4.95 degrees, the slat is not.
    let slat = |rise: f64, tolerance: f64| {
        let mut whole = small();
        let part = &mut whole["parts"][0];
        part["cut"] = json!("sawn");
        part["grain"] = json!({"tolerance": tolerance});
        part["shape"] = json!({"form": "polygon",
            "points": [[0, 0], [1500, rise], [1500, rise + 90.0], [0, 90]]});
        document(whole)
    };
    assert_eq!(prepare(&slat(130.0, 5.0)).diagnostics, []);
    only(&slat(130.0, 0.0), "part-too-wide", "shape");
    only(&slat(330.0, 5.0), "part-too-wide", "shape");
    let mut any = slat(330.0, 5.0);
    any.parts[0].grain.axis = crate::document::GrainAxis::Any;
    assert_eq!(prepare(&any).diagnostics, []);
}

#[test]
fn grain_that_bends_more_than_a_part_bears_is_said() {
    let bent = |tolerance: f64, length: f64| {
        let mut whole = small();
        whole["boards"][0]["grain"] =
            json!({"lines": [[[0, -60], [700, -40], [1400, 0], [2000, 80]]]});
        whole["parts"][0]["shape"]["length"] = json!(length);
        whole["parts"][0]["grain"] = json!({"tolerance": tolerance});
        whole
    };
    let strict = bent(0.0, 1500.0);
    let prepared = only(
        &document(strict.clone()),
        "part-grain-too-strict",
        "grain.tolerance",
    );
    let found = &prepared.diagnostics[0];
    assert_eq!(
        (found.level, found.place.id.as_deref()),
        (Level::Warning, Some("leg"))
    );
    assert!(
        found.hint.as_deref().unwrap().starts_with("give it 2.1°"),
        "{found:?}"
    );
    // What the hint asks for is enough: more of it, less length, or a straight board.
    let mut helped = strict;
    let mut straight = helped["boards"][0].clone();
    straight["id"] = json!("B");
    straight["grain"] = json!({"angle": 2});
    helped["boards"].as_array_mut().unwrap().push(straight);
    for sound in [bent(5.0, 1500.0), bent(0.0, 15.0), helped] {
        assert_eq!(prepare(&document(sound)).diagnostics, []);
    }
}

#[test]
fn too_many_pieces_are_refused_part_by_part() {
    let mut whole = small();
    let part = whole["parts"][0].clone();
    whole["parts"] = (0..12)
        .map(|n| {
            let mut part = part.clone();
            part["id"] = json!(format!("p{n}"));
            part["count"] = json!(10_000);
            part
        })
        .collect();
    let prepared = prepare(&document(whole));
    assert_eq!(prepared.job.parts.len(), 10);
    assert_eq!(codes(&prepared), ["pieces-too-many", "pieces-too-many"]);
}
