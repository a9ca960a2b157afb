//! The square of 100 mm on each sheet that proves its scale.

use heartside_geometry::{Bounds, Point};

use crate::pen::Words;
use crate::printed::{LEAST_PRINTED, Printed, clipped};
use crate::templates::clear_place::Ground;

/// Its side in millimetres.
pub(crate) const SIDE: f64 = 100.0;
const WORDS: &str = "100 mm, only to prove the scale";
/// Places tried along and across.
const TRIED: (u32, u32) = (12, 8);
/// A line that runs so near beside a side of the square is mistaken for it.
const BESIDE: f64 = 2.0;

/// Draws the square where its sides meet the fewest lines of the template, and takes its sides.
pub(crate) fn scale_square(page: &mut Printed, ground: &mut Ground, within: &Bounds) {
    let spare = (within.width() - SIDE, within.height() - SIDE);
    let mut best: Option<(f64, Bounds)> = None;
    // From the lower right corner on, away from where reading begins.
    for i in (0..=TRIED.0).rev() {
        for k in (0..=TRIED.1).rev() {
            let min = Point {
                x: within.min.x + spare.0.max(0.0) * f64::from(i) / f64::from(TRIED.0),
                y: within.min.y + spare.1.max(0.0) * f64::from(k) / f64::from(TRIED.1),
            };
            let square = Bounds {
                min,
                max: Point {
                    x: min.x + SIDE,
                    y: min.y + SIDE,
                },
            };
            let met = met_by_sides(&square, ground) * 100.0 + met(&square, &ground.lines);
            if best.is_none_or(|(least, _)| met < least - 1e-9) {
                best = Some((met, square));
            }
        }
    }
    let Some((_, square)) = best else { return };
    page.pen.open("scale-square", "", WORDS, "");
    page.pen.rect("hs-ink", square, 0.0, 0.1);
    page.pen.close();
    ground.taken.extend(sides(&square, 0.3));
    let words = Words::new(WORDS, "hs-name", square.centre(), LEAST_PRINTED);
    let size = (words.bounds().width(), words.bounds().height());
    let inside = square.grown(-1.0);
    let low = Point {
        x: square.centre().x,
        y: square.max.y,
    };
    if let Some(middle) = ground.clear_place(size, &inside, low, |_| true) {
        let words = Words { middle, ..words };
        ground.taken.push(words.bounds());
        page.words(&words);
    }
}

/// Its four sides as boxes of so much on both hands.
fn sides(square: &Bounds, by: f64) -> [Bounds; 4] {
    let Bounds { min, max } = *square;
    [
        Bounds::new(min, Point { x: max.x, y: min.y }),
        Bounds::new(Point { x: min.x, y: max.y }, max),
        Bounds::new(min, Point { x: min.x, y: max.y }),
        Bounds::new(Point { x: max.x, y: min.y }, max),
    ]
    .map(|side| side.grown(by))
}

/// Millimetres of lines beside its sides, and something for each that crosses.
fn met_by_sides(square: &Bounds, ground: &Ground) -> f64 {
    let boxes = sides(square, BESIDE);
    boxes.iter().map(|side| met(side, &ground.lines)).sum()
}

fn met(within: &Bounds, lines: &[(Point, Point)]) -> f64 {
    lines
        .iter()
        .filter_map(|(a, b)| clipped(*a, *b, within))
        .map(|(a, b)| a.distance(b))
        .sum()
}
