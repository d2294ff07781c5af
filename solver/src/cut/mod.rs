//! From panels on sheets to lines that a machine or a hand follows.

pub mod kerf;
pub mod ring;
