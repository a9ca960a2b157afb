//! A branch of an invented log, and the knot that a board shows of it.

use core::f64::consts::TAU;

use heartside_geometry::math;

use crate::noise::Noise;

/// How far from its bark a branch leads the rings outwards, in its radii.
const COLLAR: f64 = 3.0;

/// A branch: it begins at the pith, runs straight outwards and upwards and grows thicker the farther out it is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Branch {
    /// Where it begins along the log.
    x: f64,
    /// Which way it grows; a unit vector along x, y, z.
    way: [f64; 3],
    /// How thick it is at the pith, and how much thicker with each millimetre.
    radius: [f64; 2],
    /// How far out it reached before it was shed, and the tree grew over it.
    reach: f64,
}

/// What a branch does to the wood at a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Near {
    /// How far from the branch's middle the place lies, in its radii.
    pub(super) out: f64,
    /// How far outwards the rings are led there.
    pub(super) led: f64,
    /// The branch's radius there.
    pub(super) radius: f64,
}

impl Branch {
    /// The `k`th of so many along a log.
    pub(super) fn new(noise: Noise, k: i32, of: i32) -> Branch {
        let number = |which: i32| noise.of_cell(which, 100 + k);
        let (sin, cos) = {
            let round = TAU * (number(0) + 0.382 * f64::from(k));
            (math::sin(round), math::cos(round))
        };
        let up = 0.25 + 0.4 * number(1);
        let across = (1.0 - up * up).sqrt();
        Branch {
            x: (f64::from(k) + 0.2 + 0.6 * number(2)) * 2600.0 / f64::from(of),
            way: [up, across * cos, across * sin],
            radius: [2.5 + 2.5 * number(3), 0.05 + 0.07 * number(4)],
            reach: 70.0 + 110.0 * number(5),
        }
    }

    /// What it does at a place, given along the log and from the pith; none where it is far away.
    pub(super) fn near(&self, x: f64, [y, z]: [f64; 2]) -> Option<Near> {
        let along = x - self.x;
        let [a, b, c] = self.way;
        let s = along * a + y * b + z * c;
        if s <= 0.0 {
            return None;
        }
        let radius = self.radius[0] + self.radius[1] * s.min(self.reach);
        let squared = along * along + y * y + z * z - s * s;
        let most = 3.0 * COLLAR * radius;
        if squared > most * most {
            return None;
        }
        let out = squared.max(0.0).sqrt() / radius;
        // Beyond its end the rings close over it.
        let gone = (s - self.reach).max(0.0);
        let fading = math::exp(-gone / 25.0);
        let led = 2.6 * radius * fading * math::exp(-out / COLLAR);
        let out = if gone > 0.0 {
            out.max(1.0) + gone / radius
        } else {
            out
        };
        Some(Near { out, led, radius })
    }
}
