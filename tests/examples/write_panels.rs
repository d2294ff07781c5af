//! Writes the panels of random trays, and what is proven about them, as JSON into the file named by the first
//! argument. `tests/outside/solids.py` builds them again as solids.

use std::process::ExitCode;

use serde_json::{Value, json};
use traywright::panel::{Edge, Panel, Ring, panels, prove};
use traywright_tests::random_tray::random_tray;

/// How many trays are written.
const TRAYS: u64 = 40;

fn main() -> ExitCode {
    let Some(file) = std::env::args().nth(1) else {
        eprintln!("give the file to write");
        return ExitCode::FAILURE;
    };
    let mut all = Vec::new();
    for seed in 2_000..2_000 + TRAYS {
        match tray(seed) {
            Ok(tray) => all.push(tray),
            Err(e) => {
                eprintln!("seed {seed}: {e}");
                return ExitCode::FAILURE;
            }
        }
    }
    match std::fs::write(file, Value::from(all).to_string()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("{e}");
            ExitCode::FAILURE
        }
    }
}

fn tray(seed: u64) -> Result<Value, String> {
    let (job, plan) = random_tray(seed, 20);
    let first = |f: Vec<traywright::finding::Finding>| f.first().map(ToString::to_string).unwrap_or_default();
    let made = panels(&job, &plan).map_err(first)?;
    let made = made.first().ok_or("no tray")?;
    let proof = prove(&job, &plan, made).map_err(first)?;
    let t = &plan.settled.trays[0];
    let rooms = t.compartments.iter().map(|c| {
        let at = [c.at.x - t.at.x, c.at.y - t.at.y, c.at.z - t.at.z];
        json!({ "at": at, "size": c.size })
    });
    let stock: Vec<_> = t.dividers.iter().map(|d| d.size.volume()).collect();
    let volume: traywright::length::Volume = proof.volumes.iter().map(|(_, v)| *v).sum();
    Ok(json!({
        "seed": seed, "size": t.size, "wall": t.wall, "floor": t.floor, "lid": t.lid,
        "joint": format!("{:?}", job.trays[0].joint),
        "dividers": stock, "rooms": rooms.collect::<Vec<_>>(),
        "panels": made.panels.iter().map(panel).collect::<Vec<_>>(),
        "volume": volume, "slots": proof.slots, "joints": proof.joints,
    }))
}

fn panel(p: &Panel) -> Value {
    let axis = |a| format!("{a:?}");
    json!({
        "name": p.name, "thickness": p.thickness,
        "outline": ring(&p.outline),
        "openings": p.openings.iter().map(|o| ring(&o.ring)).collect::<Vec<_>>(),
        "recesses": p.recesses.iter()
            .map(|r| json!({ "ring": ring(&r.ring), "depth": r.depth, "from_face": r.from_face }))
            .collect::<Vec<_>>(),
        "notches": p.notches.iter()
            .map(|n| json!([n.at.x, n.at.y, n.w, n.d]))
            .collect::<Vec<_>>(),
        "origin": p.pose.origin, "x": axis(p.pose.x), "y": axis(p.pose.y), "normal": axis(p.pose.normal),
    })
}

fn ring(ring: &Ring) -> Value {
    let edges = ring.edges.iter().map(|e| match e {
        Edge::Line(to) => json!({ "to": [to.x, to.y] }),
        Edge::Arc { to, centre, clockwise } => {
            json!({ "to": [to.x, to.y], "centre": [centre.x, centre.y], "clockwise": clockwise })
        }
    });
    Value::from(edges.collect::<Vec<_>>())
}
