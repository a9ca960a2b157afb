//! How long the usual questions take: `cargo bench -p heartside-geometry`.
//!
//! Prints microseconds a question; nothing is asserted, since machines differ.

#![allow(clippy::print_stdout)]

use std::hint::black_box;
use std::time::Instant;

use heartside_geometry::{
    Bounds, FLATTEN_TOLERANCE, Point, Pose, PreparedRegion, Region, Ring, Side, area_in_bounds,
    clip_bounds, convex_pieces, flatten_disc, math, outside_pieces, poles_of_inaccessibility,
    protrusion, separation, separation_at_most, simplify_inner,
};

fn measure<T>(name: &str, times: u32, mut question: impl FnMut() -> T) {
    let start = Instant::now();
    for _ in 0..times {
        black_box(question());
    }
    let each = start.elapsed().as_secs_f64() * 1e6 / f64::from(times);
    println!("{each:12.2} us  {name}");
}

fn waney(n: usize) -> Vec<Point> {
    let half = n / 2;
    let x = |k: usize| 3000.0 * k as f64 / (half - 1) as f64;
    let y = |k: usize, phase: f64| {
        let t = x(k);
        6.0 * math::sin(0.01 * t + phase) + 2.0 * math::sin(0.06 * t) + 0.3 * math::sin(0.5 * t)
    };
    (0..half)
        .map(|k| Point::new(x(k), y(k, 0.0)))
        .chain((0..half).rev().map(|k| Point::new(x(k), 300.0 + y(k, 2.0))))
        .collect()
}

fn bracket() -> Region {
    let points = [
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 60.0),
        (150.0, 80.0),
        (90.0, 60.0),
        (60.0, 140.0),
        (0.0, 120.0),
    ];
    let points = points.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Region::from_ring(Ring::new(points).expect("a bracket"))
}

fn main() {
    let outline = waney(10_000);
    measure("check an outline of 10,000 points", 5, || {
        Ring::new(outline.clone())
    });
    let board = Region::from_ring(Ring::new(outline).expect("a board"));
    measure("convex pieces of 10,000 points", 5, || {
        convex_pieces(&board)
    });
    measure("outside pieces of 10,000 points", 5, || {
        outside_pieces(&board, 50.0)
    });
    measure("simplify 10,000 points inwards by 2 mm", 2, || {
        simplify_inner(&board, 2.0)
    });
    println!(
        "      pieces: {} inside, {} outside",
        convex_pieces(&board).len(),
        outside_pieces(&board, 50.0).len()
    );
    let window = Bounds::new(Point::new(500.0, 50.0), Point::new(900.0, 290.0));
    measure("area of 10,000 points in a box", 100, || {
        area_in_bounds(&board, &window)
    });
    measure("clip 10,000 points to a box", 100, || {
        clip_bounds(&board, &window)
    });
    let board = PreparedRegion::new(board);

    let rectangle = Region::rectangle(Bounds::of_size(200.0, 60.0)).expect("a rectangle");
    let disc =
        flatten_disc(Point::ORIGIN, 150.0, FLATTEN_TOLERANCE, Side::Outside).expect("a disc");
    let disc = PreparedRegion::new(Region::from_ring(disc));
    let (rectangle, bracket) = (
        PreparedRegion::new(rectangle),
        PreparedRegion::new(bracket()),
    );
    for (name, a) in [
        ("rectangle", &rectangle),
        ("bracket", &bracket),
        ("disc", &disc),
    ] {
        println!(
            "{name}: {} points, {} pieces",
            a.region().point_count(),
            a.pieces().len()
        );
        let mut turn = 0.0;
        measure("  pose", 20_000, || {
            turn += 1.7;
            a.posed(&Pose::new(400.0, 100.0, turn))
        });
        let near = a.posed(&Pose::new(120.0, 70.0, 20.0));
        let apart = a.posed(&Pose::new(250.0, 190.0, 20.0));
        measure("  overlap with itself", 20_000, || separation(a, &near));
        measure("  distance from itself", 20_000, || separation(a, &apart));
        measure("  distance at most 3 mm", 20_000, || {
            separation_at_most(a, &apart, 3.0)
        });
        let placed = a.posed(&Pose::new(1500.0, 150.0, 0.0));
        protrusion(&placed, &board);
        measure("  clearance in the board of 10,000 points", 2_000, || {
            protrusion(&placed, &board)
        });
        measure("  20 inscribed discs", 20, || {
            poles_of_inaccessibility(a.region(), 0.95, 20)
        });
    }
}
