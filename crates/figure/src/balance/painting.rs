//! What a maker's painting says: wanted, not wanted.

use super::Maps;

/// Levels within this of 128 say nothing.
const SAID: f64 = 8.0;

/// How much a level wants a place, and how much it does not want it, each from 0 to 1.
pub(super) fn weight(level: f64) -> [f64; 2] {
    let said = (level - 128.0) / 127.0;
    if level <= 0.0 || (level - 128.0).abs() <= SAID {
        [0.0; 2]
    } else {
        [said.max(0.0), (-said).max(0.0)]
    }
}

/// What is painted in all maps, in square millimetres: wanted, not wanted.
pub(super) fn painted(maps: Maps<'_>) -> [f64; 2] {
    let mut sum = [0.0; 2];
    for layer in maps.iter().map(|m| &m.wanted) {
        let cell = layer.cell * layer.cell;
        if !(cell.is_finite() && cell > 0.0) {
            continue;
        }
        for &level in &layer.levels {
            let [want, not] = weight(f64::from(level));
            sum[0] += cell * want;
            sum[1] += cell * not;
        }
    }
    sum
}
