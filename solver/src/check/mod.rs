//! check: see the crate documentation.
