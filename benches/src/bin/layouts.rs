//! Layout cases: value, bound and time of our engines. Give the folder of the cases as the first argument.

use std::path::PathBuf;
use std::time::Duration;

use traywright::layout::instance::{Access, HeldAt, Instance, Option3, TrayItem};
use traywright::layout::pack::Rect;
use traywright::layout::search::search;
use traywright::stop::{Stop, Watch};

#[derive(serde::Deserialize)]
struct Case {
    name: String,
    w: i64,
    d: i64,
    h: i64,
    lmax: usize,
    gap: i64,
    heights: Vec<i64>,
    trays: Vec<CaseTray>,
    obs: Vec<(usize, i64, i64, i64, i64)>,
    pen: Vec<i64>,
}

#[derive(serde::Deserialize)]
struct CaseTray {
    class: usize,
    opts: Vec<(i64, i64, i64)>,
}

/// A case as an instance. Layers count from the lid in both, so the instance stands upside down.
fn instance(case: &Case) -> Instance {
    let trays = case.trays.iter().enumerate().map(|(i, t)| TrayItem {
        name: format!("t{i}"),
        kind: i,
        // A layer may only have one of the listed heights: an outline counts from the next of them.
        options: t
            .opts
            .iter()
            .filter_map(|&(w, d, h)| case.heights.iter().find(|x| **x >= h).map(|&h| Option3 { w, d, h }))
            .collect(),
        span: 1,
        low: false,
        lid: false,
        held: HeldAt::Free,
        weight: case.pen[t.class],
    });
    Instance {
        width: case.w,
        depth: case.d,
        height: case.h,
        between: case.gap,
        side: 0,
        most_layers: case.lmax,
        height_rules: vec![],
        trays: trays.collect(),
        kept: vec![],
        cover: vec![],
        access: Access::LayerIndex,
        blocked: case.obs.iter().map(|&(l, x, y, w, d)| (l, Rect { x, y, w, d })).collect(),
        rims: None,
    }
}

fn main() {
    let mut args = std::env::args().skip(1);
    let Some(folder) = args.next().map(PathBuf::from) else {
        println!("no folder of layout cases given: nothing measured");
        return;
    };
    let seconds: f64 = args.next().and_then(|s| s.parse().ok()).unwrap_or(1.0);
    let only = args.next().unwrap_or_default();
    let Ok(entries) = std::fs::read_dir(&folder) else {
        println!("{} cannot be read: nothing measured", folder.display());
        return;
    };
    let mut files: Vec<PathBuf> = entries.flatten().map(|e| e.path()).collect();
    files.sort();
    println!(
        "{:18} {:>12} {:>12} {:>8} {:>8} {:>8}",
        "case", "value", "bound", "gap %", "first s", "total s"
    );
    for file in files {
        let name = file.file_stem().unwrap_or_default().to_string_lossy().to_string();
        if !name.starts_with('n') || !name.contains(&only) {
            continue;
        }
        let text = std::fs::read_to_string(&file).unwrap_or_default();
        let Ok(case) = serde_json::from_str::<Case>(&text) else { continue };
        let watch = Watch::start();
        let mut first = None;
        let stop = Stop::within(Duration::from_secs_f64(seconds));
        let found = search(&instance(&case), 1, u64::MAX / 2, &stop, &mut |value, _| {
            if value.is_some() && first.is_none() {
                first = Some(watch.elapsed().as_secs_f64());
            }
        });
        let total = watch.elapsed().as_secs_f64();
        let value = found.layout.map(|(_, c)| c.value());
        let gap = value.zip(found.bound).map(|(v, b)| 100.0 * (1.0 - b as f64 / v as f64));
        println!(
            "{:18} {:>12} {:>12} {:>8} {:>8} {:>8.2}",
            case.name,
            value.map_or("-".into(), |v| v.to_string()),
            found.bound.map_or("no plan".into(), |b| b.to_string()),
            gap.map_or("-".into(), |g| format!("{g:.3}")),
            first.map_or("-".into(), |f| format!("{f:.2}")),
            total
        );
    }
}
