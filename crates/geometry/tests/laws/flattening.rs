//! Flattened curves lie on their side and near enough.

use heartside_geometry::{
    Arc, ArcSide, Ellipse, FLATTEN_TOLERANCE, FlattenError, Location, Point, Ring, Side,
    flatten_arc, flatten_arc_sided, flatten_disc, flatten_ellipse, math,
};
use proptest::prelude::*;

fn distance_to_line(points: &[Point], p: Point) -> f64 {
    points
        .windows(2)
        .map(|w| p.distance_to_segment(w[0], w[1]))
        .fold(f64::INFINITY, f64::min)
}

fn distance_to_ring(ring: &Ring, p: Point) -> f64 {
    ring.edges()
        .map(|(a, b)| p.distance_to_segment(a, b))
        .fold(f64::INFINITY, f64::min)
}

proptest! {
    #[test]
    fn arcs_keep_side_and_tolerance(
        radius in 1.0..5000.0f64, start in -400.0..400.0f64, sweep in -360.0..360.0f64,
        tolerance in 0.001..1.0f64, outside in any::<bool>()
    ) {
        let side = if outside { Side::Outside } else { Side::Inside };
        let centre = Point::new(100.0, -200.0);
        let arc = Arc { centre, radius, start, sweep };
        let line = flatten_arc(&arc, tolerance, side).unwrap();
        let rounding = 1e-12 * (radius + 300.0);
        for pair in line.windows(2) {
            // The nearest and furthest places of a side from the centre.
            let (near, far) = (
                centre.distance_to_segment(pair[0], pair[1]),
                centre.distance(pair[0]).max(centre.distance(pair[1])),
            );
            if outside {
                prop_assert!(near >= radius - rounding && far <= radius + tolerance + rounding);
            } else {
                prop_assert!(far <= radius + rounding && near >= radius - tolerance - rounding);
            }
        }
        for k in 0..=50 {
            let (sin, cos) = math::sin_cos_deg(start + sweep * f64::from(k) / 50.0);
            let p = Point::new(centre.x + radius * cos, centre.y + radius * sin);
            prop_assert!(distance_to_line(&line, p) <= tolerance + rounding);
        }
        let (sin, cos) = math::sin_cos_deg(start + sweep);
        let end = Point::new(centre.x + radius * cos, centre.y + radius * sin);
        prop_assert!(line[line.len() - 1].distance(end) <= rounding);
    }

    #[test]
    fn ellipses_keep_side_and_tolerance(
        rx in 5.0..900.0f64, ry in 5.0..900.0f64, turn in 0.0..360.0f64, outside in any::<bool>()
    ) {
        let side = if outside { Side::Outside } else { Side::Inside };
        let ellipse = Ellipse { centre: Point::new(7.0, 9.0), radius_x: rx, radius_y: ry, turn };
        let ring = flatten_ellipse(&ellipse, FLATTEN_TOLERANCE, side).unwrap();
        let (ts, tc) = math::sin_cos_deg(turn);
        for k in 0..200 {
            let (s, c) = math::sin_cos_deg(f64::from(k) * 1.8);
            let p = Point::new(
                7.0 + rx * c * tc - ry * s * ts,
                9.0 + rx * c * ts + ry * s * tc,
            );
            let off = distance_to_ring(&ring, p);
            prop_assert!(off <= FLATTEN_TOLERANCE * (1.0 + 1e-9), "{off}");
            let wrong = if outside { Location::Outside } else { Location::Inside };
            prop_assert!(off < 1e-9 || ring.locate(p) != wrong);
        }
        let true_area = core::f64::consts::PI * rx * ry;
        prop_assert_eq!(ring.signed_area() > true_area, outside);
    }

    #[test]
    fn arc_sided_outlines_nest(
        w in 50.0..500.0f64, h in 50.0..500.0f64,
        bulges in prop::array::uniform4(-8.0..20.0f64), reversed in any::<bool>()
    ) {
        let mut corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| Point::new(x, y));
        if reversed {
            corners.reverse();
        }
        let sides: Vec<ArcSide> = corners.iter().zip(bulges)
            .map(|(&from, bulge)| ArcSide { from, bulge }).collect();
        let outer = flatten_arc_sided(&sides, 0.05, Side::Outside).unwrap();
        let inner = flatten_arc_sided(&sides, 0.05, Side::Inside).unwrap();
        // The area of a circular segment: r²(a - sin a)/2.
        let mut area = w * h;
        for (k, bulge) in bulges.iter().enumerate() {
            let chord = corners[k].distance(corners[(k + 1) % 4]);
            let b = bulge.abs();
            if b > 1e-6 {
                let r = (0.25 * chord * chord + b * b) / (2.0 * b);
                let a = 4.0 * math::atan(2.0 * b / chord);
                area += bulge.signum() * 0.5 * r * r * (a - math::sin(a));
            }
        }
        prop_assert!(inner.signed_area() <= area + 1e-4 && area - 1e-4 <= outer.signed_area());
        let perimeter = outer.perimeter();
        prop_assert!(outer.signed_area() - inner.signed_area() <= 0.1 * perimeter);
        prop_assert!(inner.points().iter().all(|&p| outer.locate(p) != Location::Outside
            || distance_to_ring(&outer, p) < 1e-9));
        for &p in outer.points() {
            prop_assert!(distance_to_ring(&inner, p) <= 0.1001);
        }
    }
}

#[test]
fn a_disc_keeps_its_diameter_to_the_last_bit() {
    for radius in [1.0, 37.5, 300.0, 1234.567] {
        for side in [Side::Inside, Side::Outside] {
            let ring = flatten_disc(Point::ORIGIN, radius, FLATTEN_TOLERANCE, side).unwrap();
            let bounds = ring.bounds();
            assert_eq!(
                (bounds.width(), bounds.height()),
                (2.0 * radius, 2.0 * radius),
                "{side:?}"
            );
            assert!(ring.points().len() < 400);
        }
    }
}

#[test]
fn a_half_circle_by_its_bulge() {
    let sides = [
        ArcSide {
            from: Point::new(0.0, 0.0),
            bulge: 0.0,
        },
        ArcSide {
            from: Point::new(100.0, 0.0),
            bulge: 50.0,
        },
    ];
    let ring = flatten_arc_sided(&sides, 0.05, Side::Outside).unwrap();
    let half = 0.5 * core::f64::consts::PI * 2500.0;
    assert!(ring.signed_area() > half && ring.signed_area() < half + 10.0);
    assert!((ring.bounds().height() - 50.0).abs() < 0.06);
}

#[test]
fn nonsense_is_refused() {
    let arc = Arc {
        centre: Point::ORIGIN,
        radius: 10.0,
        start: 0.0,
        sweep: 90.0,
    };
    let refused =
        |arc: Arc, tolerance: f64| flatten_arc(&arc, tolerance, Side::Inside).unwrap_err();
    assert_eq!(
        refused(Arc { radius: 0.0, ..arc }, 0.1),
        FlattenError::BadCurve
    );
    assert_eq!(
        refused(
            Arc {
                sweep: f64::NAN,
                ..arc
            },
            0.1
        ),
        FlattenError::BadCurve
    );
    assert_eq!(
        refused(
            Arc {
                sweep: 361.0,
                ..arc
            },
            0.1
        ),
        FlattenError::BadCurve
    );
    assert_eq!(refused(arc, 0.0), FlattenError::BadTolerance);
    assert_eq!(refused(arc, f64::NAN), FlattenError::BadTolerance);
    assert_eq!(
        refused(
            Arc {
                radius: 1e30,
                ..arc
            },
            0.1
        ),
        FlattenError::TooManySides
    );
    let point = ArcSide {
        from: Point::ORIGIN,
        bulge: 1.0,
    };
    assert_eq!(
        flatten_arc_sided(&[point, point], 0.1, Side::Inside).unwrap_err(),
        FlattenError::NoChord { side: 0 }
    );
    assert!(flatten_arc_sided(&[], 0.1, Side::Inside).is_err());
    // Hollow sides that cut through each other.
    let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(|(x, y)| ArcSide {
        from: Point::new(x, y),
        bulge: -6.0,
    });
    assert!(matches!(
        flatten_arc_sided(&square, 0.1, Side::Inside),
        Err(FlattenError::Unsound(_))
    ));
}
