//! Seeded dice: the same seed gives the same throws on every machine, for ever.
//!
//! `ChaCha8` has a fixed published stream; the standard generator of `rand` may change between
//! releases and must not be used where results replay.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use rand_distr::{Distribution, StandardNormal};

/// A stream of throws.
#[derive(Clone, Debug)]
pub struct Dice(ChaCha8Rng);

impl Dice {
    /// The stream of `seed`.
    #[must_use]
    pub fn seeded(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// One of 2^64 independent streams under the same seed: one for each simulated world, so
    /// that two candidates are judged under the same luck (common random numbers).
    #[must_use]
    pub fn stream(seed: u64, stream: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(stream);
        Self(rng)
    }

    /// Evenly in [0, 1), 53 bits.
    pub fn unit(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly in `low..high`; `low` when the range is empty.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        let width = crate::cast::int_f64((high - low).max(1));
        low + crate::cast::round_i64((self.unit() * width).floor()).unwrap_or(0)
    }

    /// Evenly one of `0..many`; 0 when there is none.
    pub fn below(&mut self, many: usize) -> usize {
        // The product of 32 random bits with `many` is even to one in 2^32.
        let throw = u128::from(self.0.next_u64() >> 32) * many as u128;
        usize::try_from(throw >> 32).unwrap_or(0)
    }

    /// Puts a list into an even random order.
    ///
    /// # Source
    /// Fisher and Yates, as in Knuth, The Art of Computer Programming 2, 3.4.2 (from memory).
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for left in (1..list.len()).rev() {
            list.swap(left, self.below(left + 1));
        }
    }

    /// True with chance `p`.
    pub fn happens(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    /// A standard normal throw.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_replays_and_streams_differ() {
        let throws = |mut dice: Dice| (0..4).map(|_| dice.between(0, 1_000)).collect::<Vec<_>>();
        assert_eq!(throws(Dice::seeded(1)), throws(Dice::seeded(1)));
        assert_ne!(throws(Dice::stream(1, 1)), throws(Dice::stream(1, 2)));
    }

    #[test]
    fn every_order_comes_equally_often() {
        let mut dice = Dice::seeded(7);
        let mut seen = std::collections::BTreeMap::new();
        for _ in 0..6_000 {
            let mut list = [0, 1, 2];
            dice.shuffle(&mut list);
            *seen.entry(list).or_insert(0) += 1;
        }
        // 1,000 each, standard deviation 29.
        assert_eq!(seen.len(), 6);
        assert!(
            seen.values().all(|&n: &i32| (n - 1_000).abs() < 130),
            "{seen:?}"
        );
    }

    #[test]
    fn the_normal_throws_have_mean_0_and_spread_1() {
        let mut dice = Dice::seeded(3);
        let n = 20_000;
        let throws: Vec<f64> = (0..n).map(|_| dice.normal()).collect();
        let mean = throws.iter().sum::<f64>() / f64::from(n);
        let var = throws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / f64::from(n);
        // Standard error of the mean 0.007, of the variance 0.01: four of each allowed.
        assert!(
            mean.abs() < 0.03 && (var - 1.0).abs() < 0.04,
            "{mean} {var}"
        );
    }
}
