//! Helpers that the workspace tests share.

pub mod mutate;
pub mod sample;
