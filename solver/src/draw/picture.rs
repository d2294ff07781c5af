//! Whole pictures: a drawing with its title and legend, one file each.

use super::label::{LINE, RISE, width, wrap_hard};
use super::palette::{DEFS, INK, SOFT};
use super::scene::Scene;
use super::svg::{Anchor, Area, Ink, Svg, document, num, plain};
use super::{exploded, key, layer, legend};
use crate::job::Job;
use crate::plan::Plan;

/// White around a picture.
const MARGIN: f64 = 8.0;

/// Between a drawing and its legend.
const GAP: f64 = 9.0;

/// Plan view of one layer of the settled plan, layers counted from 1 at the floor, as an SVG file.
///
/// True to scale: one user unit is one millimetre, and printed at 100 % one millimetre of paper is one
/// millimetre of the box. A layer that the plan does not have gives the empty box, and says so.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::draw::layer_svg;
/// let picture = layer_svg(&job, &plan, 1);
/// assert!(picture.starts_with("<svg ") && picture.contains("<title>Quay: layer 1 of 1</title>"));
/// assert!(layer_svg(&job, &plan, 2).contains("The plan has no such layer."));
/// ```
pub fn layer_svg(job: &Job, plan: &Plan, layer: usize) -> String {
    let scene = Scene::new(job, plan);
    let drawing = layer::draw(&scene, layer, 1.0);
    let groups = legend::of_layer(&scene, layer, &drawing.keys);
    let title = format!("{}: layer {layer} of {}", plain(&plan.title), plan.settled.layers.len());
    compose(&title, &about_layer(&scene, layer), &drawing.inner, (drawing.w, drawing.h), &groups)
}

/// Where a layer lies, in words.
pub(super) fn about_layer(scene: &Scene<'_>, layer: usize) -> String {
    let u = scene.units;
    match scene.layer(layer) {
        None => "The plan has no such layer.".into(),
        Some((bottom, height)) => {
            let from = if bottom == 0.0 {
                "on the floor of the box".to_string()
            } else {
                format!("{} {} above the floor of the box", u.mm(bottom), u.sign())
            };
            format!(
                "{} {} high, {from}. Sizes: width × depth × height, {}.",
                u.mm(height),
                u.sign(),
                u.sign()
            )
        }
    }
}

/// Title, drawing at the left, legend at the right.
pub(super) fn compose(
    title: &str,
    about: &str,
    inner: &str,
    (w, h): (f64, f64),
    groups: &[legend::Group],
) -> String {
    let (mut svg, mut heading) = (Svg::new(), Svg::new());
    // The title may use the whole width, legend included, so the columns are set first.
    let columns = key::draw(groups, (MARGIN + w + GAP, 0.0), h);
    let side = if groups.is_empty() { 0.0 } else { GAP + columns.w };
    let room = (w + side).max(60.0);
    let mut y = MARGIN;
    for (text, size, bold, fill) in [(title, 5.2, true, INK), (about, 3.2, false, SOFT)] {
        for line in wrap_hard(text, size, room, bold) {
            let box_ = Area::new(MARGIN, y, room.max(width(&line, size, bold)), size * LINE);
            let ink = Ink { size, fill, bold };
            heading.text((MARGIN, y + size * RISE), Anchor::Start, ink, box_, &line);
            y += size * LINE;
        }
        y += 1.0;
    }
    y += 3.0;
    svg.raw(&format!("<g transform=\"translate({} {})\">\n{inner}</g>\n", num(MARGIN), num(y)));
    svg.raw(&format!("<g transform=\"translate(0 {})\">\n{}</g>\n", num(y), columns.inner.into_inner()));
    let (width, height) = (2.0 * MARGIN + room, y + h.max(columns.h) + MARGIN);
    let ground = format!("<rect width=\"{}\" height=\"{}\" fill=\"#fff\"/>\n", num(width), num(height));
    let all = format!("{ground}{}{}", heading.into_inner(), svg.into_inner());
    document(width, height, title, about, DEFS, &all)
}

/// Isometric view of the whole box with its layers lifted apart, bodies marked by letters that a list
/// beside the drawing explains, as an SVG file.
///
/// Lengths along the edges of the box keep one scale, which the picture states.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// let picture = traywright::draw::exploded_svg(&job, &plan);
/// assert!(picture.contains("<title>Quay: layers lifted apart</title>"));
/// assert!(picture.contains("inside 120 × 90 × 40 mm"));
/// ```
pub fn exploded_svg(job: &Job, plan: &Plan) -> String {
    let scene = Scene::new(job, plan);
    let view = exploded::draw(&scene, (180.0, 250.0));
    let title = format!("{}: layers lifted apart", plain(&plan.title));
    let groups = legend::of_bodies(&scene);
    compose(&title, &exploded::about(&scene, view.scale), &view.inner, (view.w, view.h), &groups)
}
