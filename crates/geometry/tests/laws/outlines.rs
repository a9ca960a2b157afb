//! Rings, regions and poses.

use heartside_geometry::{
    Bounds, Location, Point, Pose, PreparedRegion, Region, Ring, RingFault, clip_bounds,
    least_rectangle, offset, poles_of_inaccessibility, protrusion, separation, simplify_outer,
};
use proptest::prelude::*;

use crate::shapes::{any_pose, any_region, sample, spiral, tangled_ring, waney, zoo};

/// Whether two sides properly cross, with plain arithmetic: enough for whole numbers.
fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Numbers that nobody measures.
fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        -10.0..10.0f64,
        prop::sample::select(vec![
            0.0,
            -0.0,
            1.0,
            f64::NAN,
            f64::INFINITY,
            1e-300,
            1e150,
            -1e300
        ]),
    ]
}

proptest! {
    #[test]
    fn crossings_are_found_as_by_trying_all_pairs(
        list in prop::collection::vec((0..7i32, 0..7i32), 3..10)
    ) {
        let points: Vec<Point> =
            list.iter().map(|&(x, y)| Point::new(f64::from(x), f64::from(y))).collect();
        let n = points.len();
        let mut wanted = Vec::new();
        for i in 0..n {
            for j in i + 1..n {
                if cross(points[i], points[(i + 1) % n], points[j], points[(j + 1) % n]) {
                    wanted.push((i, j));
                }
            }
        }
        match Ring::new(points) {
            Ok(_) => prop_assert!(wanted.is_empty()),
            Err(faults) => {
                let found: Vec<(usize, usize)> = faults.0.iter().filter_map(|f| match f {
                    RingFault::Crossing { first, second, .. } => Some((*first, *second)),
                    _ => None,
                }).collect();
                let few = faults.0.iter().any(|f| matches!(f, RingFault::TooFewPoints { .. }));
                // Crossings in corners come on top of the proper ones.
                prop_assert!(few || wanted.iter().all(|pair| found.contains(pair)),
                    "{wanted:?} {faults}");
            }
        }
    }

    #[test]
    fn a_pose_changes_no_measure_and_can_be_undone(region in any_region(), pose in any_pose()) {
        let moved = pose.apply_region(&region);
        prop_assert!((moved.area() - region.area()).abs() < 1e-9 * region.area().max(1.0));
        prop_assert!(moved.rings().all(|r| r.signed_area() > 0.0));
        for (p, q) in region.outer().points().iter().zip(region.outer().points().iter().skip(1)) {
            let kept = pose.apply(*p).distance(pose.apply(*q));
            prop_assert!((kept - p.distance(*q)).abs() < 1e-12 * 100.0);
            prop_assert!(pose.inverse_apply(pose.apply(*p)).distance(*p) < 1e-12 * 100.0);
        }
        for p in sample(&region.bounds(), 7) {
            // The rounding of a pose may move a point across an outline that it nearly touches.
            let near = region.edges().any(|(a, b)| p.distance_to_segment(a, b) < 1e-9);
            if !near {
                prop_assert_eq!(region.locate(p), moved.locate(pose.apply(p)));
            }
        }
    }

    #[test]
    fn wild_numbers_are_refused_or_borne(
        list in prop::collection::vec((wild(), wild()), 0..8), turn in wild(), by in wild()
    ) {
        let points = list.iter().map(|&(x, y)| Point::new(x, y)).collect();
        if let Ok(ring) = Ring::new(points) {
            // Whatever comes out may be coarse, but nothing may panic or hang.
            let region = Region::from_ring(ring);
            let first = PreparedRegion::new(region.clone());
            let second = first.posed(&Pose::new(by, -by, turn));
            let _ = (separation(&first, &second), protrusion(&second, &first));
            let _ = (simplify_outer(&region, by), clip_bounds(&region, &Bounds::of_size(by, by)));
            let _ = poles_of_inaccessibility(&region, 0.9, 3);
            let _ = offset(&region, by, 0.05);
            let _ = least_rectangle(region.outer().points());
        }
    }

    #[test]
    fn direction_of_travel_does_not_matter(ring in tangled_ring()) {
        let mut reversed = ring.points().to_vec();
        reversed.reverse();
        let again = Ring::new(reversed).unwrap();
        prop_assert!((again.signed_area() - ring.signed_area()).abs() < 1e-12);
        let mut from = ring.points().to_vec();
        from.rotate_left(1);
        prop_assert_eq!(Ring::new(from).unwrap().points().len(), ring.points().len());
    }

    #[test]
    fn regions_survive_their_file_form(region in any_region()) {
        let text = serde_json::to_string(&region).unwrap();
        prop_assert_eq!(serde_json::from_str::<Region>(&text).unwrap(), region);
    }
}

#[test]
fn a_file_cannot_smuggle_in_a_bad_outline() {
    let bow_tie = r#"[{"x":0,"y":0},{"x":4,"y":4},{"x":4,"y":0},{"x":0,"y":4}]"#;
    let error = serde_json::from_str::<Ring>(bow_tie)
        .unwrap_err()
        .to_string();
    assert!(error.contains("crosses itself"), "{error}");
    let square = r#"[{"x":0,"y":0},{"x":4,"y":0},{"x":4,"y":4},{"x":0,"y":4}]"#;
    let outside = square.replace('4', "9").replace('0', "8");
    let text = format!(r#"{{"outer":{square},"holes":[{outside}]}}"#);
    let error = serde_json::from_str::<Region>(&text)
        .unwrap_err()
        .to_string();
    assert!(error.contains("hole 1 lies outside"), "{error}");
    let back = serde_json::to_string(&serde_json::from_str::<Ring>(square).unwrap()).unwrap();
    assert!(back.starts_with(r#"[{"x":0.0,"y":0.0}"#));
}

#[test]
fn quarter_turns_are_exact() {
    let (_, saw) = zoo().into_iter().find(|(name, _)| *name == "saw").unwrap();
    let mut turned = saw.clone();
    for _ in 0..4 {
        turned = Pose::new(0.0, 0.0, 90.0).apply_region(&turned);
    }
    assert_eq!(turned, saw);
}

#[test]
fn ten_thousand_points_are_checked_and_a_late_crossing_is_found() {
    let board = waney(10_000);
    let mut points = board.outer().points().to_vec();
    assert!(Ring::new(points.clone()).is_ok());
    // One point of the upper edge reaches down through the lower one.
    points[7_000].y -= 400.0;
    let Err(faults) = Ring::new(points) else {
        panic!("the crossing was missed")
    };
    assert!(faults.0.len() >= 2, "{faults}");
    for fault in faults.0 {
        let RingFault::Crossing { first, second, at } = fault else {
            panic!("{fault}")
        };
        assert!(first < 5_000 && (second == 6_999 || second == 7_000) && at.y < 20.0);
    }
    assert!(spiral(40).outer().points().len() > 3_000);
}

#[test]
fn the_zoo_holds_the_middle_of_no_hole() {
    for (name, region) in zoo() {
        for hole in region.holes() {
            assert_eq!(
                region.locate(hole.points()[0]),
                Location::Boundary,
                "{name}"
            );
            assert_ne!(
                region.locate(hole.bounds().centre()),
                Location::Inside,
                "{name}"
            );
        }
    }
}
