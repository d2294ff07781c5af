//! Published packing sets: verdicts and times of the exact packing. Give the folder that holds `rectpack`, `fit`
//! and `strip` as the first argument, seconds for one question as the second (5), and, to run one table only, its
//! name as the third.

use std::path::Path;
use std::time::Duration;

use traywright::layout::pack::{Floor, Packed, Piece, cannot_fit, least_box, pack, pack_quick};
use traywright::stop::{Stop, Watch};

/// Prints one table from the folder, with so much time for one question.
type Table = fn(&Path, Duration);

#[derive(serde::Deserialize)]
struct File<T> {
    instances: Vec<T>,
}

fn main() {
    let mut args = std::env::args().skip(1);
    let Some(folder) = args.next() else {
        println!("no folder of published sets given: nothing measured");
        return;
    };
    let seconds = args.next().and_then(|s| s.parse().ok()).unwrap_or(5.0);
    let only = args.next().unwrap_or_default();
    let time = Duration::from_secs_f64(seconds);
    let folder = Path::new(&folder);
    let tables: [(&str, Table); 3] = [("rectpack", rectpack), ("fit", fit), ("strip", strip)];
    for (name, table) in tables {
        if only.is_empty() || only == name {
            table(folder, time);
        }
    }
}

fn read<T: serde::de::DeserializeOwned>(folder: &Path, name: &str) -> Vec<T> {
    let path = folder.join(name);
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(e) => {
            println!("{}: {e}: nothing measured", path.display());
            return Vec::new();
        }
    };
    match serde_json::from_str::<File<T>>(&text) {
        Ok(file) => file.instances,
        Err(e) => {
            println!("{}: {e}: nothing measured", path.display());
            Vec::new()
        }
    }
}

fn pieces(sizes: &[(i64, i64)], turn: bool) -> Vec<Piece> {
    let shapes = |&(w, d): &(i64, i64)| if turn && w != d { vec![(w, d), (d, w)] } else { vec![(w, d)] };
    sizes.iter().map(|s| Piece { shapes: shapes(s), ..Piece::default() }).collect()
}

#[derive(serde::Deserialize)]
struct Boxed {
    n: usize,
    rects: Vec<(i64, i64)>,
    rotation: bool,
    min_area: Option<i64>,
    computed_here: Option<Computed>,
}

#[derive(serde::Deserialize)]
struct Computed {
    area: Option<f64>,
    wall_s: Option<f64>,
}

fn rectpack(folder: &Path, time: Duration) {
    for name in ["consecutive_squares.json", "unoriented_consecutive_rectangles.json"] {
        println!("\n{name}: box of least area, proven");
        println!(
            "{:>3} {:>9} {:>6} {:>8} {:>10} {:>8} {:>10}",
            "n", "box", "area", "known", "nodes", "s", "published"
        );
        for case in read::<Boxed>(folder, &format!("rectpack/{name}")) {
            let known = case.min_area.or(case.computed_here.as_ref().and_then(|c| c.area).map(|a| a as i64));
            let (watch, stop) = (Watch::start(), Stop::within(time));
            let least = least_box(&pieces(&case.rects, case.rotation), &stop);
            let seconds = watch.elapsed().as_secs_f64();
            let (at, area) = match &least {
                Some(b) => (format!("{}x{}", b.w, b.d), b.w * b.d),
                None => ("-".into(), 0),
            };
            println!(
                "{:>3} {at:>9} {area:>6} {:>8} {:>10} {seconds:>8.3} {:>10}{}",
                case.n,
                known.map_or("?".into(), |k| k.to_string()),
                stop.spent(),
                case.computed_here.and_then(|c| c.wall_s).map_or("?".into(), |s| format!("{s:.3}")),
                if least.is_some() && known.is_some_and(|k| k != area) { "  WRONG" } else { "" }
            );
            if least.is_none() {
                break;
            }
        }
    }
}

#[derive(serde::Deserialize)]
struct Fit {
    name: String,
    bin: (i64, i64),
    items: Vec<(i64, i64)>,
    feasible: bool,
}

fn fit(folder: &Path, time: Duration) {
    println!("\nfit: does the set fit, no turning");
    println!("{:>8} {:>3} {:>10} {:>10} {:>10} {:>8}", "name", "n", "known", "ours", "nodes", "s");
    for case in read::<Fit>(folder, "fit/cjcm_half.json") {
        let floor = Floor { w: case.bin.0, d: case.bin.1, ..Floor::default() };
        let (watch, stop) = (Watch::start(), Stop::within(time));
        let ours = pack(&floor, &pieces(&case.items, false), &stop);
        let seconds = watch.elapsed().as_secs_f64();
        let word = |fits: bool| if fits { "fits" } else { "does not" };
        let (said, wrong) = match ours {
            Packed::Found(_) => (word(true), !case.feasible),
            Packed::Impossible => (word(false), case.feasible),
            Packed::Unknown => ("unknown", false),
        };
        println!(
            "{:>8} {:>3} {:>10} {said:>10} {:>10} {seconds:>8.3}{}",
            case.name,
            case.items.len(),
            word(case.feasible),
            stop.spent(),
            if wrong { "  WRONG" } else { "" }
        );
    }
}

#[derive(serde::Deserialize)]
struct Strip {
    name: String,
    strip_width: i64,
    opt_height: i64,
    items: Vec<(i64, i64)>,
    rotation: bool,
}

/// Constructions for one depth of a strip.
const TRIES: usize = 400;

fn strip(folder: &Path, time: Duration) {
    println!("\nstrip: least depth at which a packing was found, and whether every lesser one was refuted");
    println!(
        "{:>6} {:>3} {:>7} {:>6} {:>8} {:>6} {:>8} {:>7}",
        "name", "n", "optimum", "quick", "s", "pack", "s", "proven"
    );
    for file in ["strip/hopper_c1_c4.json", "strip/burke_n1_n7.json"] {
        for case in read::<Strip>(folder, file) {
            if case.items.len() > 60 {
                continue;
            }
            let set = pieces(&case.items, case.rotation);
            let floor = |d| Floor { w: case.strip_width, d, ..Floor::default() };
            let first = (1..).find(|d| !cannot_fit(&floor(*d), &set)).unwrap_or(0);
            let watch = Watch::start();
            let quick = (first..).find(|d| pack_quick(&floor(*d), &set, TRIES, 1).is_some()).unwrap_or(0);
            let quick_s = watch.elapsed().as_secs_f64();
            let watch = Watch::start();
            let (mut proven, mut least) = (true, quick);
            for d in first..quick {
                match pack(&floor(d), &set, &Stop::within(time)) {
                    Packed::Found(_) => {
                        least = d;
                        break;
                    }
                    Packed::Impossible => {}
                    Packed::Unknown => proven = false,
                }
            }
            println!(
                "{:>6} {:>3} {:>7} {quick:>6} {quick_s:>8.3} {least:>6} {:>8.3} {proven:>7}",
                case.name,
                set.len(),
                case.opt_height,
                watch.elapsed().as_secs_f64()
            );
        }
    }
}
