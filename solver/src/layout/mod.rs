//! Trays → layers and positions: the placement model, its engines, and settling.

pub mod instance;
pub mod lifts;
pub mod pack;
