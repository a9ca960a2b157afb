//! Chance: one named generator, so that a seed gives the same document everywhere.

use rand_core::Rng;
use rand_pcg::Pcg32;

/// A stream of chance: PCG XSH RR 64/32 (O'Neill 2014).
#[derive(Debug, Clone)]
pub struct Chance(Pcg32);

impl Chance {
    /// The stream of a seed.
    pub fn new(seed: u32) -> Chance {
        Chance(Pcg32::new(u64::from(seed), 0x9e37_79b9))
    }

    /// A whole number within [0, n); 0 for n = 0.
    pub fn below(&mut self, n: usize) -> usize {
        ((u64::from(self.0.next_u32()) * n as u64) >> 32) as usize
    }

    /// A number within [low, high), a multiple of a thousandth of a millimetre.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        let unit = f64::from(self.0.next_u32()) / 4_294_967_296.0;
        round(low + unit * (high - low), 1000.0)
    }

    /// A length within [low, high), a multiple of half a millimetre.
    pub fn length(&mut self, low: f64, high: f64) -> f64 {
        round(self.between(low, high), 2.0)
    }

    /// True in `percent` of a hundred draws.
    pub fn percent(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    /// One of a list that is not empty.
    pub fn one_of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }
}

/// A number rounded to a whole number of `per`-ths.
pub(crate) fn round(value: f64, per: f64) -> f64 {
    (value * per).round() / per
}
