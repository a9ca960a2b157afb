//! How the light falls off over a face: a slow surface, fitted to the wood.

use heartside_geometry::{Point, math};

use super::cells::Grid;
use crate::solve::{MOST, Table, dot, inverse, times};

/// No light of a room falls off quicker across a board, as a share in a millimetre: what does is the wood's own.
const STEEPEST_ACROSS: f64 = 0.3 / 1000.0;
/// Residuals beyond so many deviations count for nothing (Tukey's biweight at 95 % efficiency: Beaton & Tukey 1974).
const BEYOND: f64 = 4.685;
/// A normal deviation by the median of the residuals' sizes.
const OF_MEDIAN: f64 = 1.4826;
const ROUNDS: usize = 6;
/// The middle, along and along squared, across.
const TERMS: usize = 4;

/// The logarithm of the light over a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct FallOff {
    terms: [f64; MOST],
    middle: Point,
    scale: f64,
}

impl FallOff {
    /// Fits the light to the cells that count; knots and other dark places are left out by their residuals. O(cells).
    pub(super) fn fitted(grid: &Grid, counts: impl Fn(usize) -> bool) -> FallOff {
        let places: Vec<(Point, f64)> = grid
            .wood
            .iter()
            .enumerate()
            .filter(|(at, _)| counts(*at))
            .filter_map(|(at, wood)| Some((grid.middle(at), light_of(wood.as_ref()?.colour[0]))))
            .collect();
        let middle = Point::new(
            grid.origin[0] + 0.5 * grid.columns as f64 * grid.cell,
            grid.origin[1] + 0.5 * grid.rows as f64 * grid.cell,
        );
        let scale = (0.5 * grid.columns as f64 * grid.cell).max(grid.cell);
        let mut found = FallOff {
            terms: [0.0; MOST],
            middle,
            scale,
        };
        if places.is_empty() {
            return found;
        }
        found.terms[0] = median(places.iter().map(|(_, light)| *light).collect());
        // On a short piece a slope is the wood's own.
        let bend = TERMS.min(1 + places.len() / 200);
        for _ in 0..ROUNDS {
            let sizes = places.iter().map(|&(p, light)| (light - found.at(p)).abs());
            let deviation = (OF_MEDIAN * median(sizes.collect())).max(1e-6);
            found.fit(&places, bend, BEYOND * deviation);
        }
        found
    }

    fn fit(&mut self, places: &[(Point, f64)], terms: usize, beyond: f64) {
        let mut table: Table = [[0.0; MOST]; MOST];
        let mut right = [0.0; MOST];
        for &(place, light) in places {
            let off = (light - self.at(place)) / beyond;
            if off.abs() >= 1.0 {
                continue;
            }
            let weight = (1.0 - off * off) * (1.0 - off * off);
            let row = self.row(place);
            for i in 0..terms {
                right[i] += weight * row[i] * light;
                for j in 0..terms {
                    table[i][j] += weight * row[i] * row[j];
                }
            }
        }
        let Some(inverse) = inverse(&table, terms) else {
            return;
        };
        self.terms = times(&inverse, &right, terms);
        let steepest = STEEPEST_ACROSS * self.scale;
        self.terms[3] = self.terms[3].clamp(-steepest, steepest);
    }

    fn row(&self, place: Point) -> [f64; MOST] {
        let along = (place.x - self.middle.x) / self.scale;
        let across = (place.y - self.middle.y) / self.scale;
        let mut row = [0.0; MOST];
        row[..TERMS].copy_from_slice(&[1.0, along, along * along, across]);
        row
    }

    /// The logarithm of the light at a place.
    pub(super) fn at(&self, place: Point) -> f64 {
        dot(&self.terms, &self.row(place))
    }

    /// What a colour with 16 added to its lightness is in the light of the middle: CIELAB goes by cube roots.
    pub(super) fn evened(&self, place: Point, colour: [f64; 3]) -> [f64; 3] {
        let by = math::exp((self.at(self.middle) - self.at(place)) / 3.0);
        colour.map(|value| value * by)
    }
}

/// The logarithm of the light by CIELAB's lightness and 16.
pub(super) fn light_of(lightness: f64) -> f64 {
    3.0 * math::ln(lightness.max(17.0) / 116.0)
}

/// The middle one of values, of which there are some.
pub(super) fn median(mut values: Vec<f64>) -> f64 {
    let middle = values.len() / 2;
    if values.is_empty() {
        return 0.0;
    }
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}
