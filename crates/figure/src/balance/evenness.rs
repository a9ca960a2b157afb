//! Evenness from end to end.

use heartside_geometry::Bounds;

use super::ENOUGH;
use super::lost::worst;
use super::mosaic::{Cell, Mosaic, Window};

/// A face is seen along its length in steps of about this many millimetres.
const STEP: f64 = 150.0;

/// How far the tone of steps may differ (standard deviation, in levels of light) until half is lost: about what is
/// seen across a room.
const TONE: f64 = 12.0;

/// The same of strength, in its levels: about plain wood beside wood with some figure.
const STRENGTH: f64 = 32.0;

/// How alike a face is from end to end: 1 where every step along it has the same tone and as much figure, and
/// `1 / (1 + vt / 12^2 + vs / 32^2)` where they vary, with vt and vs the variances of the steps' mean light and strength.
///
/// Between means, as an analysis of variance has it (Fisher 1925); against a fixed scale and not against the
/// variance within, since a light end is seen however lively the wood is. Tried: against the variance within (a light end
/// of strongly figured wood was called even).
///
/// Of tone and strength what is known counts; none where neither is known on enough of the face ([`ENOUGH`]), or of
/// faces shorter than three steps. O(cells).
pub(super) fn measure(mosaic: &Mosaic) -> (Option<f64>, Vec<(Bounds, f64)>) {
    let steps = mosaic.windows(&mosaic.whole(), STEP, f64::INFINITY);
    if steps.len() < 3 {
        return (None, Vec::new());
    }
    let tone = variance(mosaic, &steps, |c| c.light);
    let strength = variance(mosaic, &steps, |c| c.strength);
    if tone.is_none() && strength.is_none() {
        return (None, Vec::new());
    }
    let mut losses: Vec<(Window, f64)> = steps.iter().map(|s| (s.clone(), 0.0)).collect();
    for (of, scale) in [(tone, TONE), (strength, STRENGTH)] {
        for (loss, off) in losses.iter_mut().zip(of.into_iter().flatten()) {
            loss.1 += off / (scale * scale);
        }
    }
    let varies: f64 = losses.iter().map(|(_, loss)| loss).sum();
    (Some(1.0 / (1.0 + varies)), worst(mosaic, losses, 1.0, 5))
}

/// What each step has of the variance of their means; none where too little is known.
fn variance(mosaic: &Mosaic, steps: &[Window], level: impl Fn(&Cell) -> f32) -> Option<Vec<f64>> {
    let means: Vec<(f64, f64)> = steps
        .iter()
        .map(|step| {
            let (mut count, mut sum) = (0.0, 0.0);
            for row in step.rows.clone() {
                for column in step.columns.clone() {
                    let level = f64::from(level(mosaic.at(column, row)));
                    if level > 0.0 {
                        count += 1.0;
                        sum += level;
                    }
                }
            }
            (count, sum)
        })
        .collect();
    let (count, sum) = means
        .iter()
        .fold((0.0, 0.0), |all, one| (all.0 + one.0, all.1 + one.1));
    if count < ENOUGH * mosaic.cells.len() as f64 {
        return None;
    }
    let off = |&(n, s): &(f64, f64)| {
        let off = if n > 0.0 { s / n - sum / count } else { 0.0 };
        n / count * off * off
    };
    Some(means.iter().map(off).collect())
}
