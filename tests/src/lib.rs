//! Helpers that the workspace tests share.

pub mod api;
pub mod bare;
pub mod fuzz;
pub mod model_jobs;
pub mod mutate;
pub mod random_tray;
pub mod relations;
pub mod sample;
pub mod scenarios;
pub mod tiny;
pub mod versus;
pub mod wild;
