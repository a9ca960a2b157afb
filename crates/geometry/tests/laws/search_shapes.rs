//! Offsets, simplified outlines and inscribed discs.

use heartside_geometry::{
    Location, Point, PreparedRegion, Region, offset, poles_of_inaccessibility, protrusion,
    simplify_inner, simplify_outer,
};
use proptest::prelude::*;

use crate::shapes::{any_region, comb, spiral, waney, zoo};

fn holds(outer: &Region, inner: &Region, slack: f64) -> bool {
    let (outer, inner) = (
        PreparedRegion::new(outer.clone()),
        PreparedRegion::new(inner.clone()),
    );
    protrusion(&inner, &outer).amount >= -slack
}

fn check_discs(name: &str, region: &Region, max: usize) {
    let discs = poles_of_inaccessibility(region, 0.9, max);
    assert!(
        !discs.is_empty() && discs.len() <= max,
        "{name}: {} discs",
        discs.len()
    );
    let size = region.bounds().largest_coordinate();
    for (k, disc) in discs.iter().enumerate() {
        assert_eq!(region.locate(disc.centre), Location::Inside, "{name}");
        let clearance = region
            .edges()
            .map(|(a, b)| disc.centre.distance_to_segment(a, b))
            .fold(f64::INFINITY, f64::min);
        assert!(
            clearance >= disc.radius - 1e-12 * size,
            "{name}: disc {k} sticks out"
        );
        for other in &discs[..k] {
            let apart = disc.centre.distance(other.centre) - disc.radius - other.radius;
            assert!(apart >= -1e-12 * size, "{name}: discs overlap");
        }
    }
    let area: f64 = discs.iter().map(|d| d.area()).sum();
    assert!(area <= region.area() * (1.0 + 1e-9));
}

#[test]
fn discs_fill_the_zoo() {
    for (name, region) in zoo() {
        check_discs(name, &region, 30);
    }
}

#[test]
fn the_first_disc_is_the_largest() {
    let (_, square) = zoo()
        .into_iter()
        .find(|(name, _)| *name == "square")
        .unwrap();
    let discs = poles_of_inaccessibility(&square, 1.0, 5);
    assert!(discs[0].radius > 4.9 && discs[0].radius <= 5.0);
    assert_eq!(discs.len(), 5);
    // The corners hold discs of (sqrt 2 - 1)/(sqrt 2 + 1) of the first one's radius.
    assert!((discs[1].radius - 5.0 * 0.1716).abs() < 0.1, "{discs:?}");
    assert!(poles_of_inaccessibility(&square, 0.5, 5).len() == 1);
    assert!(poles_of_inaccessibility(&waney(4_000), 0.7, 12).len() >= 9);
}

#[test]
fn offsets_of_a_square() {
    let (_, square) = zoo()
        .into_iter()
        .find(|(name, _)| *name == "square")
        .unwrap();
    let out = offset(&square, 2.0, 0.05);
    assert_eq!(out.len(), 1);
    let wanted = 100.0 + 40.0 * 2.0 + core::f64::consts::PI * 4.0;
    assert!((out[0].area() - wanted).abs() < 0.3, "{}", out[0].area());
    assert!((offset(&square, -2.0, 0.05)[0].area() - 36.0).abs() < 1e-3);
    assert!(offset(&square, -6.0, 0.05).is_empty());
    let gone = offset(&comb(5), -0.6, 0.01);
    assert!(gone.iter().all(|piece| piece.bounds().max.y < 3.0));
}

#[test]
fn simplified_boards_have_few_points() {
    let board = waney(2_000);
    for tolerance in [1.0, 5.0, 20.0] {
        let (outer, inner) = (
            simplify_outer(&board, tolerance),
            simplify_inner(&board, tolerance),
        );
        assert!(
            holds(&outer, &board, 1e-9) && holds(&board, &inner, 1e-9),
            "{tolerance}"
        );
        assert!(outer.point_count() < 700 && inner.point_count() < 700);
    }
    assert!(simplify_outer(&board, 20.0).point_count() < 60);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    #[test]
    fn discs_fill_any_region(region in any_region()) {
        check_discs("random", &region, 8);
    }

    #[test]
    fn simplified_shapes_nest_and_stay_near(region in any_region(), tolerance in 0.05..3.0f64) {
        let outer = simplify_outer(&region, tolerance);
        let inner = simplify_inner(&region, tolerance);
        prop_assert!(holds(&outer, &region, 1e-9));
        prop_assert!(holds(&region, &inner, 1e-9));
        let near = |shape: &Region, p: Point| {
            shape.edges().map(|(a, b)| p.distance_to_segment(a, b)).fold(f64::INFINITY, f64::min)
        };
        for p in outer.rings().flat_map(|r| r.points().to_vec()) {
            prop_assert!(near(&region, p) <= tolerance + 1e-9);
        }
        for p in inner.rings().flat_map(|r| r.points().to_vec()) {
            prop_assert!(near(&region, p) <= tolerance + 1e-9);
        }
        prop_assert!(outer.point_count() <= region.point_count());
    }

}

#[test]
fn a_spiral_can_be_simplified() {
    let spiral = spiral(6);
    let outer = simplify_outer(&spiral, 0.5);
    assert!(holds(&outer, &spiral, 1e-9));
    assert!(outer.point_count() < spiral.point_count());
}

#[test]
fn a_round_outline_keeps_the_corners_it_needs() {
    let (radius, off) = (500.0, 0.5);
    let points = (0..1000)
        .map(|k| {
            let (sin, cos) = heartside_geometry::math::sin_cos_deg(0.36 * f64::from(k));
            Point::new(radius * cos, radius * sin)
        })
        .collect();
    let disc = Region::from_ring(heartside_geometry::Ring::new(points).unwrap());
    // Tangents of a circle that meet at most so far out, and chords that cut in at most so far; on an even curve corners go by halves.
    let tangents = core::f64::consts::PI / (2.0 * off / radius).sqrt();
    let (outer, inner) = (simplify_outer(&disc, off), simplify_inner(&disc, off));
    for (name, simple) in [("outer", &outer), ("inner", &inner)] {
        let count = simple.point_count() as f64;
        assert!(
            count >= 0.95 * tangents,
            "{name}: {count} of at least {tangents}"
        );
        assert!(
            count <= 2.0 * tangents,
            "{name}: {count} of at least {tangents}"
        );
    }
    assert!(holds(&outer, &disc, 1e-9) && holds(&disc, &inner, 1e-9));
}
