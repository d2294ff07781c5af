//! Layer views and the exploded view with their legends.

use super::wrap;
use crate::draw::legend::{self, Group, Symbol};
use crate::draw::palette::Look;
use crate::draw::scene::Scene;
use crate::draw::svg::{Area, FONTS, Svg, escape, num};
use crate::draw::{badge, exploded, key, layer, picture};

/// Room for a drawing on A4 (180 mm between the margins) and Letter, and on a phone of 360 px.
const WIDE: (f64, f64) = (168.0, 200.0);
const NARROW: (f64, f64) = (76.0, 150.0);

/// The largest usual scale at which a plan of `w` × `d` fits.
fn usual_scale((w, d): (f64, f64), (room_w, room_d): (f64, f64)) -> f64 {
    const STEPS: [f64; 12] = [1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0];
    let fits = |n: f64| w <= room_w * n && d <= room_d * n;
    for tens in 0..9 {
        for step in STEPS {
            let n = step * 10f64.powi(tens);
            if fits(n) {
                return 1.0 / n;
            }
        }
    }
    1e-9
}

/// An SVG element inside the page.
pub(crate) fn inline(inner: &str, (w, h): (f64, f64), class: &str, label: &str) -> String {
    format!(
        "<svg class=\"{class}\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" font-family=\"{FONTS}\" \
         role=\"img\" aria-label=\"{label}\">\n{inner}</svg>\n",
        w = num(w),
        h = num(h),
        label = escape(label)
    )
}

fn symbol(s: &Symbol) -> String {
    let mut svg = Svg::new();
    let (w, h) = match s {
        Symbol::Number(n) => return format!("<span>{}.</span>", escape(n)),
        Symbol::Swatch(look) => {
            key::swatch(&mut svg, *look, Area::new(0.2, 0.2, 8.5, 3.0));
            (9.0, 3.4)
        }
        Symbol::Mark(mark, look) => {
            let (w, h) = badge::extent(mark);
            badge::draw(&mut svg, Area::new(0.0, 0.0, w, h), mark, *look);
            (w, h)
        }
        Symbol::Dash(k, mark) => {
            let (w, h) = badge::extent(mark);
            badge::draw(&mut svg, Area::new(0.0, 0.0, w, h), mark, Look::Cover);
            let style = format!(
                "stroke=\"{}\" stroke-width=\"0.5\" stroke-dasharray=\"{}\"",
                Look::Cover.style().hue,
                layer::dash(*k)
            );
            svg.line((0.0, h + 0.7), (8.5, h + 0.7), &style);
            (w.max(8.5), h + 1.0)
        }
    };
    format!(
        "<svg width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" font-family=\"{FONTS}\" aria-hidden=\"true\">{}</svg>",
        svg.into_inner().trim_end(),
        w = num(w),
        h = num(h)
    )
}

fn groups(list: &[Group], class: &str) -> String {
    if list.is_empty() {
        return String::new();
    }
    let mut out = format!("<div class=\"{class}\">\n");
    for g in list {
        out.push_str(&format!("<div><h4>{}</h4>\n<ul>\n", escape(&g.heading)));
        for e in &g.entries {
            let note = if e.note.is_empty() {
                String::new()
            } else {
                format!("<span class=\"note\">{}</span>", escape(&e.note))
            };
            out.push_str(&format!("<li>{}<span>{}{note}</span></li>\n", symbol(&e.symbol), escape(&e.name)));
        }
        out.push_str("</ul></div>\n");
    }
    out.push_str("</div>\n");
    out
}

/// One drawing a layer, from the top down: in the order of unpacking.
pub(super) fn layers(scene: &Scene<'_>) -> String {
    let mut out = String::new();
    let plan = (scene.interior.w(), scene.interior.d());
    let count = scene.plan.layers.len();
    for n in (1..=count).rev() {
        let wide = layer::draw(scene, n, usual_scale(plan, WIDE));
        let narrow = layer::draw(scene, n, usual_scale(plan, NARROW));
        let label = format!("Plan view of layer {n}");
        out.push_str(&format!(
            "<article>\n<h3>Layer {n} of {count}</h3>\n<p class=\"small soft\">{}</p>\n<figure>\n{}{}</figure>\n",
            escape(&picture::about_layer(scene, n)),
            inline(&wide.inner, (wide.w, wide.h), "wide", &label),
            inline(&narrow.inner, (narrow.w, narrow.h), "narrow", &label),
        ));
        // Bodies are the same for both; numbers belong to one drawing.
        out.push_str(&groups(&legend::of_layer(scene, n, &[]), "legend"));
        out.push_str(&groups(&legend::numbers(scene, &wide.keys), "legend numbers wide"));
        out.push_str(&groups(&legend::numbers(scene, &narrow.keys), "legend numbers narrow"));
        out.push_str("</article>\n");
    }
    wrap("layers", "Layers, from the top down", &out)
}

/// The whole box, layers lifted apart.
pub(super) fn exploded(scene: &Scene<'_>) -> String {
    let d = exploded::draw(scene, (112.0, 222.0));
    let out = format!(
        "<p class=\"small soft\">{}</p>\n<div class=\"beside\">\n<figure>\n{}</figure>\n{}</div>\n",
        escape(&exploded::about(scene, d.scale)),
        inline(&d.inner, (d.w, d.h), "lifted", "Exploded view of the box"),
        groups(&legend::of_bodies(scene), "legend")
    );
    wrap("exploded", "The whole box, layers lifted apart", &out)
}

#[cfg(test)]
mod tests {
    use super::usual_scale;

    #[test]
    fn scales_are_usual_ones() {
        assert_eq!(usual_scale((310.0, 240.0), (168.0, 200.0)), 0.5);
        assert_eq!(usual_scale((100.0, 100.0), (168.0, 200.0)), 1.0);
        assert_eq!(usual_scale((1600.0, 100.0), (168.0, 200.0)), 0.1);
        assert_eq!(usual_scale((f64::NAN, 1e300), (168.0, 200.0)), 1e-9);
    }
}
