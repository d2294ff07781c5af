//! The page of plans to choose from: side by side, each with its layers as they are seen from above.

use super::label::fit;
use super::palette::{EDGE, INK, KEPT, Look};
use super::report::{cell, inline, page, table_head, wrap};
use super::svg::{Area, Svg, escape, plain};
use super::words::{Units, ml, trimmed};
use crate::job::Job;
use crate::shop::{Choice, Choices};

/// Width of one layer on paper.
const WIDE: f64 = 54.0;
/// Only what makes cards of plans lie side by side.
const STYLE: &str = "<style>\n.side { display: grid; grid-template-columns: repeat(auto-fit, minmax(54mm, 1fr)); gap: 8mm 9mm; }\n\
    .side article { break-inside: auto; min-width: 0; }\n.side h3 { margin-top: 8px; }\n</style>\n";

/// A page that needs nothing else.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{draw::choices_html, shop};
/// let mut options = plan::Options::default();
/// options.nodes = 10_000;
/// let page = choices_html(&job, &shop::choices(&job, 2, &options, &mut |_| {}));
/// assert!(page.contains("<h1>Quay</h1>") && page.contains("1 plan to choose from"));
/// assert!(page.contains("<h3>Plan 1</h3>") && !page.contains("<h3>Plan 2</h3>"));
/// ```
pub fn choices_html(job: &Job, it: &Choices) -> String {
    let title = it.plans.first().map_or_else(String::new, |c| plain(&c.plan.title));
    let told = it.shortfall().map_or_else(String::new, |told| format!("<p>{}</p>\n", escape(&told)));
    let head = format!(
        "{STYLE}<header>\n<h1>{}</h1>\n<p class=\"soft\">{} to choose from, the best first. Two plans are told apart by \
         which trays lie in which layer, by the number of layers and by the number of panels.</p>\n{told}</header>\n",
        escape(&title),
        super::words::count(it.plans.len(), "plan")
    );
    let mut cards = String::from("<div class=\"side\">\n");
    for (i, choice) in it.plans.iter().enumerate() {
        cards += &format!(
            "<article>\n<h3>Plan {}</h3>\n<p class=\"small\">{}</p>\n",
            i + 1,
            escape(&it.about(choice))
        );
        for k in (0..choice.layers.len()).rev() {
            let (inner, w, h) = layer(job, it, choice, k);
            let label = format!("Plan {}, layer {}", i + 1, k + 1);
            let height = choice
                .plan
                .settled
                .layers
                .get(k)
                .map_or_else(String::new, |l| Units(job.unit).with_sign(l.height));
            cards += &format!(
                "<h4>Layer {}, {} high</h4>\n<figure>\n{}</figure>\n",
                k + 1,
                escape(&height),
                inline(&inner, (w, h), "layer", &label)
            );
        }
        cards += "</article>\n";
    }
    cards += "</div>\n<p class=\"small soft\">Bold outlines: trays that lie in another layer than in plan 1. The front of the \
              box is below.</p>\n";
    let inner =
        [head, wrap("figures", "What each costs", &figures(it)), wrap("plans", "Side by side", &cards)];
    page(&format!("{title}: choices"), &inner.concat())
}

/// Figures, one column a plan.
fn figures(it: &Choices) -> String {
    let heads: Vec<String> = (1..=it.plans.len()).map(|i| format!("Plan {i}")).collect();
    let mut columns: Vec<(&str, &str)> = vec![("", "")];
    columns.extend(heads.iter().map(|h| ("n", h.as_str())));
    let mut out = format!("<table class=\"cards\">\n{}<tbody>\n", table_head(&columns));
    type Figure = (&'static str, fn(&Choices, &Choice) -> String);
    let rows: [Figure; 9] = [
        ("Waste and lifts, ml", |_, c| ml(c.value())),
        ("More than the best", |it, c| format!("{} %", trimmed(it.more_percent(c), 1))),
        ("Wasted, ml", |_, c| ml(c.plan.objective_mm3.wasted)),
        ("Lifts, ml", |_, c| ml(c.plan.objective_mm3.access)),
        ("Layers", |_, c| c.layers.len().to_string()),
        ("Trays", |_, c| c.plan.settled.trays.len().to_string()),
        ("Panels", |_, c| c.panels.map_or_else(|| "–".into(), |n| n.to_string())),
        ("Spare room as built, ml", |_, c| ml(c.plan.settled.volumes_mm3.spare)),
        ("Lower bound for any plan, ml", |_, c| ml(c.plan.objective_mm3.bound)),
    ];
    for (name, of) in rows {
        let cells = it.plans.iter().zip(&heads).map(|(c, head)| cell("n", head, &escape(&of(it, c))));
        out += &format!("<tr>{}{}</tr>\n", cell("first", "", name), cells.collect::<String>());
    }
    out + "</tbody>\n</table>\n"
}

/// One layer seen from above: elements, width and height.
fn layer(job: &Job, it: &Choices, choice: &Choice, k: usize) -> (String, f64, f64) {
    let u = Units(job.unit);
    let (w, d) = (job.container.interior.w.to_mm_f64(), job.container.interior.d.to_mm_f64());
    let scale = WIDE / w.max(d).max(1.0);
    let frame = Area::new(0.3, 0.3, w * scale, d * scale);
    let mut svg = Svg::new();
    svg.rect(frame, &format!("fill=\"#fff\" stroke=\"{EDGE}\" stroke-width=\"0.5\""));
    let area = |at: crate::place::Point, size: crate::place::Size| {
        let (w, d) = (size.w.to_mm_f64() * scale, size.d.to_mm_f64() * scale);
        Area::new(frame.x + at.x.to_mm_f64() * scale, frame.bottom() - at.y.to_mm_f64() * scale - d, w, d)
    };
    for body in choice.plan.settled.kept.iter().filter(|b| b.layers.contains(&(k + 1))) {
        let a = area(body.at, body.size);
        svg.rect(a, &format!("fill=\"{KEPT}\" stroke=\"#767676\" stroke-width=\"0.25\""));
        if let Some(label) = fit(&plain(&body.name), "", (a.w - 1.0, a.h - 0.8), 2.9) {
            label.draw(&mut svg, a);
        }
    }
    for tray in choice.plan.settled.trays.iter().filter(|t| t.layers.contains(&(k + 1))) {
        let a = area(tray.at, tray.size);
        let style = Look::Tray(tray.usage).style();
        let elsewhere = it.plans.first().is_some_and(|best| {
            let was = best.plan.settled.trays.iter().find(|t| t.name == tray.name && t.copy == tray.copy);
            was.is_some_and(|t| t.layers != tray.layers)
        });
        let (edge, thick) = if elsewhere { (INK, 0.9) } else { (style.hue, 0.3) };
        svg.rect(a, &format!("fill=\"{}\" stroke=\"{edge}\" stroke-width=\"{thick}\"", style.ground));
        let name = plain(&tray.name);
        let room = (a.w - 1.4, a.h - 1.2);
        let label = fit(&name, &u.size(tray.size), room, 2.9).or_else(|| fit(&name, "", room, 2.9));
        if let Some(label) = label {
            label.draw(&mut svg, a);
        }
    }
    (svg.into_inner(), frame.w + 0.6, frame.h + 0.6)
}
