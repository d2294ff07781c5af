//! draw: see the crate documentation.
