//! Chance: one named generator, so that the same numbers give the same plan everywhere.

use rand_core::Rng;
use rand_pcg::Pcg32;

/// A stream of chance: PCG XSH RR 64/32 (O'Neill 2014), drawn 32 bits at a time so that
/// the stream is the same whatever the machine's word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chance(Pcg32);

impl Chance {
    /// The stream of one worker: workers share the seed and differ in the generator's stream.
    pub fn new(seed: u32, worker: u32, purpose: u32) -> Chance {
        Chance(Pcg32::new(
            u64::from(seed),
            (u64::from(purpose) << 32) | u64::from(worker),
        ))
    }

    /// The numbers that would be drawn next, without drawing them.
    pub fn state(&self) -> u64 {
        let mut ahead = self.0.clone();
        (u64::from(ahead.next_u32()) << 32) | u64::from(ahead.next_u32())
    }

    /// A number below `n`; 0 where `n` is 0.
    ///
    /// Multiply and shift: the bias is below n / 2^32, of no account for choices.
    pub fn below(&mut self, n: usize) -> usize {
        let n = u32::try_from(n).unwrap_or(u32::MAX);
        ((u64::from(self.0.next_u32()) * u64::from(n)) >> 32) as usize
    }

    /// A number within [0, 1).
    pub fn unit(&mut self) -> f64 {
        f64::from(self.0.next_u32()) / 4_294_967_296.0
    }

    /// True in `percent` of a hundred draws.
    pub fn percent(&mut self, percent: u32) -> bool {
        self.below(100) < percent as usize
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn streams_repeat_and_differ_between_workers() {
        let draw = |seed, worker| {
            let mut chance = Chance::new(seed, worker, 0);
            (0..8).map(|_| chance.below(1000)).collect::<Vec<_>>()
        };
        assert_eq!(draw(1, 0), draw(1, 0));
        assert_ne!(draw(1, 0), draw(1, 1));
        assert_ne!(draw(1, 0), draw(2, 0));
    }
}
