//! Logs that are invented from a number, and what is seen on the faces of boards sawn out of them.
//!
//! A tree grows a cone of wood a year about a pith that wanders. A plain-sawn board cuts these cones beside the pith,
//! so their rings show as arches, one within the other ("cathedrals"), in its middle and as straight lines towards its edges; the
//! youngest wood, the sapwood, lies along its waney edges (Hoadley 2000, Understanding Wood, chapters 1 and 2). A
//! branch is wood of the same tree that grew outwards: a knot where a board cuts it, with the grain led round it.
//!
//! All of a log is one formula of the place, so boards sawn from it one after the other answer each other as real ones do.

mod branch;
mod face;

use crate::noise::{Noise, smooth};
use branch::Branch;
pub use face::Face;

/// How thick the boards are that a log is sawn into, in millimetres.
pub const THICKNESS: f64 = 40.0;
/// What the saw takes between two of them, in millimetres.
pub const KERF: f64 = 4.0;
/// How far above the middle of the pith the lower face of the first board lies, in millimetres.
const FIRST: f64 = 16.0;

/// A log: x along it from the butt, y and z across it, the pith near y = z = 0; in millimetres.
#[derive(Debug, Clone)]
pub struct Log {
    noise: Noise,
    /// How far out the wood reaches at the butt.
    radius: f64,
    /// How much thinner it becomes with each millimetre of its length.
    taper: f64,
    /// The mean width of a ring.
    ring: f64,
    /// How wide the sapwood is.
    sap: f64,
    /// How light its heartwood is, about 1.
    tone: f64,
    branches: Vec<Branch>,
}

impl Log {
    /// The log of a number; the same on every machine.
    pub fn new(number: u32) -> Log {
        let noise = Noise::new(number);
        let between =
            |which: i32, from: f64, to: f64| from + (to - from) * noise.of_cell(which, -1);
        let branches = 3 + (noise.of_cell(9, -1) * 3.0) as i32;
        Log {
            noise,
            radius: between(0, 195.0, 225.0),
            taper: between(1, 0.010, 0.015),
            ring: between(2, 4.5, 7.0),
            sap: between(3, 20.0, 32.0),
            tone: between(4, 0.86, 1.08),
            branches: (0..branches)
                .map(|k| Branch::new(noise, k, branches))
                .collect(),
        }
    }

    /// The up or the down face of its board so many boards above the pith. The up face lies farther from the pith.
    pub fn face(&self, board: u32, is_down: bool) -> Face<'_> {
        let low = FIRST + f64::from(board) * (THICKNESS + KERF);
        Face::new(self, if is_down { low } else { low + THICKNESS }, is_down)
    }

    /// Where the pith runs: y and z.
    fn pith(&self, x: f64) -> [f64; 2] {
        let wander = |k: u32| {
            let noise = self.noise.other(k);
            18.0 * noise.at(x / 620.0, 0.5) + 5.0 * noise.at(x / 230.0, 7.5)
        };
        [wander(1), wander(2)]
    }

    /// How far from the pith a place would lie at the butt of a log that grew evenly; rings lie at equal values.
    /// `offset`: y and z from the pith.
    fn out(&self, x: f64, [y, z]: [f64; 2]) -> f64 {
        // No tree grows evenly all round, nor is its bark smooth.
        let uneven = 9.0 * self.noise.other(3).at(x / 700.0, (y + 0.8 * z) / 110.0)
            + 3.0 * self.noise.other(4).at(x / 210.0, (y - 0.7 * z) / 50.0)
            + 0.8 * self.noise.other(5).at(x / 45.0, (y + z) / 16.0);
        (y * y + z * z).sqrt() + self.taper * x + uneven
    }

    /// How much darker the wood is by its ring, and how much by the years about it: a year's last wood is dark, and
    /// good and bad years come in rows.
    fn years(&self, out: f64) -> [f64; 2] {
        let ring = out / self.ring + 1.6 * self.noise.other(6).at(out / (5.0 * self.ring), 0.5);
        let late = ring - ring.floor();
        // The dark wood ends at once where the next year begins.
        let late = late * late * late * smooth((1.0 - late) / 0.12);
        let years = self.noise.other(7).at(out / (3.4 * self.ring), 0.5)
            + 0.6 * self.noise.other(8).at(out / (1.3 * self.ring), 0.5);
        [late, years]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How alike two lists are: 1 the same but for their light, 0 nothing to do with each other (Pearson).
    fn alike(a: &[f64], b: &[f64]) -> f64 {
        let mean = |of: &[f64]| of.iter().sum::<f64>() / of.len() as f64;
        let (mean_a, mean_b) = (mean(a), mean(b));
        let both = a.iter().zip(b).map(|(a, b)| (a - mean_a) * (b - mean_b));
        let own = |of: &[f64], mean: f64| of.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>();
        both.sum::<f64>() / (own(a, mean_a) * own(b, mean_b)).sqrt()
    }

    /// Lightness of heartwood about some places of a face, as it lies or turned over: single rings wander from face to face by
    /// about their width, what they make together does not.
    fn light(face: &Face<'_>, turned: bool) -> Vec<f64> {
        let along = (0..40).map(|k| f64::from(k) * 52.3);
        let places = along.flat_map(|x| (-18..=18).map(move |j| (x, f64::from(j) * 6.1)));
        let side = if turned { -1.0 } else { 1.0 };
        let about = |(x, y): (f64, f64)| -> f64 {
            let near = (-4..=4).map(|k| y + 4.0 * f64::from(k));
            near.map(|y| face.colour(x, side * y)[1]).sum()
        };
        places.map(about).collect()
    }

    #[test]
    fn faces_that_one_cut_parted_mirror_each_other_as_no_others_do() {
        for number in [2, 3, 17] {
            let (log, other) = (Log::new(number), Log::new(number + 100));
            let own = light(&log.face(0, false), false);
            let next = alike(&own, &light(&log.face(1, true), true));
            assert!(next > 0.45, "log {number}: {next}");
            // Turned the wrong way they still agree about the pith; with another log they have nothing in common.
            let unturned = alike(&own, &light(&log.face(1, true), false));
            assert!(
                unturned < next - 0.05,
                "log {number}: {next} and {unturned}"
            );
            let strange = alike(&own, &light(&other.face(1, true), true));
            assert!(strange < next - 0.1, "log {number}: {next} and {strange}");
        }
    }

    #[test]
    fn a_board_has_pale_wood_along_its_edges_and_grows_narrower() {
        for number in 0..10 {
            let log = Log::new(number);
            let face = log.face(1, false);
            for x in [0.0, 1100.0, 2200.0] {
                let [low, high] = face.edges(x);
                for (edge, inwards) in [(low, 1.0), (high, -1.0)] {
                    let at = |by: f64| face.colour(x, edge + by * inwards);
                    // Sapwood is nearer to white; the floor beyond the edge is grey.
                    assert!(at(3.0)[2] > at(90.0)[2] + 20.0, "log {number}");
                    assert!(at(-3.0)[0] < at(-3.0)[2], "log {number}");
                }
            }
            let width = |x: f64| face.edges(x)[1] - face.edges(x)[0];
            let about = |from: f64| {
                (0..9)
                    .map(|k| width(from + 40.0 * f64::from(k)))
                    .sum::<f64>()
            };
            assert!(about(2000.0) < about(0.0), "log {number}");
        }
    }
}
