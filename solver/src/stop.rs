//! When to stop: a node budget, a clock as backstop, and a flag that a caller may raise.
//!
//! This is the only file that reads a clock.
#![expect(clippy::disallowed_types, reason = "the one place that may read a clock")]

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// Limits of one search. Cheap to clone; clones share the raised flag and the count of nodes.
///
/// A run that ends by nodes alone is repeatable to the byte; one that ends by the clock is not.
///
/// ```
/// use traywright::stop::Stop;
/// let stop = Stop::nodes(2);
/// assert!(!stop.spend(2));
/// assert!(stop.spend(1));
/// ```
#[derive(Clone, Debug)]
pub struct Stop {
    deadline: Option<Instant>,
    nodes: u64,
    spent: Arc<AtomicU64>,
    raised: Arc<AtomicBool>,
}

impl Stop {
    /// No limit but the flag.
    pub fn never() -> Stop {
        Stop { deadline: None, nodes: u64::MAX, spent: Arc::default(), raised: Arc::default() }
    }

    /// At most this many nodes.
    pub fn nodes(nodes: u64) -> Stop {
        Stop { nodes, ..Stop::never() }
    }

    /// At most this long from now.
    pub fn within(time: Duration) -> Stop {
        Stop { deadline: Instant::now().checked_add(time), ..Stop::never() }
    }

    /// The same flag and clock (the sooner of the two), with a fresh count of at most `nodes`.
    #[must_use]
    pub fn share(&self, nodes: u64) -> Stop {
        Stop { nodes, spent: Arc::default(), ..self.clone() }
    }

    /// The same flag and nodes, and a clock that ends after `part` (0..=1) of what is left.
    #[must_use]
    pub fn part(&self, part: f64) -> Stop {
        let now = Instant::now();
        let deadline =
            self.deadline.map(|d| now + d.saturating_duration_since(now).mul_f64(part.clamp(0.0, 1.0)));
        Stop { deadline, ..self.clone() }
    }

    /// Also at most this long from now, whichever is sooner.
    #[must_use]
    pub fn and_within(&self, time: Duration) -> Stop {
        let then = Instant::now().checked_add(time);
        let deadline = match (self.deadline, then) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        Stop { deadline, ..self.clone() }
    }

    /// Tied to a flag of the caller's (a signal handler's, say).
    #[must_use]
    pub fn with_flag(self, raised: Arc<AtomicBool>) -> Stop {
        Stop { raised, ..self }
    }

    /// Asks every holder of this stop to end soon.
    pub fn raise(&self) {
        self.raised.store(true, Ordering::Relaxed);
    }

    /// Whether a caller has asked to end.
    pub fn is_raised(&self) -> bool {
        self.raised.load(Ordering::Relaxed)
    }

    /// Counts `n` nodes and says whether to stop. Looks at the clock about every 256 nodes.
    pub fn spend(&self, n: u64) -> bool {
        let before = self.spent.fetch_add(n, Ordering::Relaxed);
        let after = before.saturating_add(n);
        if after > self.nodes || self.is_raised() {
            return true;
        }
        (before >> 8 != after >> 8 || before == 0) && self.late()
    }

    /// Whether to stop now, without counting; always looks at the clock.
    pub fn now(&self) -> bool {
        self.is_raised() || self.spent.load(Ordering::Relaxed) > self.nodes || self.late()
    }

    /// Nodes counted so far.
    pub fn spent(&self) -> u64 {
        self.spent.load(Ordering::Relaxed)
    }

    /// Nodes that may still be counted.
    pub(crate) fn nodes_left(&self) -> u64 {
        self.nodes.saturating_sub(self.spent())
    }

    /// Whether the clock or a caller ends it, whatever was counted.
    pub(crate) fn cut(&self) -> bool {
        self.is_raised() || self.late()
    }

    /// Time left on the clock, where there is one.
    pub fn left(&self) -> Option<Duration> {
        self.deadline.map(|d| d.saturating_duration_since(Instant::now()))
    }

    /// Whether the clock has run out.
    pub(crate) fn late(&self) -> bool {
        self.deadline.is_some_and(|d| Instant::now() >= d)
    }
}

/// A watch for statistics; never read by a search.
#[derive(Clone, Copy, Debug)]
pub struct Watch(Instant);

impl Watch {
    /// Starts now.
    pub fn start() -> Watch {
        Watch(Instant::now())
    }

    /// Time since the start.
    pub fn elapsed(self) -> Duration {
        self.0.elapsed()
    }
}
