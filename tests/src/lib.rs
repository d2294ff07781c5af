//! Helpers that the workspace tests share.

pub mod sample;
