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
    ///
    /// ```
    /// use traywright::random::Random;
    /// let first = |seed| Random::new(seed).below(1_000_000);
    /// assert_eq!(first(7), first(7));
    /// assert_ne!(first(7), first(8));
    /// ```
    pub fn new(seed: u64) -> Random {
        Random(Pcg64Mcg::seed_from_u64(seed))
    }

    /// A child generator; children drawn in the same order are the same.
    ///
    /// ```
    /// use traywright::random::Random;
    /// let (mut a, mut b) = (Random::new(7), Random::new(7));
    /// let (mut first, mut second) = (a.child(), a.child());
    /// assert_eq!(first.below(1_000_000), b.child().below(1_000_000));
    /// assert_ne!(second.below(1_000_000), Random::new(7).child().below(1_000_000));
    /// ```
    pub fn child(&mut self) -> Random {
        Random::new(self.0.next_u64())
    }

    /// A whole number in `0..n`; 0 where `n` is 0.
    ///
    /// ```
    /// use traywright::random::Random;
    /// let mut random = Random::new(7);
    /// let drawn: std::collections::BTreeSet<usize> = (0..100).map(|_| random.below(3)).collect();
    /// assert_eq!(drawn.into_iter().collect::<Vec<_>>(), [0, 1, 2]);
    /// assert_eq!(random.below(0), 0);
    /// ```
    pub fn below(&mut self, n: usize) -> usize {
        // Multiply-shift (Lemire 2019); the bias below 2^-32 for our ranges does not matter here.
        ((u128::from(self.0.next_u64()) * n as u128) >> 64) as usize
    }

    /// A number in `[0, 1)` for acceptance tests.
    ///
    /// ```
    /// use traywright::random::Random;
    /// let mut random = Random::new(7);
    /// let drawn: Vec<f64> = (0..1_000).map(|_| random.unit()).collect();
    /// assert!(drawn.iter().all(|n| (0.0..1.0).contains(n)));
    /// assert!(drawn.iter().any(|n| *n < 0.1) && drawn.iter().any(|n| *n > 0.9));
    /// ```
    pub fn unit(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Shuffles in place (Fisher–Yates).
    ///
    /// ```
    /// use traywright::random::Random;
    /// let mut buoys: Vec<usize> = (0..20).collect();
    /// Random::new(7).shuffle(&mut buoys);
    /// assert!(!buoys.is_sorted());
    /// buoys.sort_unstable();
    /// assert!(buoys.into_iter().eq(0..20)); // every one is still there, once
    /// ```
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for i in (1..items.len()).rev() {
            items.swap(i, self.below(i + 1));
        }
    }
}
