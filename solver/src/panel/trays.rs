//! The trays of a plan one by one, nested ones after the tray they lie in.

use crate::job::{Contents, FreePart, Job, Part, Tray};
use crate::place::{Cuboid, Point, Size};
use crate::plan::account::sunk;
use crate::plan::{PlacedTray, Plan};

/// A tray that is to be made.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel;
/// let made = &panel::trays(&job, &plan)[0];
/// assert_eq!(made.tray.size, plan.settled.trays[0].size);
/// // No tray is named in the brief, and nothing is sunk into this one.
/// assert!(made.rule.is_none() && made.recesses.is_empty());
/// ```
#[derive(Clone, Debug)]
pub struct Made<'a> {
    /// Its name, nested ones as `outer › inner`.
    pub name: String,
    /// Where and how large it is, and what is in it.
    pub tray: &'a PlacedTray,
    /// What the brief says of it; `None` for a tray that the program made up for parts without one.
    pub rule: Option<&'a Tray>,
    /// What is sunk into it takes this much, its play counted, from the tray's own corner.
    pub recesses: Vec<Cuboid>,
}

/// All trays of the settled arrangement, in the order of the plan; what lies in a tray comes right after it.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "box.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[tray]]\nname = \"purse\"\n[[tray.part]]\nname = \"till\"\n\
/// #     [[tray.part.tray.part]]\nname = \"stubs\"\nloose = { volume = \"4 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel;
/// // A small tray lives in the only compartment of the purse.
/// let names: Vec<String> = panel::trays(&job, &plan).into_iter().map(|t| t.name).collect();
/// assert_eq!(names, ["purse", "purse › till"]);
/// ```
pub fn trays<'a>(job: &'a Job, plan: &'a Plan) -> Vec<Made<'a>> {
    let mut out = Vec::new();
    // What is still to be listed, the next one last: trays may lie deep in one another.
    let mut open: Vec<Made> = Vec::new();
    let play = job.container.between;
    let sunk: Vec<Cuboid> = sunk(&plan.settled)
        .map(|b| Cuboid {
            at: Point { x: b.at.x - play, y: b.at.y - play, z: b.at.z },
            size: Size { w: b.size.w + play * 2, d: b.size.d + play * 2, h: b.size.h },
        })
        .collect();
    for tray in plan.settled.trays.iter().rev() {
        let rule = job.trays.iter().find(|t| t.name == tray.name);
        let outer = Cuboid { at: tray.at, size: tray.size };
        let own = sunk.iter().filter(|s| meet(s, &outer)).map(|s| {
            let from = |a: Point, b: Point| Point { x: a.x - b.x, y: a.y - b.y, z: a.z - b.z };
            Cuboid { at: from(s.at, tray.at), size: s.size }
        });
        open.push(Made { name: tray.name.clone(), tray, rule, recesses: own.collect() });
    }
    while let Some(made) = open.pop() {
        for compartment in made.tray.compartments.iter().rev() {
            let Some(inner) = compartment.tray.as_deref() else { continue };
            let rule = part(job, made.rule, &compartment.part).and_then(|p| match &p.contents {
                Contents::Tray(own) => Some(own.as_ref()),
                _ => None,
            });
            open.push(Made {
                name: format!("{} › {}", made.name, inner.name),
                tray: inner,
                rule,
                recesses: Vec::new(),
            });
        }
        out.push(made);
    }
    out
}

/// Whether two bodies share room.
fn meet(a: &Cuboid, b: &Cuboid) -> bool {
    let (fa, fb) = (a.far(), b.far());
    a.at.x < fb.x && b.at.x < fa.x && a.at.y < fb.y && b.at.y < fa.y && a.at.z < fb.z && b.at.z < fa.z
}

/// The part that a compartment is for: of the tray's own, or of those without a tray.
pub(super) fn part<'a>(job: &'a Job, rule: Option<&'a Tray>, name: &str) -> Option<&'a Part> {
    let own = rule.and_then(|t| t.parts.iter().find(|p| p.name == name));
    own.or_else(|| job.free.iter().map(|FreePart { part, .. }| part).find(|p| p.name == name))
}

impl Made<'_> {
    /// Whether both are cut alike: only their places in the box differ.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan};
    /// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
    /// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
    /// #     [[tray]]\nname = \"captain\"\ncount = 2\nsize = [55, 80, 30]\n\
    /// #     [[tray.part]]\nname = \"mail\"\nloose = { volume = \"20 ml\" }\n";
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
    /// use traywright::{length::Length, panel};
    /// let all = panel::trays(&job, &plan);
    /// assert!(all[0].like(&all[1]) && all[0].tray.at != all[1].tray.at);
    /// let mut other = all[1].tray.clone();
    /// other.size.h += Length::from_nm(1);
    /// assert!(!all[0].like(&panel::Made { tray: &other, ..all[1].clone() }));
    /// ```
    pub fn like(&self, other: &Made) -> bool {
        let (a, b) = (self.tray, other.tray);
        let from = |p: Point, o: Point| Point { x: p.x - o.x, y: p.y - o.y, z: p.z - o.z };
        self.name == other.name
            && self.recesses == other.recesses
            && (a.size, a.wall, a.floor, a.lid, a.grip) == (b.size, b.wall, b.floor, b.lid, b.grip)
            && a.compartments.len() == b.compartments.len()
            && a.dividers.len() == b.dividers.len()
            && a.compartments.iter().zip(&b.compartments).all(|(c, d)| {
                (&c.part, &c.standing, c.size, from(c.at, a.at))
                    == (&d.part, &d.standing, d.size, from(d.at, b.at))
            })
            && a.dividers
                .iter()
                .zip(&b.dividers)
                .all(|(c, d)| (c.size, from(c.at, a.at)) == (d.size, from(d.at, b.at)))
    }
}
