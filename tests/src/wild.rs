//! Random briefs: small whole jobs with a bit of everything that a brief may hold.

use traywright::brief::Format;
use traywright::finding::Finding;
use traywright::job::{self, Job};
use traywright::random::Random;

/// A part: its contents.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// What it holds.
    pub contents: Contents,
}

/// What a part holds; lengths in tenths of a millimetre.
#[derive(Clone, Debug)]
pub enum Contents {
    /// Cubic millimetres.
    Loose(i64),
    /// Face, count, thickness of each, piles.
    Stack([i64; 2], i64, i64, i64),
    /// Size, count, any turn, pile.
    Solid([i64; 3], i64, bool, bool),
}

/// A tray.
#[derive(Clone, Debug)]
pub struct Tray {
    /// Its name.
    pub name: String,
    /// Its use.
    pub usage: &'static str,
    /// Like trays.
    pub count: i64,
    /// Most layers it reaches through.
    pub span: i64,
    /// Low.
    pub low: bool,
    /// With a lid.
    pub lid: bool,
    /// Its parts.
    pub parts: Vec<Part>,
}

/// A brief; lengths in tenths of a millimetre.
#[derive(Clone, Debug)]
pub struct Brief {
    /// Inside of the box.
    pub interior: [i64; 3],
    /// Room under the lid.
    pub lid_room: i64,
    /// Play between trays, and to the sides.
    pub clearance: [i64; 2],
    /// Stock, floor, divider.
    pub thickness: [i64; 3],
    /// Most layers.
    pub layers: i64,
    /// The step of the search.
    pub grid: i64,
    /// Trays.
    pub trays: Vec<Tray>,
    /// Kept items: name, size, count, any turn.
    pub kept: Vec<(String, [i64; 3], i64, bool)>,
    /// Cover items.
    pub cover: Vec<(String, [i64; 3])>,
    /// Lifts weigh something.
    pub access: bool,
}

/// What a random brief may hold.
#[derive(Clone, Copy, Debug)]
pub struct Wild {
    /// Most trays.
    pub trays: usize,
    /// Most parts in a tray.
    pub parts: usize,
    /// Poured contents, whose trays have no least height.
    pub loose: bool,
    /// Lengths off the grid too.
    pub off_grid: bool,
    /// Cover items, spans, low trays, lids.
    pub everything: bool,
}

fn between(random: &mut Random, from: i64, to: i64) -> i64 {
    from + random.below((to - from + 1).max(1) as usize) as i64
}

fn once_in(random: &mut Random, n: usize) -> bool {
    random.below(n) == 0
}

/// A random brief: the box about as large as its contents ask for, so that some fit and some do not.
pub fn brief(random: &mut Random, wild: Wild) -> Brief {
    // In tenths of a millimetre: on the grid of 1 mm, or anywhere.
    let length = |random: &mut Random, from: i64, to: i64| {
        if wild.off_grid && once_in(random, 3) {
            between(random, 10 * from, 10 * to)
        } else {
            10 * between(random, from, to)
        }
    };
    let mut trays = Vec::new();
    for t in 0..between(random, 1, wild.trays as i64) {
        let mut parts = Vec::new();
        for p in 0..between(random, 1, wild.parts as i64) {
            let contents = match random.below(if wild.loose { 4 } else { 3 }) {
                0 => {
                    let face = [length(random, 12, 40), length(random, 12, 40)];
                    Contents::Stack(
                        face,
                        between(random, 4, 30),
                        between(random, 2, 12),
                        between(random, 1, 2),
                    )
                }
                1 | 2 => {
                    let size = [length(random, 6, 30), length(random, 6, 30), length(random, 4, 22)];
                    Contents::Solid(size, between(random, 1, 5), once_in(random, 3), once_in(random, 3))
                }
                _ => Contents::Loose(500 * between(random, 6, 40)),
            };
            parts.push(Part { name: format!("part {t}-{p}"), contents });
        }
        trays.push(Tray {
            name: format!("tray {t}"),
            usage: ["always", "setup", "seldom"][random.below(3)],
            count: if once_in(random, 5) { 2 } else { 1 },
            span: if wild.everything { between(random, 1, 2) } else { 1 },
            low: wild.everything && once_in(random, 6),
            lid: wild.everything && once_in(random, 6),
            parts,
        });
    }
    let kept = (0..random.below(3))
        .map(|k| {
            let size = [length(random, 10, 40), length(random, 10, 40), length(random, 8, 30)];
            (format!("carton {k}"), size, between(random, 1, 2), once_in(random, 3))
        })
        .collect();
    let interior =
        [between(random, 50, 120) * 10, between(random, 40, 90) * 10, between(random, 24, 64) * 10];
    let covers = if wild.everything { random.below(4) } else { 0 };
    let cover = (0..covers)
        .map(|c| {
            let size =
                [between(random, 200, interior[0]), between(random, 200, interior[1]), length(random, 1, 4)];
            (format!("chart {c}"), size)
        })
        .collect();
    let thickness = between(random, 1, 3) * 10;
    Brief {
        interior,
        lid_room: length(random, 0, 2),
        clearance: [length(random, 0, 1).max(1), length(random, 0, 1).max(1)],
        thickness: [thickness, thickness.min(20), thickness.min(20)],
        layers: between(random, 1, 2),
        grid: 10,
        trays,
        kept,
        cover,
        access: once_in(random, 2),
    }
}

impl Brief {
    /// The brief as text, every length (those with a default too) `scale` times as large.
    pub fn text(&self, scale: i64) -> String {
        let mm = |tenths: i64| {
            let tenths = tenths * scale;
            format!("{}.{}", tenths / 10, tenths % 10)
        };
        let list = |sizes: &[i64]| sizes.iter().map(|s| mm(*s)).collect::<Vec<_>>().join(", ");
        let mut out = format!(
            "title = \"wild\"\n[box]\ninterior = [{}]\nlid_room = {}\nclearance = {{ between = {}, side = {} }}\n",
            list(&self.interior),
            mm(self.lid_room),
            mm(self.clearance[0]),
            mm(self.clearance[1])
        );
        let [wall, floor, divider] = self.thickness.map(mm);
        out += &format!(
            "[stock]\nname = \"birch plywood\"\nthickness = {wall}\nfloor = {floor}\ndivider = {divider}\nprocess = \"laser\"\n\
             [layers]\nmost = {}\n[search]\ngrid = {}\n",
            self.layers,
            mm(self.grid)
        );
        if !self.access {
            out += "[wishes]\naccess = { always = 0.0, setup = 0.0, seldom = 0.0 }\n";
        }
        for (name, size, count, any) in &self.kept {
            let turn = if *any { "any" } else { "upright" };
            out += &format!(
                "[[kept]]\nname = \"{name}\"\nsize = [{}]\ncount = {count}\nturn = \"{turn}\"\n",
                list(size)
            );
        }
        for (name, size) in &self.cover {
            out += &format!("[[cover]]\nname = \"{name}\"\nsize = [{}]\n", list(size));
        }
        for t in &self.trays {
            out += &format!(
                "[[tray]]\nname = \"{}\"\nuse = \"{}\"\ncount = {}\nspan = {}\nlow = {}\nlid = {}\ngrip = \"ribbon\"\n",
                t.name, t.usage, t.count, t.span, t.low, t.lid
            );
            for p in &t.parts {
                out += &format!("[[tray.part]]\nname = \"{}\"\n", p.name);
                out += &match &p.contents {
                    Contents::Loose(mm3) => {
                        let mm3 = mm3 * scale.pow(3);
                        let ml = format!("{}.{:03} ml", mm3 / 1000, mm3 % 1000);
                        format!("loose = {{ volume = \"{ml}\", finger = {} }}\n", mm(100))
                    }
                    Contents::Stack(face, count, each, piles) => format!(
                        "stack = {{ face = [{}], count = {count}, each = {}, piles = {piles}, ease = {}, finger = 0 }}\n",
                        list(face),
                        mm(*each),
                        mm(10)
                    ),
                    Contents::Solid(size, count, any, pile) => format!(
                        "solid = {{ size = [{}], count = {count}, turn = \"{}\", pile = {pile}, ease = {} }}\n",
                        list(size),
                        if *any { "any" } else { "upright" },
                        mm(10)
                    ),
                };
            }
        }
        out
    }

    /// The job of the brief.
    ///
    /// # Errors
    /// What is wrong with it: a random part may be too large for the box.
    pub fn job(&self, scale: i64) -> Result<Job, Vec<Finding>> {
        job::read(&self.text(scale), "wild.toml", Format::Toml, None, &[])
    }
}
