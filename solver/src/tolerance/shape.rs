//! How a deviation is spread, and draws from it.
//!
//! Draws use additions, products and comparisons alone, so that the same seed gives the same draws on every machine.

use crate::random::Random;

/// How a deviation is spread. Millimetres.
///
/// ```
/// use traywright::tolerance::Shape;
/// let [even, bell] = [Shape::Uniform { lo: 0.0, hi: 0.6 }, Shape::Normal { lo: 0.0, hi: 0.6 }];
/// assert_eq!(even.limits(), bell.limits());
/// assert!(bell.moments().1 < even.moments().1); // less often near the limits
/// // A sheet that is thinner makes nothing smaller.
/// assert_eq!(Shape::Thicker { half: 0.3 }.limits(), (0.0, 0.3));
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// Anything between two limits, all alike.
    Uniform {
        /// Least.
        lo: f64,
        /// Greatest.
        hi: f64,
    },
    /// Bell-shaped about the middle of two limits that lie three standard deviations from it.
    Normal {
        /// Three standard deviations below the middle.
        lo: f64,
        /// Three above.
        hi: f64,
    },
    /// The difference of two even spreads, between −`half` and `half`.
    Triangular {
        /// The limit.
        half: f64,
    },
    /// What is above nothing of an even spread between −`half` and `half`: a sheet that is thicker stands out of its
    /// joint, one that is thinner does not make the tray smaller.
    Thicker {
        /// The limit.
        half: f64,
    },
    /// The same of a bell shape.
    ThickerNormal {
        /// Three standard deviations.
        half: f64,
    },
}

/// Standard deviations from the middle of a bell shape to its limit.
const LIMIT: f64 = 3.0;

impl Shape {
    /// The limits.
    ///
    /// ```
    /// use traywright::tolerance::Shape;
    /// assert_eq!(Shape::Uniform { lo: -0.4, hi: 0.0 }.limits(), (-0.4, 0.0));
    /// assert_eq!(Shape::Triangular { half: 0.3 }.limits(), (-0.3, 0.3));
    /// assert_eq!(Shape::ThickerNormal { half: 0.3 }.limits(), (0.0, 0.3));
    /// ```
    pub fn limits(self) -> (f64, f64) {
        match self {
            Shape::Uniform { lo, hi } | Shape::Normal { lo, hi } => (lo, hi),
            Shape::Triangular { half } => (-half, half),
            Shape::Thicker { half } | Shape::ThickerNormal { half } => (0.0, half),
        }
    }

    /// Mean and variance.
    ///
    /// ```
    /// use traywright::tolerance::Shape;
    /// let (mean, variance) = Shape::Uniform { lo: 0.0, hi: 1.2 }.moments();
    /// assert!((mean - 0.6).abs() < 1e-12 && (variance - 0.12).abs() < 1e-12);
    /// ```
    pub fn moments(self) -> (f64, f64) {
        match self {
            Shape::Uniform { lo, hi } => ((lo + hi) / 2.0, (hi - lo) * (hi - lo) / 12.0),
            Shape::Normal { lo, hi } => {
                let sd = (hi - lo) / (2.0 * LIMIT);
                ((lo + hi) / 2.0, sd * sd)
            }
            Shape::Triangular { half } => (0.0, half * half / 6.0),
            // E X = h/4 and E X² = h²/6.
            Shape::Thicker { half } => (half / 4.0, half * half * 5.0 / 48.0),
            // E X = σ/√(2π) and E X² = σ²/2.
            Shape::ThickerNormal { half } => {
                let (sd, tau) = (half / LIMIT, std::f64::consts::TAU);
                (sd / tau.sqrt(), sd * sd * (0.5 - 1.0 / tau))
            }
        }
    }

    /// One draw.
    ///
    /// ```
    /// use traywright::{random::Random, tolerance::Shape};
    /// let shape = Shape::Thicker { half: 0.3 };
    /// let draws = |seed| {
    ///     let mut random = Random::new(seed);
    ///     (0..100).map(|_| shape.draw(&mut random)).collect::<Vec<f64>>()
    /// };
    /// assert!(draws(1).iter().all(|d| (0.0..=0.3).contains(d)) && draws(1).contains(&0.0));
    /// assert!(draws(1) == draws(1) && draws(1) != draws(2));
    /// ```
    pub fn draw(self, random: &mut Random) -> f64 {
        match self {
            Shape::Uniform { lo, hi } => lo + (hi - lo) * random.unit(),
            Shape::Normal { lo, hi } => (lo + hi) / 2.0 + (hi - lo) / (2.0 * LIMIT) * normal(random),
            Shape::Triangular { half } => half * (random.unit() - random.unit()),
            Shape::Thicker { half } => (half * (2.0 * random.unit() - 1.0)).max(0.0),
            Shape::ThickerNormal { half } => (half / LIMIT * normal(random)).max(0.0),
        }
    }

    /// Name and parameters, for files.
    ///
    /// ```
    /// use traywright::tolerance::Shape;
    /// assert_eq!(Shape::Uniform { lo: -0.4, hi: 0.0 }.parameters(), ("uniform", [-0.4, 0.0]));
    /// // What it is cut from, not its limits.
    /// assert_eq!(Shape::Thicker { half: 0.3 }.parameters(), ("thicker", [-0.3, 0.3]));
    /// ```
    pub fn parameters(self) -> (&'static str, [f64; 2]) {
        let (lo, hi) = self.limits();
        match self {
            Shape::Uniform { .. } => ("uniform", [lo, hi]),
            Shape::Normal { .. } => ("normal", [lo, hi]),
            Shape::Triangular { half } => ("triangular", [-half, half]),
            Shape::Thicker { half } => ("thicker", [-half, half]),
            Shape::ThickerNormal { half } => ("thicker-normal", [-half, half]),
        }
    }
}

/// Exponential with mean 1 by comparisons alone (J. von Neumann, "Various techniques used in connection with random
/// digits", 1951): the length of a falling run is even or odd with the right chances.
fn exponential(random: &mut Random) -> f64 {
    let mut whole = 0.0;
    loop {
        let first = random.unit();
        let (mut last, mut run) = (first, 1u32);
        loop {
            let next = random.unit();
            if next >= last {
                break;
            }
            last = next;
            run += 1;
        }
        if run % 2 == 1 {
            return whole + first;
        }
        whole += 1.0;
    }
}

/// Standard normal by rejection from an exponential (the same paper).
fn normal(random: &mut Random) -> f64 {
    loop {
        let (x, y) = (exponential(random), exponential(random));
        if 2.0 * y >= (x - 1.0) * (x - 1.0) {
            return if random.unit() < 0.5 { -x } else { x };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn draws_have_the_moments_that_are_stated() {
        let shapes = [
            Shape::Uniform { lo: -0.3, hi: 0.5 },
            Shape::Normal { lo: -0.3, hi: 0.5 },
            Shape::Triangular { half: 0.8 },
            Shape::Thicker { half: 0.3 },
            Shape::ThickerNormal { half: 0.3 },
        ];
        let n = 200_000;
        for shape in shapes {
            let mut random = Random::new(3);
            let draws: Vec<f64> = (0..n).map(|_| shape.draw(&mut random)).collect();
            let mean = draws.iter().sum::<f64>() / f64::from(n);
            let variance = draws.iter().map(|d| (d - mean) * (d - mean)).sum::<f64>() / f64::from(n);
            let (wanted, spread) = shape.moments();
            // Five standard errors of the mean; the variance's own error is below 2 % for all of these.
            assert!(
                (mean - wanted).abs() < 5.0 * (spread / f64::from(n)).sqrt(),
                "{shape:?}: {mean} {wanted}"
            );
            assert!((variance / spread - 1.0).abs() < 0.02, "{shape:?}: {variance} {spread}");
        }
    }

    #[test]
    fn the_normal_tail_is_right() {
        let (mut random, n) = (Random::new(5), 400_000);
        let beyond = (0..n).filter(|_| normal(&mut random) > 2.0).count() as f64 / f64::from(n);
        // 1 − Φ(2) = 0.022750 (any table of the normal distribution); standard error 0.00024.
        assert!((beyond - 0.022_750).abs() < 0.001_2, "{beyond}");
    }
}
