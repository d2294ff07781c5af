//! The report: one HTML page that needs no network and no script, for screen, phone and paper.

mod access;
mod account;
pub(in crate::draw) mod cautions;
mod figures;
mod head;
mod notes;
mod slack;

pub(crate) use figures::inline;
pub(super) use notes::all_findings;
pub(super) use slack::tightest;

use super::palette::DEFS;
use super::scene::Scene;
use super::svg::{escape, plain};
use crate::finding::Finding;
use crate::job::Job;
use crate::plan::Plan;
use crate::tolerance::Tolerance;

/// What a report can say beyond job and plan.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::draw::{ReportExtra, report_html};
/// let mut extra = ReportExtra::default();
/// extra.brief = "winter/quay.toml".into();
/// let page = report_html(&job, &plan, &extra);
/// assert!(page.contains("quay.toml") && !page.contains("winter/"));
/// assert!(!report_html(&job, &plan, &ReportExtra::default()).contains("quay.toml"));
/// ```
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct ReportExtra {
    /// Name of the brief's file; of a path only its end is shown. Not said where empty.
    pub brief: String,
    /// Findings that are neither in the job nor in the plan.
    pub findings: Vec<Finding>,
    /// How sure the fit is; no section without it.
    pub tolerance: Option<Tolerance>,
}

pub(in crate::draw) const STYLE: &str = include_str!("style.css");

/// Writes the report of a plan as one self-contained HTML page.
///
/// It prints on A4 and Letter with text of at least 7 pt, and reads on a screen 360 px wide. The bytes
/// depend on the arguments only.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::draw::{ReportExtra, report_html};
/// let page = report_html(&job, &plan, &ReportExtra::default());
/// assert!(page.contains("<title>Quay: box insert</title>"));
/// assert!(!page.contains("<script") && !page.contains("<link")); // it needs nothing else
/// assert_eq!(page, report_html(&job, &plan, &ReportExtra::default()));
/// ```
pub fn report_html(job: &Job, plan: &Plan, extra: &ReportExtra) -> String {
    let scene = Scene::new(job, plan);
    let sections = [
        head::section(job, plan, &scene, extra),
        account::section(plan, &scene),
        notes::findings(job, plan, extra),
        figures::layers(&scene),
        figures::exploded(&scene),
        slack::section(&scene),
        account::spare(job, &scene),
        access::section(plan, &scene),
        extra.tolerance.as_ref().map(super::tolerance::section).unwrap_or_default(),
        notes::assumptions(job, &scene),
        cautions::section(job),
        notes::colophon(plan, extra),
    ];
    page(&format!("{}: box insert", plain(&plan.title)), &sections.concat())
}

/// The exploded view with its legend, for other pages.
pub(crate) fn exploded_section(job: &Job, plan: &Plan) -> String {
    figures::exploded(&Scene::new(job, plan))
}

/// A whole page with the looks of a report.
pub(crate) fn page(title: &str, inner: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n\
         <svg class=\"defs\" width=\"0\" height=\"0\" aria-hidden=\"true\">{DEFS}</svg>\n<main>\n{inner}</main>\n</body>\n</html>\n",
        escape(title)
    )
}

/// The brief's file without its folders: a report is shown around, and folders are nobody's business.
fn brief_name(extra: &ReportExtra) -> String {
    plain(extra.brief.rsplit(['/', '\\']).next().unwrap_or_default())
}

/// Text of a finding, escaped, what it quotes with backticks as code.
pub(crate) fn marked(text: &str) -> String {
    let mut out = String::new();
    let parts: Vec<&str> = text.split('`').collect();
    for (i, part) in parts.iter().enumerate() {
        // A last backtick without its other half stays what it is.
        match (i % 2 == 1, i + 1 == parts.len()) {
            (true, false) => out += &format!("<code>{}</code>", escape(part)),
            (true, true) => out += &format!("`{}", escape(part)),
            (false, _) => out += &escape(part),
        }
    }
    out
}

/// A section with its heading; nothing at all without content.
pub(crate) fn wrap(id: &str, heading: &str, inner: &str) -> String {
    if inner.is_empty() {
        return String::new();
    }
    format!("<section id=\"{id}\">\n<h2>{}</h2>\n{inner}</section>\n", escape(heading))
}

/// One cell of a table; `label` stands before it where the table becomes cards on a phone.
pub(crate) fn cell(class: &str, label: &str, html: &str) -> String {
    let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
    format!("<td{class} data-label=\"{}\">{html}</td>", escape(label))
}

/// The head of a table.
pub(crate) fn table_head(columns: &[(&str, &str)]) -> String {
    let cells: Vec<String> = columns
        .iter()
        .map(|(class, text)| {
            let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
            format!("<th{class} scope=\"col\">{}</th>", escape(text))
        })
        .collect();
    format!("<thead><tr>{}</tr></thead>\n", cells.concat())
}

#[cfg(test)]
mod tests {
    use super::marked;

    #[test]
    fn what_is_quoted_becomes_code_and_nothing_becomes_markup() {
        assert_eq!(
            marked("join it with `butt`, or `a<b`"),
            "join it with <code>butt</code>, or <code>a&lt;b</code>"
        );
        assert_eq!(marked("a ` alone <i>"), "a ` alone &lt;i&gt;");
        assert_eq!(marked(""), "");
    }
}
