//! Trays → layers and positions: the placement model, its engines, and settling.

pub(crate) mod anneal;
pub mod bearing;
pub(crate) mod bound;
pub mod build;
pub(crate) mod decode;
pub mod exact;
pub(crate) mod fill;
pub mod heights;
pub mod instance;
pub mod lifts;
pub(crate) mod mass;
pub(crate) mod menu;
pub(crate) mod mirror;
pub mod model;
mod oversize;
pub mod pack;
pub mod patterns;
pub(crate) mod piles;
pub(crate) mod repair;
pub mod search;
pub(crate) mod settle;
pub mod slab;
pub(crate) mod stand;
