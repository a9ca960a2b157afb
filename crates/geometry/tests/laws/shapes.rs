//! Random shapes, and the zoo.

use heartside_geometry::{Bounds, Point, Pose, Region, Ring, Vector, math};
use proptest::prelude::*;

pub(crate) fn points(list: &[(f64, f64)]) -> Vec<Point> {
    list.iter().map(|&(x, y)| Point::new(x, y)).collect()
}

pub(crate) fn ring(list: &[(f64, f64)]) -> Ring {
    Ring::new(points(list)).expect("a sound outline")
}

pub(crate) fn region(outer: &[(f64, f64)], holes: &[&[(f64, f64)]]) -> Region {
    Region::new(ring(outer), holes.iter().map(|h| ring(h)).collect()).expect("a sound area")
}

/// A comb with teeth: many parallel sides, long and thin.
pub(crate) fn comb(teeth: usize) -> Region {
    let mut outline = vec![Point::new(2.0 * teeth as f64 - 1.0, 0.0)];
    for k in (0..teeth).rev() {
        let x = 2.0 * k as f64;
        outline.push(Point::new(x + 1.0, 40.0));
        outline.push(Point::new(x, 40.0));
        outline.push(Point::new(x, 3.0));
        if k > 0 {
            outline.push(Point::new(x - 1.0, 3.0));
        }
    }
    outline.push(Point::new(0.0, 0.0));
    // The last tooth starts at the outline's corner.
    Region::from_ring(Ring::new(outline).expect("a comb"))
}

/// A band wound up in a spiral.
pub(crate) fn spiral(turns: usize) -> Region {
    let steps = 40 * turns;
    let at = |k: usize, out: f64| {
        let angle = 360.0 * k as f64 / 40.0;
        let radius = 10.0 + 8.0 * k as f64 / 40.0 + out;
        let (sin, cos) = math::sin_cos_deg(angle);
        Point::new(radius * cos, radius * sin)
    };
    let outline: Vec<Point> = (0..=steps)
        .map(|k| at(k, 4.0))
        .chain((0..=steps).rev().map(|k| at(k, 0.0)))
        .collect();
    Region::from_ring(Ring::new(outline).expect("a spiral"))
}

/// A board with waney edges of `n` points altogether.
pub(crate) fn waney(n: usize) -> Region {
    let half = n / 2;
    let wave = |k: usize, phase: f64| {
        let t = k as f64;
        6.0 * math::sin(0.05 * t + phase) + 2.0 * math::sin(0.37 * t) + 0.3 * math::sin(2.9 * t)
    };
    let x = |k: usize| 3000.0 * k as f64 / (half - 1) as f64;
    let outline: Vec<Point> = (0..half)
        .map(|k| Point::new(x(k), wave(k, 0.0)))
        .chain(
            (0..half)
                .rev()
                .map(|k| Point::new(x(k), 300.0 + wave(k, 2.0))),
        )
        .collect();
    Region::from_ring(Ring::new(outline).expect("a waney board"))
}

/// Shapes that break careless code, each with its name.
pub(crate) fn zoo() -> Vec<(&'static str, Region)> {
    let square: &[(f64, f64)] = &[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
    vec![
        ("square", region(square, &[])),
        (
            "points along the sides",
            region(
                &[
                    (0.0, 0.0),
                    (3.0, 0.0),
                    (5.0, 0.0),
                    (10.0, 0.0),
                    (10.0, 5.0),
                    (10.0, 10.0),
                    (7.0, 10.0),
                    (0.0, 10.0),
                    (0.0, 1.0),
                ],
                &[],
            ),
        ),
        (
            "sliver",
            region(
                &[(0.0, 0.0), (1000.0, 0.0), (1000.0, 1e-6), (3.0, 1e-7)],
                &[],
            ),
        ),
        (
            "needle in the side",
            region(
                &[
                    (0.0, 0.0),
                    (10.0, 0.0),
                    (10.0, 10.0),
                    (5.0, 10.0),
                    (5.0, 1e-9),
                    (4.999, 10.0),
                    (0.0, 10.0),
                ],
                &[],
            ),
        ),
        (
            "notch that touches the far side",
            region(
                &[(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (3.0, 0.0), (0.0, 3.0)],
                &[],
            ),
        ),
        (
            "notch that touches a corner",
            region(
                &[
                    (0.0, 0.0),
                    (3.0, 0.0),
                    (6.0, 0.0),
                    (6.0, 3.0),
                    (3.0, 0.0),
                    (0.0, 3.0),
                ],
                &[],
            ),
        ),
        (
            "two notches that meet",
            region(
                &[
                    (0.0, 0.0),
                    (4.0, 0.0),
                    (5.0, 5.0),
                    (6.0, 0.0),
                    (10.0, 0.0),
                    (10.0, 10.0),
                    (6.0, 10.0),
                    (5.0, 5.0),
                    (4.0, 10.0),
                    (0.0, 10.0),
                ],
                &[],
            ),
        ),
        (
            "saw",
            region(
                &[
                    (0.0, 0.0),
                    (9.0, 0.0),
                    (9.0, 5.0),
                    (7.5, 1.0),
                    (6.0, 5.0),
                    (4.5, 1.0),
                    (3.0, 5.0),
                    (1.5, 1.0),
                    (0.0, 5.0),
                ],
                &[],
            ),
        ),
        ("comb", comb(12)),
        ("spiral", spiral(4)),
        ("waney board", waney(300)),
        (
            "hole",
            region(square, &[&[(3.0, 3.0), (7.0, 3.0), (7.0, 7.0), (3.0, 7.0)]]),
        ),
        (
            "holes in a row",
            region(
                square,
                &[
                    &[(1.0, 4.0), (2.0, 4.0), (2.0, 6.0), (1.0, 6.0)],
                    &[(4.0, 4.0), (5.0, 4.0), (5.0, 6.0), (4.0, 6.0)],
                    &[(7.0, 4.0), (8.0, 4.0), (8.0, 6.0), (7.0, 6.0)],
                ],
            ),
        ),
        (
            "holes above each other",
            region(
                square,
                &[
                    &[(4.0, 1.0), (6.0, 1.0), (6.0, 2.0), (4.0, 2.0)],
                    &[(4.0, 4.0), (6.0, 4.0), (6.0, 5.0), (4.0, 5.0)],
                    &[(4.0, 7.0), (6.0, 7.0), (6.0, 8.0), (4.0, 8.0)],
                ],
            ),
        ),
        (
            "hole that touches a side",
            region(square, &[&[(5.0, 3.0), (10.0, 5.0), (5.0, 7.0)]]),
        ),
        (
            "hole that touches a corner",
            region(square, &[&[(5.0, 8.0), (8.0, 5.0), (10.0, 10.0)]]),
        ),
        (
            "hole that touches all sides",
            region(
                square,
                &[&[(5.0, 0.0), (10.0, 5.0), (5.0, 10.0), (0.0, 5.0)]],
            ),
        ),
        (
            "holes that touch each other",
            region(
                square,
                &[
                    &[(2.0, 2.0), (5.0, 2.0), (5.0, 5.0), (2.0, 5.0)],
                    &[(5.0, 5.0), (8.0, 5.0), (8.0, 8.0), (5.0, 8.0)],
                    &[(5.0, 2.0), (7.0, 1.0), (7.0, 4.0)],
                ],
            ),
        ),
        (
            "hole that nearly fills",
            region(
                square,
                &[&[
                    (1e-6, 1e-6),
                    (9.999_999, 1e-6),
                    (9.999_999, 9.999_999),
                    (1e-6, 9.999_999),
                ]],
            ),
        ),
        (
            "far from the origin",
            region(
                &[
                    (1e6, 1e6),
                    (1e6 + 10.0, 1e6),
                    (1e6 + 10.0, 1e6 + 10.0),
                    (1e6 + 5.0, 1e6 + 4.0),
                    (1e6, 1e6 + 10.0),
                ],
                &[],
            ),
        ),
    ]
}

/// A pose anywhere, with quarter turns as often as others.
pub(crate) fn any_pose() -> impl Strategy<Value = Pose> {
    let turn = prop_oneof![(0..4u8).prop_map(|k| 90.0 * f64::from(k)), -360.0..360.0f64,];
    (-50.0..50.0f64, -50.0..50.0f64, turn, any::<bool>()).prop_map(|(x, y, turn, turned_over)| {
        Pose {
            x,
            y,
            turn,
            turned_over,
        }
    })
}

/// Simple outlines from random points by undoing crossings until none is left: on a small
/// grid of whole numbers, so that points often line up and lines touch.
pub(crate) fn tangled_ring() -> impl Strategy<Value = Ring> {
    prop::collection::vec((0..9i32, 0..9i32), 4..14).prop_filter_map("no outline", |list| {
        let mut points: Vec<Point> = Vec::new();
        for (x, y) in list {
            let p = Point::new(f64::from(x), f64::from(y));
            if !points.contains(&p) {
                points.push(p);
            }
        }
        untangled(points)
    })
}

fn untangled(mut points: Vec<Point>) -> Option<Ring> {
    let n = points.len();
    if n < 3 {
        return None;
    }
    // Reversing a stretch shortens the line wherever two sides cross, so this ends.
    for _ in 0..200 {
        let mut changed = false;
        for i in 0..n - 1 {
            for j in i + 2..n {
                let (a, b, c, d) = (points[i], points[i + 1], points[j], points[(j + 1) % n]);
                let now = a.distance(b) + c.distance(d);
                let then = a.distance(c) + b.distance(d);
                if then < now - 1e-9 {
                    points[i + 1..=j].reverse();
                    changed = true;
                }
            }
        }
        if !changed {
            break;
        }
    }
    Ring::new(points).ok()
}

/// Star-shaped outlines with uneven radii: any turn of side, no degeneracy.
pub(crate) fn star_ring() -> impl Strategy<Value = Ring> {
    prop::collection::vec(2.0..10.0f64, 3..24).prop_filter_map("no outline", |radii| {
        let n = radii.len();
        let points = radii
            .iter()
            .enumerate()
            .map(|(k, r)| {
                let (sin, cos) = math::sin_cos_deg(360.0 * k as f64 / n as f64 + 3.0);
                Point::new(r * cos, r * sin)
            })
            .collect();
        Ring::new(points).ok()
    })
}

/// Convex regions.
pub(crate) fn convex_region() -> impl Strategy<Value = Region> {
    prop::collection::vec((-9.0..9.0f64, -9.0..9.0f64), 3..20).prop_filter_map("flat", |list| {
        let hull = heartside_geometry::convex_hull(&points(&list));
        let region = Region::from_ring(Ring::new(hull).ok()?);
        (region.area() > 1.0).then_some(region)
    })
}

/// Any region, with up to three holes where they fit.
pub(crate) fn any_region() -> impl Strategy<Value = Region> {
    let outer = prop_oneof![tangled_ring(), star_ring()];
    let holes = prop::collection::vec((tangled_ring(), 0.0..1.0f64, 0.0..1.0f64, 0..4u8), 0..4);
    (outer, holes).prop_map(|(outer, wanted)| {
        let frame = outer.bounds();
        let mut kept = Region::from_ring(outer);
        for (hole, u, v, size) in wanted {
            let scale = 0.1 + 0.1 * f64::from(size);
            let at = Vector::new(frame.width() * u, frame.height() * v);
            let points: Vec<Point> = hole
                .points()
                .iter()
                .map(|p| frame.min + at + p.to_vector() * scale)
                .collect();
            let Ok(hole) = Ring::new(points) else {
                continue;
            };
            let mut holes = kept.holes().to_vec();
            holes.push(hole);
            if let Ok(more) = Region::new(kept.outer().clone(), holes) {
                kept = more;
            }
        }
        kept
    })
}

/// Places over a box and a little beyond it.
pub(crate) fn sample(bounds: &Bounds, columns: usize) -> Vec<Point> {
    let frame = bounds.grown(0.05 * bounds.width().max(bounds.height()));
    let step = |k: usize| (k as f64 + 0.37) / columns as f64;
    (0..columns * columns)
        .map(|k| {
            Point::new(
                frame.min.x + frame.width() * step(k % columns),
                frame.min.y + frame.height() * step(k / columns),
            )
        })
        .collect()
}
