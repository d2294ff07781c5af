//! The shape of a panel whatever it is called and however it lies: two panels of one shape are cut alike.

use std::collections::BTreeMap;

use crate::cut::ring::{bounds, carried};
use crate::job::{Fits, Job, Joint, Stock};
use crate::length::Length;
use crate::panel::{Cut, Edge, Meets, Panel, Ring, Role, Spot};

/// What makes a panel this one: stock, thickness, and its lines in whole nanometres.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Shape {
    stock: String,
    thickness: Length,
    lines: Vec<i64>,
}

impl Shape {
    /// The shape of a panel of a job. A panel may be turned half round, and by a quarter where no grain forbids it; it may
    /// be turned over where both faces may be seen.
    pub(super) fn of(job: &Job, panel: &Panel) -> Shape {
        let stock = stock(job, panel.cut);
        let faces: &[bool] = if stock.one_good_face { &[false] } else { &[false, true] };
        let quarters: &[u8] = if stock.grain { &[0, 2] } else { &[0, 1, 2, 3] };
        let ways = faces.iter().flat_map(|&over| quarters.iter().map(move |&q| (over, q)));
        let lines = ways.map(|(over, quarter)| lines(panel, &stock.fit, over, quarter)).min();
        Shape { stock: stock.id.clone(), thickness: panel.thickness, lines: lines.unwrap_or_default() }
    }
}

fn stock(job: &Job, cut: Cut) -> &Stock {
    let other = match cut {
        Cut::Body => None,
        Cut::Floor => job.floor_stock.as_ref(),
        Cut::Divider => job.divider_stock.as_ref(),
    };
    other.unwrap_or(&job.stock)
}

/// How much wider a joint is cut; what only touches is cut as it is.
fn wider(fit: &Fits, joint: Joint) -> i64 {
    match joint {
        Joint::Finger => fit.finger.nm(),
        Joint::Tab => fit.tab.nm(),
        Joint::Halved => fit.halved.nm(),
        Joint::Butt | Joint::Rebate => 0,
    }
}

/// All lines of a panel that lies so, from its least corner.
fn lines(panel: &Panel, fit: &Fits, over: bool, quarter: u8) -> Vec<i64> {
    let turn = |p: Spot| {
        let p = if over { Spot { x: -p.x, y: p.y } } else { p };
        match quarter {
            0 => p,
            1 => Spot { x: -p.y, y: p.x },
            2 => Spot { x: -p.x, y: -p.y },
            _ => Spot { x: p.y, y: -p.x },
        }
    };
    let outline = carried(&panel.outline, over, turn);
    let (least, _) = bounds(&outline);
    let map = |p: Spot| {
        let p = turn(p);
        Spot { x: p.x - least.x, y: p.y - least.y }
    };
    // A fitted edge is told by its number; carried over, the last one becomes the first.
    let n = panel.outline.edges.len();
    let fitted: BTreeMap<usize, i64> = panel
        .fitted
        .iter()
        .map(|&(i, joint)| (if over { n.saturating_sub(i + 1) } else { i }, wider(fit, joint) + 1))
        .collect();
    let mut out = ring(&carried(&panel.outline, over, map), &|i| fitted.get(&i).copied().unwrap_or(0));
    let mut inner: Vec<Vec<i64>> = Vec::new();
    for opening in &panel.openings {
        let meets = match opening.meets {
            Meets::Nothing => 0,
            // The slots of a lid always go easily, whatever the fit.
            Meets::Panel(_) if panel.role == Role::Lid => 1,
            Meets::Panel(joint) => 2 + wider(fit, joint),
        };
        let mut own = vec![1, meets];
        own.extend(ring(&carried(&opening.ring, over, map), &|_| 0));
        inner.push(own);
    }
    for recess in &panel.recesses {
        let mut own = vec![2, recess.depth.nm(), i64::from(recess.from_face != over)];
        own.extend(ring(&carried(&recess.ring, over, map), &|_| 0));
        inner.push(own);
    }
    inner.sort();
    out.extend(inner.into_iter().flatten());
    out
}

/// The edges of a ring with what is said of each, from the least one on.
fn ring(ring: &Ring, said: &dyn Fn(usize) -> i64) -> Vec<i64> {
    let mut edges: Vec<[i64; 8]> = ring
        .spans()
        .enumerate()
        .map(|(i, (from, edge))| {
            let (kind, centre) = match edge {
                Edge::Line(to) => (0, to),
                Edge::Arc { centre, clockwise, .. } => (1 + i64::from(clockwise), centre),
            };
            let to = edge.to();
            [from.x.nm(), from.y.nm(), to.x.nm(), to.y.nm(), kind, centre.x.nm(), centre.y.nm(), said(i)]
        })
        .collect();
    let first = (0..edges.len()).min_by_key(|&i| edges[i]).unwrap_or(0);
    if first > 0 {
        edges.rotate_left(first);
    }
    let mut out = vec![edges.len() as i64];
    out.extend(edges.into_iter().flatten());
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Format;
    use crate::job;
    use crate::panel::panels;
    use crate::plan::{Options, solve};

    fn job(stock: &str) -> Job {
        let brief = format!(
            "box.interior = [120, 90, 40]\nstock = {{ name = \"birch plywood\", thickness = 3, process = \"laser\"{stock} }}\n\
             [[tray]]\nname = \"sacks\"\n[[tray.part]]\nname = \"mail\"\nloose = {{ volume = \"40 ml\" }}\n\
             [[tray.part]]\nname = \"rope\"\nloose = {{ volume = \"30 ml\" }}\n"
        );
        job::read(&brief, "brief.toml", Format::Toml, None, &[]).unwrap()
    }

    fn made(job: &Job) -> Vec<Panel> {
        let plan = solve(job, &Options { nodes: 10_000, ..Options::default() }, &mut |_| {}).plan.unwrap();
        panels(job, &plan).unwrap().remove(0).panels
    }

    /// A panel that lies elsewhere, turned half round, or turned over.
    fn laid(panel: &Panel, over: bool, half: bool) -> Panel {
        let map = |p: Spot| {
            let p = if over { Spot { x: -p.x, ..p } } else { p };
            let p = if half { Spot { x: -p.x, y: -p.y } } else { p };
            Spot { x: p.x + Length::mm(7), y: p.y + Length::um(1_250) }
        };
        let n = panel.outline.edges.len();
        let mut out = panel.clone();
        out.outline = carried(&panel.outline, over, map);
        out.fitted = panel.fitted.iter().map(|&(i, j)| (if over { n - 1 - i } else { i }, j)).collect();
        out.openings.iter_mut().for_each(|o| o.ring = carried(&o.ring, over, map));
        out.openings.reverse();
        out
    }

    #[test]
    fn a_shape_does_not_depend_on_how_the_panel_lies_or_is_called() {
        let job = job("");
        for panel in made(&job) {
            let shape = Shape::of(&job, &panel);
            for (over, half) in [(false, false), (false, true), (true, false), (true, true)] {
                let mut other = laid(&panel, over, half);
                (other.letter, other.name) = ("Z".into(), "another".into());
                assert_eq!(Shape::of(&job, &other), shape, "{} {over} {half}", panel.name);
            }
        }
    }

    #[test]
    fn grain_and_a_good_face_forbid_turning() {
        let plain = job("");
        let strict = job(", grain = true, good_faces = 1");
        let mut lopsided = made(&plain).remove(0);
        lopsided.outline = Ring {
            edges: [(40, 0), (40, 10), (30, 20), (0, 20), (0, 0)]
                .map(|(x, y)| Edge::Line(Spot { x: Length::mm(x), y: Length::mm(y) }))
                .to_vec(),
        };
        (lopsided.fitted, lopsided.openings) = (Vec::new(), Vec::new());
        let over = laid(&lopsided, true, false);
        assert_eq!(Shape::of(&plain, &over), Shape::of(&plain, &lopsided));
        assert_ne!(Shape::of(&strict, &over), Shape::of(&strict, &lopsided));
        assert_eq!(Shape::of(&strict, &laid(&lopsided, false, true)), Shape::of(&strict, &lopsided));
    }

    #[test]
    fn whatever_changes_a_cut_changes_the_shape() {
        let job = job("");
        let loose = self::job(", fit = \"easy\"");
        let panels = made(&job);
        let floor = panels.iter().find(|p| p.role == Role::Floor).unwrap();
        assert!(!floor.openings.is_empty(), "tabs stand in slots of the floor");
        assert_ne!(Shape::of(&job, floor), Shape::of(&loose, floor), "another fit");
        let mut other = floor.clone();
        other.thickness += Length::um(100);
        assert_ne!(Shape::of(&job, floor), Shape::of(&job, &other));
        let mut other = floor.clone();
        other.openings[0].ring =
            carried(&other.openings[0].ring, false, |p| Spot { x: p.x + Length::from_nm(1), ..p });
        assert_ne!(Shape::of(&job, floor), Shape::of(&job, &other), "a nanometre counts");
        let shapes: Vec<Shape> = panels.iter().map(|p| Shape::of(&job, p)).collect();
        assert!(shapes.iter().any(|s| *s != shapes[0]));
    }
}
