//! The largest upright rectangle of clean outline: what a board with waney edges is to a search over rectangles.

use heartside_geometry::Arrange;
use heartside_geometry::{Bounds, Point};
use heartside_nest::kit::cuts::Ground;

/// Places along the board at which the rectangle may begin and end.
const STATIONS: usize = 16;

/// A large upright rectangle clear of the outline's outside and its trim; the usable box itself where nothing is outside.
///
/// Begins and ends at stations evenly spaced, so it is not the largest of all, but never
/// much smaller. O(stations² x pieces of the outside).
pub(super) fn inscribed(ground: &Ground) -> Bounds {
    let usable = ground.usable;
    let outside = &ground.pieces[..ground.outside_count()];
    if outside.is_empty() {
        return usable;
    }
    let step = usable.width() / STATIONS as f64;
    let at = |k: usize| usable.min.x + step * k as f64;
    let mut best: Option<Bounds> = None;
    for from in 0..STATIONS {
        for to in from + 1..=STATIONS {
            // The trim keeps the very ends away.
            let (x0, x1) = clear_of_ends(ground, at(from), at(to));
            if x1 <= x0 {
                continue;
            }
            let mut taken: Vec<(f64, f64)> =
                outside.iter().filter_map(|p| p.span_y(x0, x1)).collect();
            taken.arrange_by(|a, b| a.0.total_cmp(&b.0));
            let mut low = usable.min.y;
            taken.push((usable.max.y, usable.max.y));
            for (start, end) in taken {
                let rect = Bounds {
                    min: Point { x: x0, y: low },
                    max: Point {
                        x: x1,
                        y: start.min(usable.max.y),
                    },
                };
                if rect.max.y > rect.min.y && best.is_none_or(|b| rect.area() > b.area()) {
                    best = Some(rect);
                }
                low = low.max(end);
            }
        }
    }
    best.unwrap_or(usable)
}

/// A stretch of x less what pieces that reach over the whole width take off its ends.
fn clear_of_ends(ground: &Ground, from: f64, to: f64) -> (f64, f64) {
    let (mut x0, mut x1) = (from, to);
    let usable = ground.usable;
    for piece in &ground.pieces[..ground.outside_count()] {
        let b = piece.bounds();
        let is_across = b.height() > 0.5 * usable.height() && b.width() < 0.25 * usable.width();
        if is_across && b.max.x < usable.centre().x {
            x0 = x0.max(b.max.x.min(to));
        } else if is_across && b.min.x > usable.centre().x {
            x1 = x1.min(b.min.x.max(from));
        }
    }
    (x0, x1)
}
