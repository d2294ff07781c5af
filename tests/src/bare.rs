//! Placement problems without play, and jobs with a stock of no thickness, as published packings are stated.

use traywright::brief::Format;
use traywright::finding::Finding;
use traywright::job::{self, Job};
use traywright::layout::instance::{Access, HeldAt, Instance, KeptItem, Option3, TrayItem};
use traywright::length::Length;

/// A box without play and with nothing in it.
pub fn empty(width: i64, depth: i64, height: i64, most_layers: usize) -> Instance {
    Instance {
        width,
        depth,
        height,
        between: 0,
        side: 0,
        most_layers,
        height_rules: vec![],
        trays: vec![],
        kept: vec![],
        cover: vec![],
        access: Access::Lifts,
        blocked: vec![],
        rims: None,
    }
}

/// A tray that has this outer size and no other.
pub fn tray(kind: usize, (w, d, h): (i64, i64, i64)) -> TrayItem {
    TrayItem {
        name: format!("{w} x {d} x {h}"),
        kind,
        options: vec![Option3 { w, d, h }],
        span: 1,
        low: false,
        fixed: false,
        lid: false,
        held: HeldAt::Free,
        weight: 0,
    }
}

/// `count` like bricks, each on any of its faces.
pub fn bricks(kind: usize, count: usize, size: [i64; 3]) -> Vec<KeptItem> {
    let [a, b, c] = size;
    let mut turns = [(a, b, c), (b, a, c), (a, c, b), (c, a, b), (b, c, a), (c, b, a)]
        .map(|(w, d, h)| Option3 { w, d, h })
        .to_vec();
    turns.sort_unstable();
    turns.dedup();
    let brick = |k| KeptItem {
        name: format!("{a} x {b} x {c} #{}", k + 1),
        kind,
        turns: turns.clone(),
        held: HeldAt::Free,
    };
    (0..count).map(brick).collect()
}

/// The job of a brief, on a grid of 1 mm, with walls, floors and dividers of no thickness and without play: what no
/// brief can ask for.
///
/// # Errors
/// What is wrong with the brief.
pub fn job(brief: &str) -> Result<Job, Vec<Finding>> {
    let mut job = job::read(brief, "bare.toml", Format::Toml, None, &[])?;
    job.grid = Length::mm(1);
    job.stock.thickness = Length::ZERO;
    job.floor = Length::ZERO;
    job.divider = Length::ZERO;
    job.container.between = Length::ZERO;
    job.container.side = Length::ZERO;
    Ok(job)
}
