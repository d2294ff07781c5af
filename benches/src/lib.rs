//! What the benches share: layout cases, and runs of the search watched by the clock.

pub mod case;
pub mod watched;
