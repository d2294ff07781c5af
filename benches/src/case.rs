//! Layout cases: trays with listed outlines in layers of listed heights, one JSON file each.

use std::path::{Path, PathBuf};

use traywright::layout::instance::{Access, HeldAt, Instance, Layout, Option3, TrayItem};
use traywright::layout::pack::Rect;

/// One case as its file has it, in millimetres.
#[derive(Clone, Debug, serde::Deserialize)]
pub struct Case {
    /// Name, such as `n08_tight_s1`.
    pub name: String,
    /// Width of the box.
    pub w: i64,
    /// Depth of the box.
    pub d: i64,
    /// Height of the box.
    pub h: i64,
    /// At most this many layers.
    pub lmax: usize,
    /// Gap between trays.
    pub gap: i64,
    /// Heights that a layer may have, ascending.
    pub heights: Vec<i64>,
    /// The trays.
    pub trays: Vec<CaseTray>,
    /// Blocked rectangles: layer counted from the lid, x, y, width, depth.
    pub obs: Vec<(usize, i64, i64, i64, i64)>,
    /// Cost of one layer of depth below the lid, by class of tray.
    pub pen: Vec<i64>,
    /// Share of the box that the trays were made to fill.
    pub fill_target: f64,
}

/// A tray of a case.
#[derive(Clone, Debug, serde::Deserialize)]
pub struct CaseTray {
    /// Index into the penalties.
    pub class: usize,
    /// Outlines: width, depth, least height.
    pub opts: Vec<(i64, i64, i64)>,
}

/// Reads every case of a folder whose name contains `part`, in the order of names.
///
/// # Errors
/// What could not be read, with the reason; a folder without such cases.
pub fn read_cases(folder: &Path, part: &str) -> Result<Vec<Case>, String> {
    let told = |path: &Path, e: &dyn std::fmt::Display| format!("{}: {e}", path.display());
    let entries = std::fs::read_dir(folder).map_err(|e| told(folder, &e))?;
    let mut files: Vec<PathBuf> = entries.flatten().map(|e| e.path()).collect();
    files.retain(|f| {
        let name = f.file_name().unwrap_or_default().to_string_lossy();
        name.starts_with('n') && name.ends_with(".json") && name.contains(part)
    });
    files.sort();
    let cases: Result<Vec<Case>, String> = files
        .iter()
        .map(|f| {
            let text = std::fs::read_to_string(f).map_err(|e| told(f, &e))?;
            serde_json::from_str(&text).map_err(|e| told(f, &e))
        })
        .collect();
    match cases {
        Ok(cases) if cases.is_empty() => Err(format!("{}: no layout case named *{part}*", folder.display())),
        other => other,
    }
}

impl Case {
    /// Outlines of a tray, each with the next height that a layer may have; sorted, no duplicates.
    pub fn options(&self, tray: &CaseTray) -> Vec<Option3> {
        let listed = |h: i64| self.heights.iter().copied().find(|x| *x >= h);
        let mut all: Vec<Option3> =
            tray.opts.iter().filter_map(|&(w, d, h)| listed(h).map(|h| Option3 { w, d, h })).collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// What a tray pays for one layer of depth.
    pub fn penalty(&self, tray: &CaseTray) -> i64 {
        self.pen.get(tray.class).copied().unwrap_or(0)
    }

    /// The case as an instance. Layers count from the lid in both, so the instance stands upside down.
    pub fn instance(&self) -> Instance {
        let trays = self.trays.iter().enumerate().map(|(i, t)| TrayItem {
            name: format!("t{i}"),
            kind: i,
            options: self.options(t),
            span: 1,
            low: false,
            fixed: false,
            lid: false,
            held: HeldAt::Free,
            weight: self.penalty(t),
        });
        Instance {
            width: self.w,
            depth: self.d,
            height: self.h,
            between: self.gap,
            side: 0,
            most_layers: self.lmax,
            // An empty layer, too, has one of the listed heights.
            height_rules: vec![(self.heights.first().copied().unwrap_or(1), self.h); self.lmax],
            trays: trays.collect(),
            kept: vec![],
            cover: vec![],
            access: Access::LayerIndex,
            blocked: self.obs.iter().map(|&(l, x, y, w, d)| (l, Rect { x, y, w, d })).collect(),
            rims: None,
        }
    }

    /// The value of a layout of [`Case::instance`] by the rules of the case alone; the search's own code is not asked.
    ///
    /// # Errors
    /// The rule that it breaks.
    pub fn value(&self, instance: &Instance, layout: &Layout) -> Result<i64, String> {
        if layout.heights.len() > self.lmax || layout.heights.iter().sum::<i64>() > self.h {
            return Err("too many layers, or too high".into());
        }
        if let Some(h) = layout.heights.iter().find(|h| !self.heights.contains(h)) {
            return Err(format!("no layer may be {h} high"));
        }
        let mut sum = 0;
        let mut placed: Vec<(usize, i64, i64, i64, i64)> = Vec::new();
        for (i, (tray, place)) in self.trays.iter().zip(&layout.trays).enumerate() {
            let outline = instance.trays.get(i).and_then(|t| t.options.get(place.option));
            let (Some(o), Some(&high)) = (outline, layout.heights.get(place.layer)) else {
                return Err(format!("tray {i} stands nowhere"));
            };
            if !tray.opts.iter().any(|&(w, d, h)| (w, d) == (o.w, o.d) && h <= high) {
                return Err(format!("tray {i} has no outline {} x {} at height {high}", o.w, o.d));
            }
            let (x, y) = (place.x, place.y);
            if x < 0 || y < 0 || x + o.w > self.w || y + o.d > self.d {
                return Err(format!("tray {i} is out of the box"));
            }
            let beside =
                |ax: i64, aw: i64, bx: i64, bw: i64, gap: i64| ax + aw + gap <= bx || bx + bw + gap <= ax;
            for &(l, bx, by, bw, bd) in &self.obs {
                if l == place.layer && !beside(x, o.w, bx, bw, 0) && !beside(y, o.d, by, bd, 0) {
                    return Err(format!("tray {i} stands on a blocked place"));
                }
            }
            for &(l, bx, by, bw, bd) in &placed {
                if l == place.layer && !beside(x, o.w, bx, bw, self.gap) && !beside(y, o.d, by, bd, self.gap)
                {
                    return Err(format!("tray {i} is too near another"));
                }
            }
            placed.push((place.layer, x, y, o.w, o.d));
            sum += o.w * o.d * high + self.penalty(tray) * place.layer as i64;
        }
        if placed.len() == self.trays.len() { Ok(sum) } else { Err("a tray is missing".into()) }
    }
}
