//! Marked areas.

use super::*;

#[test]
fn zones_lie_where_they_were_measured() {
    let zone = |shape: Value| {
        let document = changed("boards/0/zones", json!([{"shape": shape, "margin": 3}]));
        let prepared = prepare(&document);
        prepared.job.boards[0].zones[0].shape.bounds()
    };
    let spot = |from: &str, across: f64| {
        zone(
            json!({"form": "spot", "oval": false, "along": 500, "across": across, "from": from,
                    "length": 40, "width": 20}),
        )
    };
    // The edges are at y = -110 and y = 90.
    assert_eq!(spot("right_edge", 30.0).centre().y, -80.0);
    assert_eq!(spot("left_edge", 30.0).centre().y, 60.0);
    assert_eq!(spot("chalk_line", -30.0).centre().y, -30.0);
    assert_eq!(
        (
            spot("chalk_line", 0.0).width(),
            spot("chalk_line", 0.0).height()
        ),
        (40.0, 20.0)
    );
    let strip = zone(json!({"form": "strip", "side": "left", "width": 25}));
    assert_eq!(
        (strip.min.y, strip.max.y, strip.width()),
        (65.0, 90.0, 2000.0)
    );
    let strip = zone(json!({"form": "strip", "side": "right", "width": 25}));
    assert_eq!((strip.min.y, strip.max.y), (-110.0, -85.0));
    let oval = zone(
        json!({"form": "spot", "along": 500, "across": 0, "from": "chalk_line",
                           "length": 40, "width": 20}),
    );
    assert_eq!((oval.width(), oval.height()), (40.0, 20.0));
}

#[test]
fn a_spot_is_measured_from_the_start_end_wherever_corners_begin_to_count() {
    // A knot taped at 600 from the end of a board whose corners begin at 300.
    let mut whole = small();
    whole["boards"][0]["outline"] =
        json!({"form": "polygon", "points": [[300, 0], [1500, 0], [1500, 200], [300, 200]]});
    whole["boards"][0]["zones"] = json!([{"shape": {"form": "spot", "along": 600, "across": 100, "length": 60, "width": 60}}]);
    let prepared = prepare(&document(whole));
    let middle = prepared.job.boards[0].zones[0].shape.bounds().centre();
    assert!(
        middle.distance(Point { x: 900.0, y: 100.0 }) < 1e-9,
        "{middle:?}"
    );
}

proptest::proptest! {
    #[test]
    fn moving_all_corners_moves_every_zone_with_them(
        ys in proptest::collection::vec((-20.0..20.0_f64, 60.0..140.0_f64), 4),
        (dx, dy) in (-3000.0..3000.0_f64, -200.0..200.0_f64),
        (along, across) in (0.0..1500.0_f64, 0.0..60.0_f64),
        oval in proptest::bool::ANY,
        from_left in proptest::bool::ANY,
    ) {
        let board = |dx: f64, dy: f64| {
            let low = ys.iter().enumerate().map(|(k, (low, _))| [500.0 * k as f64 + dx, low + dy]);
            let high = ys.iter().enumerate().map(|(k, (_, high))| [500.0 * k as f64 + dx, high + dy]);
            let points: Vec<[f64; 2]> = low.chain(high.rev()).collect();
            let from = if from_left { "left_edge" } else { "right_edge" };
            let corners = [[20.0, 20.0], [60.0, 25.0], [30.0, 50.0]].map(|[x, y]| [x + dx, y + dy]);
            let mut whole = small();
            whole["boards"][0]["outline"] = json!({"form": "polygon", "points": points});
            whole["boards"][0]["zones"] = json!([
                {"shape": {"form": "spot", "oval": oval, "along": along, "across": across,
                           "from": from, "length": 40, "width": 20}},
                {"shape": {"form": "strip", "side": "left", "width": 15}},
                {"shape": {"form": "polygon", "points": corners}},
            ]);
            prepare(&document(whole)).job.boards.remove(0)
        };
        let (here, there) = (board(0.0, 0.0), board(dx, dy));
        for (a, b) in here.zones.iter().zip(&there.zones) {
            proptest::prop_assert!((a.shape.area() - b.shape.area()).abs() < 1e-3);
            let (a, b) = (a.shape.bounds(), b.shape.bounds());
            for (p, q) in [(a.min, b.min), (a.max, b.max)] {
                proptest::prop_assert!((p.x + dx - q.x).abs() < 1e-6 && (p.y + dy - q.y).abs() < 1e-6);
            }
        }
    }
}

#[test]
fn a_strip_follows_a_wavy_edge() {
    let mut whole = small();
    whole["boards"][0]["outline"]["stations"] = json!([{"at": 0, "left": 90, "right": 100}, {"at": 900, "left": 60, "right": 110},
               {"at": 2000, "left": 100, "right": 90}]);
    whole["boards"][0]["zones"] = json!([{"kind": "sapwood", "face": "up", "depth": 5,
                "shape": {"form": "strip", "side": "left", "width": 25}}]);
    let board = prepare(&document(whole)).job.boards.remove(0);
    assert!((board.zones[0].shape.area() - 50_000.0).abs() < 1e-6);
    assert_eq!(
        (board.zones[0].face, board.zones[0].depth),
        (ZoneFace::Up, 5.0)
    );
}

#[test]
fn a_faulty_figure_leaves_the_board_in() {
    let zones = json!([{"kind": "figure"}, {"kind": "figure", "weight": 0.5,
        "shape": {"form": "spot", "along": 500, "across": 50, "length": 40, "width": 20}}]);
    let prepared = only(
        &changed("boards/0/zones", zones),
        "zone-without-shape",
        "zones[0].shape",
    );
    assert_eq!(prepared.job.boards[0].zones.len(), 1);
    assert_eq!(prepared.job.boards[0].zones[0].index, 1);
}
