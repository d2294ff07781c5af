//! The only file that names a random generator. Same seed, same numbers, on every machine.

use rand_core::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;

/// A seeded generator with its own range and shuffle, so that no library update changes a plan.
///
/// ```
/// use traywright::random::Random;
/// let (mut a, mut b) = (Random::new(7), Random::new(7));
/// assert_eq!(a.below(1000), b.below(1000));
/// ```
#[derive(Clone, Debug)]
pub struct Random(Pcg64Mcg);

impl Random {
    /// A generator for this seed.
    pub fn new(seed: u64) -> Random {
        Random(Pcg64Mcg::seed_from_u64(seed))
    }

    /// A child generator; children drawn in the same order are the same.
    pub fn child(&mut self) -> Random {
        Random::new(self.0.next_u64())
    }

    /// A whole number in `0..n`; 0 where `n` is 0.
    pub fn below(&mut self, n: usize) -> usize {
        // Multiply-shift (Lemire 2019); the bias below 2^-32 for our ranges does not matter here.
        ((u128::from(self.0.next_u64()) * n as u128) >> 64) as usize
    }

    /// A number in `[0, 1)` for acceptance tests.
    pub fn unit(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Shuffles in place (Fisher–Yates).
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for i in (1..items.len()).rev() {
            items.swap(i, self.below(i + 1));
        }
    }
}
