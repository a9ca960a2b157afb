//! A face of a board sawn out of an invented log: its wood, where that ends, and its picture row by row.

use super::{Log, branch::Near};
use crate::noise::{blended, lit, smooth};
use crate::{Picture, TruePicture};

/// Heartwood and sapwood.
const HEART: [f64; 3] = [158.0, 114.0, 78.0];
const SAP: [f64; 3] = [219.0, 192.0, 151.0];
/// The floor that the board was photographed on.
const FLOOR: [f64; 3] = [116.0, 119.0, 122.0];
/// How far the board's shadow reaches on it, in millimetres.
const SHADOW: f64 = 14.0;

/// A face of a board; x along the board, y across it as that face is seen from above.
#[derive(Debug, Clone)]
pub struct Face<'a> {
    log: &'a Log,
    /// How far from the middle of the pith it was sawn.
    z: f64,
    /// It is seen once the board is turned over about its length.
    is_down: bool,
}

impl<'a> Face<'a> {
    pub(super) fn new(log: &'a Log, z: f64, is_down: bool) -> Face<'a> {
        Face { log, z, is_down }
    }

    /// Where the wood begins and ends across the board: the lower and the upper edge of this face, as it is seen. Found by halving
    /// to a hundredth of a millimetre.
    pub fn edges(&self, x: f64) -> [f64; 2] {
        let edge = |side: f64| {
            let (mut inside, mut outside) = (0.0, 300.0);
            while outside - inside > 0.01 {
                let middle = 0.5 * (inside + outside);
                if self.depth(x, side * middle) > 0.0 {
                    inside = middle;
                } else {
                    outside = middle;
                }
            }
            side * inside
        };
        [edge(-1.0), edge(1.0)]
    }

    /// Its picture: so many pixels of so many millimetres, the lower left corner at a place of the face. As much of
    /// the floor is seen beyond the far end as before the near one.
    pub fn picture(&self, size: [u32; 2], pixel: f64, origin: [f64; 2]) -> TruePicture {
        let [width, height] = size;
        let length = f64::from(width) * pixel + 2.0 * origin[0];
        let grain = self.log.noise.other(if self.is_down { 41 } else { 40 });
        let mut rgb = Vec::with_capacity(3 * width as usize * height as usize);
        for row in 0..height {
            let y = origin[1] + (f64::from(height - row) - 0.5) * pixel;
            for column in 0..width {
                let x = origin[0] + (f64::from(column) + 0.5) * pixel;
                let colour = if (0.0..=length).contains(&x) {
                    self.colour(x, y)
                } else {
                    self.floor(x, y, -SHADOW)
                };
                let noise = 5.0 * grain.bell(column, row, 0);
                rgb.extend(colour.map(|level| (level + noise).clamp(0.0, 255.0) as u8));
            }
        }
        TruePicture {
            picture: Picture { width, height, rgb },
            pixel,
            origin,
        }
    }

    /// The floor at a place, so deep within the bark (outside it: below 0); near its edges the board's shadow lies on it.
    fn floor(&self, x: f64, y: f64, depth: f64) -> [f64; 3] {
        let rough = self.log.noise.other(30).detailed(x / 40.0, y / 40.0, 3);
        let shadow = 1.0 - 0.4 * smooth(1.0 + depth / SHADOW);
        lit(FLOOR, (1.0 + 0.12 * rough) * shadow)
    }

    /// How far beside the pith and above it a place that is seen lies.
    fn beside_pith(&self, x: f64, y: f64) -> [f64; 2] {
        let y = if self.is_down { -y } else { y };
        let [pith_y, pith_z] = self.log.pith(x);
        [y - pith_y, self.z - pith_z]
    }

    /// How far a place lies within the bark.
    fn depth(&self, x: f64, y: f64) -> f64 {
        self.log.radius - self.log.out(x, self.beside_pith(x, y))
    }

    /// The colour of a place: wood, or the floor that the board lies on.
    pub(super) fn colour(&self, x: f64, y: f64) -> [f64; 3] {
        let log = self.log;
        let noise = |k: u32| log.noise.other(k);
        let place = self.beside_pith(x, y);
        let [across, _] = place;
        let out = log.out(x, place);
        let depth = log.radius - out;
        if depth < 0.0 {
            return self.floor(x, y, depth);
        }
        let near = log
            .branches
            .iter()
            .filter_map(|branch| branch.near(x, place));
        let near: Option<Near> = near.min_by(|a, b| a.out.total_cmp(&b.out));
        let led = near.map_or(0.0, |near| near.led);
        let [late, years] = log.years(out - led);
        let fibre = noise(10).at(x / 50.0, (across + 0.2 * led) / 1.1);
        let pore = smooth(4.0 * (noise(11).at(x / 13.0, (across + 0.2 * led) / 0.9) - 0.55));
        let cloud = noise(12).at(x / 260.0, (across + 0.7 * self.z) / 60.0);
        // Fibres that swing to and fro throw the light back in bars across the grain, in places.
        let swings = smooth(2.4 * (noise(13).at(x / 520.0, (across + self.z) / 130.0) - 0.15));
        let bars = swings * noise(14).at((x + 0.25 * across) / 9.0, (across + self.z) / 70.0);
        let texture = 0.045 * fibre - 0.12 * pore + 0.05 * cloud + 0.055 * bars;
        let heart = lit(
            HEART,
            log.tone * (1.0 + texture - 0.3 * late + 0.17 * years),
        );
        let sap = lit(SAP, 1.0 + texture - 0.12 * late + 0.03 * years);
        let wander = 3.5 * noise(15).at(x / 170.0, across / 90.0);
        let wood = blended(heart, sap, smooth(0.5 + (log.sap + wander - depth) / 5.0));
        near.map_or(wood, |near| self.knotted(wood, near, x, across))
    }

    /// Wood in and about a branch.
    fn knotted(&self, wood: [f64; 3], near: Near, x: f64, across: f64) -> [f64; 3] {
        let dark = lit(wood, 1.0 - 0.22 * smooth((2.2 - near.out) / 1.2));
        if near.out > 1.12 {
            return dark;
        }
        let ring = near.out * near.radius / 1.9;
        let rough = self.log.noise.other(16).at(x / 2.5, across / 2.5);
        let knot = lit(HEART, 0.62 + 0.10 * (ring - ring.floor()) + 0.06 * rough);
        let rim = smooth((near.out - 0.82) / 0.14) * smooth((1.12 - near.out) / 0.08);
        blended(
            blended(knot, dark, smooth((near.out - 1.0) / 0.12)),
            [52.0, 34.0, 24.0],
            0.8 * rim,
        )
    }
}
