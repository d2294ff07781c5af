//! Briefs of any size, drawn from a seed: so many trays, parts and layers in a box that they about fill.

use std::fmt::Write as _;

use traywright::brief::Format;
use traywright::job::{self, Job};
use traywright::random::Random;

/// How large a brief is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    /// Trays; at least 1.
    pub trays: usize,
    /// Parts, dealt to the trays in turn; at least as many as trays.
    pub parts: usize,
    /// Layers at most, and as many layers' height as the box has.
    pub layers: usize,
}

/// Height of the box for each layer, in mm.
const LAYER: usize = 34;
/// Clear height that is counted on when the box is chosen, in mm.
const CLEAR: f64 = (LAYER - 4) as f64;
/// Share of the layers' floor that trays are expected to take.
const FILL: f64 = 0.65;

/// The text of the brief (TOML). The box is as wide as estimates of the parts' floor ask for; that a plan exists is
/// likely, not certain.
pub fn brief(scale: Scale, seed: u64) -> String {
    let mut random = Random::new(seed);
    let mut trays: Vec<(String, f64)> = (0..scale.trays.max(1)).map(|_| (String::new(), 0.0)).collect();
    let count = trays.len();
    for p in 0..scale.parts.max(count) {
        let (contents, floor) = contents(&mut random);
        let tray = &mut trays[p % count];
        // Writing to a string cannot fail.
        let _ = write!(tray.0, "\n[[tray.part]]\nname = \"part {}\"\n{contents}\n", p + 1);
        tray.1 += (floor.sqrt() + 3.0).powi(2);
    }
    let floor: f64 = trays.iter().map(|(_, inner)| (inner.sqrt() + 7.0).powi(2)).sum();
    let side = (floor / scale.layers.max(1) as f64 / FILL / 12.0).sqrt();
    let (w, d, h) = ((side * 4.0).ceil(), (side * 3.0).ceil(), scale.layers.max(1) * LAYER + 2);
    let mut out = format!(
        "title = \"{} trays, {} parts, {} layers\"\nunit = \"mm\"\n\n[box]\ninterior = [{w}, {d}, {h}]\nlid_room = 2\n\
         \n[stock]\nname = \"birch plywood\"\nthickness = \"3 mm\"\nprocess = \"laser\"\nfloor = \"2 mm\"\ndivider = \"2 mm\"\n\
         \n[layers]\nmost = {}\n",
        count, scale.parts, scale.layers, scale.layers
    );
    for (t, (parts, _)) in trays.iter().enumerate() {
        let usage = ["always", "setup", "seldom"][t % 3];
        let _ = write!(out, "\n[[tray]]\nname = \"tray {}\"\nuse = \"{usage}\"\n{parts}", t + 1);
    }
    out
}

/// The same, read.
///
/// # Errors
/// The first finding.
pub fn job(scale: Scale, seed: u64) -> Result<Job, String> {
    let text = brief(scale, seed);
    job::read(&text, "grown.toml", Format::Toml, None, &[])
        .map_err(|f| f.first().map_or_else(String::new, |f| f.to_string()))
}

/// What a part holds, and about how much floor that takes at the usual clear height, in mm².
fn contents(random: &mut Random) -> (String, f64) {
    let mut from = |least: usize, most: usize| least + random.below(most - least + 1);
    match from(0, 19) {
        0..=11 => {
            let ml = from(8, 40);
            (format!("loose = {{ volume = \"{ml} ml\" }}"), (ml as f64 * 1000.0 / 0.9 / CLEAR).max(400.0))
        }
        12..=16 => {
            let (w, d) = [(44, 68), (57, 87), (63, 88)][from(0, 2)];
            let count = from(20, 70);
            let text = format!(
                "stack = {{ face = [{w}, {d}], count = {count}, each = 0.35, stand = [\"flat\", \"long-edge\"] }}"
            );
            (text, f64::from((w + 1) * (d + 1)))
        }
        _ => {
            let (w, d, h, count) = (from(12, 26), from(12, 26), from(14, 28), from(2, 6));
            let text = format!("solid = {{ size = [{w}, {d}, {h}], count = {count}, turn = \"any\" }}");
            (text, (w * d * count) as f64)
        }
    }
}
