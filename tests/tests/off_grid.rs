//! Jobs whose lengths are no whole steps of the search.

use traywright::brief::Format;
use traywright::check::check;
use traywright::job;
use traywright::plan::{ClaimState, Options, solve};
use traywright_tests::relations::whole;
use traywright_tests::wild::Wild;

/// Met among random jobs: a carton 14.3 mm high carries a layer that begins at 15 mm on a grid of 1 mm; the checker took the
/// tray above it to hang, and there was no plan.
#[test]
fn a_carton_that_ends_within_a_step_bears() {
    let brief = "title = \"off\"\n[box]\ninterior = [70, 60, 40]\nclearance = 0\n[stock]\nname = \"birch plywood\"\nthickness = 2\n\
                 [layers]\nmost = 2\n[search]\ngrid = 1\n[[kept]]\nname = \"carton\"\nsize = [70, 60, 14.3]\n\
                 [[tray]]\nname = \"reeds\"\n[[tray.part]]\nname = \"reed\"\nsolid = { size = [40, 30, 12], count = 1 }\n";
    let job = job::read(brief, "off.toml", Format::Toml, None, &[]).unwrap();
    let outcome = solve(&job, &Options::default(), &mut |_| {});
    let plan = outcome.plan.unwrap_or_else(|| panic!("{:#?}", outcome.reasons));
    assert_eq!(plan.settled.trays[0].at.z, traywright::length::Length::mm(15));
    assert!(check(&job, &plan).is_empty());
    // A whole step below it is not what it rests on: the carton is there, the tray hangs.
    let mut hanging = plan;
    for a in [&mut hanging.tight, &mut hanging.settled] {
        a.layers[1].bottom += job.grid;
        a.layers[0].height += job.grid;
        a.trays[0].at.z += job.grid;
    }
    assert!(check(&job, &hanging).iter().any(|f| f.code == "C090"));
}

/// Met among random jobs: a carton 37.3 mm deep, rounded up to 38 mm, seemed to bear half of the edge of a tray; the checker
/// refused the plan, and there was none.
#[test]
fn a_carton_bears_no_further_than_it_goes() {
    let wild = Wild { trays: 4, parts: 4, loose: true, off_grid: true, everything: true };
    assert_eq!(whole(9, 170, wild, 12_000), Some(Vec::new()));
}

/// Thirteen blocks in one row, more than can be walked on the grid of 0.1 mm: rounding to a coarser step kept them out of a
/// box that holds them, and the box was called impossible.
#[test]
fn a_search_calls_nothing_impossible() {
    let blocks: String = (0..13)
        .map(|i| {
            let w = 20 + i;
            format!("[[tray.part]]\nname = \"cleat {i}\"\nsolid = {{ size = [\"{w}.05 mm\", \"34.1 mm\", 10], count = 1 }}\n")
        })
        .collect();
    let state = |w: &str, d: &str| {
        let brief = format!(
            "title = \"row\"\n[box]\ninterior = [\"{w} mm\", \"{d} mm\", 24]\nlid_room = 2\n[stock]\nname = \"birch plywood\"\n\
             thickness = 3\nfloor = 2\ndivider = 2\n[layers]\nmost = 1\n[[tray]]\nname = \"row\"\n{blocks}"
        );
        let job = job::read(&brief, "row.toml", Format::Toml, None, &[]).unwrap();
        let outcome = solve(&job, &Options::default(), &mut |_| {});
        assert!(outcome.plan.as_ref().is_none_or(|plan| check(&job, plan).is_empty()));
        (outcome.claim.state, outcome.reasons.iter().map(|f| f.code).collect::<Vec<_>>())
    };
    // 338.65 mm of blocks, 1 mm of room each, all on the grid; 12 dividers, 2 walls, a gap of 1 mm at either side.
    assert_eq!(state("384.4", "43.6").0, ClaimState::Proven);
    let unsure = state("384.2", "43.6");
    assert_eq!((unsure.0, unsure.1.contains(&"T001")), (ClaimState::NoneFound, false));
    // By area.
    let small = state("200", "43.6");
    assert_eq!((small.0, small.1.contains(&"T001")), (ClaimState::Impossible, true));
}

/// What is as high as a layer or the box, or as wide as the box, goes in, also where that is no whole step of 0.1 mm: an inch
/// and a quarter is 31.75 mm, an eighth 3.175 mm.
#[test]
fn what_fits_exactly_fits() {
    let plan = |more: &str| {
        let brief = format!(
            "unit = \"in\"\nbox = {{ interior = [\"11 3/4\", 6, \"2 1/8\"], clearance = 0.02 }}\n\
             stock = {{ name = \"birch plywood\", thickness = \"1/8\" }}\n{more}\n\
             [[tray]]\nname = \"low\"\nsize = [4, 3, \"1 1/4\"]\npart = [{{ name = \"beads\", loose.volume = \"20 ml\" }}]\n"
        );
        let job = job::read(&brief, "inch.toml", Format::Toml, None, &[]).unwrap();
        let outcome = solve(&job, &Options::default(), &mut |_| {});
        let plan = outcome.plan.unwrap_or_else(|| panic!("{more}: {:#?}", outcome.reasons));
        assert_eq!(check(&job, &plan), [], "{more}");
        job.grid.to_mm_f64()
    };
    assert_eq!(plan(""), 0.1);
    assert_eq!(plan("layers.heights = [\"1 1/4\", \"open\"]"), 0.05);
    assert_eq!(plan("layers.heights = [{ least = 1, most = \"1 1/4\" }]"), 0.05);
    assert_eq!(plan("kept = [{ name = \"map\", size = [\"11 3/4\", 2, 1] }]"), 0.05);
    assert_eq!(plan("kept = [{ name = \"log\", size = [2, 2, \"2 1/8\"], turn = \"upright\" }]"), 0.025);
    // Turned on its side, beside what no step helps, between walls with their clearance, piled up, under a cover.
    let mm = |interior: &str, more: &str| {
        let brief = format!(
            "box = {{ interior = {interior}, clearance = 0.5 }}\nstock = {{ name = \"birch plywood\", thickness = 3 }}\n{more}\n\
             part = [{{ name = \"beads\", loose.volume = \"5 ml\" }}]\n"
        );
        let job = job::read(&brief, "mm.toml", Format::Toml, None, &[]).unwrap();
        let outcome = solve(&job, &Options::default(), &mut |_| {});
        let plan = outcome.plan.unwrap_or_else(|| panic!("{more}: {:#?}", outcome.reasons));
        assert_eq!(check(&job, &plan), [], "{more}");
        job.grid.to_mm_f64()
    };
    let tray = |name: &str, size: &str| {
        format!(
            "{{ name = \"{name}\", size = {size}, part = [{{ name = \"{name} ink\", loose.volume = \"5 ml\" }}] }}"
        )
    };
    assert_eq!(
        mm("[200.05, 150, 60]", "kept = [{ name = \"map\", size = [50, 40, 200.05], turn = \"any\" }]"),
        0.05
    );
    let rods = "kept = [{ name = \"rod\", size = [200.05, 40, 20], turn = \"none\" }, \
                { name = \"bar\", size = [150.01, 20, 20], turn = \"none\" }]";
    assert_eq!(mm("[200.05, 150.01, 60]", rods), 0.05);
    assert_eq!(mm("[101.05, 120, 60]", &format!("tray = [{}]", tray("ink", "[100.05, 60, 40]"))), 0.05);
    // A step of 0.1 mm holds the tray and the play, but not both.
    let tight = format!("tray = [{}]", tray("ink", "[99.5, 60, 40]"));
    let job = |side: &str| {
        let brief = format!(
            "box = {{ interior = [100, 120, 60], clearance = {{ between = 0.5, side = {side} }} }}\n\
                             stock = {{ name = \"birch plywood\", thickness = 3 }}\n{tight}\n"
        );
        let job = job::read(&brief, "mm.toml", Format::Toml, None, &[]).unwrap();
        (solve(&job, &Options::default(), &mut |_| {}).plan.is_some(), job.grid.to_mm_f64())
    };
    assert_eq!((job("0.2"), job("0.25")), ((true, 0.1), (true, 0.05)));
    let two = format!("tray = [{}, {}]", tray("ink", "[80, 90, 31.75]"), tray("sand", "[80, 90, 31.75]"));
    assert_eq!(mm("[130, 100, 63.5]", &two), 0.05);
    let covered = format!(
        "cover = [{{ name = \"map\", size = [90, 90, 2] }}]\ntray = [{}]",
        tray("ink", "[80, 60, 31.75]")
    );
    assert_eq!(mm("[170, 100, 33.75]", &covered), 0.05);
    // Beyond a million million cubes there is no finer one.
    let large = "[999, 999, 999.0125]";
    let brief = format!(
        "box = {{ interior = {large}, clearance = 1 }}\nstock = {{ name = \"birch plywood\", thickness = 6 }}\n\
         kept = [{{ name = \"map\", size = [20, 20, 999.0125] }}]\npart = [{{ name = \"beads\", loose.volume = \"5 ml\" }}]\n"
    );
    let job = job::read(&brief, "large.toml", Format::Toml, None, &[]).unwrap();
    assert_eq!(job.grid.to_mm_f64(), 0.1);
    // Whoever names a step has it, and where none of the finer ones helps it stays as it is.
    assert_eq!(plan("search.grid = \"0.1 mm\"\nkept = [{ name = \"map\", size = [2, 2, 1] }]"), 0.1);
}
