//! Hostile input: texts bent at random, and every reader that must take them without a panic.
//!
//! The mutator knows nothing of the formats but a list of words that they use; seeds come from the scenarios.

use std::panic::{AssertUnwindSafe, catch_unwind};

use traywright::brief::Format;
use traywright::check::check;
use traywright::draw;
use traywright::job::{self, Job, Source};
use traywright::length::{Unit, parse_length, parse_volume};
use traywright::plan::Plan;
use traywright::random::Random;
use traywright::shop::{self, Catalogue};

use crate::{sample, scenarios};

/// What is fed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// Length and volume text.
    Lengths,
    /// A brief in TOML.
    Toml,
    /// A brief in JSON.
    Json,
    /// An inventory beside a brief.
    Inventory,
    /// A plan file, through the checker and all drawings.
    Plan,
    /// A job list (CSV, JSON lines) and a box list.
    Jobs,
    /// A stock list (TOML, CSV).
    Stocks,
}

/// All of them.
pub const TARGETS: [Target; 7] = [
    Target::Lengths,
    Target::Toml,
    Target::Json,
    Target::Inventory,
    Target::Plan,
    Target::Jobs,
    Target::Stocks,
];

/// Words that formats use, and numbers that are trouble.
const WORDS: &[&str] = &[
    "0",
    "-1",
    "1e308",
    "-0.0",
    "1e-400",
    "nan",
    "inf",
    "9223372036854775807",
    "-9223372036854775808",
    "340282366920938463463374607431768211456",
    "0.1",
    "1/0",
    "1/64",
    "2 1/2 in",
    "\"",
    "''",
    "\"\"\"",
    "[",
    "]",
    "{",
    "}",
    "[[",
    "]]",
    "=",
    ",",
    ";",
    "\n",
    "\r\n",
    "\t",
    "\0",
    "\u{feff}",
    "\u{202e}",
    "é",
    "𝄞",
    "#",
    "//",
    "\\u0000",
    "\\",
    "null",
    "true",
    "false",
    "mm",
    "cm",
    "in",
    "ml",
    "in3",
    "fl oz",
    "g",
    "kg",
    "%",
    "name",
    "count",
    "size",
    "held",
    "at",
    "layer",
    "tray",
    "[[tray]]",
    "[[tray.part]]",
    "[tray.part.tray]",
    "[[kept]]",
    "[[cover]]",
    "[[part]]",
    "[box]",
    "interior",
    "clearance",
    "stock",
    "thickness",
    "floor",
    "divider",
    "layers",
    "most",
    "heights",
    "least",
    "wishes",
    "access",
    "loose",
    "stack",
    "solid",
    "face",
    "each",
    "piles",
    "sleeve",
    "film",
    "stand",
    "lean",
    "turn",
    "any",
    "none",
    "grid",
    "unit",
    "stored",
    "side",
    "set.",
    "id",
    "brief",
    "1000000",
    "1000001",
    "2000",
    "0.0001",
    "10000 mm",
    "1e3",
    "1_000",
    "+5",
    "٣",
    "½",
];

/// Longest text that is made of a seed.
const LONGEST: usize = 64_000;

/// A seed bent in one to eight places; `other` is a second seed to take pieces from.
pub fn bent(seed: &str, other: &str, random: &mut Random) -> String {
    let mut text: Vec<char> = seed.chars().collect();
    let donor: Vec<char> = other.chars().collect();
    for _ in 0..=random.below(8) {
        let at = random.below(text.len() + 1);
        let short = if random.below(4) == 0 { 200 } else { 8 };
        let end = (at + random.below(short)).min(text.len());
        let new: Vec<char> = match random.below(9) {
            0 => Vec::new(),
            1 => char::from_u32(random.below(0x11_0000) as u32).into_iter().collect(),
            2 => vec![char::from(random.below(128) as u8)],
            3 | 4 => WORDS[random.below(WORDS.len())].chars().collect(),
            5 => text[at..end].iter().rev().copied().collect(),
            6 => {
                let from = random.below(donor.len() + 1);
                donor[from..(from + random.below(120)).min(donor.len())].to_vec()
            }
            7 => text[at..end].repeat(2 + random.below(3)),
            _ => {
                // A digit for another, which keeps the form.
                for c in text.iter_mut().skip(at).filter(|c| c.is_ascii_digit()).take(1 + random.below(3)) {
                    *c = char::from(b'0' + random.below(10) as u8);
                }
                continue;
            }
        };
        text.splice(at..end, new);
        text.truncate(LONGEST);
    }
    text.into_iter().collect()
}

/// Seeds of every target and what they need, read once.
#[derive(Debug)]
pub struct Fuzz {
    toml: Vec<String>,
    json: Vec<String>,
    inventories: Vec<String>,
    plans: Vec<String>,
    jobs: Vec<String>,
    stocks: Vec<String>,
    lengths: Vec<String>,
    job: Job,
}

impl Default for Fuzz {
    fn default() -> Self {
        Fuzz::new()
    }
}

fn file(path: &str) -> String {
    std::fs::read_to_string(scenarios::folder().join(path)).unwrap_or_default()
}

impl Fuzz {
    /// Reads the scenarios.
    pub fn new() -> Fuzz {
        let toml: Vec<String> = scenarios::briefs(&["easy", "medium", "hard"])
            .iter()
            .filter_map(|(_, path)| std::fs::read_to_string(path).ok())
            .chain([sample::BRIEF.to_owned()])
            .collect();
        let json = [
            r#"{"box":{"interior":[152,106,38]},"stock":{"name":"greyboard","thickness":2},"part":[{"name":"shells","loose":{"volume":"46 ml"}},{"name":"cards","use":"setup","stack":{"face":[63.5,88.9],"count":72,"each":0.3,"stand":["flat","lean"],"sleeve":{"film":0.1,"face":[66,91]}}}]}"#,
            r#"{"title":"a","unit":"in","box":{"interior":["10 3/4",["8","8 1/8"],2.5],"lid_room":"1/16","clearance":{"between":0.03,"side":"1/32"}},"stock":{"name":"birch plywood","thickness":"3/32","process":"laser","floor":"2 mm"},"layers":{"most":2,"heights":["open",{"least":1,"most":"2"}]},"kept":[{"name":"k","size":[1,2,1],"count":2,"turn":"any","held":{"at":[0,0,0]}}],"tray":[{"name":"t","span":2,"lid":true,"part":[{"name":"p","solid":{"size":[1,1,0.5],"count":3,"pile":true}},{"name":"q","tray":{"part":[{"name":"r","loose":{"count":9,"form":"disc","piece":[0.5,0.5,0.1]}}]}}]}]}"#,
        ];
        let lengths = [
            "63.5 mm",
            "2 1/2 in",
            "3/32 in",
            "2-1/2\"",
            "6.35 cm",
            "45 ml",
            "2.75 in3",
            "1 1/2 fl oz",
            "0.35",
            "1 imp fl oz",
            "12",
        ];
        let jsonl = "{\"id\":\"a\",\"brief\":\"easy/tides.toml\",\"interior\":[160,110,32],\"set\":{\"layers.most\":2}}\n{\"id\":\"b\",\"brief\":\"x.toml\",\"box\":\"*\",\"stock\":\"*\"}\n";
        Fuzz {
            toml,
            json: json.map(str::to_owned).to_vec(),
            inventories: vec![
                file("medium/fishwives.csv"),
                "name,tray,use,loose.volume\nshells,,always,46 ml\n".into(),
                "name;stack.face.width;stack.face.depth;stack.count;stack.each\nkarten;63,5;88,9;54;0,3\n"
                    .into(),
            ],
            plans: vec![sample::PLAN.to_owned()],
            jobs: vec![file("shop/jobs.csv"), jsonl.into(), file("shop/boxes.csv")],
            stocks: vec![file("shop/stocks.toml"), file("shop/stocks.csv")],
            lengths: lengths.map(str::to_owned).to_vec(),
            job: sample::job(),
        }
    }

    fn seeds(&self, target: Target) -> &[String] {
        match target {
            Target::Lengths => &self.lengths,
            Target::Toml => &self.toml,
            Target::Json => &self.json,
            Target::Inventory => &self.inventories,
            Target::Plan => &self.plans,
            Target::Jobs => &self.jobs,
            Target::Stocks => &self.stocks,
        }
    }

    /// The text of one execution.
    pub fn text(&self, target: Target, seed: u64, execution: u64) -> String {
        let mut random = Random::new(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ execution);
        let seeds = self.seeds(target);
        let (one, other) = (random.below(seeds.len()), random.below(seeds.len()));
        bent(&seeds[one], &seeds[other], &mut random)
    }

    /// Feeds a text; says whether it was taken (read without a fault).
    pub fn feed(&self, target: Target, text: &str) -> bool {
        match target {
            Target::Lengths => {
                let units = [Unit::Millimetre, Unit::Centimetre, Unit::Inch];
                let lengths = units.map(|u| parse_length(text, u).is_ok());
                let volumes = units.map(|u| parse_volume(text, u).is_ok());
                lengths.into_iter().chain(volumes).any(|ok| ok)
            }
            Target::Toml => job::read(text, "fuzz.toml", Format::Toml, None, &[]).is_ok(),
            Target::Json => job::read(text, "fuzz.json", Format::Json, None, &[]).is_ok(),
            Target::Inventory => {
                let brief = "inventory = \"fuzz.csv\"\n[box]\ninterior = [300, 200, 60]\n[stock]\nname = \"greyboard\"\nthickness = 2\n";
                let source = Source {
                    name: "fuzz.toml".into(),
                    text: brief.into(),
                    format: Format::Toml,
                    inventory: Some(("fuzz.csv".into(), text.into())),
                    stock_list: None,
                    corrections: None,
                };
                source.read(&[]).is_ok()
            }
            Target::Plan => match Plan::from_json("fuzz.plan.json", text) {
                Ok(plan) => {
                    let content = check(&self.job, &plan).is_empty();
                    // Pictures are only made of plans that pass, but the library may be asked for others.
                    let layers = plan.settled.layers.len().min(4);
                    let pictures =
                        (0..=layers + 1).map(|k| draw::layer_svg(&self.job, &plan, k).len()).sum::<usize>();
                    let report = draw::report_html(&self.job, &plan, &draw::ReportExtra::default());
                    content && pictures + report.len() + draw::summary(&self.job, &plan).len() > 0
                }
                Err(_) => false,
            },
            Target::Jobs => {
                let boxes = shop::read_boxes("boxes.csv", text);
                let shelf = Catalogue {
                    boxes: boxes.as_deref().unwrap_or_default().to_vec(),
                    stocks: vec!["birch-3".into(), "foam-5".into()],
                };
                let csv = shop::read_jobs("jobs.csv", text, &shelf);
                let lines = shop::read_jobs("jobs.jsonl", text, &shelf);
                boxes.is_ok() || csv.is_ok() || lines.is_ok()
            }
            Target::Stocks => {
                job::read_list("stocks.toml", text).is_ok() | job::read_list("stocks.csv", text).is_ok()
            }
        }
    }

    /// Executions of one target; how many texts were taken, and the texts that panicked.
    pub fn run(&self, target: Target, seed: u64, executions: std::ops::Range<u64>) -> (u64, Vec<String>) {
        let (mut taken, mut crashed) = (0, Vec::new());
        for execution in executions {
            let text = self.text(target, seed, execution);
            match catch_unwind(AssertUnwindSafe(|| self.feed(target, &text))) {
                Ok(ok) => taken += u64::from(ok),
                Err(_) => crashed.push(text),
            }
        }
        (taken, crashed)
    }
}
