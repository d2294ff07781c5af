//! Published floorplans: dead space of soft blocks as compartments of a tray, and of hard blocks in the box of least area.
//! Give the folder of the circuits as the first argument, seconds for one circuit as the second (10).

use std::path::Path;
use std::time::Duration;

use traywright::layout::pack::{Piece, least_box};
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

/// Side in grid steps of a square of all blocks' area together: a tray of 380 mm in steps of 10 µm.
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
    for kind in ["soft", "hard"] {
        for name in ["mcnc_apte", "mcnc_xerox", "mcnc_hp", "gsrc_n10", "gsrc_n30", "mcnc_ami33", "gsrc_n100"]
        {
            if !format!("{name}_{kind}").contains(&only) {
                continue;
            }
            let path = Path::new(&folder).join(format!("{name}_{kind}.json"));
            let read = std::fs::read_to_string(&path).map_err(|e| e.to_string());
            let circuit: Circuit =
                match read.and_then(|text| serde_json::from_str(&text).map_err(|e| e.to_string())) {
                    Ok(circuit) => circuit,
                    Err(e) => {
                        println!("{}: {e}: nothing measured", path.display());
                        continue;
                    }
                };
            if kind == "soft" { soft(&circuit) } else { hard(&circuit, Duration::from_secs_f64(seconds)) }
        }
    }
}

fn room(space: Space) -> PartNeed {
    PartNeed::Room(Need::plain(vec![Alternative {
        standing: Standing::Block(1, 1, 1),
        piles: 1,
        space,
        turnable: true,
    }]))
}

fn soft(circuit: &Circuit) {
    let total: f64 = circuit.blocks.iter().filter_map(|b| b.area).sum();
    let scale = SIDE * SIDE / total;
    let steps = |len: f64| GRID * (len.ceil() as i64);
    let parts: Vec<PartNeed> = circuit
        .blocks
        .iter()
        .filter_map(|b| {
            let (area, lo, hi) = (b.area? * scale, b.ar_min?, b.ar_max?);
            let ratio = hi.max(1.0 / lo);
            let h = GRID;
            if (hi / lo - 1.0).abs() < 1e-6 {
                let w = (area * hi).sqrt();
                return Some(room(Space::Fixed {
                    w: GRID * (w.round() as i64),
                    d: GRID * ((area / w).round() as i64),
                    h,
                }));
            }
            let side = (area / ratio).sqrt();
            let volume = Volume::from_nm3((area.ceil() as i128) * i128::from(GRID.nm()).pow(3));
            Some(room(Space::Soft { volume, side: steps(side), long: steps(side), h }))
        })
        .collect();
    let reach = (SIDE * 1.4) as i64;
    let tray = TrayNeeds { parts, ..TrayNeeds::plain(GRID, reach) };
    for effort in [Effort::Usual, Effort::Deep] {
        let watch = Watch::start();
        let curve = tray::curve(&tray, 1, (reach, reach), effort);
        let time = watch.elapsed().as_secs_f64();
        let dead = |area: i64| 100.0 * (area as f64 / (SIDE * SIDE) - 1.0);
        let free = curve.points.iter().map(|(w, d)| w * d).min().map(dead);
        let square = curve.points.iter().map(|&(w, d)| w.max(d).pow(2)).min().map(dead);
        println!(
            "{:6} soft {:3} {effort:?} free {:.3} square {:.3} exact {} step {} points {} {time:.2} s",
            circuit.name,
            circuit.n,
            free.unwrap_or(-1.0),
            square.unwrap_or(-1.0),
            curve.exact,
            curve.step,
            curve.points.len()
        );
    }
}

fn hard(circuit: &Circuit, time: Duration) {
    let sides: Vec<(i64, i64)> = circuit.blocks.iter().filter_map(|b| Some((b.w?, b.h?))).collect();
    let total: i64 = sides.iter().map(|(w, d)| w * d).sum();
    let pieces: Vec<Piece> =
        sides.iter().map(|&(w, d)| Piece { shapes: vec![(w, d), (d, w)], ..Piece::default() }).collect();
    let dead = |area: i64| 100.0 * (area as f64 / total as f64 - 1.0);
    let watch = Watch::start();
    let least = least_box(&pieces, &Stop::within(time));
    println!(
        "{:6} hard {:3} exact {:?} {:.2} s",
        circuit.name,
        circuit.n,
        least.map(|b| (b.w, b.d, dead(b.w * b.d))),
        watch.elapsed().as_secs_f64()
    );
    let parts = sides
        .iter()
        .map(|&(w, d)| room(Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(1) }))
        .collect();
    let reach = ((total as f64).sqrt() * 1.6) as i64;
    let tray = TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), reach) };
    for effort in [Effort::Usual, Effort::Deep] {
        let watch = Watch::start();
        let curve = tray::curve(&tray, 1, (reach, reach), effort);
        let free = curve.points.iter().map(|(w, d)| w * d).min().map(dead);
        println!(
            "{:6} hard {:3} slicing {effort:?} {:.3} exact {} step {} {:.2} s",
            circuit.name,
            circuit.n,
            free.unwrap_or(-1.0),
            curve.exact,
            curve.step,
            watch.elapsed().as_secs_f64()
        );
    }
}
