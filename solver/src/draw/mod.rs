//! Pictures, report and summary of a plan; files to cut it from.
//!
//! Everything here reads the settled plan and never changes it; the same plan gives the same bytes.
//! Lengths become floating millimetres on the way in (`scene`), so that no plan, however hostile,
//! can overflow. Text is never smaller than 7 pt on paper.

mod account;
mod badge;
mod bars;
mod callout;
mod choices;
mod cut;
mod differences;
mod exploded;
mod iso;
mod key;
mod label;
mod layer;
mod legend;
mod order;
mod palette;
mod picture;
mod play;
mod plot;
mod report;
mod scene;
mod spare;
mod summary;
mod svg;
mod tolerance;
mod words;

pub(crate) use bars::{Bar, bars};
pub(crate) use plot::{Dot, plot};
pub(crate) use report::{cell, exploded_section, inline, page, table_head, wrap};
pub(crate) use scene::mark;
pub(crate) use svg::{escape, plain};
pub(crate) use tolerance::wrapped;
pub(crate) use words::count;

pub use choices::choices_html;
pub use cut::{Counts, CouponFiles, CutFile, CutFiles, coupon_files, cut, cut_files, read_back};
pub use differences::{differences_html, differences_json, differences_svg, differences_text, free_text};
pub use picture::{exploded_svg, layer_svg};
pub use report::{ReportExtra, report_html};
pub use summary::summary;
pub use tolerance::{tolerance_csv, tolerance_json, tolerance_text};
