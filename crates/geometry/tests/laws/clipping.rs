//! What is cut off and what is kept make up the whole.

use heartside_geometry::{
    Bounds, Point, Region, Vector, area_in_bounds, clip_bounds, clip_half_plane, math,
};
use proptest::prelude::*;

use crate::shapes::{any_region, region, sample, waney, zoo};

fn area(pieces: &[Region]) -> f64 {
    pieces.iter().map(Region::area).sum()
}

fn check_cut(name: &str, whole: &Region, point: Point, normal: Vector) {
    let kept = clip_half_plane(whole, point, normal);
    let rest = clip_half_plane(whole, point, -normal);
    let sum = area(&kept) + area(&rest);
    let size = whole.bounds().largest_coordinate();
    assert!(
        (sum - whole.area()).abs() <= 1e-9 * whole.area() + 1e-11 * size,
        "{name}: {} + {} for {}, cut at {point:?} {normal:?}",
        area(&kept),
        area(&rest),
        whole.area()
    );
    let unit = normal.unit().expect("a normal of some length");
    for piece in kept.iter().chain(&rest) {
        for hole in piece.holes() {
            assert!(
                hole.points()
                    .iter()
                    .all(|&p| piece.outer().bounds().contains(p))
            );
        }
    }
    for p in sample(&whole.bounds(), 9) {
        let height = (p - point).dot(unit);
        let near = height.abs() < 1e-9 * size
            || whole
                .edges()
                .any(|(a, b)| p.distance_to_segment(a, b) < 1e-9 * size);
        if !near {
            let wanted = usize::from(height > 0.0 && whole.contains(p));
            let found = kept.iter().filter(|piece| piece.contains(p)).count();
            assert_eq!(found, wanted, "{name}: {p:?}, cut at {point:?} {normal:?}");
        }
    }
}

#[test]
fn the_zoo_cut_through_its_corners() {
    for (name, whole) in zoo() {
        let corners: Vec<Point> = whole
            .rings()
            .flat_map(|r| r.points().iter().copied())
            .take(60)
            .collect();
        for &corner in &corners {
            for angle in [0.0, 45.0, 90.0, 211.0] {
                let (sin, cos) = math::sin_cos_deg(angle);
                check_cut(name, &whole, corner, Vector::new(cos, sin));
            }
        }
        // Along its own sides.
        for (a, b) in whole.edges().take(40) {
            check_cut(name, &whole, a, (b - a).turned_left());
        }
    }
}

#[test]
fn falls_apart_where_it_must() {
    let (_, saw) = zoo().into_iter().find(|(name, _)| *name == "saw").unwrap();
    let tips = clip_half_plane(&saw, Point::new(0.0, 1.0), Vector::new(0.0, 1.0));
    assert_eq!(tips.len(), 4);
    let body = clip_half_plane(&saw, Point::new(0.0, 1.0), Vector::new(0.0, -1.0));
    assert_eq!(body.len(), 1);
    assert_eq!(area(&body), 9.0);
    let frame = region(
        &[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)],
        &[
            &[(2.0, 4.0), (8.0, 4.0), (8.0, 6.0), (2.0, 6.0)],
            &[(4.0, 8.0), (6.0, 8.0), (5.0, 9.0)],
        ],
    );
    let upper = clip_half_plane(&frame, Point::new(0.0, 5.0), Vector::new(0.0, 1.0));
    assert_eq!(upper.len(), 1);
    assert_eq!(upper[0].holes().len(), 1);
    assert_eq!(area(&upper), 50.0 - 6.0 - 1.0);
    let band = Bounds::new(Point::new(0.0, 4.5), Point::new(10.0, 5.5));
    assert_eq!(clip_bounds(&frame, &band).len(), 2);
    assert_eq!(
        clip_half_plane(&frame, Point::new(0.0, 10.0), Vector::new(0.0, 1.0)),
        vec![]
    );
    let all = clip_half_plane(&frame, Point::new(0.0, 0.0), Vector::new(0.0, 1.0));
    assert_eq!(all, vec![frame.clone()]);
    assert_eq!(clip_half_plane(&frame, Point::ORIGIN, Vector::ZERO), vec![]);
}

#[test]
fn a_large_board_in_a_box() {
    let board = waney(10_000);
    let window = Bounds::new(Point::new(333.3, -3.0), Point::new(2222.2, 299.0));
    let pieces = clip_bounds(&board, &window);
    let fast = area_in_bounds(&board, &window);
    assert!((area(&pieces) - fast).abs() < 1e-9 * fast);
    assert!(
        pieces
            .iter()
            .all(|piece| window.grown(1e-9).contains_bounds(&piece.bounds()))
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]
    #[test]
    fn both_sides_make_up_the_whole(
        whole in any_region(), x in 0..9i32, y in 0..9i32, angle in prop_oneof![
            (0..8u8).prop_map(|k| 45.0 * f64::from(k)), 0.0..360.0f64]
    ) {
        let (sin, cos) = math::sin_cos_deg(angle);
        check_cut("random", &whole, Point::new(f64::from(x), f64::from(y)), Vector::new(cos, sin));
    }

    #[test]
    fn nine_boxes_make_up_the_whole(whole in any_region(), x0 in -9..9i32, y0 in -9..9i32, w in 1..9i32, h in 1..9i32) {
        let frame = whole.bounds().grown(20.0);
        let xs = [frame.min.x, f64::from(x0), f64::from(x0 + w), frame.max.x];
        let ys = [frame.min.y, f64::from(y0), f64::from(y0 + h), frame.max.y];
        let mut sum = 0.0;
        for i in 0..3 {
            for j in 0..3 {
                let cell = Bounds::new(Point::new(xs[i], ys[j]), Point::new(xs[i + 1], ys[j + 1]));
                let pieces = clip_bounds(&whole, &cell);
                let inside = area(&pieces);
                prop_assert!((inside - area_in_bounds(&whole, &cell)).abs() < 1e-9 * whole.area().max(1.0));
                sum += inside;
            }
        }
        prop_assert!((sum - whole.area()).abs() < 1e-9 * whole.area().max(1.0));
    }
}
