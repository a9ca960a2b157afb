//! How strong the figure is at the scale of a hand, and which way it runs.

use super::Layer;
use super::cells::{Grid, as_level};
use super::fall_off::FallOff;
use super::sapwood::Sapwood;
use crate::see::GrainField;

/// One level is this much contrast: the standard deviation of the light that is thrown back, as a share of its mean.
pub const CONTRAST_OF_A_LEVEL: f64 = 0.002;
/// How cells count by their distance in rows or columns: a window of about 100 mm, half of it at half its height.
const WINDOW: [f64; 3] = [1.0, 0.7, 0.25];

/// Local contrast (root mean square, as a share of the mean: Peli 1990) about each cell, sapwood's own paleness and
/// the light of the room taken out. O(cells of the grid).
pub(super) fn strength(
    grid: &Grid,
    fall_off: &FallOff,
    sapwood: Option<&Sapwood>,
    cell: f64,
) -> Layer {
    let (mut layer, within) = grid.coarser(cell);
    let sums: Vec<[f64; 3]> = within
        .iter()
        .map(|cells| {
            let mut sum = [0.0; 3];
            for &at in cells {
                let Some(wood) = &grid.wood[at] else { continue };
                let [light, ..] = fall_off.evened(grid.middle(at), wood.colour);
                let paler = sapwood.map_or(0.0, |sap| sap.shares[at] * sap.lighter);
                let light = light - paler;
                sum[0] += light;
                sum[1] += light * light + wood.variance;
                sum[2] += 1.0;
            }
            sum
        })
        .collect();
    let (columns, rows) = (layer.columns, layer.rows());
    for at in (0..sums.len()).filter(|&at| sums[at][2] > 0.0) {
        let (column, row) = (at % columns, at / columns);
        let mut all = [0.0; 3];
        for r in row.saturating_sub(2)..(row + 3).min(rows) {
            for c in column.saturating_sub(2)..(column + 3).min(columns) {
                let weight = WINDOW[r.abs_diff(row)] * WINDOW[c.abs_diff(column)];
                for (all, value) in all.iter_mut().zip(sums[r * columns + c]) {
                    *all += weight * value;
                }
            }
        }
        let mean = all[0] / all[2];
        let deviation = (all[1] / all[2] - mean * mean).max(0.0).sqrt();
        // Light goes by the cube of CIELAB's lightness and 16.
        layer.levels[at] = as_level(1.0 + 3.0 * deviation / mean / CONTRAST_OF_A_LEVEL);
    }
    layer
}

/// The direction at the middle of each cell where the strength is known.
pub(super) fn direction(strength: &Layer, field: Option<&GrainField>) -> Layer {
    let levels = strength.levels.iter().enumerate().map(|(at, &known)| {
        let along = field.and_then(|field| field.direction_at(strength.middle(at)));
        match along {
            Some(degrees) if known > 0 => level_of(degrees),
            _ => 0,
        }
    });
    Layer {
        levels: levels.collect(),
        ..strength.clone()
    }
}

/// The level of a direction in degrees from the board's length.
fn level_of(degrees: f64) -> u8 {
    as_level(128.0 + degrees * 127.0 / 90.0)
}
