//! A tolerance report in words, as a table, as JSON, and as a section of the report.

use serde_json::{Value, json};

use super::report::{cell, table_head, wrap};
use super::svg::{escape, plain};
use super::words::trimmed;
use crate::tolerance::{Assumed, Chain, Tolerance};

/// Chains shown on a screen.
const SHOWN: usize = 12;
/// Columns of a screen.
const COLUMNS: usize = 100;

/// A share as percent that never says more than the trials do.
fn percent(share: f64) -> String {
    match share {
        s if s >= 1.0 => "100".to_owned(),
        s if s > 0.999 => "over 99.9".to_owned(),
        s if s <= 0.0 => "0".to_owned(),
        s if s < 0.001 => "under 0.1".to_owned(),
        s => format!("{:.1}", s * 100.0),
    }
}

/// Two decimals, never a negative nothing.
fn mm(value: f64) -> String {
    let text = format!("{value:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text }
}

/// Where a chain is, in words.
fn place(chain: &Chain) -> String {
    match chain.layer {
        Some(layer) => format!("{}, layer {layer}", chain.along.word()),
        None => chain.along.word().to_owned(),
    }
}

/// Its bodies in a row.
fn names(chain: &Chain) -> String {
    chain.bodies.iter().map(|b| plain(b)).collect::<Vec<_>>().join(" | ")
}

/// What it comes to, in a few sentences.
fn sentences(it: &Tolerance) -> Vec<String> {
    let level = percent(it.assumed.level);
    let mut out = vec![format!(
        "Of {} boxes made by chance, everything went into {} %.",
        it.assumed.trials,
        percent(it.chance)
    )];
    let Some(chain) = it.riskiest() else { return out };
    let causes = chain.causes();
    if let Some((cause, share)) = causes.first() {
        let next = causes.get(1).map_or_else(String::new, |(cause, share)| {
            format!(", then {} ({:.0} %)", cause.word(), share * 100.0)
        });
        out.push(format!(
            "The greatest risk: {} ({}), and there {}, {:.0} % of all that may be off{next}.",
            place(chain),
            names(chain),
            cause.word(),
            share * 100.0
        ));
    }
    let (between, side, lid) = it.gaps;
    let more = |wants: f64| (wants * 10.0).ceil() / 10.0;
    match it.gap_wants {
        Some(wants) if wants > 0.0 => out.push(format!(
            "To be {level} % sure in width and depth, give every gap {} mm more: clearance {} mm between trays and {} mm at \
             the sides.",
            mm(more(wants)),
            mm(between + more(wants)),
            mm(side + more(wants))
        )),
        Some(_) => out.push(format!(
            "The clearance ({} mm between trays, {} mm at the sides) and the play of this plan are enough to be {level} % \
             sure in width and depth{}.",
            mm(between),
            mm(side),
            if it.lid_wants.is_some_and(|w| w > 0.0) { "; the height is another matter" } else { "" }
        )),
        None => {}
    }
    if let Some(wants) = it.lid_wants.filter(|w| *w > 0.0) {
        out.push(format!(
            "To be {level} % sure that the lid closes, keep {} mm more free under it: lid room {} mm.",
            mm(more(wants)),
            mm(lid + more(wants))
        ));
    }
    out
}

/// For a screen, at most 100 columns wide.
///
/// ```
/// # use traywright::{brief::Format, job, plan, tolerance};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// # let it = tolerance::tolerance(&job, &plan, &tolerance::Assumptions::of(&job));
/// let text = traywright::draw::tolerance_text(&it, "Quay");
/// assert!(text.starts_with("Quay: how sure the fit is\n"));
/// assert!(text.lines().all(|line| line.chars().count() <= 100));
/// ```
pub fn tolerance_text(it: &Tolerance, title: &str) -> String {
    let mut out = format!("{}: how sure the fit is\n", plain(title));
    for sentence in sentences(it) {
        out += &wrapped(&sentence, "");
    }
    out += "\nChains, the least sure first (mm)\n    play   worst squares  chance   where\n";
    for chain in it.chains.iter().take(SHOWN) {
        let line = format!(
            "{:>8}{:>8}{:>8}{:>8}   {}: {}",
            mm(chain.play),
            mm(chain.worst),
            mm(chain.squares),
            format!("{} %", percent(chain.chance).replace("over ", ">").replace("under ", "<")),
            place(chain),
            names(chain)
        );
        let cut: String = line.chars().take(COLUMNS - 1).collect();
        out += &if cut == line { line } else { format!("{}…", cut.trim_end()) };
        out.push('\n');
    }
    if it.chains.len() > SHOWN {
        out += &format!("  and {} more\n", it.chains.len() - SHOWN);
    }
    if it.more {
        out += "  Some layer has more chains than are looked at one by one; the chance of all counts them.\n";
    }
    out += "\nAssumed, ± mm (change with --assume KEY=VALUE)\n";
    for assumed in &it.reasons {
        out += &wrapped(&reason(assumed), "  ");
    }
    out += &wrapped(NOT_COUNTED, "");
    out
}

/// One row a chain.
///
/// ```
/// # use traywright::{brief::Format, job, plan, tolerance};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// # let it = tolerance::tolerance(&job, &plan, &tolerance::Assumptions::of(&job));
/// let table = traywright::draw::tolerance_csv(&it);
/// assert!(table.starts_with("direction,layer,bodies,play_mm,"));
/// assert_eq!(table.lines().count(), 1 + it.chains.len());
/// // The tray is as high as the box: without play, and the least sure.
/// assert!(table.lines().nth(1).unwrap().starts_with("height,,setup tray 1,0.0000,"));
/// ```
pub fn tolerance_csv(it: &Tolerance) -> String {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    // Writing into memory cannot fail.
    let heading = ["direction", "layer", "bodies", "play_mm", "worst_mm", "squares_mm", "chance", "wants_mm"];
    let _ = writer.write_record(heading);
    for chain in &it.chains {
        let number = |value: f64| format!("{value:.4}");
        let _ = writer.write_record([
            chain.along.word().to_owned(),
            chain.layer.map_or_else(String::new, |l| l.to_string()),
            names(chain),
            number(chain.play),
            number(chain.worst),
            number(chain.squares),
            format!("{:.6}", chain.chance),
            number(chain.wants),
        ]);
    }
    writer.into_inner().map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).unwrap_or_default()
}

/// Everything, each term of each chain too.
///
/// ```
/// # use traywright::{brief::Format, job, plan, tolerance};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// # let it = tolerance::tolerance(&job, &plan, &tolerance::Assumptions::of(&job));
/// let text = traywright::draw::tolerance_json(&it, "Quay");
/// let json: serde_json::Value = serde_json::from_str(&text).unwrap();
/// let first = &json["chains"][0];
/// assert_eq!((&first["direction"], &first["play_mm"]), (&"height".into(), &0.0.into()));
/// assert_eq!(first["chance"], it.chains[0].chance); // a share, 0 to 1
/// ```
pub fn tolerance_json(it: &Tolerance, title: &str) -> String {
    let chain = |c: &Chain| {
        let terms: Vec<Value> = c
            .terms
            .iter()
            .map(|t| {
                let (shape, limits) = t.shape.parameters();
                json!({ "cause": t.cause.word(), "of": t.of, "shape": shape, "limits_mm": limits })
            })
            .collect();
        let causes: Vec<Value> = c
            .causes()
            .iter()
            .map(|(cause, share)| json!({ "cause": cause.word(), "share": share }))
            .collect();
        json!({
            "direction": c.along.word(), "layer": c.layer, "bodies": c.bodies, "play_mm": c.play,
            "worst_mm": c.worst, "squares_mm": c.squares, "chance": c.chance, "wants_mm": c.wants,
            "causes": causes, "terms": terms,
        })
    };
    let assumed: Vec<Value> = it
        .reasons
        .iter()
        .map(|a| {
            json!({ "key": a.key, "what": a.what, "value": a.value, "source": a.source, "sure": a.sure.word() })
        })
        .collect();
    let all = json!({
        "title": title, "trials": it.assumed.trials, "seed": it.assumed.seed, "level": it.assumed.level,
        "chance": it.chance, "gap_wants_mm": it.gap_wants, "lid_wants_mm": it.lid_wants,
        "assumed": assumed, "chains": it.chains.iter().map(chain).collect::<Vec<_>>(),
    });
    format!("{all:#}\n")
}

/// What no figure here speaks of.
const NOT_COUNTED: &str = "Not counted: warped sheets, sides of the box that bulge, glue in a joint. Thickness is \
     reckoned from what you measured: measure the sheet you will cut, in several places.";

/// A value with its reason in words.
fn reason(it: &Assumed) -> String {
    let value = trimmed(it.value, 3);
    format!("{} {value}: {}; {} ({})", it.key, it.what, it.source, it.sure.word())
}

/// Running text on a screen, broken between words; further lines hang two columns deeper.
pub(crate) fn wrapped(text: &str, indent: &str) -> String {
    let (mut out, mut line) = (String::new(), indent.to_owned());
    for word in text.split_whitespace() {
        if line.trim().chars().count() > 0 && line.chars().count() + 1 + word.chars().count() > COLUMNS {
            out += &format!("{}\n", line.trim_end());
            line = format!("{indent}  ");
        }
        if !line.is_empty() && !line.ends_with(' ') {
            line.push(' ');
        }
        line += word;
    }
    out + &format!("{line}\n")
}

/// Chains in the table of the report.
const IN_REPORT: usize = 8;

/// The section of the report.
pub(super) fn section(it: &Tolerance) -> String {
    let said: String = sentences(it).iter().map(|s| format!("<p>{}</p>\n", escape(s))).collect();
    let heads = [
        ("", "Chain"),
        ("n", "play, mm"),
        ("n", "worst case, mm"),
        ("n", "sum of squares, mm"),
        ("n", "chance, %"),
    ];
    let mut out = format!("{said}<table class=\"cards\">\n{}<tbody>\n", table_head(&heads));
    for chain in it.chains.iter().take(IN_REPORT) {
        out += &format!(
            "<tr>{}{}{}{}{}</tr>\n",
            cell("first", "Chain", &escape(&format!("{}: {}", place(chain), names(chain)))),
            cell("n", "play, mm", &mm(chain.play)),
            cell("n", "worst case, mm", &mm(chain.worst)),
            cell("n", "sum of squares, mm", &mm(chain.squares)),
            cell("n", "chance, %", &percent(chain.chance))
        );
    }
    out += "</tbody>\n</table>\n<p class=\"small soft\">Play that is left: as planned, when everything goes against it at \
            once, and by the root of the sum of squared limits. Assumed, ± mm:</p>\n<ul class=\"plain small\">\n";
    for assumed in &it.reasons {
        out += &format!("<li>{}</li>\n", escape(&reason(assumed)));
    }
    out += &format!("</ul>\n<p class=\"small soft\">{}</p>\n", escape(NOT_COUNTED));
    if it.chains.is_empty() { String::new() } else { wrap("tolerance", "How sure the fit is", &out) }
}
