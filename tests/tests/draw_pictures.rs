//! Pictures and report of made-up plans: written out for a browser to look at, and checked here as text.

mod draw_sample;

use std::path::PathBuf;

use draw_sample::{Cut, USUAL, make};
use traywright::draw;

fn out(name: &str) -> PathBuf {
    let dir = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pictures");
    std::fs::create_dir_all(&dir).unwrap();
    dir.join(name)
}

#[test]
fn pictures_are_written() {
    let small = Cut { seed: 5, interior: [120, 90, 40], layers: 1, tray: 60, room: 9, cover: false, ..USUAL };
    let hard = Cut { seed: 11, interior: [380, 310, 150], tray: 90, room: 24, ..USUAL };
    for (name, cut) in [("usual", USUAL), ("small", small), ("hard", hard)] {
        let (job, plan) = make(&cut);
        for layer in 1..=plan.settled.layers.len() {
            let svg = draw::layer_svg(&job, &plan, layer);
            std::fs::write(out(&format!("{name}.layer-{layer}.svg")), svg).unwrap();
        }
        std::fs::write(out(&format!("{name}.exploded.svg")), draw::exploded_svg(&job, &plan)).unwrap();
        let extra = draw::ReportExtra::default();
        std::fs::write(out(&format!("{name}.html")), draw::report_html(&job, &plan, &extra)).unwrap();
        std::fs::write(out(&format!("{name}.txt")), draw::summary(&job, &plan)).unwrap();
    }
}
