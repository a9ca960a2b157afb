//! Figure towards the middle.

use heartside_geometry::{Arrange, Bounds};

use super::ENOUGH;
use super::lost::worst;
use super::mosaic::{Mosaic, Window};

/// Strength that differs by less than this between plain and lively places has no place: about the noise of a map.
const CONTRAST: f64 = 12.0;

/// How far the figure lies towards the middle: 1 in the very middle, near 0 at ends and edges with a plain middle.
///
/// With u and v from -1 to 1 along and across the face, `m = (1 - u^2)(1 - v^2)` is how near a place is to the
/// middle (the product of two kernels of Epanechnikov 1969). Strength above the face's plainest tenth, s, is averaged by m and by
/// 1 - m, and compared as a contrast (Michelson 1927):
///
/// ```text
/// value = 1/2 + (M - E) / (M + E) / 1.2,   M = S(s m) / S(m),   E = S(s (1 - m)) / S(1 - m)
/// ```
///
/// Half where it is spread alike. The factor makes use of the whole range: a patch of a third of the face in its middle has a
/// contrast of about 0.5.
///
/// Tried: the centre of strength and how far it lies off (a patch at each end has its centre in the middle);
/// how far the strength is spread about the middle (one small patch at an end moved it less than noise).
///
/// None where too little is known ([`ENOUGH`]), and where the face is alike all over: then there is nothing to lie in the
/// middle. O(cells).
pub(super) fn measure(mosaic: &Mosaic) -> (Option<f64>, Vec<(Bounds, f64)>) {
    let mut known: Vec<f32> = mosaic
        .cells
        .iter()
        .map(|c| c.strength)
        .filter(|s| *s > 0.0)
        .collect();
    if (known.len() as f64) < ENOUGH * mosaic.cells.len() as f64 || known.is_empty() {
        return (None, Vec::new());
    }
    known.arrange_by(f32::total_cmp);
    let share = |of: f64| f64::from(known[((known.len() - 1) as f64 * of) as usize]);
    let plain = share(0.1);
    if share(0.98) - plain < CONTRAST {
        return (None, Vec::new());
    }
    let nearness = |column: usize, row: usize| {
        let off = |at: usize, count: usize| (2.0 * at as f64 + 1.0) / count as f64 - 1.0;
        let (u, v) = (off(column, mosaic.columns), off(row, mosaic.rows));
        (1.0 - u * u) * (1.0 - v * v)
    };
    let (mut inner, mut outer) = ([0.0; 2], [0.0; 2]);
    for row in 0..mosaic.rows {
        for column in 0..mosaic.columns {
            let strength = f64::from(mosaic.at(column, row).strength);
            if strength > 0.0 {
                let (m, s) = (nearness(column, row), (strength - plain).max(0.0));
                inner = [inner[0] + m, inner[1] + m * s];
                outer = [outer[0] + 1.0 - m, outer[1] + (1.0 - m) * s];
            }
        }
    }
    let (m, e) = (inner[1] / inner[0], outer[1] / outer[0]);
    let value = 0.5 + (m - e) / (m + e) / 1.2;
    // Lost is what is lively far from the middle and plain near it, against its mean.
    let mean = (inner[1] + outer[1]) / (inner[0] + outer[0]);
    let middle = inner[0] / (inner[0] + outer[0]);
    let loss = |window: &Window| {
        let mut loss = 0.0;
        for row in window.rows.clone() {
            for column in window.columns.clone() {
                let strength = f64::from(mosaic.at(column, row).strength);
                if strength > 0.0 {
                    loss -= (nearness(column, row) - middle) * ((strength - plain).max(0.0) - mean);
                }
            }
        }
        loss.max(0.0)
    };
    let windows = mosaic.windows(&mosaic.whole(), 150.0, 100.0);
    let losses = windows.into_iter().map(|w| (w.clone(), loss(&w))).collect();
    let scale = mean * (inner[0] + outer[0]);
    let lost = if value < 0.75 {
        worst(mosaic, losses, scale, 5)
    } else {
        Vec::new()
    };
    (Some(value), lost)
}
