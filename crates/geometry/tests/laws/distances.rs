//! Signed distances against plain and slow ways to find them.

use heartside_geometry::{
    Bounds, Convex, Location, Point, Pose, PreparedRegion, Region, Vector, convex_hull,
    distance_to_point, distance_to_segment, interiors_disjoint, math, protrusion,
    protrusion_at_most, separation, separation_at_most,
};
use proptest::prelude::*;

use crate::shapes::{any_pose, any_region, convex_region, region, sample, waney, zoo};

fn segments_distance(a: Point, b: Point, c: Point, d: Point) -> f64 {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    if side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0 {
        return 0.0;
    }
    a.distance_to_segment(c, d)
        .min(b.distance_to_segment(c, d))
        .min(c.distance_to_segment(a, b))
        .min(d.distance_to_segment(a, b))
}

fn outlines_distance(a: &Region, b: &Region) -> f64 {
    let mut least = f64::INFINITY;
    for (p, q) in a.edges() {
        for (r, s) in b.edges() {
            least = least.min(segments_distance(p, q, r, s));
        }
    }
    least
}

/// The distance of two regions by trying all pairs of sides; 0 if they overlap.
fn plain_distance(a: &Region, b: &Region) -> f64 {
    let overlaps = a.contains(b.outer().points()[0]) || b.contains(a.outer().points()[0]);
    if overlaps {
        0.0
    } else {
        outlines_distance(a, b)
    }
}

fn prepared(region: &Region, pose: &Pose) -> PreparedRegion {
    PreparedRegion::new(region.clone()).posed(pose)
}

fn square(x: f64, y: f64, side: f64) -> PreparedRegion {
    let at = Bounds::of_size(side, side).translated(Vector::new(x, y));
    PreparedRegion::new(Region::rectangle(at).expect("a square"))
}

#[test]
fn known_distances() {
    let a = square(0.0, 0.0, 10.0);
    for (x, y, wanted) in [
        (13.0, 14.0, 5.0),
        (10.0, 3.0, 0.0),
        (12.5, -4.0, 2.5),
        (9.0, 2.0, -1.0),
        (8.0, 9.5, -0.5),
        (0.0, 0.0, -10.0),
    ] {
        let found = separation(&a, &square(x, y, 10.0));
        assert_eq!(found.amount, wanted, "at ({x}, {y})");
        assert!((found.from.distance(found.to) - wanted.abs()).abs() < 1e-12);
    }
    // A small square within: out by the nearest side.
    assert_eq!(separation(&a, &square(1.0, 4.0, 2.0)).amount, -3.0);
}

#[test]
fn a_part_in_a_hole_keeps_its_distance() {
    let frame = region(
        &[(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)],
        &[&[(5.0, 5.0), (15.0, 5.0), (15.0, 15.0), (5.0, 15.0)]],
    );
    let frame = PreparedRegion::new(frame);
    assert_eq!(separation(&frame, &square(7.0, 6.0, 4.0)).amount, 1.0);
    assert_eq!(separation(&frame, &square(5.0, 5.0, 10.0)).amount, 0.0);
    assert!(separation(&frame, &square(4.0, 7.0, 4.0)).amount <= -1.0 + 1e-12);
    // Round the hole: the whole hole lies within, no sides cross.
    assert!(separation(&frame, &square(4.0, 4.0, 12.0)).amount < -0.99);
    assert_eq!(protrusion(&square(7.0, 6.0, 4.0), &frame).amount, -5.0);
    assert_eq!(protrusion(&square(1.0, 1.0, 3.0), &frame).amount, 1.0);
    assert!(protrusion(&square(1.0, 1.0, 18.0), &frame).amount < -9.0);
}

#[test]
fn limits_cut_off_only_what_is_further() {
    let (a, b) = (square(0.0, 0.0, 10.0), square(13.0, 14.0, 10.0));
    assert_eq!(separation_at_most(&a, &b, 4.999), None);
    assert_eq!(separation_at_most(&a, &b, 5.0).unwrap().amount, 5.0);
    assert!(interiors_disjoint(&a, &square(10.0, 0.0, 5.0), 0.0));
    assert!(!interiors_disjoint(&a, &square(9.5, 0.0, 5.0), 0.4));
    assert!(interiors_disjoint(&a, &square(9.5, 0.0, 5.0), 0.5));
    let board = square(0.0, 0.0, 100.0);
    assert_eq!(
        protrusion_at_most(&square(10.0, 40.0, 5.0), &board, 9.0),
        None
    );
    assert_eq!(
        protrusion_at_most(&square(10.0, 40.0, 5.0), &board, 10.0)
            .unwrap()
            .amount,
        10.0
    );
}

#[test]
fn sticking_out_by_so_much() {
    let board = square(0.0, 0.0, 100.0);
    assert_eq!(protrusion(&square(-2.0, 50.0, 10.0), &board).amount, -2.0);
    assert_eq!(
        protrusion(&square(500.0, 50.0, 10.0), &board).amount,
        -410.0
    );
    assert_eq!(protrusion(&square(0.0, 0.0, 100.0), &board).amount, 0.0);
    let notched = PreparedRegion::new(region(
        &[
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 50.0),
            (60.0, 50.0),
            (60.0, 40.0),
            (40.0, 40.0),
            (40.0, 50.0),
            (0.0, 50.0),
        ],
        &[],
    ));
    assert_eq!(protrusion(&square(45.0, 32.0, 10.0), &notched).amount, -2.0);
    assert_eq!(protrusion(&square(45.0, 28.0, 10.0), &notched).amount, 2.0);
}

#[test]
fn distances_to_points_and_segments() {
    let a = square(0.0, 0.0, 10.0);
    assert_eq!(distance_to_point(&a, Point::new(13.0, 14.0)), 5.0);
    assert_eq!(distance_to_point(&a, Point::new(3.0, 4.0)), -3.0);
    assert_eq!(
        distance_to_segment(&a, Point::new(-5.0, 12.0), Point::new(20.0, 12.0)),
        2.0
    );
    assert_eq!(
        distance_to_segment(&a, Point::new(-5.0, 8.0), Point::new(20.0, 8.0)),
        -2.0
    );
    assert_eq!(
        distance_to_segment(&a, Point::new(-5.0, 10.0), Point::new(20.0, 10.0)),
        0.0
    );
}

#[test]
fn the_zoo_against_itself() {
    let zoo = zoo();
    for (name, a) in &zoo {
        for (other, b) in &zoo {
            if a.point_count() * b.point_count() > 100_000 {
                continue;
            }
            let at = a.bounds().min - b.bounds().min;
            for (dx, dy) in [(0.3, 0.4), (11.0, 0.0), (-3.7, 2.9)] {
                let pa = PreparedRegion::new(a.clone());
                let moved = Pose::new(at.x + dx, at.y + dy, 0.0).apply_region(b);
                let found = separation(&pa, &PreparedRegion::new(moved.clone()));
                let plain = plain_distance(a, &moved);
                let size = a.bounds().largest_coordinate().max(10.0);
                assert!(
                    (found.amount.max(0.0) - plain).abs() < 1e-10 * size,
                    "{name} and {other}: {} for {plain}",
                    found.amount
                );
            }
        }
    }
}

#[test]
fn a_waney_board_of_ten_thousand_points() {
    let board = PreparedRegion::new(waney(10_000));
    let part = square(0.0, 0.0, 80.0);
    for (x, y, turn) in [
        (400.0, 100.0, 30.0),
        (1500.0, 150.0, 0.0),
        (2900.0, 215.0, 5.0),
    ] {
        let part = part.posed(&Pose::new(x, y, turn));
        let found = protrusion(&part, &board);
        let inside = part
            .region()
            .outer()
            .points()
            .iter()
            .all(|&p| board.region().contains(p));
        let plain = outlines_distance(part.region(), board.region());
        if inside && plain > 0.0 {
            assert!(
                (found.amount - plain).abs() < 1e-9,
                "{} for {plain}",
                found.amount
            );
        } else {
            assert!(found.amount < 0.0);
        }
    }
}

fn support(points: &[Point], u: Vector) -> f64 {
    points
        .iter()
        .map(|p| p.to_vector().dot(u))
        .fold(f64::NEG_INFINITY, f64::max)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn agrees_with_all_pairs_of_sides(a in any_region(), b in any_region(), pose in any_pose()) {
        let (pa, pb) = (PreparedRegion::new(a.clone()), prepared(&b, &pose));
        let found = separation(&pa, &pb);
        let plain = plain_distance(&a, pb.region());
        prop_assert!((found.amount.max(0.0) - plain).abs() < 1e-10, "{} {plain}", found.amount);
        prop_assert!((found.from.distance(found.to) - found.amount.abs()).abs() < 1e-10);
        let back = separation(&pb, &pa);
        prop_assert!((back.amount - found.amount).abs() < 1e-10);
        for share in [0.5, 0.999, 1.001] {
            let limit = found.amount * share;
            match separation_at_most(&pa, &pb, limit) {
                Some(same) => prop_assert!(same.amount <= limit && (same.amount - found.amount).abs() < 1e-12),
                None => prop_assert!(found.amount > limit),
            }
        }
    }

    #[test]
    fn moving_both_changes_nothing(
        a in any_region(), b in any_region(), first in any_pose(), second in any_pose()
    ) {
        let (pa, pb) = (PreparedRegion::new(a), prepared(&b, &first));
        let before = separation(&pa, &pb).amount;
        let after = separation(&pa.posed(&second), &pb.posed(&second)).amount;
        prop_assert!((before - after).abs() < 1e-9, "{before} {after}");
    }

    #[test]
    fn close_convex_shapes(a in convex_region(), b in convex_region(), pose in any_pose(), gap in -2.0..2.0f64) {
        // Brought to a chosen gap along a direction: the truth is known to be at most that.
        let b = pose.apply_region(&b);
        let (sin, cos) = math::sin_cos_deg(pose.turn * 1.7);
        let u = Vector::new(cos, sin);
        let shift = support(a.outer().points(), u) + support(b.outer().points(), -u) + gap;
        let b = b.translated(u * shift);
        let found = separation(&PreparedRegion::new(a.clone()), &PreparedRegion::new(b.clone()));
        if gap >= 0.0 {
            prop_assert!(found.amount >= gap - 1e-9);
            prop_assert!((found.amount - outlines_distance(&a, &b)).abs() < 1e-10);
        } else {
            prop_assert!(found.amount >= gap - 1e-9);
        }
    }

    #[test]
    fn the_depth_of_convex_shapes_is_the_least_move_that_parts_them(
        a in convex_region(), b in convex_region()
    ) {
        let ca = Convex::hull_of(a.outer().points()).unwrap();
        let cb = Convex::hull_of(b.outer().points()).unwrap();
        let found = ca.separation(&cb);
        if found.amount < 0.0 {
            let move_out = found.from - found.to;
            let parted = ca.separation(&cb.translated(move_out)).amount;
            prop_assert!(parted.abs() < 1e-9, "parted by {parted}");
            for k in 0..360 {
                let (sin, cos) = math::sin_cos_deg(f64::from(k));
                let u = Vector::new(cos, sin);
                let way = support(ca.points(), u) + support(cb.points(), -u);
                prop_assert!(way >= -found.amount - 1e-9, "a move of {way} is enough");
            }
        }
    }

    #[test]
    fn depth_means_overlap(a in any_region(), b in any_region(), pose in any_pose()) {
        let (pa, pb) = (PreparedRegion::new(a.clone()), prepared(&b, &pose));
        let found = separation(&pa, &pb).amount;
        let common = sample(&a.bounds(), 25)
            .into_iter()
            .any(|p| a.locate(p) == Location::Inside && pb.region().locate(p) == Location::Inside);
        if common {
            prop_assert!(found < 1e-12);
        }
        if found > 1e-12 {
            prop_assert!(!common);
        }
    }

    #[test]
    fn clearance_within_a_container(a in any_region(), inner in any_region(), pose in any_pose(), scale in 0.02..0.3f64) {
        let small: Vec<Point> = inner.outer().points().iter()
            .map(|p| Point::new(p.x * scale, p.y * scale)).collect();
        let small = Region::from_ring(heartside_geometry::Ring::new(small).unwrap());
        let pose = Pose { x: 0.5 * pose.x.rem_euclid(18.0), y: 0.5 * pose.y.rem_euclid(18.0), ..pose };
        let small = pose.apply_region(&small);
        let found = protrusion(&PreparedRegion::new(small.clone()), &PreparedRegion::new(a.clone())).amount;
        let plain = outlines_distance(&small, &a);
        // Apart from the outline, and neither outside nor round a hole: within.
        let corner = small.outer().points()[0];
        let within = plain > 0.0
            && a.contains(corner)
            && a.holes().iter().all(|hole| !small.contains(hole.points()[0]));
        if within {
            prop_assert!((found - plain).abs() < 1e-10, "{found} for {plain}");
        } else {
            prop_assert!(found < 1e-12, "{found} though not within");
        }
        let out = sample(&small.bounds(), 12).into_iter()
            .filter(|&p| small.contains(p) && !a.contains(p))
            .count();
        if out > 0 {
            prop_assert!(found < 0.0);
        }
    }

    #[test]
    fn points_and_segments_against_plain_distances(a in any_region(), x in -15.0..15.0f64, y in -15.0..15.0f64, pose in any_pose()) {
        let prepared = PreparedRegion::new(a.clone());
        let (p, q) = (Point::new(x, y), pose.apply(Point::new(x, y)));
        let outline = |p: Point| a.edges().map(|(s, t)| p.distance_to_segment(s, t)).fold(f64::INFINITY, f64::min);
        let found = distance_to_point(&prepared, p);
        if a.contains(p) {
            prop_assert!(found <= 1e-12);
        } else {
            prop_assert!((found - outline(p)).abs() < 1e-10);
        }
        let plain = a.edges().map(|(s, t)| segments_distance(p, q, s, t)).fold(f64::INFINITY, f64::min);
        let found = distance_to_segment(&prepared, p, q);
        if a.contains(p) || a.contains(q) {
            prop_assert!(found <= 1e-12);
        } else {
            prop_assert!((found.max(0.0) - plain).abs() < 1e-10, "{found} {plain}");
        }
    }

    #[test]
    fn hulls_hold_their_points(a in any_region()) {
        let hull = convex_hull(a.outer().points());
        let hull = Region::from_ring(heartside_geometry::Ring::new(hull).unwrap());
        prop_assert!(a.outer().points().iter().all(|&p| hull.contains(p)));
        prop_assert!(hull.area() >= a.area() * (1.0 - 1e-12));
    }
}
