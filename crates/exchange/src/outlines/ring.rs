//! A closed line becomes a ring of straight sides, on the safe side.

use heartside_geometry::{FLATTEN_TOLERANCE, Point, Ring, Side};

use super::curve::{Lean, MOST_POINTS};
use super::drawn::{Chain, MEETS};

/// The closed line in straight sides, on the safe side.
pub(super) fn ring(chain: &Chain, side: Side) -> Result<Ring, String> {
    let straight = |lean| {
        let mut points = Vec::new();
        for curve in &chain.curves {
            // Ends that meet within reach are one corner, or a side would run back over itself.
            let start = curve.start();
            if points
                .last()
                .is_none_or(|last: &Point| last.distance(start) > MEETS)
            {
                points.push(start);
            }
            if !curve.straighten(lean, FLATTEN_TOLERANCE, &mut points) {
                return Err(format!("it has more than {MOST_POINTS} corners"));
            }
        }
        if let [first, .., last] = points.as_slice()
            && first.distance(*last) <= MEETS
        {
            points.pop();
        }
        Ok(without_joints(points))
    };
    let left = straight(Lean::Left)?;
    // The inside of a line that runs counter-clockwise is on its left.
    let runs_left = twice_area(&left) > 0.0;
    let points = if runs_left == (side == Side::Inside) {
        left
    } else {
        straight(Lean::Right)?
    };
    Ring::new(points).map_err(|faults| match faults.0.first() {
        Some(fault) => fault.to_string(),
        None => "it is not sound".to_owned(),
    })
}

fn twice_area(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    let base = points.first().copied().unwrap_or(Point::new(0.0, 0.0));
    let pairs = points.iter().zip(next);
    pairs.map(|(a, b)| (*a - base).cross(*b - base)).sum()
}

/// Drops corners that bound nothing: where tangents of one curve meet, and where a line runs straight
/// back over itself, as the tangent of a hollow does that ends along a side.
fn without_joints(points: Vec<Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    for point in points {
        while let [.., before, last] = kept.as_slice()
            && bounds_nothing(*before, *last, point)
        {
            kept.pop();
        }
        if kept
            .last()
            .is_none_or(|last| last.distance(point) > ON_LINE)
        {
            kept.push(point);
        }
    }
    // Round the corner where the line begins.
    let mut first = 0;
    loop {
        match &kept[first..] {
            [a, _, .., y, z] if bounds_nothing(*y, *z, *a) => _ = kept.pop(),
            [a, b, .., z] if bounds_nothing(*z, *a, *b) => first += 1,
            _ => return kept.split_off(first),
        }
    }
}

/// Nearer to a line than this, in millimetres, is on it.
const ON_LINE: f64 = 1e-7;

/// Whether a corner lies on the line between its neighbours, or one of them on the line to the other.
fn bounds_nothing(before: Point, corner: Point, after: Point) -> bool {
    corner.distance_to_segment(before, after) < ON_LINE
        || after.distance_to_segment(before, corner) < ON_LINE
        || before.distance_to_segment(corner, after) < ON_LINE
}
