//! Helpers that the workspace tests share.
