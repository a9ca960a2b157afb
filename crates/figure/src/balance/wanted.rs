//! What the maker painted.

use heartside_geometry::Bounds;

use super::lost::worst;
use super::mosaic::Mosaic;
use super::painting::weight;

/// The share of a face that is not wanted wood until all is lost.
const UNWANTED: f64 = 0.1;

/// How far what is wanted is seen and what is not wanted is not: the mean of two shares, each only where such wood was
/// painted at all. The one is the wanted area that is seen over the wanted area there is, or over the face where
/// that is less; the other is 1 less the unwanted area that is seen over a tenth of the face. Areas are
/// weighed by how much was said. A formula of our own; it counts what was painted and judges nothing.
///
/// None where nothing was painted. O(cells).
pub(super) fn measure(mosaic: &Mosaic) -> (Option<f64>, Vec<(Bounds, f64)>) {
    let [for_it, against] = mosaic.painted;
    let area = mosaic.size[0] * mosaic.size[1];
    if mosaic.cells.is_empty() || for_it + against <= 0.0 {
        return (None, Vec::new());
    }
    let cell = mosaic.cell[0] * mosaic.cell[1];
    let mut seen = [0.0; 2];
    let mut losses = Vec::new();
    for window in mosaic.windows(&mosaic.whole(), 100.0, 60.0) {
        let mut unwanted = 0.0;
        for row in window.rows.clone() {
            for column in window.columns.clone() {
                let [want, not] = weight(f64::from(mosaic.at(column, row).wanted));
                seen[0] += cell * want;
                unwanted += cell * not;
            }
        }
        seen[1] += unwanted;
        losses.push((window, unwanted));
    }
    let wanted = (for_it > 0.0).then(|| (seen[0] / for_it.min(area)).min(1.0));
    let spared = (against > 0.0).then(|| 1.0 - (seen[1] / (UNWANTED * area)).min(1.0));
    let parts: Vec<f64> = wanted.into_iter().chain(spared).collect();
    let value = parts.iter().sum::<f64>() / parts.len() as f64;
    (Some(value), worst(mosaic, losses, UNWANTED * area, 5))
}
