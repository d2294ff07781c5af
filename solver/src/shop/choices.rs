//! Plans to choose from: such as differ in what a maker sees.
//!
//! Two plans look alike if they have the same layers with the same trays in each, copies of a tray being one like another,
//! and are made of equally many panels. Of plans that look alike the best counts; one that has the same trays in the same
//! layers as a better one must have fewer panels to be worth a look.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::table::{Cell, Table};
use crate::draw::count;
use crate::finding::Finding;
use crate::job::Job;
use crate::length::Volume;
use crate::panel::panels;
use crate::plan::{Options, Outcome, Plan, Progress, alternatives};

/// In what a plan differs from the best one, the most visible thing first.
///
/// ```
/// # use traywright::{brief::Format, job, plan::Options, shop::{Difference, choices}};
/// # let brief = r#"box.interior = [120, 90, 60]
/// # stock = { name = "greyboard", thickness = 2 }
/// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
/// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = Options::default();
/// # options.nodes = 1_000;
/// let found = choices(&job, 3, &options, &mut |_| {});
/// let told: Vec<Difference> = found.plans.iter().map(|choice| choice.difference).collect();
/// assert_eq!(told, [Difference::Best, Difference::Layers]);
/// assert!(Difference::Layers < Difference::Places); // more visible
/// assert_eq!(serde_json::to_value(told).unwrap()[1], "layers");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Difference {
    /// It is the best one.
    Best,
    /// Another number of layers.
    Layers,
    /// Fewer panels.
    Panels,
    /// Other trays in some layer.
    Places,
}

/// A plan to choose.
///
/// ```
/// # use traywright::{brief::Format, job, plan::Options, shop::choices};
/// # let brief = r#"box.interior = [120, 90, 60]
/// # stock = { name = "greyboard", thickness = 2 }
/// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
/// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = Options::default();
/// # options.nodes = 1_000;
/// let second = &choices(&job, 3, &options, &mut |_| {}).plans[1];
/// // Two trays, each of a floor and four walls, one above the other.
/// assert_eq!(second.panels, Some(10));
/// assert_eq!(second.layers, [[("cargo".into(), 1)], [("decks".into(), 1)]]);
/// ```
#[derive(Clone, Debug)]
pub struct Choice {
    /// The plan; it has passed the checker.
    pub plan: Plan,
    /// What is most visible about it.
    pub difference: Difference,
    /// Its panels; `None` where a tray of it cannot be made.
    pub panels: Option<usize>,
    /// Names of the trays of each layer, from the floor up, each with how many there are.
    pub layers: Vec<Vec<(String, usize)>>,
}

/// Plans to choose from, the best first.
///
/// ```
/// # use traywright::{brief::Format, job, plan::Options, shop::choices};
/// # let brief = r#"box.interior = [120, 90, 60]
/// # stock = { name = "greyboard", thickness = 2 }
/// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
/// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = Options::default();
/// # options.nodes = 1_000;
/// let found = choices(&job, 1, &options, &mut |_| {});
/// assert_eq!((found.asked, found.plans.len(), found.differ), (1, 1, 2));
/// // What came of the brief is the best of them.
/// let best = found.outcome.plan.unwrap();
/// assert_eq!(best.objective_mm3.value, found.plans[0].value());
/// ```
#[derive(Clone, Debug)]
pub struct Choices {
    /// What came of the brief as it is.
    pub outcome: Outcome,
    /// The plans, the best first; empty without a plan.
    pub plans: Vec<Choice>,
    /// How many were asked for.
    pub asked: usize,
    /// How many searches with something forbidden there were.
    pub tried: usize,
    /// How many plans differ in what a maker sees.
    pub differ: usize,
}

/// Plans that differ in what a maker sees, at most so many: the best one; the best with another number of layers; the
/// best with fewer panels; then others by their value.
///
/// The same job, seed and nodes give the same choices, on any number of threads.
///
/// ```
/// # use traywright::{brief::Format, job, plan::Options, shop::choices};
/// # let brief = r#"box.interior = [120, 90, 60]
/// # stock = { name = "greyboard", thickness = 2 }
/// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
/// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = Options::default();
/// # options.nodes = 1_000;
/// let found = choices(&job, 3, &options, &mut |_| {});
/// let layers: Vec<usize> = found.plans.iter().map(|choice| choice.layers.len()).collect();
/// assert_eq!(layers, [1, 2]);
/// assert!(found.plans[0].value() < found.plans[1].value());
/// ```
pub fn choices(job: &Job, count: usize, options: &Options, progress: &mut dyn FnMut(&Progress)) -> Choices {
    let found = alternatives(job, options, progress);
    let all = found.outcome.plan.iter().cloned().chain(found.others);
    let seen = distinct(all.map(|plan| seen(job, plan)).collect());
    let differ = seen.len();
    let plans = picked(seen, count);
    Choices { outcome: found.outcome, plans, asked: count, tried: found.tried, differ }
}

fn seen(job: &Job, plan: Plan) -> Choice {
    let of = |layer: usize| {
        let mut names: BTreeMap<String, usize> = BTreeMap::new();
        for tray in plan.settled.trays.iter().filter(|t| t.layers.first() == Some(&layer)) {
            *names.entry(tray.name.clone()).or_default() += 1;
        }
        names.into_iter().collect()
    };
    let layers = (1..=plan.settled.layers.len()).map(of).collect();
    let made: Result<_, Vec<Finding>> = panels(job, &plan);
    let count = made.ok().map(|trays| trays.iter().map(|t| t.panels.len() * t.copies).sum());
    Choice { plan, difference: Difference::Best, panels: count, layers }
}

/// Those that look unlike every better one; the list is ordered by value.
fn distinct(all: Vec<Choice>) -> Vec<Choice> {
    let mut out: Vec<Choice> = Vec::new();
    for mut one in all {
        // A plan that cannot be made is no choice beside others.
        if !out.is_empty() && one.panels.is_none() {
            continue;
        }
        let fewer = |other: &Choice| matches!((one.panels, other.panels), (Some(a), Some(b)) if a < b);
        if out.iter().any(|other| other.layers == one.layers && !fewer(other)) {
            continue;
        }
        one.difference = match out.first() {
            None => Difference::Best,
            Some(best) if best.layers.len() != one.layers.len() => Difference::Layers,
            Some(best) if fewer(best) => Difference::Panels,
            Some(_) => Difference::Places,
        };
        out.push(one);
    }
    out
}

/// At most so many: one of every difference, then the best.
fn picked(all: Vec<Choice>, count: usize) -> Vec<Choice> {
    let mut taken: Vec<usize> = Vec::new();
    for difference in [Difference::Best, Difference::Layers, Difference::Panels, Difference::Places] {
        taken.extend(all.iter().position(|c| c.difference == difference));
    }
    for i in 0..all.len() {
        if !taken.contains(&i) {
            taken.push(i);
        }
    }
    taken.truncate(count);
    taken.sort_unstable();
    let mut all: Vec<Option<Choice>> = all.into_iter().map(Some).collect();
    taken.into_iter().filter_map(|i| all.get_mut(i).and_then(Option::take)).collect()
}

impl Choice {
    /// Waste and lifts.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan::Options, shop::choices};
    /// # let brief = r#"box.interior = [120, 90, 60]
    /// # stock = { name = "greyboard", thickness = 2 }
    /// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
    /// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = Options::default();
    /// # options.nodes = 1_000;
    /// let upper = &choices(&job, 3, &options, &mut |_| {}).plans[1];
    /// let told = upper.plan.objective_mm3;
    /// // A tray lies on another here, so lifts count beside the waste.
    /// assert!(upper.value() == told.wasted + told.access && upper.value() > told.wasted);
    /// ```
    pub fn value(&self) -> Volume {
        self.plan.objective_mm3.value
    }
}

impl Choices {
    /// How much more waste and lifts a choice counts than the best one, in percent.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan::Options, shop::choices};
    /// # let brief = r#"box.interior = [120, 90, 60]
    /// # stock = { name = "greyboard", thickness = 2 }
    /// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
    /// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = Options::default();
    /// # options.nodes = 1_000;
    /// let found = choices(&job, 3, &options, &mut |_| {});
    /// let [best, other] = [0, 1].map(|i| found.plans[i].value().to_ml_f64());
    /// assert_eq!(found.more_percent(&found.plans[0]), 0.0);
    /// let more = found.more_percent(&found.plans[1]);
    /// assert!((best * (100.0 + more) / 100.0 - other).abs() < 1e-9);
    /// ```
    pub fn more_percent(&self, choice: &Choice) -> f64 {
        let best = self.plans.first().map_or(0.0, |b| b.value().to_ml_f64());
        if best > 0.0 { 100.0 * (choice.value().to_ml_f64() / best - 1.0) } else { 0.0 }
    }

    /// Says so where there are fewer than were asked for.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan::Options, shop::choices};
    /// # let brief = r#"box.interior = [120, 90, 60]
    /// # stock = { name = "greyboard", thickness = 2 }
    /// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
    /// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = Options::default();
    /// # options.nodes = 1_000;
    /// let told = |count| choices(&job, count, &options, &mut |_| {}).shortfall();
    /// assert!(told(3).unwrap().starts_with("3 plans were asked for and 2 found"));
    /// assert_eq!(told(2), None);
    /// ```
    pub fn shortfall(&self) -> Option<String> {
        if self.plans.len() >= self.asked || self.plans.is_empty() {
            return None;
        }
        let found = self.plans.len();
        Some(if self.tried == 0 {
            format!(
                "{} plans were asked for; trays and layers of this brief leave no other choice than {found}.",
                self.asked
            )
        } else {
            format!(
                "{} plans were asked for and {found} found: {} further searches, each with something of the best plan \
                 forbidden, met none that looks otherwise than these. That does not prove that there is none.",
                self.asked, self.tried
            )
        })
    }

    /// Names of the trays of a layer: `captain × 3, cargo`.
    ///
    /// ```
    /// use traywright::shop::Choices;
    /// let layer = [("captain".to_owned(), 3), ("cargo".to_owned(), 1)];
    /// assert_eq!(Choices::names(&layer), "captain × 3, cargo");
    /// ```
    pub fn names(layer: &[(String, usize)]) -> String {
        let name = |(name, n): &(String, usize)| {
            if *n > 1 { format!("{} × {n}", crate::draw::plain(name)) } else { crate::draw::plain(name) }
        };
        layer.iter().map(name).collect::<Vec<_>>().join(", ")
    }

    /// One row a plan, for tables.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan::Options, shop::{Cell, choices}};
    /// # let brief = r#"box.interior = [120, 90, 60]
    /// # stock = { name = "greyboard", thickness = 2 }
    /// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
    /// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = Options::default();
    /// # options.nodes = 1_000;
    /// let table = choices(&job, 3, &options, &mut |_| {}).table();
    /// let told = table.pick(&["plan", "layers", "panels"]);
    /// assert_eq!(told.rows[1], ["2", "2", "10"].map(Cell::number));
    /// ```
    pub fn table(&self) -> Table {
        let ml = |v: Volume| Cell::number(v.show_ml().trim_end_matches(" ml"));
        let row = |(i, c): (usize, &Choice)| {
            let p = &c.plan;
            vec![
                Cell::number((i + 1).to_string()),
                ml(c.value()),
                Cell::number(format!("{:.1}", self.more_percent(c))),
                ml(p.objective_mm3.wasted),
                ml(p.objective_mm3.access),
                Cell::number(c.layers.len().to_string()),
                Cell::number(p.settled.trays.len().to_string()),
                c.panels.map_or(Cell::Empty, |n| Cell::number(n.to_string())),
                ml(p.settled.volumes_mm3.spare),
            ]
        };
        Table {
            columns: vec![
                "plan",
                "value_ml",
                "more_percent",
                "wasted_ml",
                "access_ml",
                "layers",
                "trays",
                "panels",
                "spare_ml",
            ],
            rows: self.plans.iter().enumerate().map(row).collect(),
        }
    }

    /// For a screen: the table, then what lies in each layer of each plan, from the top down.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan::Options, shop::choices};
    /// # let brief = r#"box.interior = [120, 90, 60]
    /// # stock = { name = "greyboard", thickness = 2 }
    /// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
    /// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = Options::default();
    /// # options.nodes = 1_000;
    /// let text = choices(&job, 3, &options, &mut |_| {}).text();
    /// let lines: Vec<&str> = text.lines().filter(|l| l.contains("layer ")).collect();
    /// assert!(lines[0].starts_with("    layer 1") && lines[0].ends_with("cargo, decks"));
    /// assert!(lines[1].starts_with("  * layer 2") && lines[1].ends_with(": decks"));
    /// ```
    pub fn text(&self) -> String {
        let mut out = self.table().text();
        for (i, choice) in self.plans.iter().enumerate() {
            out += &format!("\n{}  {}\n", i + 1, self.about(choice));
            for (k, layer) in choice.layers.iter().enumerate().rev() {
                let height = choice.plan.settled.layers.get(k).map_or(0.0, |l| l.height.to_mm_f64());
                let same = self.plans.first().is_some_and(|b| b.layers.get(k) == Some(layer));
                let mark = if i > 0 && !same { "*" } else { " " };
                out += &format!("  {mark} layer {}, {height:.1} mm: {}\n", k + 1, Choices::names(layer));
            }
        }
        if self.plans.len() > 1 {
            out += "\n* other trays than in that layer of plan 1\n";
        }
        if let Some(told) = self.shortfall() {
            out += &format!("\n{told}\n");
        }
        out
    }

    /// What a plan is beside the best one, in a sentence.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan::Options, shop::choices};
    /// # let brief = r#"box.interior = [120, 90, 60]
    /// # stock = { name = "greyboard", thickness = 2 }
    /// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
    /// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = Options::default();
    /// # options.nodes = 1_000;
    /// let found = choices(&job, 3, &options, &mut |_| {});
    /// assert_eq!(found.about(&found.plans[0]), "The best plan");
    /// let told = found.about(&found.plans[1]);
    /// assert!(told.starts_with("2 layers instead of 1: ") && told.ends_with("than the best"));
    /// ```
    pub fn about(&self, choice: &Choice) -> String {
        let Some(best) = self.plans.first() else { return String::new() };
        let more = choice.value() - best.value();
        let cost =
            format!("{:.1} ml ({:.1} %) more than the best", more.to_ml_f64(), self.more_percent(choice));
        let fewer = match (choice.panels, best.panels) {
            (Some(a), Some(b)) if a < b => format!(", {} fewer", count(b - a, "panel")),
            (Some(a), Some(b)) if a > b => format!(", {} more", count(a - b, "panel")),
            _ => String::new(),
        };
        match choice.difference {
            Difference::Best => "The best plan".into(),
            Difference::Layers => {
                let layers = count(choice.layers.len(), "layer");
                format!("{layers} instead of {}{fewer}: {cost}", best.layers.len())
            }
            Difference::Panels => format!("Fewer panels{fewer}: {cost}"),
            Difference::Places => format!("Other trays in the layers{fewer}: {cost}"),
        }
    }

    /// Everything, for other programs; the plans themselves are files of their own.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan::Options, shop::choices};
    /// # let brief = r#"box.interior = [120, 90, 60]
    /// # stock = { name = "greyboard", thickness = 2 }
    /// # tray = [{ name = "cargo", part = [{ name = "mail", loose = { volume = "40 ml" } }] },
    /// #     { name = "decks", part = [{ name = "cards", loose = { volume = "60 ml" } }] }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = Options::default();
    /// # options.nodes = 1_000;
    /// let text = choices(&job, 3, &options, &mut |_| {}).json();
    /// let read: serde_json::Value = serde_json::from_str(&text).unwrap();
    /// assert_eq!(read["format"], "traywright-choices");
    /// assert_eq!(read["plans"][1]["difference"], "layers");
    /// assert_eq!(read["plans"][1]["layers"][0]["trays"][0]["tray"], "cargo"); // from the floor up
    /// ```
    pub fn json(&self) -> String {
        let plan = |(i, c): (usize, &Choice)| {
            let layers: Vec<Value> = c
                .layers
                .iter()
                .zip(&c.plan.settled.layers)
                .map(|(trays, l)| {
                    let trays: Vec<Value> =
                        trays.iter().map(|(n, k)| json!({ "tray": n, "count": k })).collect();
                    json!({ "height": l.height, "trays": trays })
                })
                .collect();
            json!({
                "plan": i + 1, "difference": c.difference, "objective_mm3": c.plan.objective_mm3,
                "more_mm3": c.value() - self.plans.first().map_or(c.value(), Choice::value),
                "more_percent": (self.more_percent(c) * 1000.0).round() / 1000.0,
                "panels": c.panels, "trays": c.plan.settled.trays.len(),
                "spare_mm3": c.plan.settled.volumes_mm3.spare, "layers": layers,
            })
        };
        let all = json!({
            "format": "traywright-choices", "version": 1,
            "title": self.plans.first().map_or("", |c| c.plan.title.as_str()),
            "asked": self.asked, "differ": self.differ, "searches": self.tried,
            "plans": self.plans.iter().enumerate().map(plan).collect::<Vec<_>>(),
        });
        format!("{all:#}\n")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Format;
    use crate::job;

    fn plan() -> (Job, Plan) {
        let brief = "box.interior = [120, 90, 40]\nstock = { name = \"birch plywood\", thickness = 3 }\n\
            [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
        let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
        let options = Options { nodes: 10_000, ..Options::default() };
        let plan = crate::plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
        (job, plan)
    }

    fn choice(plan: &Plan, value: i64, panels: usize, layers: &[&[(&str, usize)]]) -> Choice {
        let mut plan = plan.clone();
        plan.objective_mm3.value = Volume::from_nm3(i128::from(value) * 1_000_000_000_000_000_000_000);
        let layers = layers.iter().map(|l| l.iter().map(|(n, k)| ((*n).to_owned(), *k)).collect()).collect();
        Choice { plan, difference: Difference::Best, panels: Some(panels), layers }
    }

    #[test]
    fn plans_that_look_alike_count_once_and_fewer_panels_count() {
        let (_, plan) = plan();
        let a: &[&[(&str, usize)]] = &[&[("x", 2)], &[("y", 1)]];
        let b: &[&[(&str, usize)]] = &[&[("x", 1)], &[("x", 1), ("y", 1)]];
        let all = vec![
            choice(&plan, 100, 20, a),
            choice(&plan, 101, 20, a),
            choice(&plan, 102, 18, a),
            choice(&plan, 103, 19, a),
            choice(&plan, 104, 25, b),
            choice(&plan, 105, 25, &[&[("x", 2), ("y", 1)]]),
        ];
        let seen = distinct(all);
        let told: Vec<_> = seen.iter().map(|c| (c.value().to_ml_f64().round(), c.difference)).collect();
        assert_eq!(
            told,
            [
                (100.0, Difference::Best),
                (102.0, Difference::Panels),
                (104.0, Difference::Places),
                (105.0, Difference::Layers)
            ]
        );
        let values =
            |n| picked(seen.clone(), n).iter().map(|c| c.value().to_ml_f64().round()).collect::<Vec<_>>();
        assert_eq!(values(1), [100.0]);
        assert_eq!(values(2), [100.0, 105.0]);
        assert_eq!(values(3), [100.0, 102.0, 105.0]);
        assert_eq!(values(9), [100.0, 102.0, 104.0, 105.0]);
    }

    #[test]
    fn a_brief_without_choice_says_so() {
        let (job, _) = plan();
        let options = Options { nodes: 20_000, ..Options::default() };
        let found = choices(&job, 3, &options, &mut |_| {});
        assert_eq!(found.plans.len(), 1);
        assert!(found.shortfall().unwrap().contains("3 plans were asked for"), "{:?}", found.shortfall());
        assert!(found.text().contains("The best plan"));
    }
}
