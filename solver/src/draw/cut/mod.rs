//! Files to cut from: sheets as SVG and DXF, cut list, workshop page, assembly cards, paper patterns, test coupons.
//!
//! Lines come out of [`crate::cut`], where the width of the cut has been allowed for; nothing here moves them.

mod back;
mod card;
mod coupon;
mod dxf;
mod explode;
mod list;
mod page;
mod pattern;
mod sheet_svg;
mod words;

pub use back::Counts;
pub use coupon::{CouponFiles, coupon_files};

use std::collections::BTreeMap;

use super::scene::Scene;
use crate::check;
use crate::cut::{self, CutJob, CutSheet, Operation, Options};
use crate::finding::{Finding, Severity};
use crate::job::{Colours, Job};
use crate::panel;
use crate::plan::Plan;

/// One file to be written.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{cut::Options, draw};
/// let files = draw::cut(&job, &plan, "quay", &Options::default()).unwrap().files;
/// let of = |name: &str| files.iter().find(|f| f.name == name).unwrap();
/// assert!(of("quay.cut.csv").counts.is_none()); // a list, no lines
/// assert!(of("quay.sheet-1.dxf").counts.is_some());
/// assert!(of("quay.sheet-1.svg").text.starts_with("<svg "));
/// ```
#[derive(Clone, Debug)]
pub struct CutFile {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub text: String,
    /// What it must hold when it is read back, where it holds lines to cut.
    pub counts: Option<Counts>,
}

/// All files of a plan's panels.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{cut::Options, draw};
/// let made = draw::cut(&job, &plan, "quay", &Options::default()).unwrap();
/// assert_eq!((made.job.proofs.len(), made.job.lots[0].sheets.len()), (1, 1));
/// assert!(made.files.iter().all(|f| f.name.starts_with("quay.")));
/// assert!(made.summary.starts_with("Quay: 5 panels on 1 sheet\n"));
/// ```
#[derive(Clone, Debug)]
pub struct CutFiles {
    /// What they show.
    pub job: CutJob,
    /// The files.
    pub files: Vec<CutFile>,
    /// What is said about them, for a screen.
    pub summary: String,
}

/// From a plan to every file that is needed to cut and to build it. The plan is checked and the assembly of its trays
/// proven first, and every file of lines is read back and counted before it is handed out. `stem` begins the files' names.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{cut::Options, draw, length::Length};
/// assert!(draw::cut(&job, &plan, "quay", &Options::default()).is_ok());
/// // A plan that the checker refuses is not cut.
/// let mut wrong = plan.clone();
/// wrong.settled.trays[0].at.x += Length::mm(1);
/// assert!(draw::cut(&job, &wrong, "quay", &Options::default()).is_err());
/// ```
///
/// # Errors
/// What the checker finds; trays that cannot be made, or whose assembly is not proven; stock that cannot be cut; panels that no sheet holds.
pub fn cut(job: &Job, plan: &Plan, stem: &str, options: &Options) -> Result<CutFiles, Vec<Finding>> {
    let faults = check::refusal(job, plan);
    if !faults.is_empty() {
        return Err(faults);
    }
    let trays = panel::panels(job, plan)?;
    let (mut proofs, mut unproven) = (Vec::with_capacity(trays.len()), Vec::new());
    for tray in &trays {
        match panel::prove(job, plan, tray) {
            Ok(proof) => proofs.push(proof),
            Err(findings) => unproven.extend(findings),
        }
    }
    if !unproven.is_empty() {
        return Err(unproven);
    }
    let scene = Scene::new(job, plan);
    let all: Vec<&str> = scene.items.iter().filter(|i| i.tray.is_some()).map(|i| i.mark.as_str()).collect();
    let of = |placed: &usize| all.get(*placed).map_or_else(String::new, |m| (*m).to_owned());
    let marks = trays.iter().map(|t| t.placed.iter().map(of).collect()).collect();
    let mut made = cut::lay_out(job, trays, marks, options)?;
    let notes: Vec<Finding> = made.trays.iter().flat_map(|t| t.notes.iter().cloned()).collect();
    made.findings.extend(check::earlier(job, plan));
    made.findings.extend(notes);
    made.proofs = proofs;
    cut_files(job, made, stem, options)
}

/// The files of panels that are laid out already.
///
/// ```
/// # use traywright::{brief::Format, cut, job, panel, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// # let (trays, marks) = (panel::panels(&job, &plan).unwrap(), vec![vec!["A".to_owned()]]);
/// # let made = cut::lay_out(&job, trays, marks, &cut::Options::default()).unwrap();
/// use traywright::{cut::Options, draw};
/// let mut options = Options::default();
/// options.pattern = true;
/// let files = draw::cut_files(&job, made.clone(), "quay", &options).unwrap().files;
/// assert!(files.iter().any(|f| f.name == "quay.pattern.html"));
/// let usual = draw::cut_files(&job, made, "quay", &Options::default()).unwrap().files;
/// assert_eq!(usual.len() + 1, files.len()); // a laser's stock needs no paper pattern
/// ```
///
/// # Errors
/// `D006` where a file that was read back does not hold what was drawn.
pub fn cut_files(job: &Job, made: CutJob, stem: &str, options: &Options) -> Result<CutFiles, Vec<Finding>> {
    let mut files = Vec::new();
    let mut plain = |ending: &str, text: String| {
        files.push(CutFile { name: format!("{stem}.{ending}"), text, counts: None });
    };
    plain("cut.html", page::page(job, &made));
    plain("cut.csv", list::csv(job, &made));
    plain("cut.json", list::json(&made, stem));
    plain("assembly.html", card::cards(job, &made));
    if let Some(text) = pattern::pattern(&made, options) {
        plain("pattern.html", text);
    }
    for lot in &made.lots {
        for sheet in &lot.sheets {
            let name = format!("{stem}.sheet-{}", sheet.number);
            let svg = |s: &CutSheet| sheet_svg::sheet_svg(&made, lot, s);
            files.extend(sheet_files(&name, sheet, &lot.stock.colours, svg));
        }
    }
    let wrong: Vec<Finding> = files.iter().filter_map(|f| read_back(f, &f.text)).collect();
    if wrong.is_empty() {
        let summary = words::summary(&made, &files);
        Ok(CutFiles { job: made, files, summary })
    } else {
        Err(wrong)
    }
}

/// Both files of lines of one sheet, with what they must hold.
fn sheet_files(
    name: &str,
    sheet: &CutSheet,
    colours: &Colours,
    svg: impl Fn(&CutSheet) -> String,
) -> [CutFile; 2] {
    [
        CutFile {
            name: format!("{name}.svg"),
            text: svg(sheet),
            counts: Some(expected(sheet, |o| o.name().to_owned())),
        },
        CutFile {
            name: format!("{name}.dxf"),
            text: dxf::dxf(sheet, colours),
            counts: Some(expected(sheet, |o| dxf::layer(o).to_owned())),
        },
    ]
}

/// What a file of a sheet must hold.
fn expected(sheet: &CutSheet, name: impl Fn(Operation) -> String) -> Counts {
    let mut lines = BTreeMap::new();
    for line in &sheet.lines {
        *lines.entry(name(line.operation)).or_default() += 1;
    }
    let extents = sheet.extents().map(|(a, b)| [a.x, a.y, b.x, b.y].map(|l| l.to_mm_f64()));
    Counts { lines, extents }
}

/// Reads a file of lines back, as it was written: `None` where it holds what it must.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{cut::Options, draw::{self, read_back}};
/// let files = draw::cut(&job, &plan, "quay", &Options::default()).unwrap().files;
/// let sheet = files.iter().find(|f| f.name == "quay.sheet-1.svg").unwrap();
/// assert_eq!(read_back(sheet, &sheet.text), None);
/// let torn = &sheet.text[..sheet.text.len() / 2];
/// assert_eq!(read_back(sheet, torn).unwrap().code, "D006");
/// ```
pub fn read_back(file: &CutFile, text: &str) -> Option<Finding> {
    let expected = file.counts.as_ref()?;
    let found = if file.name.ends_with(".dxf") { back::count_dxf(text) } else { back::count_svg(text) };
    match found {
        Some(found) if found.agrees(expected) => None,
        Some(_) => {
            let cause = format!("{} holds other lines, or elsewhere, than were drawn", file.name);
            Some(Finding::listed("D006", cause))
        }
        None => Some(Finding::listed("D006", format!("{} cannot be read back", file.name))),
    }
}

/// Warnings and notes, the graver first.
fn by_severity(findings: &[Finding]) -> Vec<&Finding> {
    let mut all: Vec<&Finding> = findings.iter().collect();
    all.sort_by_key(|f| std::cmp::Reverse(f.severity));
    all.retain(|f| f.severity < Severity::Fault);
    all
}

#[cfg(test)]
mod tests;
