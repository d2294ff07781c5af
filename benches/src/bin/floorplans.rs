//! Published floorplans: dead space of soft blocks as compartments of a tray, of hard blocks in a small box. Give the folder of
//! the circuits as the first argument, seconds for one hard circuit as the second (10), and, for one circuit only, its name as the
//! third.
//!
//! Soft blocks are compartments with dividers of no thickness, so all arrangements are straight-cut ones. Dead space is told as a
//! share of the outline.

use std::path::Path;
use std::time::Duration;

use traywright::layout::pack::{Piece, small_box};
use traywright::length::{Length, Volume};
use traywright::need::{Alternative, Need, Space, Standing};
use traywright::stop::{Stop, Watch};
use traywright::tray::{self, Effort, PartNeed, TrayNeeds};

#[derive(serde::Deserialize)]
struct Circuit {
    name: String,
    n: usize,
    blocks: Vec<Block>,
}

/// Sides of a hard block; area and the least and most of width over depth of a soft one.
#[derive(serde::Deserialize)]
struct Block {
    w: Option<i64>,
    h: Option<i64>,
    area: Option<f64>,
    ar_min: Option<f64>,
    ar_max: Option<f64>,
}

/// Circuits with the least dead space known of their hard blocks in percent, and whether that is proven least (from the
/// folder's own README).
const CIRCUITS: [(&str, f64, bool); 7] = [
    ("mcnc_apte", 0.774, true),
    ("mcnc_xerox", 2.249, true),
    ("mcnc_hp", 1.301, true),
    ("gsrc_n10", 1.952, true),
    ("gsrc_n30", 1.66, false),
    ("mcnc_ami33", 0.67, false),
    ("gsrc_n100", 0.72, false),
];

/// Side of a square of all blocks' area together, in grid steps: a tray of 380 mm in steps of 10 µm.
const SIDE: f64 = 38_000.0;
const GRID: Length = Length::um(10);

fn main() {
    let mut args = std::env::args().skip(1);
    let Some(folder) = args.next() else {
        println!("no folder of floorplans given: nothing measured");
        return;
    };
    let seconds = args.next().and_then(|s| s.parse().ok()).unwrap_or(10.0);
    let only = args.next().unwrap_or_default();
    let read = |kind: &str| -> Vec<(Circuit, f64, bool)> {
        let chosen = CIRCUITS.iter().filter(|(name, ..)| name.contains(&only));
        chosen
            .filter_map(|&(name, record, proven)| {
                let path = Path::new(&folder).join(format!("{name}_{kind}.json"));
                let text = std::fs::read_to_string(&path).map_err(|e| e.to_string());
                match text.and_then(|t| serde_json::from_str(&t).map_err(|e| e.to_string())) {
                    Ok(circuit) => Some((circuit, record, proven)),
                    Err(e) => {
                        println!("{}: {e}: nothing measured", path.display());
                        None
                    }
                }
            })
            .collect()
    };
    println!("soft blocks, straight cuts: dead space");
    println!("{:8} {:>4} {:>8} {:>8} {:>8} {:>8}  curve", "circuit", "n", "free %", "1:1 %", "points", "s");
    for (circuit, ..) in read("soft") {
        soft(&circuit, false);
        if circuit.blocks.iter().all(|b| b.ar_min == b.ar_max) {
            soft(&circuit, true);
        }
    }
    println!("\nhard blocks, turnable: dead space in a small box");
    println!("{:8} {:>4} {:>14} {:>8} {:>8} {:>8}", "circuit", "n", "box", "%", "record", "s");
    for (circuit, record, proven) in read("hard") {
        hard(&circuit, (record, proven), Duration::from_secs_f64(seconds));
    }
}

fn room(space: Space) -> PartNeed {
    let standing = Standing::Block(1, 1, 1);
    PartNeed::Room(Need::plain(vec![Alternative { standing, piles: 1, space, turnable: true }]))
}

/// A block as a compartment, its area times `scale`, turned as it likes (the files allow it), so that proportions are the same both
/// ways; with `loosened`, of proportions up to 3:1 whatever the file says.
fn compartment(block: &Block, scale: f64, loosened: bool) -> Option<PartNeed> {
    let (area, least, most) = (block.area? * scale, block.ar_min?, block.ar_max?);
    let steps = |len: f64| GRID * (len.ceil() as i64);
    if least == most && !loosened {
        let w = (area * most).sqrt();
        return Some(room(Space::Fixed { w: steps(w), d: steps(area / w), h: GRID }));
    }
    let side = steps((area / if loosened { 3.0 } else { most.max(1.0 / least) }).sqrt());
    let volume = Volume::from_nm3((area.ceil() as i128) * i128::from(GRID.nm()).pow(3));
    Some(room(Space::Soft { volume, side, long: side, h: GRID }))
}

fn soft(circuit: &Circuit, loosened: bool) {
    let total: f64 = circuit.blocks.iter().filter_map(|b| b.area).sum();
    let scale = SIDE * SIDE / total;
    let parts = circuit.blocks.iter().filter_map(|b| compartment(b, scale, loosened)).collect();
    let reach = (SIDE * 1.4) as i64;
    let tray = TrayNeeds { parts, ..TrayNeeds::plain(GRID, reach) };
    let watch = Watch::start();
    let curve = tray::curve(&tray, 1, (reach, reach), Effort::Usual);
    let seconds = watch.elapsed().as_secs_f64();
    let dead = |area: i64| 100.0 * (1.0 - SIDE * SIDE / area as f64);
    let free = curve.points.iter().map(|(w, d)| w * d).min().map_or(f64::NAN, dead);
    let square = curve.points.iter().map(|&(w, d)| w.max(d).pow(2)).min().map_or(f64::NAN, dead);
    println!(
        "{:8} {:>4} {free:>8.3} {square:>8.3} {:>8} {seconds:>8.2}  {}{}",
        circuit.name,
        circuit.n,
        curve.points.len(),
        if curve.exact { format!("exact in steps of {}", curve.step) } else { "searched".into() },
        if loosened { ", proportions 1/3 to 3 instead of fixed ones" } else { "" }
    );
}

fn hard(circuit: &Circuit, (record, optimal): (f64, bool), time: Duration) {
    let sides: Vec<(i64, i64)> = circuit.blocks.iter().filter_map(|b| Some((b.w?, b.h?))).collect();
    let total: i64 = sides.iter().map(|(w, d)| w * d).sum();
    let shapes = |&(w, d): &(i64, i64)| if w == d { vec![(w, d)] } else { vec![(w, d), (d, w)] };
    let pieces: Vec<Piece> = sides.iter().map(|s| Piece { shapes: shapes(s), ..Piece::default() }).collect();
    let (watch, stop) = (Watch::start(), Stop::within(time));
    let Some(found) = small_box(&pieces, 1, &stop) else {
        println!("{:8} {:>4} none", circuit.name, circuit.n);
        return;
    };
    let dead = 100.0 * (1.0 - total as f64 / (found.w * found.d) as f64);
    println!(
        "{:8} {:>4} {:>14} {dead:>8.3} {record:>8.3} {:>8.2}{}{}",
        circuit.name,
        circuit.n,
        format!("{} x {}", found.w, found.d),
        watch.elapsed().as_secs_f64(),
        if found.proven { "  proven" } else { "" },
        if found.proven && optimal && (dead - record).abs() > 0.001 { "  WRONG" } else { "" }
    );
}
