//! Grain as it is drawn on a stave, and the mark to put staves together by.

use heartside_geometry::{Bounds, Point};

use crate::pen::Pen;
use crate::svg::number;

/// From where on the mark stands, of the panel's length.
pub(super) const MARK_FROM: f64 = 0.16;

/// What the mark across the joints means.
pub const MARK_WORDS: &str = "The slanted line and the strokes are to be chalked across the joints: each joint has as many strokes as its number from below.";

/// Quiet lines along a stave, uneven by a fixed pattern.
pub(super) fn grain_of(own: Bounds, number_of: u32, u: f64) -> String {
    let count = (own.height() / (2.6 * u)).clamp(1.0, 8.0) as u32;
    let lines = (0..count).map(|k| {
        let place = f64::from(k * 7 + number_of * 13);
        let share = (place * 0.618_033_988_749_895).fract();
        let y = own.min.y + own.height() * (f64::from(k) + 0.3 + 0.4 * share) / f64::from(count);
        let (from, to) = (0.02 + 0.3 * share, 0.98 - 0.25 * (1.0 - share));
        let at = |part: f64| number(own.min.x + own.width() * part);
        format!("M{},{}H{}", at(from), number(y), at(to))
    });
    lines.collect()
}

/// The mark to put the staves together by: a slanted line over all of them, which tells each
/// stave's place along and which way round it lies, and at each joint as many strokes as its number.
pub(super) fn mark(pen: &mut Pen, wood: Bounds, joints: &[f64]) {
    let u = pen.unit;
    let lean = (wood.height() * 0.25).min(wood.width() * 0.06);
    let foot = wood.width() * MARK_FROM;
    let at = |y: f64| foot + lean * (wood.max.y - y) / wood.height().max(1e-9);
    let (low, high) = (wood.max.y - 1.2 * u, wood.min.y + 1.2 * u);
    pen.open("", "hs-mark", MARK_WORDS, "");
    pen.line(
        "hs-cut",
        Point { x: at(low), y: low },
        Point {
            x: at(high),
            y: high,
        },
        0.55,
    );
    for (place, y) in joints.iter().enumerate() {
        for stroke in 0..=place {
            let x = at(*y) + (2.4 + 1.5 * stroke as f64) * u;
            let (a, b) = (Point { x, y: y - 1.3 * u }, Point { x, y: y + 1.3 * u });
            pen.line("hs-cut", a, b, 0.45);
        }
    }
    pen.close();
}
