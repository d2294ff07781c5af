use super::chain::{Kind, Member, Web};
use super::*;
use crate::brief::Format;
use crate::length::Length;
use crate::place::{Point, Size};
use crate::plan::{Options, solve};

/// Distribution of the sum of `n` numbers from 0 to 1 (J. O. Irwin, P. Hall, Biometrika 19, 1927).
fn irwin_hall(x: f64, n: u32) -> f64 {
    let factorial = |k: u32| (1..=k).map(f64::from).product::<f64>();
    let choose = |k: u32| factorial(n) / factorial(k) / factorial(n - k);
    let term = |k: u32| (-1f64).powi(k as i32) * choose(k) * (x - f64::from(k)).powi(n as i32);
    (0..=n).take_while(|k| f64::from(*k) <= x).map(term).sum::<f64>() / factorial(n)
}

fn assumptions(spread: Spread) -> Assumptions {
    let mut it = Assumptions::of(&job("[320, 100, 40]"));
    (it.spread, it.trials) = (spread, 200_000);
    it.movement.value = 0.0;
    it
}

fn job(interior: &str) -> crate::job::Job {
    let brief = format!(
        "box.interior = {interior}\nstock = {{ name = \"greyboard\", thickness = 2 }}\n\
         [[tray]]\nname = \"a\"\npart = [{{ name = \"pa\", loose = {{ volume = \"60 ml\" }} }}]\n\
         [[tray]]\nname = \"b\"\npart = [{{ name = \"pb\", loose = {{ volume = \"60 ml\" }} }}]\n"
    );
    crate::job::read(&brief, "b.toml", Format::Toml, None, &[]).unwrap()
}

/// `n` items in a row that fill the width but for this play.
fn row(n: usize, half: f64, play: f64, assumed: &Assumptions) -> (f64, Option<f64>) {
    let size = Size { w: Length::mm(50), d: Length::mm(50), h: Length::mm(30) };
    let members: Vec<Member> = (0..n)
        .map(|i| Member {
            name: format!("m{i}"),
            kind: Kind::Measured,
            at: Point { x: Length::mm(50) * i as i64, y: Length::ZERO, z: Length::ZERO },
            size,
            layers: vec![1],
        })
        .collect();
    let pushes = (0..n).map(|i| if i + 1 < n { vec![i + 1] } else { Vec::new() }).collect();
    let web = Web { along: Direction::Width, layer: Some(1), order: (0..n).collect(), pushes };
    let shape = match assumed.spread {
        Spread::Uniform => Shape::Uniform { lo: -half, hi: half },
        Spread::Normal => Shape::Normal { lo: -half, hi: half },
    };
    let term = Term { cause: Cause::Measured, of: String::new(), shape };
    let parts = Parts {
        terms: (0..n).map(|_| [vec![term.clone()], Vec::new(), Vec::new()]).collect(),
        container: [None, None, None],
        members: &members,
        webs: &[web],
        inside: [50.0 * n as f64 + play, 100.0, 100.0],
    };
    let link = Link { along: Direction::Width, members: (0..n).collect(), play, gaps: n as f64 + 1.0 };
    let trials = run(&parts, &[link], assumed);
    assert_eq!(trials.fits[0], trials.all, "one chain is all there is");
    (trials.all as f64 / assumed.trials as f64, quantile(&trials.gap_lacks[0], assumed.level))
}

#[test]
fn sums_of_even_deviations_are_irwin_halls() {
    let assumed = assumptions(Spread::Uniform);
    for (n, half, play) in [(1, 0.3, 0.1), (2, 0.3, 0.2), (3, 0.3, 0.25), (5, 0.2, 0.4), (6, 0.5, 1.0)] {
        let wanted = irwin_hall((play / half + n as f64) / 2.0, n as u32);
        let (chance, _) = row(n, half, play, &assumed);
        let error = (wanted * (1.0 - wanted) / 200_000.0).sqrt();
        assert!((chance - wanted).abs() < 5.0 * error, "{n} of ±{half} in {play}: {chance}, not {wanted}");
    }
}

#[test]
fn sums_of_bell_shapes_are_bell_shapes() {
    let assumed = assumptions(Spread::Normal);
    // Φ(1) and Φ(2), from any table.
    for (sds, wanted) in [(1.0, 0.841_345f64), (2.0, 0.977_250)] {
        let (n, half) = (4, 0.3);
        let play = sds * (half / 3.0) * f64::sqrt(n as f64);
        let (chance, _) = row(n, half, play, &assumed);
        let error = (wanted * (1.0 - wanted) / 200_000.0).sqrt();
        assert!((chance - wanted).abs() < 5.0 * error, "{chance}, not {wanted}");
    }
}

#[test]
fn the_clearance_that_is_named_brings_the_chance_that_is_wanted() {
    let mut assumed = assumptions(Spread::Uniform);
    for level in [0.9, 0.99, 0.999] {
        assumed.level = level;
        let (before, wants) = row(4, 0.4, 0.5, &assumed);
        let wants = wants.unwrap();
        assert!(before < level && wants > 0.0);
        // Five gaps: two at the sides and three between.
        let (after, still) = row(4, 0.4, 0.5 + 5.0 * wants + 1e-9, &assumed);
        assert!(after >= level && still.unwrap() <= 0.0, "{after} {level}");
        let (less, _) = row(4, 0.4, 0.5 + 5.0 * wants * 0.97, &assumed);
        assert!(less < level, "{less}: less would have done");
    }
}

#[test]
fn a_plan_has_its_chains_with_worst_case_and_squares() {
    let job = job("[[320, 320.4], 100, 40]");
    let plan = solve(&job, &Options::default(), &mut |_| {}).plan.unwrap();
    let assumed = Assumptions::of(&job);
    let found = tolerance(&job, &plan, &assumed);
    let width: Vec<&Chain> = found.chains.iter().filter(|c| c.along == Direction::Width).collect();
    assert!(!width.is_empty() && found.chains.iter().any(|c| c.along == Direction::Height));
    for chain in &found.chains {
        let trays = plan.settled.trays.iter().filter(|t| chain.bodies.contains(&t.name));
        let sizes: f64 = trays
            .map(|t| match chain.along {
                Direction::Width => t.size.w.to_mm_f64(),
                Direction::Depth => t.size.d.to_mm_f64(),
                Direction::Height => t.size.h.to_mm_f64(),
            })
            .sum();
        let inside = [320.0, 100.0, 40.0][chain.along as usize];
        assert!((chain.play - (inside - sizes)).abs() < 1e-9, "{chain:?}");
        assert!(chain.worst < chain.squares && chain.squares <= chain.play + 0.2, "{chain:?}");
        assert!(found.chance <= chain.chance);
        assert!((chain.causes().iter().map(|c| c.1).sum::<f64>() - 1.0).abs() < 1e-9);
    }
    // The box is a list of readings in width only: there it can only help.
    let of_box = |c: &Chain| c.terms.iter().find(|t| t.cause == Cause::Container).map(|t| t.shape.limits());
    assert_eq!(of_box(width[0]), Some((-0.4, 0.0)));
    assert_eq!(found, tolerance(&job, &plan, &assumed), "the same seed gives the same report");
}

#[test]
fn nothing_off_is_sure_and_much_off_is_not() {
    let job = job("[320, 100, 40]");
    let plan = solve(&job, &Options::default(), &mut |_| {}).plan.unwrap();
    let mut assumed = Assumptions::of(&job);
    for key in ["thickness", "floor", "cutting", "box", "kept", "movement"] {
        assumed.set(key, "0").unwrap();
    }
    let sure = tolerance(&job, &plan, &assumed);
    assert!(sure.chance == 1.0 && sure.gap_wants.unwrap() <= 0.0, "{sure:?}");
    assumed.set("cutting", "9 mm").unwrap();
    let unsure = tolerance(&job, &plan, &assumed);
    assert!(unsure.chance < 0.9 && unsure.gap_wants.unwrap() > 0.0);
    assert_eq!(unsure.riskiest().unwrap().causes()[0].0, Cause::Cutting);
}

#[test]
fn assumptions_are_read_and_refused() {
    let mut it = Assumptions::of(&job("[320, 100, 40]"));
    it.set("cutting", "1/64 in").unwrap();
    assert!((it.cutting.as_ref().unwrap().value - 0.396_875).abs() < 1e-12);
    it.set("level", "95 %").unwrap();
    assert!((it.level - 0.95).abs() < 1e-12);
    it.set("spread", "normal").unwrap();
    for (key, value) in [
        ("cutting", "-1"),
        ("cutting", "wide"),
        ("level", "100"),
        ("level", "20"),
        ("trials", "5"),
        ("seed", "x"),
        ("spread", "flat"),
        ("movement", "nan"),
        ("luck", "1"),
    ] {
        assert!(it.set(key, value).is_err(), "{key}={value}");
    }
}

#[test]
fn cutting_goes_by_the_published_table() {
    // snijlab.nl: sheets over 1 to 3 mm ±0.1, 0.2, 0.3, 0.4; over 3 to 6 mm ±0.3, 0.4, 0.5, 0.6.
    let mut stock = job("[320, 100, 40]").stock;
    stock.process = crate::job::Process::Laser;
    stock.thickness = Length::mm(3);
    let values = |stock: &crate::job::Stock| {
        [3, 35, 315, 316, 2001].map(|size| (cutting_of(stock, Length::mm(size)).value * 10.0).round() as i64)
    };
    assert_eq!(values(&stock), [1, 2, 3, 4, 4]);
    stock.thickness = Length::um(3_800);
    assert_eq!(values(&stock), [3, 4, 5, 5, 6]);
}
