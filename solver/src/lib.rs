//! Traywright computes box inserts: trays in layers, trays divided into compartments, cut from thin
//! sheet stock, with a proof of how good the arrangement is and the slack of every compartment.
//!
//! Data flows one way: [`brief`] → [`job`] → [`need`] → [`tray`] → [`layout`] → [`plan`] → `panel` →
//! `sheet` → `cut` → [`tolerance`] → [`draw`]; [`check`] and [`shop`] look on.
#![deny(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::exit,
    clippy::panic
)]

pub mod brief;
pub mod check;
pub mod cut;
pub mod draw;
pub mod finding;
pub mod job;
pub mod layout;
pub mod length;
pub mod need;
pub mod panel;
pub mod place;
pub mod plan;
pub mod random;
pub mod sheet;
pub mod shop;
pub mod stop;
pub mod tolerance;
pub mod tray;
