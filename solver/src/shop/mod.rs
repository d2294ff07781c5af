//! shop: see the crate documentation.
