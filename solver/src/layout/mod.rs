//! Trays → layers and positions: the placement model, its engines, and settling.

pub mod anneal;
pub mod bearing;
pub mod bound;
pub mod build;
pub mod decode;
pub mod exact;
pub mod heights;
pub mod instance;
pub mod lifts;
pub mod mass;
pub mod menu;
pub mod mirror;
pub mod model;
pub mod pack;
pub mod patterns;
pub mod repair;
pub mod search;
pub mod settle;
pub mod slab;
