//! Hatches as plain lines clipped to their area: true in every vector editor and in black and white.

use heartside_geometry::Arrange;
use heartside_geometry::{Point, Region, math};

/// Most lines of one hatch; a coarser hatch is drawn instead of more.
const MOST_LINES: f64 = 400.0;

/// Lines at `angle` degrees, `spacing` apart, clipped to a region (holes stay free).
///
/// The lines of one angle and spacing lie on one grid wherever they are drawn, so touching
/// areas join without a seam. O(lines x edges).
pub(crate) fn hatch(region: &Region, angle: f64, spacing: f64) -> Vec<(Point, Point)> {
    let (sin, cos) = math::sin_cos_deg(angle);
    // Along the line: u = x cos + y sin; across: v = y cos - x sin.
    let across = |p: Point| p.y * cos - p.x * sin;
    let along = |p: Point| p.x * cos + p.y * sin;
    let back = |u: f64, v: f64| Point {
        x: u * cos - v * sin,
        y: u * sin + v * cos,
    };
    let edges: Vec<((f64, f64), (f64, f64))> = region
        .edges()
        .map(|(a, b)| ((along(a), across(a)), (along(b), across(b))))
        .collect();
    let least = edges.iter().map(|(a, _)| a.1).fold(f64::INFINITY, f64::min);
    let most = edges
        .iter()
        .map(|(a, _)| a.1)
        .fold(f64::NEG_INFINITY, f64::max);
    if !(least.is_finite() && most.is_finite()) || spacing <= 0.0 {
        return Vec::new();
    }
    let spacing = spacing.max((most - least) / MOST_LINES);
    let mut lines = Vec::new();
    let mut v = ((least / spacing).floor() + 0.5) * spacing;
    while v < most {
        let mut crossings: Vec<f64> = edges
            .iter()
            .filter(|(a, b)| (a.1 > v) != (b.1 > v))
            .map(|(a, b)| a.0 + (v - a.1) / (b.1 - a.1) * (b.0 - a.0))
            .collect();
        crossings.arrange_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            lines.push((back(pair[0], v), back(pair[1], v)));
        }
        v += spacing;
    }
    lines
}

/// Middles of dots on a staggered grid, clipped to a region; at most [`MOST_LINES`] squared over 8.
pub(crate) fn dots(region: &Region, spacing: f64) -> Vec<Point> {
    let mut found = Vec::new();
    for (row, (a, b)) in hatch(region, 0.0, spacing).into_iter().enumerate() {
        let shift = if ((a.y / spacing).floor() as i64) % 2 == 0 {
            0.0
        } else {
            spacing
        };
        let step = (spacing * 2.0).max((b.x - a.x) / 100.0);
        let mut x = ((a.x - shift) / step).ceil() * step + shift;
        while x <= b.x && row < MOST_LINES as usize {
            found.push(Point { x, y: a.y });
            x += step;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use heartside_geometry::Bounds;

    fn square() -> Region {
        Region::rectangle(Bounds {
            min: Point { x: 0.0, y: 0.0 },
            max: Point { x: 10.0, y: 10.0 },
        })
        .expect("a square")
    }

    #[test]
    fn hatch_lines_stay_inside_and_cover_the_area() {
        let lines = hatch(&square(), 45.0, 1.0);
        let length: f64 = lines.iter().map(|(a, b)| a.distance(*b)).sum();
        // Length of hatch times spacing is the area, but for the rounding at the corners.
        assert!((length - 100.0).abs() < 10.0, "{length}");
        for p in lines.iter().flat_map(|(a, b)| [a, b]) {
            assert!(p.x > -1e-9 && p.x < 10.0 + 1e-9 && p.y > -1e-9 && p.y < 10.0 + 1e-9);
        }
    }

    #[test]
    fn a_tiny_spacing_gives_no_endless_hatch() {
        assert!(hatch(&square(), 0.0, 1e-9).len() <= MOST_LINES as usize + 1);
    }

    #[test]
    fn dots_lie_inside() {
        let found = dots(&square(), 1.0);
        assert!(found.len() > 20);
        assert!(
            found
                .iter()
                .all(|p| (0.0..=10.0).contains(&p.x) && (0.0..=10.0).contains(&p.y))
        );
    }
}
