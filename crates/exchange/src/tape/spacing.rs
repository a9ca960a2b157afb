//! Places along a board that were not said.

use heartside_timber::length::Unit;

/// Places for all: those that are open lie evenly between the known ones beside them, on a whole
/// millimetre or sixteenth where that keeps them apart. The first and the last are known.
pub(super) fn spaced_evenly(places: &[Option<f64>], unit: Unit) -> Vec<f64> {
    let step = match unit {
        Unit::Millimetres => 1.0,
        Unit::Inches => 25.4 / 16.0,
    };
    let known: Vec<(usize, f64)> = places
        .iter()
        .enumerate()
        .filter_map(|(k, place)| Some((k, (*place)?)))
        .collect();
    let mut all: Vec<f64> = known.first().map(|(_, place)| *place).into_iter().collect();
    for pair in known.windows(2) {
        let ((k, from), (n, to)) = (pair[0], pair[1]);
        let gap = (to - from) / (n - k) as f64;
        for between in 1..(n - k) {
            let exact = from + gap * between as f64;
            let round = (exact / step).round() * step;
            all.push(if gap > 2.0 * step { round } else { exact });
        }
        all.push(to);
    }
    all
}
