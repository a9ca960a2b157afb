//! Convex pieces of regions and of their outsides.

use heartside_geometry::{Convex, Location, Point, Region, convex_pieces, outside_pieces};
use proptest::prelude::*;

use crate::shapes::{any_region, sample, waney, zoo};

/// The pieces are convex, fill the region, do not overlap, and lie where it lies.
fn check(name: &str, region: &Region, pieces: &[Convex]) {
    let size = region.bounds().largest_coordinate();
    let whole = region.area();
    let sum: f64 = pieces.iter().map(Convex::area).sum();
    let off = (sum - whole).abs();
    assert!(
        off <= 1e-9 * whole + 1e-12 * size * region.bounds().width(),
        "{name}: {sum} for {whole}"
    );
    for (k, piece) in pieces.iter().enumerate() {
        let corners = piece.points();
        for (&p, normal) in corners.iter().zip(piece.normals()) {
            for &q in corners {
                assert!(
                    (q - p).dot(*normal) <= 1e-9 * size,
                    "{name}: piece {k} is not convex"
                );
            }
        }
        for other in &pieces[..k] {
            assert!(
                piece.separation(other).amount >= -1e-12 * size.max(1.0),
                "{name}: overlap"
            );
        }
    }
    for p in sample(&region.bounds(), 12) {
        let near = region
            .edges()
            .any(|(a, b)| p.distance_to_segment(a, b) < 1e-9 * size);
        let covered = pieces.iter().any(|piece| piece.contains(p))
            // A joint has no width, but rounding may leave it in neither piece.
            || pieces.iter().any(|piece| on_outline(piece, p, size));
        if !near {
            assert_eq!(covered, region.contains(p), "{name}: {p:?}");
        }
    }
}

fn on_outline(piece: &Convex, p: Point, size: f64) -> bool {
    let corners = piece.points();
    (0..corners.len())
        .any(|k| p.distance_to_segment(corners[k], corners[(k + 1) % corners.len()]) < 1e-10 * size)
}

#[test]
fn the_zoo_falls_into_sound_pieces() {
    for (name, region) in zoo() {
        check(name, &region, &convex_pieces(&region));
    }
}

#[test]
fn few_pieces_where_few_will_do() {
    for (name, most) in [
        ("square", 1),
        ("points along the sides", 1),
        ("sliver", 1),
        ("notch that touches the far side", 2),
        ("hole", 4),
        // Straight teeth and a spine: one piece a tooth, and the spine cut at most as often.
        ("comb", 24),
    ] {
        let (_, region) = zoo().into_iter().find(|(n, _)| *n == name).unwrap();
        let count = convex_pieces(&region).len();
        assert!(count <= most, "{name}: {count} pieces");
    }
}

#[test]
fn the_outside_of_the_zoo_is_covered_and_its_inside_is_not() {
    for (name, region) in zoo() {
        let size = region.bounds().largest_coordinate();
        let reach = 0.2 * region.bounds().width();
        let pieces = outside_pieces(&region, reach);
        let frame = region.bounds().grown(reach);
        let sum: f64 = pieces.iter().map(Convex::area).sum();
        let wanted = frame.area() - region.area();
        assert!(
            (sum - wanted).abs() <= 1e-9 * wanted + 1e-10 * size,
            "{name}: {sum} for {wanted}"
        );
        for p in sample(&region.bounds(), 15) {
            let near = region
                .edges()
                .any(|(a, b)| p.distance_to_segment(a, b) < 1e-9 * size);
            if near || pieces.iter().any(|piece| on_outline(piece, p, size)) {
                continue;
            }
            let outside = pieces.iter().any(|piece| piece.contains(p));
            assert_eq!(
                outside,
                region.locate(p) == Location::Outside,
                "{name}: {p:?}"
            );
        }
    }
}

#[test]
fn ten_thousand_points_of_wane() {
    let board = waney(10_000);
    for (pieces, wanted) in [
        (convex_pieces(&board), board.area()),
        (
            outside_pieces(&board, 50.0),
            board.bounds().grown(50.0).area() - board.area(),
        ),
    ] {
        let sum: f64 = pieces.iter().map(Convex::area).sum();
        assert!((sum - wanted).abs() < 1e-9 * wanted, "{sum} for {wanted}");
        assert!(pieces.len() < 7_000, "{} pieces", pieces.len());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn any_region_falls_into_sound_pieces(region in any_region()) {
        check("random", &region, &convex_pieces(&region));
    }

    #[test]
    fn outside_and_inside_fill_the_frame(region in any_region()) {
        let frame = region.bounds().grown(3.0);
        let outside = outside_pieces(&region, 3.0);
        let sum: f64 = outside.iter().map(Convex::area).sum::<f64>() + region.area();
        prop_assert!((sum - frame.area()).abs() < 1e-9 * frame.area(), "{sum} {}", frame.area());
    }
}
