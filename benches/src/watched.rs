//! A run of the placement search with every report it made, by the clock.

use std::time::Duration;

use traywright::layout::instance::Instance;
use traywright::layout::search::{Found, search};
use traywright::stop::{Stop, Watch};

/// What the search knew at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Seconds since the start.
    pub seconds: f64,
    /// Best value so far.
    pub value: Option<i64>,
    /// No layout costs less; `None`: there is none.
    pub bound: Option<i64>,
}

impl Moment {
    /// Whether nothing is left to prove.
    pub fn settled(&self) -> bool {
        self.bound.is_none() || self.value == self.bound
    }

    /// Value less bound in percent of the value; `None` without a plan.
    pub fn gap(&self) -> Option<f64> {
        let (value, bound) = (self.value?, self.bound?);
        Some(if value == bound { 0.0 } else { 100.0 * (1.0 - bound as f64 / value as f64) })
    }
}

/// A run and what it reported.
#[derive(Clone, Debug)]
pub struct Run {
    /// Reports in the order of time; the last one is the answer.
    pub moments: Vec<Moment>,
    /// The answer.
    pub found: Found,
}

impl Run {
    /// Searches for at most so many seconds, with seed 1 and no node budget.
    pub fn of(instance: &Instance, seconds: f64) -> Run {
        let watch = Watch::start();
        let at = || watch.elapsed().as_secs_f64();
        let mut moments = Vec::new();
        let stop = Stop::within(Duration::from_secs_f64(seconds));
        let found = search(instance, 1, u64::MAX / 2, &stop, &mut |value, bound| {
            moments.push(Moment { seconds: at(), value, bound });
        });
        let value = found.layout.as_ref().map(|(_, cost)| cost.value());
        moments.push(Moment { seconds: at(), value, bound: found.bound });
        Run { moments, found }
    }

    /// The last report.
    pub fn end(&self) -> Moment {
        self.moments.last().copied().unwrap_or(Moment { seconds: 0.0, value: None, bound: Some(0) })
    }

    /// The last report made by then; `None` before the first. A run that ended earlier stays as it ended.
    pub fn by(&self, seconds: f64) -> Option<Moment> {
        self.moments.iter().take_while(|m| m.seconds <= seconds).last().copied()
    }

    /// When the first plan was reported.
    pub fn first(&self) -> Option<f64> {
        self.moments.iter().find(|m| m.value.is_some()).map(|m| m.seconds)
    }

    /// When the value was proven least, or that there is no plan; `None` if it was not.
    pub fn proof(&self) -> Option<f64> {
        self.moments.iter().find(|m| m.settled()).map(|m| m.seconds)
    }
}

/// A number, or a dash for none.
pub fn or_dash(value: Option<impl std::fmt::Display>) -> String {
    value.map_or_else(|| "-".into(), |v| v.to_string())
}

/// A number with so many decimals, or a dash for none.
pub fn decimals(value: Option<f64>, places: usize) -> String {
    or_dash(value.map(|v| format!("{v:.places$}")))
}
