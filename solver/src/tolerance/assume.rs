//! What is assumed about deviations, where it comes from, and how sure that is.

use crate::job::material::{Material, material};
use crate::job::{Job, Process, Stock, defaults};
use crate::length::{Length, Unit, parse_length};

/// How sure a value is.
///
/// ```
/// use traywright::tolerance::{Assumptions, Sure};
/// # use traywright::{brief::Format, job};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// let mut assumed = Assumptions::of(&job);
/// assert_eq!(assumed.container.sure, Sure::Practice);
/// assumed.set("box", "0.2 mm").unwrap();
/// assert_eq!(assumed.container.sure, Sure::Given);
/// assert!(Sure::Given < Sure::Practice); // the surest first
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sure {
    /// Measured or set by the maker.
    Given,
    /// Read in what a mill, a shop or a report publishes.
    Published,
    /// A standard's figure from memory.
    Memory,
    /// Common practice, no source.
    Practice,
}

impl Sure {
    /// In words.
    ///
    /// ```
    /// use traywright::tolerance::Sure;
    /// assert_eq!(Sure::Memory.word(), "from memory");
    /// assert_eq!(Sure::Practice.word(), "common practice, no source");
    /// ```
    pub fn word(self) -> &'static str {
        match self {
            Sure::Given => "given",
            Sure::Published => "published",
            Sure::Memory => "from memory",
            Sure::Practice => "common practice, no source",
        }
    }
}

/// One value with its reason.
///
/// ```
/// use traywright::tolerance::{Assumptions, Sure};
/// # use traywright::{brief::Format, job};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// let assumed = Assumptions::of(&job);
/// assert_eq!((assumed.container.key, assumed.container.value), ("box", 0.5)); // ± mm
/// assert_eq!((assumed.movement.key, assumed.movement.value), ("movement", 0.27)); // percent
/// assert_eq!(assumed.movement.sure, Sure::Published);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// Key by which it is set.
    pub key: &'static str,
    /// What it is.
    pub what: &'static str,
    /// The value; millimetres, or percent for `movement`.
    pub value: f64,
    /// Where it comes from.
    pub source: String,
    /// How sure that is.
    pub sure: Sure,
}

/// How deviations are spread between their limits.
///
/// ```
/// use traywright::tolerance::{Assumptions, Spread, tolerance};
/// # use traywright::{brief::Format, job, plan};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let mut assumed = Assumptions::of(&job);
/// assert_eq!(assumed.spread, Spread::Uniform);
/// let careful = tolerance(&job, &plan, &assumed);
/// assumed.spread = Spread::Normal;
/// let beside = |it: &traywright::tolerance::Tolerance| it.gap_wants.unwrap();
/// assert!(beside(&tolerance(&job, &plan, &assumed)) < beside(&careful));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// All alike: the careful choice.
    Uniform,
    /// Bell-shaped, the limits at three standard deviations.
    Normal,
}

/// Everything that a tolerance report assumes.
///
/// ```
/// use traywright::tolerance::Assumptions;
/// # use traywright::{brief::Format, job};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// let assumed = Assumptions::of(&job);
/// assert_eq!((assumed.level, assumed.trials), (0.99, 20_000));
/// assert!(assumed.cutting.is_none()); // by size, from a table
/// ```
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Assumptions {
    /// Sheet thickness, ± about what was measured.
    pub thickness: Assumed,
    /// Thickness of floors, ±.
    pub floor: Assumed,
    /// A cut part's size, ±; `None`: by size, from the table of [`cutting_of`].
    pub cutting: Option<Assumed>,
    /// Inside of the box, ±, where it was read once.
    pub container: Assumed,
    /// Kept and cover items, ±.
    pub kept: Assumed,
    /// How much trays grow or shrink from when they are cut to when they are used, percent of their size.
    pub movement: Assumed,
    /// How deviations are spread.
    pub spread: Spread,
    /// Wanted chance that everything goes in, as a share.
    pub level: f64,
    /// Trials of the simulation.
    pub trials: usize,
    /// Seed of the simulation.
    pub seed: u64,
}

/// Keys that [`Assumptions::set`] takes.
pub const KEYS: [&str; 10] =
    ["thickness", "floor", "cutting", "box", "kept", "movement", "spread", "level", "trials", "seed"];

/// Trials unless set: the standard error of a chance of 99 % is then 0.07 %.
const TRIALS: usize = 20_000;
/// Trials at most: some minutes.
const MOST_TRIALS: usize = 5_000_000;

impl Assumptions {
    /// What is assumed for a job unless its maker says otherwise.
    ///
    /// ```
    /// use traywright::tolerance::{Assumptions, Sure};
    /// # use traywright::{brief::Format, job};
    /// # let brief = r#"box.interior = [120, 90, 40]
    /// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
    /// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// assert_eq!(Assumptions::of(&job).thickness.sure, Sure::Published); // plywood
    /// let measured = [("stock.thickness_spread".into(), "0.3 mm".into())];
    /// let job = job::read(brief, "b.toml", Format::Toml, None, &measured).unwrap();
    /// // Sheets that were measured differ by half of their spread to either side.
    /// let thickness = Assumptions::of(&job).thickness;
    /// assert_eq!((thickness.value, thickness.sure), (0.15, Sure::Given));
    /// ```
    pub fn of(job: &Job) -> Assumptions {
        let reading = "a rule is read to half a millimetre";
        let practice =
            |key, what, value| Assumed { key, what, value, source: reading.to_owned(), sure: Sure::Practice };
        let kind = material(&job.stock.name);
        let movement = defaults::movement(kind) as f64 / 10_000.0;
        let (source, sure) = match kind {
            Material::Acrylic => ("0.0072 % a kelvin over 30 K, a supplier's figure", Sure::Published),
            Material::Plywood => (
                "three-ply, across the grain, from 30 to 90 % relative humidity (Forest Products Research Laboratory, mean of 22 species)",
                Sure::Published,
            ),
            _ => ("taken as for plywood, for want of a source", Sure::Practice),
        };
        let floor = job.floor_stock.as_ref().unwrap_or(&job.stock);
        Assumptions {
            thickness: thickness("thickness", "sheet thickness of walls", &job.stock, job.stock.thickness),
            floor: thickness("floor", "sheet thickness of floors and lids", floor, job.floor),
            cutting: None,
            container: practice("box", "inside of the box, where it was read once", 0.5),
            kept: practice("kept", "kept and cover items", 0.5),
            movement: Assumed {
                key: "movement",
                what: "growth of trays with moisture or warmth, percent",
                value: movement,
                source: source.to_owned(),
                sure,
            },
            spread: Spread::Uniform,
            level: 0.99,
            trials: TRIALS,
            seed: 1,
        }
    }

    /// Sets one value by its key, as a maker writes it: a length (`0.2 mm`), `movement` and `level` in percent,
    /// `spread` as `uniform` or `normal`.
    ///
    /// ```
    /// use traywright::tolerance::Assumptions;
    /// # use traywright::{brief::Format, job};
    /// # let brief = r#"box.interior = [120, 90, 40]
    /// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
    /// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// let mut assumed = Assumptions::of(&job);
    /// assumed.set("cutting", "1/64 in").unwrap();
    /// assert_eq!(assumed.cutting.as_ref().unwrap().value, 0.396875); // mm
    /// assumed.set("level", "95 %").unwrap();
    /// assert_eq!(assumed.level, 0.95);
    /// assert!(assumed.set("level", "100").is_err() && assumed.set("luck", "1").is_err());
    /// ```
    ///
    /// # Errors
    /// What is wrong with key or value, in a sentence.
    pub fn set(&mut self, key: &str, value: &str) -> Result<(), String> {
        let length = || -> Result<f64, String> {
            let length = parse_length(value, Unit::Millimetre).map_err(|e| format!("`{key}`: {e}"))?;
            let most = Length::mm(100);
            if length < Length::ZERO || length > most {
                return Err(format!("`{key}` is a length from 0 to 100 mm"));
            }
            Ok(length.to_mm_f64())
        };
        let percent = |most: f64| -> Result<f64, String> {
            let number = value.trim().trim_end_matches('%').trim().parse::<f64>();
            number.ok().filter(|n| (0.0..=most).contains(n)).ok_or(format!("`{key}` is from 0 to {most} %"))
        };
        let given = |it: &mut Assumed, value: f64| {
            (it.value, it.sure) = (value, Sure::Given);
            "set by you".clone_into(&mut it.source);
        };
        match key {
            "thickness" => given(&mut self.thickness, length()?),
            "floor" => given(&mut self.floor, length()?),
            "box" => given(&mut self.container, length()?),
            "kept" => given(&mut self.kept, length()?),
            "movement" => given(&mut self.movement, percent(10.0)?),
            "cutting" => {
                let what = "size of a cut part";
                let source = "set by you".to_owned();
                self.cutting =
                    Some(Assumed { key: "cutting", what, value: length()?, source, sure: Sure::Given });
            }
            "spread" => {
                self.spread = match value.trim() {
                    "uniform" => Spread::Uniform,
                    "normal" => Spread::Normal,
                    _ => return Err("`spread` is `uniform` or `normal`".to_owned()),
                }
            }
            "level" => {
                let level = percent(100.0)? / 100.0;
                if !(0.5..1.0).contains(&level) {
                    return Err("`level` is from 50 % to less than 100 %".to_owned());
                }
                self.level = level;
            }
            "trials" => {
                let trials = value.trim().parse().ok().filter(|n| (100..=MOST_TRIALS).contains(n));
                self.trials = trials.ok_or(format!("`trials` is from 100 to {MOST_TRIALS}"))?;
            }
            "seed" => self.seed = value.trim().parse().map_err(|_| "`seed` is a whole number".to_owned())?,
            _ => return Err(format!("`{key}` is none of {}", KEYS.join(", "))),
        }
        Ok(())
    }

    /// All values with their reasons, for reports; cutting by the sizes that it is asked for.
    ///
    /// ```
    /// use traywright::tolerance::Assumptions;
    /// # use traywright::{brief::Format, job};
    /// # let brief = r#"box.interior = [120, 90, 40]
    /// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
    /// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// let listed = Assumptions::of(&job).listed(&job);
    /// let keys: Vec<&str> = listed.iter().map(|it| it.key).collect();
    /// assert_eq!(keys, ["cutting", "thickness", "floor", "box", "kept", "movement"]);
    /// assert_eq!(listed[0].value, 0.3); // a part of 100 mm, cut by laser from 3 mm
    /// ```
    pub fn listed(&self, job: &Job) -> Vec<Assumed> {
        let cutting = self.cutting.clone().unwrap_or_else(|| cutting_of(&job.stock, Length::mm(100)));
        vec![
            cutting,
            self.thickness.clone(),
            self.floor.clone(),
            self.container.clone(),
            self.kept.clone(),
            self.movement.clone(),
        ]
    }
}

/// How much a sheet's thickness differs from what was measured.
fn thickness(key: &'static str, what: &'static str, stock: &Stock, measured: Length) -> Assumed {
    if let Some(range) = stock.spread {
        let source = format!("half of the spread of {range} that was given");
        return Assumed { key, what, value: (range / 2).to_mm_f64(), source, sure: Sure::Given };
    }
    let kind = material(&stock.name);
    let cast = kind == Material::Acrylic && stock.name.to_lowercase().contains("cast");
    let mut value = defaults::thickness_spread(kind, measured);
    let (source, sure) = match kind {
        Material::Acrylic if cast => {
            value = Length::um(400) + measured / 10;
            (
                "cast acrylic, 0.4 mm and a tenth of the thickness (ISO 7823-1, read second-hand)",
                Sure::Published,
            )
        }
        Material::Acrylic => ("extruded acrylic, 5 % (ISO 7823-2, read second-hand)", Sure::Published),
        Material::Plywood => {
            ("half of the range within one panel of sanded birch, a mill's table", Sure::Published)
        }
        Material::Fibreboard => ("EN 622-1; a mill's sheet agrees", Sure::Memory),
        Material::Board => ("greyboard, a maker's sheet", Sure::Published),
        Material::Wood | Material::FoamBoard | Material::Unknown => {
            ("no figure for this material", Sure::Practice)
        }
    };
    Assumed { key, what, value: value.to_mm_f64(), source: source.to_owned(), sure }
}

/// How much a cut part of this size may differ, by sheet thickness and size of the part: one shop's table for
/// laser-cut wood and acrylic (snijlab.nl, "precisiebewerkingen", headed ISO 9013). A knife or a saw led by hand is
/// taken as half a millimetre (common practice, no source).
///
/// ```
/// use traywright::{length::Length, tolerance::cutting_of};
/// # use traywright::{brief::Format, job};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// // Plywood of 3 mm, cut by laser.
/// let off = |size| cutting_of(&job.stock, Length::mm(size)).value;
/// assert_eq!([35, 36, 316].map(off), [0.2, 0.3, 0.4]);
/// ```
pub fn cutting_of(stock: &Stock, size: Length) -> Assumed {
    /// Sizes up to this, with what they may differ.
    type Row = (Length, Length);
    const THIN: [Row; 4] = [
        (Length::mm(3), Length::um(100)),
        (Length::mm(35), Length::um(200)),
        (Length::mm(315), Length::um(300)),
        (Length::mm(i64::MAX / 2_000_000), Length::um(400)),
    ];
    const THICK: [Row; 4] = [
        (Length::mm(10), Length::um(300)),
        (Length::mm(125), Length::um(400)),
        (Length::mm(2000), Length::um(500)),
        (Length::mm(i64::MAX / 2_000_000), Length::um(600)),
    ];
    let (value, source, sure) = match stock.process {
        Process::Laser => {
            let table = if stock.thickness <= Length::mm(3) { THIN } else { THICK };
            let row = table.iter().find(|(up_to, _)| size <= *up_to);
            let value = row.map_or(Length::um(600), |(_, value)| *value);
            (value, "by size, the table of a shop that cuts wood and acrylic by laser", Sure::Published)
        }
        Process::Knife | Process::Saw => (Length::um(500), "a cut along a ruler or a fence", Sure::Practice),
    };
    Assumed {
        key: "cutting",
        what: "size of a cut part (here of 100 mm)",
        value: value.to_mm_f64(),
        source: source.to_owned(),
        sure,
    }
}
