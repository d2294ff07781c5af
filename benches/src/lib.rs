//! Helpers that the benches share.
