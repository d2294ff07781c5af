//! Pictures, report and summary of a plan.
//!
//! Everything here reads the settled plan and never changes it; the same plan gives the same bytes.
//! Lengths become floating millimetres on the way in (`scene`), so that no plan, however hostile,
//! can overflow. Text is never smaller than 7 pt on paper.

mod account;
mod badge;
mod callout;
mod exploded;
mod iso;
mod key;
mod label;
mod layer;
mod legend;
mod order;
mod palette;
mod picture;
mod report;
mod scene;
mod spare;
mod summary;
mod svg;
mod words;

pub use picture::{exploded_svg, layer_svg};
pub use report::{ReportExtra, report_html};
pub use summary::summary;
