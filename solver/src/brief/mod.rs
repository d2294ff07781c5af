//! brief: see the crate documentation.
