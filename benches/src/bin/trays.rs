//! Times of shape curves and options: `cargo run --release -p traywright-benches --bin trays`.

use traywright::length::{Length, Volume};
use traywright::need::{Alternative, Need, Space, Standing};
use traywright::random::Random;
use traywright::stop::Watch;
use traywright::tray::{self, Effort, OptionLimits, PartNeed, TrayNeeds};

fn fixed(random: &mut Random) -> Alternative {
    let mut mm =
        |from: usize, to: usize| Length::um(100 * (from * 10 + random.below((to - from) * 10)) as i64);
    let space = Space::Fixed { w: mm(20, 70), d: mm(20, 95), h: mm(10, 30) };
    Alternative { standing: Standing::Block(1, 1, 1), piles: 1, space, turnable: true }
}

fn soft(random: &mut Random) -> Alternative {
    let volume = Volume::from_nm3((10_000 + random.below(60_000)) as i128 * 10i128.pow(18));
    let space = Space::Soft { volume, side: Length::mm(18), long: Length::mm(25), h: Length::mm(4) };
    Alternative { standing: Standing::Poured, piles: 1, space, turnable: true }
}

fn part(random: &mut Random) -> PartNeed {
    let ways = if random.below(2) == 0 { vec![fixed(random), fixed(random)] } else { vec![soft(random)] };
    PartNeed::Room(Need::plain(ways))
}

/// A tray of `n` compartments of `kinds` kinds on this grid.
fn some_tray(n: usize, kinds: usize, grid_um: i64, seed: u64) -> TrayNeeds {
    let mut random = Random::new(seed);
    let all: Vec<PartNeed> = (0..kinds).map(|_| part(&mut random)).collect();
    let grid = Length::um(grid_um);
    TrayNeeds {
        parts: (0..n).filter_map(|i| all.get(i % kinds).cloned()).collect(),
        wall: Length::mm(3),
        floor: Length::mm(3),
        base: Length::mm(3),
        divider: Length::mm(2).steps_up(grid),
        divider_exact: Length::mm(2),
        ..TrayNeeds::plain(grid, Length::mm(380).steps_down(grid))
    }
}

fn ms(watch: Watch) -> f64 {
    watch.elapsed().as_secs_f64() * 1e3
}

fn curves(name: &str, tray: &TrayNeeds, heights: &[i64], effort: Effort) {
    let grid_per_mm = 1_000_000 / tray.grid.nm();
    let watch = Watch::start();
    let (mut points, mut exact, mut step, mut least) = (0, true, 0, i64::MAX);
    for &mm in heights {
        let most = (tray.reach, tray.reach);
        let curve = tray::curve(tray, mm * grid_per_mm, most, effort);
        points += curve.points.len();
        exact &= curve.exact;
        step = curve.step;
        least = least.min(curve.points.iter().map(|(w, d)| w * d).min().unwrap_or(i64::MAX));
    }
    let least = least as f64 / (grid_per_mm * grid_per_mm) as f64;
    println!(
        "{name:34} {:9.1} ms  {points:6} points  exact {exact:5}  step {step:2}  least {least:.1} mm2",
        ms(watch)
    );
}

fn main() {
    let dozen: Vec<i64> = (0..12).map(|i| 32 + 3 * i).collect();
    for (n, kinds) in [(4, 4), (6, 6), (8, 8), (10, 10), (12, 12), (25, 3), (30, 3)] {
        for grid in [1_000, 100] {
            let tray = some_tray(n, kinds, grid, 1);
            curves(&format!("{n} of {kinds} kinds, 12 heights, {grid} um"), &tray, &dozen, Effort::Usual);
        }
    }
    for grid in [1_000, 100] {
        curves(
            &format!("15 of 15 kinds, 1 height, {grid} um"),
            &some_tray(15, 15, grid, 1),
            &[40],
            Effort::Deep,
        );
        curves(
            &format!("30 of 3 kinds, 1 height, {grid} um"),
            &some_tray(30, 3, grid, 1),
            &[40],
            Effort::Usual,
        );
        for n in [10, 12, 20, 40, 100] {
            curves(
                &format!("{n} of {n} kinds, 1 height, {grid} um"),
                &some_tray(n, n, grid, 1),
                &[40],
                Effort::Usual,
            );
        }
    }
    let watch = Watch::start();
    let mut listed = 0;
    let trays: Vec<TrayNeeds> = (0..19)
        .map(|i| some_tray(3 + i % 3, 3 + i % 3, 100, i as u64))
        .chain([some_tray(25, 3, 100, 77)])
        .collect();
    let limits = OptionLimits { most_w: 3_780, most_d: 3_080, least_h: 100, most_h: 1_400, count: 150 };
    for tray in &trays {
        let own = Watch::start();
        let options = tray::options(tray, &limits);
        listed += options.list.len();
        if tray.parts.len() > 5 {
            println!("options of the tray of 25: {:.1} ms, {} listed", ms(own), options.list.len());
        }
    }
    println!("options of 20 trays, 0.1 mm: {:.1} ms, {listed} listed", ms(watch));
    let near = tray::options(&trays[1], &limits).list[60];
    let watch = Watch::start();
    let refined = tray::refine(&trays[1], near, &limits);
    println!("refine {near:?}: {:.1} ms, {} listed", ms(watch), refined.len());
}
