//! The page: figures, picture, what became of each tray, and the panels to cut again.

use super::picture::drawn;
use super::text::free_words;
use super::{about, grown, share, shown, word};
use crate::draw::report::{cell, inline, page, table_head, wrap};
use crate::draw::svg::{escape, plain};
use crate::draw::words::{Units, ml};
use crate::plan::{FromScratch, Plan};
use crate::shop::{Became, Differences, From, TrayChange};

/// Width of one box, on paper and on a phone.
const WIDE: f64 = 82.0;
const NARROW: f64 = 36.0;

/// A page that needs nothing else. `free` is the new plan and what a plan with nothing kept counts, where one was looked
/// for.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let solved = |changes: &[(String, String)]| {
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let (old, new) = (solved(&[]), solved(&[("box.interior".into(), "[120, 90, 50]".into())]));
/// # let it = shop::differences((&old.0, &old.1), (&new.0, &new.1)).unwrap();
/// // The box has become 10 mm higher.
/// let page = traywright::draw::differences_html(&it, None);
/// assert!(page.contains("<h1>Quay</h1>") && page.contains("To be cut again: "));
/// assert!(!page.contains("Nothing differs"));
/// ```
pub fn differences_html(it: &Differences, free: Option<(&Plan, Option<FromScratch>)>) -> String {
    let u = Units(it.unit);
    let title = plain(&it.title);
    let (old, new) = it.figures;
    let said = if it.is_nothing() {
        "Nothing differs: every tray stays where it is, and no panel is cut.".to_owned()
    } else {
        format!("To be cut again: {}.", share(it))
    };
    let free =
        free.map_or_else(String::new, |(plan, free)| format!("<p>{}</p>\n", escape(&free_words(plan, free))));
    let mut facts = String::new();
    for (name, was, is) in [
        ("Wasted as built, ml", ml(old.wasted), ml(new.wasted)),
        ("Spare room, ml", ml(old.spare), ml(new.spare)),
        ("Layers", it.heights.0.len().to_string(), it.heights.1.len().to_string()),
        ("Panels", old.panels.to_string(), new.panels.to_string()),
        ("Inside of the box", u.size(it.interior.0), u.size(it.interior.1)),
    ] {
        let value = if was == is { is } else { format!("{was} → {is}") };
        facts += &format!("<div><dt>{name}</dt><dd>{}</dd></div>\n", escape(&value));
    }
    let head = format!(
        "<header>\n<h1>{}</h1>\n<p class=\"soft\">What differs from the old plan</p>\n<div class=\"claim\">\n\
         <p class=\"said\">{}</p>\n{free}</div>\n<dl class=\"facts\">\n{facts}</dl>\n</header>\n",
        escape(&title),
        escape(&said)
    );
    let mut figure = String::from("<figure>\n");
    for (class, wide) in [("wide", WIDE), ("narrow", NARROW)] {
        let (inner, w, h) = drawn(it, wide);
        figure += &inline(&inner, (w, h), class, "Layers before and now");
    }
    figure += "</figure>\n";
    let inner = [
        head,
        wrap("picture", "Before and now", &figure),
        wrap("trays", "Trays", &trays(it, u)),
        wrap("rooms", "Compartments that grew or shrank", &rooms(it, u)),
        wrap("cut", "Panels to cut again", &cut(it, u)),
        wrap("called", "Panels that are only called otherwise", &called(it)),
        wrap("left", "Old panels that are left over", &left(it)),
    ];
    page(&format!("{title}: differences"), &inner.concat())
}

fn table(columns: &[(&str, &str)], rows: Vec<Vec<String>>) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let mut out = format!("<table class=\"cards\">\n{}<tbody>\n", table_head(columns));
    for row in rows {
        let cells = row.iter().zip(columns).enumerate().map(|(i, (value, (class, label)))| {
            cell(if i == 0 { "first" } else { class }, label, &escape(value))
        });
        out += &format!("<tr>{}</tr>\n", cells.collect::<String>());
    }
    out + "</tbody>\n</table>\n"
}

fn trays(it: &Differences, u: Units) -> String {
    let sign = format!("How, {}", u.sign());
    let row = |t: &TrayChange| {
        let cut = t.panels.iter().filter(|p| p.from == From::Cut).count();
        vec![
            shown(&t.tray),
            word(t.became).replace("stay as they are", "stays as it is"),
            about(u, t),
            if t.became == Became::Gone { "–".into() } else { format!("{cut} of {}", t.panels.len()) },
        ]
    };
    table(
        &[("", "Tray"), ("", "Became"), ("", &sign), ("n", "Panels to cut")],
        it.trays.iter().map(row).collect(),
    )
}

fn rooms(it: &Differences, u: Units) -> String {
    let sign = format!("Clear room, {}", u.sign());
    let mut rows = Vec::new();
    for t in &it.trays {
        for r in &t.rooms {
            let told = match (r.old, r.new) {
                (Some(a), Some(b)) => grown(u, a, b),
                (None, Some(b)) => format!("new: {}", u.size(b)),
                (Some(a), None) => format!("gone: {}", u.size(a)),
                (None, None) => String::new(),
            };
            rows.push(vec![shown(&r.part), shown(&t.tray), told]);
        }
    }
    table(&[("", "Part"), ("", "Tray"), ("", &sign)], rows)
}

fn cut(it: &Differences, u: Units) -> String {
    let sign = format!("Size, {}", u.sign());
    let rows = it.to_cut().map(|(t, p)| {
        vec![
            p.label.clone(),
            shown(&t.tray),
            shown(&p.name),
            format!("{} × {} × {}", u.len(p.size.0), u.len(p.size.1), u.len(p.thickness)),
        ]
    });
    table(&[("", "Panel"), ("", "Tray"), ("", "What"), ("n", &sign)], rows.collect())
}

fn called(it: &Differences) -> String {
    let all = it.trays.iter().flat_map(|t| t.panels.iter().map(move |p| (t, p)));
    let rows = all.filter_map(|(t, p)| match &p.from {
        From::Relabelled { label, tray, name } => Some(vec![
            p.label.clone(),
            format!("{} of {}", shown(&p.name), shown(&t.tray)),
            format!("{label}, {} of {}", shown(name), shown(tray)),
        ]),
        _ => None,
    });
    table(&[("", "Panel"), ("", "Now"), ("", "Was")], rows.collect())
}

fn left(it: &Differences) -> String {
    let rows = it.left_over.iter().map(|l| vec![l.label.clone(), shown(&l.tray), shown(&l.name)]);
    table(&[("", "Panel"), ("", "Tray"), ("", "What")], rows.collect())
}
