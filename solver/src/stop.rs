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
    /// A node budget that every clock ends long before: what a search is given that the clock alone shall end.
    ///
    /// ```
    /// use traywright::stop::Stop;
    /// assert!(!Stop::nodes(Stop::UNCOUNTED).spend(1_000_000_000));
    /// ```
    pub const UNCOUNTED: u64 = 1_000_000_000_000;

    /// No limit but the flag.
    ///
    /// ```
    /// use traywright::stop::Stop;
    /// let stop = Stop::never();
    /// assert!(!stop.spend(1_000_000_000) && !stop.now());
    /// stop.raise();
    /// assert!(stop.now());
    /// ```
    pub fn never() -> Stop {
        Stop { deadline: None, nodes: u64::MAX, spent: Arc::default(), raised: Arc::default() }
    }

    /// At most this many nodes.
    ///
    /// ```
    /// use traywright::stop::Stop;
    /// let stop = Stop::nodes(1_000);
    /// assert!(!stop.spend(1_000)); // the last one still counts
    /// assert!(stop.spend(1));
    /// assert_eq!(stop.left(), None);
    /// ```
    pub fn nodes(nodes: u64) -> Stop {
        Stop { nodes, ..Stop::never() }
    }

    /// At most this long from now.
    ///
    /// ```
    /// use std::time::Duration;
    /// use traywright::stop::Stop;
    /// assert!(Stop::within(Duration::ZERO).now());
    /// assert!(!Stop::within(Duration::from_secs(3_600)).now());
    /// ```
    pub fn within(time: Duration) -> Stop {
        Stop { deadline: Instant::now().checked_add(time), ..Stop::never() }
    }

    /// The same flag and clock (the sooner of the two), with a fresh count of at most `nodes`.
    ///
    /// ```
    /// use traywright::stop::Stop;
    /// let whole = Stop::nodes(10);
    /// let part = whole.share(2);
    /// assert!(part.spend(3) && !whole.now());
    /// assert_eq!((part.spent(), whole.spent()), (3, 0));
    /// whole.raise();
    /// assert!(whole.share(2).is_raised());
    /// ```
    #[must_use]
    pub fn share(&self, nodes: u64) -> Stop {
        Stop { nodes, spent: Arc::default(), ..self.clone() }
    }

    /// The same flag and nodes, and a clock that ends after `part` (0..=1) of what is left.
    ///
    /// ```
    /// use std::time::Duration;
    /// use traywright::stop::Stop;
    /// let hour = Stop::within(Duration::from_secs(3_600));
    /// assert!(hour.part(0.25).left().unwrap() <= Duration::from_secs(900));
    /// assert!(hour.part(0.0).now() && !hour.now());
    /// assert_eq!(Stop::nodes(5).part(0.25).left(), None); // nodes are not parted
    /// ```
    #[must_use]
    pub fn part(&self, part: f64) -> Stop {
        let now = Instant::now();
        let deadline =
            self.deadline.map(|d| now + d.saturating_duration_since(now).mul_f64(part.clamp(0.0, 1.0)));
        Stop { deadline, ..self.clone() }
    }

    /// Also at most this long from now, whichever is sooner.
    ///
    /// ```
    /// use std::time::Duration;
    /// use traywright::stop::Stop;
    /// let [short, long] = [60, 3_600].map(Duration::from_secs);
    /// assert!(Stop::within(long).and_within(short).left().unwrap() <= short);
    /// assert!(Stop::within(short).and_within(long).left().unwrap() <= short);
    /// assert!(Stop::nodes(5).and_within(Duration::ZERO).now());
    /// ```
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
    ///
    /// ```
    /// use std::sync::{Arc, atomic::{AtomicBool, Ordering}};
    /// use traywright::stop::Stop;
    /// let flag = Arc::new(AtomicBool::new(false));
    /// let stop = Stop::nodes(1_000).with_flag(Arc::clone(&flag));
    /// assert!(!stop.now());
    /// flag.store(true, Ordering::Relaxed);
    /// assert!(stop.now());
    /// ```
    #[must_use]
    pub fn with_flag(self, raised: Arc<AtomicBool>) -> Stop {
        Stop { raised, ..self }
    }

    /// Asks every holder of this stop to end soon.
    ///
    /// ```
    /// use traywright::stop::Stop;
    /// let stop = Stop::never();
    /// let held_elsewhere = stop.clone();
    /// stop.raise();
    /// assert!(held_elsewhere.spend(1));
    /// ```
    pub fn raise(&self) {
        self.raised.store(true, Ordering::Relaxed);
    }

    /// Whether a caller has asked to end.
    ///
    /// ```
    /// use traywright::stop::Stop;
    /// let stop = Stop::nodes(0);
    /// assert!(stop.spend(1) && !stop.is_raised()); // its nodes are spent, nobody asked
    /// stop.raise();
    /// assert!(stop.is_raised());
    /// ```
    pub fn is_raised(&self) -> bool {
        self.raised.load(Ordering::Relaxed)
    }

    /// Counts `n` nodes and says whether to stop. Looks at the clock about every 256 nodes.
    ///
    /// ```
    /// use traywright::stop::Stop;
    /// let stop = Stop::nodes(500);
    /// let steps = (0..).take_while(|_| !stop.spend(100)).count();
    /// assert_eq!((steps, stop.spent()), (5, 600));
    /// ```
    pub fn spend(&self, n: u64) -> bool {
        let before = self.spent.fetch_add(n, Ordering::Relaxed);
        let after = before.saturating_add(n);
        if after > self.nodes || self.is_raised() {
            return true;
        }
        (before >> 8 != after >> 8 || before == 0) && self.late()
    }

    /// Whether to stop now, without counting; always looks at the clock.
    ///
    /// ```
    /// use traywright::stop::Stop;
    /// let stop = Stop::nodes(2);
    /// stop.spend(2);
    /// assert!(!stop.now()); // all spent, none too many
    /// stop.spend(1);
    /// assert!(stop.now());
    /// ```
    pub fn now(&self) -> bool {
        self.is_raised() || self.spent.load(Ordering::Relaxed) > self.nodes || self.late()
    }

    /// Nodes counted so far.
    ///
    /// ```
    /// use traywright::stop::Stop;
    /// let stop = Stop::nodes(2);
    /// stop.clone().spend(3);
    /// assert_eq!(stop.spent(), 3); // clones count together, beyond the limit too
    /// ```
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
    ///
    /// ```
    /// use std::time::Duration;
    /// use traywright::stop::Stop;
    /// assert_eq!(Stop::nodes(2).left(), None);
    /// assert_eq!(Stop::within(Duration::ZERO).left(), Some(Duration::ZERO)); // never below
    /// ```
    pub fn left(&self) -> Option<Duration> {
        self.deadline.map(|d| d.saturating_duration_since(Instant::now()))
    }

    /// Whether the clock has run out.
    pub(crate) fn late(&self) -> bool {
        self.deadline.is_some_and(|d| Instant::now() >= d)
    }
}

/// A watch for statistics; never read by a search.
///
/// ```
/// use traywright::stop::Watch;
/// let (first, second) = (Watch::start(), Watch::start());
/// let later = second.elapsed();
/// assert!(first.elapsed() >= later);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Watch(Instant);

impl Watch {
    /// Starts now.
    ///
    /// ```
    /// use std::time::Duration;
    /// use traywright::stop::Watch;
    /// let watch = Watch::start();
    /// std::thread::sleep(Duration::from_millis(2));
    /// let late = Watch::start();
    /// assert!(late.elapsed() < watch.elapsed());
    /// ```
    pub fn start() -> Watch {
        Watch(Instant::now())
    }

    /// Time since the start.
    ///
    /// ```
    /// use std::time::Duration;
    /// use traywright::stop::Watch;
    /// let watch = Watch::start();
    /// std::thread::sleep(Duration::from_millis(2));
    /// assert!(watch.elapsed() >= Duration::from_millis(2));
    /// assert!(watch.elapsed() >= Duration::from_millis(2)); // it runs on
    /// ```
    pub fn elapsed(self) -> Duration {
        self.0.elapsed()
    }
}
