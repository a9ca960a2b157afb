//! Mirror about the middle line along the grain.

use heartside_geometry::Bounds;

use super::lost::worst;
use super::mosaic::{Cell, Mosaic, Window};
use super::{ENOUGH, PLAIN, SAPWOOD_AS_LIGHT};

/// Windows are as large as a hand: in a smaller one a streak out of place counts as wrong altogether, in a larger one
/// a half that is shifted is still alike.
const HAND: [f64; 2] = [120.0, 100.0];

/// How far the upper half is the lower one mirrored: 1 where every hand's breadth answers its twin, 0 where nothing does.
///
/// In each window w of the lower half light and sapwood (a) are compared with the mirrored window of the upper half (b):
/// the concordance of Lin (1989), masked to the cells known in both (as Padfield 2012 masks correlation), summed over windows:
///
/// ```text
/// value = 1 - sum over w of S(a - b)^2 / sum over w of (S(a - ma)^2 + S(b - mb)^2 + n (ma - mb)^2 + n p)
/// ```
///
/// with S the sum over the n cells, ma and mb the means and p what nobody sees ([`PLAIN`]). It is what normalised
/// correlation is (Lewis 1995), but a difference of tone or of contrast loses too, and by p two plain halves are alike, where
/// correlation has nought over nought (the constants of Wang et al. 2004 do the same). Summed before it is
/// divided, so that lively wood counts for more than plain wood.
///
/// Tried: correlation alone, by windows, mean over them (plain windows were noise, and a light half beside a dark one
/// was perfect); one window for each half (a shift along the grain was hardly seen).
///
/// None where fewer than [`ENOUGH`] of the pairs are known. O(cells).
pub(super) fn measure(mosaic: &Mosaic) -> (Option<f64>, Vec<(Bounds, f64)>) {
    let half = mosaic.rows / 2;
    let lower = Window {
        columns: 0..mosaic.columns,
        rows: 0..half,
    };
    let (mut known, mut scale, mut losses) = (0.0, 0.0, Vec::new());
    for window in mosaic.windows(&lower, HAND[0], HAND[1]) {
        let (mut light, mut sapwood) = (Pairs::default(), Pairs::default());
        for row in window.rows.clone() {
            for column in window.columns.clone() {
                let a = mosaic.at(column, row);
                let b = mosaic.at(column, mosaic.rows - 1 - row);
                light.add(a, b, |c| c.light, 1.0);
                sapwood.add(a, b, |c| c.sapwood, SAPWOOD_AS_LIGHT);
            }
        }
        // Without light nothing is said: sapwood alone is too little to call halves alike.
        if light.count == 0.0 {
            continue;
        }
        known += light.count;
        scale += light.spread() + sapwood.spread() + light.count * PLAIN * PLAIN;
        losses.push((window, light.differing() + sapwood.differing()));
    }
    if known < ENOUGH * (half * mosaic.columns) as f64 || half == 0 {
        return (None, Vec::new());
    }
    let loss: f64 = losses.iter().map(|(_, loss)| loss).sum();
    // A loss lies in both halves; the two are told one after the other.
    let twins = |(lower, share): (Bounds, f64)| {
        let mut upper = lower;
        upper.min.y = mosaic.size[1] - lower.max.y;
        upper.max.y = mosaic.size[1] - lower.min.y;
        [(lower, 0.5 * share), (upper, 0.5 * share)]
    };
    let lost = worst(mosaic, losses, scale, 2);
    (
        Some(1.0 - loss / scale),
        lost.into_iter().flat_map(twins).collect(),
    )
}

/// Sums over pairs of levels, about the middle of their range.
#[derive(Default)]
struct Pairs {
    count: f64,
    sum: [f64; 2],
    squares: f64,
    products: f64,
}

impl Pairs {
    fn add(&mut self, a: &Cell, b: &Cell, level: impl Fn(&Cell) -> f32, weight: f64) {
        let (a, b) = (level(a), level(b));
        if a > 0.0 && b > 0.0 {
            let (a, b) = (
                weight * (f64::from(a) - 128.0),
                weight * (f64::from(b) - 128.0),
            );
            self.count += 1.0;
            self.sum[0] += a;
            self.sum[1] += b;
            self.squares += a * a + b * b;
            self.products += a * b;
        }
    }

    /// The sum of the squares of what differs.
    fn differing(&self) -> f64 {
        (self.squares - 2.0 * self.products).max(0.0)
    }

    /// What it would be on average if the pairs had nothing to do with each other.
    fn spread(&self) -> f64 {
        let [a, b] = self.sum;
        (self.squares - 2.0 * a * b / self.count.max(1.0)).max(0.0)
    }
}
