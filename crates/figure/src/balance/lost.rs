//! Where a measure is lost: the worst places first.

use heartside_geometry::{Arrange, Bounds};

use super::mosaic::{Mosaic, Window};

/// Of the losses of windows those that are felt: at least half as dense as the densest, neighbours along the
/// face as one, at most so many. The share is that of `scale`, what would be lost if nothing were right.
pub(super) fn worst(
    mosaic: &Mosaic,
    losses: Vec<(Window, f64)>,
    scale: f64,
    at_most: usize,
) -> Vec<(Bounds, f64)> {
    let density = |window: &Window, loss: f64| {
        loss / (window.columns.len() * window.rows.len()).max(1) as f64
    };
    let densest = losses
        .iter()
        .map(|(w, loss)| density(w, *loss))
        .fold(0.0, f64::max);
    let all: f64 = losses.iter().map(|(_, loss)| loss).sum();
    // What is as good as right is not pointed at.
    if all <= 0.02 * scale || !all.is_finite() {
        return Vec::new();
    }
    let mut felt: Vec<(Window, f64)> = Vec::new();
    for (window, loss) in losses {
        if density(&window, loss) < 0.5 * densest || loss <= 0.0 {
            continue;
        }
        match felt.last_mut() {
            Some((last, sum))
                if last.rows == window.rows && last.columns.end == window.columns.start =>
            {
                last.columns.end = window.columns.end;
                *sum += loss;
            }
            _ => felt.push((window, loss)),
        }
    }
    felt.arrange_by(|a, b| b.1.total_cmp(&a.1));
    felt.truncate(at_most);
    felt.into_iter()
        .map(|(window, loss)| (mosaic.place(&window), loss / all))
        .collect()
}
