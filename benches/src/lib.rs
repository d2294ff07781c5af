//! What the benches share: layout cases, and runs of the search watched by the clock.

pub mod case;
pub mod chart;
pub mod full;
pub mod grown;
pub mod models;
pub mod watched;
