//! Bearing: what stands above the floor must rest on rims, dividers, lids or kept items.

use super::instance::{Instance, Layout, Option3, Rims, Top, TrayPlace};
use super::pack::Rect;

/// Whether a body with this outline rests on these bearing places.
///
/// It rests if each of its four corner zones (a quarter of its width by a quarter of its depth) meets a
/// bearing place, or if along two opposite edges the outer quarter strip meets bearing places that cover at
/// least half of the edge in projection. Common practice for a rigid floor, no source. The unit of length
/// does not matter.
///
/// ```
/// use traywright::layout::{bearing::rests, pack::Rect};
/// let body = Rect { x: 0, y: 0, w: 40, d: 40 };
/// let rim = |x, y, w, d| Rect { x, y, w, d };
/// assert!(rests(&body, &[rim(0, 0, 3, 40), rim(37, 0, 3, 40)])); // two walls under opposite edges
/// assert!(!rests(&body, &[rim(18, 0, 3, 40)])); // one wall under the middle
/// ```
pub fn rests(body: &Rect, places: &[Rect]) -> bool {
    rests_in(body, places, (1, 4))
}

/// Part of a sunk item at either end in which something must bear it: it cannot slide off, so that it is enough that
/// its middle lies well between (our choice, no source).
pub const SUNK_ENDS: (i64, i64) = (2, 5);

/// [`rests`] with another part of the body than a quarter at its corners and edges.
pub(crate) fn rests_in(body: &Rect, places: &[Rect], (part, of): (i64, i64)) -> bool {
    let (qw, qd) = (body.w * part / of, body.d * part / of);
    let (left, right) = (body.x, body.x + body.w - qw);
    let (front, back) = (body.y, body.y + body.d - qd);
    let zone = |x, y, w, d| Rect { x, y, w, d };
    let met = |z: Rect| z.w > 0 && z.d > 0 && places.iter().any(|p| p.overlaps(&z));
    if [left, right].iter().all(|&x| [front, back].iter().all(|&y| met(zone(x, y, qw, qd)))) {
        return true;
    }
    let along_depth = |x| {
        let strip = zone(x, body.y, qw, body.d);
        2 * covered(
            places
                .iter()
                .filter(|p| p.overlaps(&strip))
                .map(|p| (p.y.max(body.y), (p.y + p.d).min(body.y + body.d))),
        ) >= body.d
    };
    let along_width = |y| {
        let strip = zone(body.x, y, body.w, qd);
        2 * covered(
            places
                .iter()
                .filter(|p| p.overlaps(&strip))
                .map(|p| (p.x.max(body.x), (p.x + p.w).min(body.x + body.w))),
        ) >= body.w
    };
    (qw > 0 && along_depth(left) && along_depth(right)) || (qd > 0 && along_width(front) && along_width(back))
}

/// Length of the union of these intervals.
pub(crate) fn covered(intervals: impl Iterator<Item = (i64, i64)>) -> i64 {
    let mut all: Vec<_> = intervals.collect();
    all.sort_unstable();
    let (mut sum, mut end) = (0, i64::MIN);
    for (a, b) in all {
        let a = a.max(end);
        if b > a {
            sum += b - a;
            end = b;
        }
    }
    sum
}

/// How many bodies of a layout stand on nothing; 0 where bearing is not asked for.
///
/// Heights are in grid steps, outlines in the units of [`super::instance::Rims`].
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::pack::Rect;
/// # use traywright::layout::bearing::unborne;
/// # let wall = |x, d| Rect { x, y: 0, w: 1, d };
/// # let rims = Some(Rims::whole(move |_, o| [wall(0, o.d), wall(o.w - 1, o.d)].into()));
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// // A tray of 4 × 4 in the middle of one of 8 × 5, whose walls stand too far apart.
/// let layout = Layout { heights: vec![3, 3], trays: vec![at(0, 0), at(1, 2)], kept: vec![] };
/// let hanging = |lid| {
///     let trays = vec![TrayItem { lid, ..tray(0, (8, 5, 3)) }, tray(1, (4, 4, 3))];
///     unborne(&Instance { trays, rims: rims.clone(), ..empty.clone() }, &layout)
/// };
/// assert_eq!((hanging(false), hanging(true)), (1, 0));
/// ```
pub fn unborne(instance: &Instance, layout: &Layout) -> usize {
    let Some(rims) = &instance.rims else { return 0 };
    let (carriers, standing) = seen(instance, rims, layout);
    standing.iter().filter(|(_, bottom, r)| *bottom > 0 && !borne_by(&carriers, *bottom, r)).count()
}

/// Trays that nothing bears; kept items are not told.
pub(crate) fn hanging(instance: &Instance, layout: &Layout) -> Vec<usize> {
    let Some(rims) = &instance.rims else { return Vec::new() };
    let (carriers, standing) = seen(instance, rims, layout);
    let hangs = |(body, bottom, r): &Stander| {
        (*bottom > 0 && !borne_by(&carriers, *bottom, r)).then_some(*body).flatten()
    };
    standing.iter().filter_map(hangs).collect()
}

/// What bears in a layer of a layout.
pub(crate) struct Borne {
    bottom: i64,
    carriers: Vec<Carrier>,
}

impl Borne {
    /// Of all that ends where this layer begins.
    pub(crate) fn under(instance: &Instance, layout: &Layout, layer: usize) -> Borne {
        let bottom = layout.bottom(layer);
        let mut carriers =
            instance.rims.as_ref().map_or_else(Vec::new, |rims| seen(instance, rims, layout).0);
        carriers.retain(|(top, _)| *top == bottom);
        Borne { bottom, carriers }
    }

    /// Whether a tray rests here.
    pub(crate) fn bears(&self, instance: &Instance, tray: usize, place: &TrayPlace) -> bool {
        let Some(rims) = instance.rims.as_ref().filter(|_| self.bottom > 0) else { return true };
        borne_by(&self.carriers, self.bottom, &outline(instance, rims, tray, place).0)
    }
}

/// Height of a top and where it bears.
type Carrier = (i64, Vec<Rect>);

/// Which tray it is, its bottom and true outline.
type Stander = (Option<usize>, i64, Rect);

/// A tray's true outline where it stands, and its top.
fn outline(instance: &Instance, rims: &Rims, tray: usize, p: &TrayPlace) -> (Rect, Top) {
    let none = Option3 { w: 0, d: 0, h: 0 };
    let o = instance.trays.get(tray).and_then(|t| t.options.get(p.option)).copied().unwrap_or(none);
    let top = (rims.top)(tray, o);
    let r = Rect { x: rims.per_step * p.x, y: rims.per_step * p.y, w: top.size.0, d: top.size.1 };
    (r, top)
}

/// Everything that carries, and everything that stands: which tray it is, its bottom and true outline.
fn seen(instance: &Instance, rims: &Rims, layout: &Layout) -> (Vec<Carrier>, Vec<Stander>) {
    let step = rims.per_step;
    let mut carriers: Vec<Carrier> = Vec::new();
    let mut standing = Vec::new();
    for (i, (p, t)) in layout.trays.iter().zip(&instance.trays).enumerate() {
        let (r, top) = outline(instance, rims, i, p);
        standing.push((Some(i), layout.bottom(p.layer), r));
        if !t.carries(layout.bottom(p.layer + p.span) - layout.bottom(p.layer)) {
            continue;
        }
        let places = if t.lid {
            vec![r]
        } else {
            top.places.iter().map(|s| Rect { x: r.x + s.x, y: r.y + s.y, ..*s }).collect()
        };
        carriers.push((layout.bottom(p.layer + p.span), places));
    }
    for (k, p) in layout.kept.iter().enumerate() {
        let turn = instance.kept[k].turns.get(p.turn).copied().unwrap_or(Option3 { w: 0, d: 0, h: 0 });
        let size = rims.kept.get(k).and_then(|sizes| sizes.get(p.turn));
        let (w, d) = size.copied().unwrap_or((step * turn.w, step * turn.d));
        let r = Rect { x: step * p.x, y: step * p.y, w, d };
        let bottom = layout.bottom(p.layer);
        standing.push((None, bottom, r));
        carriers.push((bottom + turn.h, vec![r]));
    }
    (carriers, standing)
}

fn borne_by(carriers: &[Carrier], bottom: i64, r: &Rect) -> bool {
    let under = carriers.iter().filter(|(top, _)| *top == bottom);
    let places: Vec<Rect> =
        under.flat_map(|(_, all)| all.iter().copied().filter(|p| p.overlaps(r))).collect();
    rests(r, &places)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Format;
    use crate::layout::build::build;
    use crate::layout::instance::KeptPlace;

    /// Cartons 37.3 mm deep take 38 steps of 1 mm: rounded, they would bear half of a tray that is 76 mm deep.
    #[test]
    fn a_carton_bears_as_far_as_it_goes() {
        let brief = "title = \"off\"\n[box]\ninterior = [60, 80, 40]\nclearance = 0\n\
             [stock]\nname = \"birch plywood\"\nthickness = 2\n[layers]\nmost = 2\n[search]\ngrid = 1\n\
             [[kept]]\nname = \"carton\"\nsize = [16.3, 37.3, 14]\ncount = 2\nturn = \"none\"\n\
             [[tray]]\nname = \"reeds\"\n[[tray.part]]\nname = \"reed\"\nsolid = { size = [30, 30, 12], count = 1 }\n";
        let job = crate::job::read(brief, "off.toml", Format::Toml, None, &[]).unwrap();
        let mut i = build(&job, &job.trays).unwrap().instance;
        assert_eq!(i.kept[0].turns, [Option3 { w: 17, d: 38, h: 14 }]);
        let stands = |x| KeptPlace { layer: 0, turn: 0, x, y: 0 };
        let layout = Layout {
            heights: vec![14, 14],
            trays: vec![TrayPlace { layer: 1, span: 1, option: 0, x: 0, y: 0 }],
            kept: vec![stands(0), stands(24)],
        };
        let mut hanging = |d: i64| {
            i.trays[0].options = vec![Option3 { w: 40, d, h: 14 }];
            unborne(&i, &layout)
        };
        assert_eq!((hanging(74), hanging(76)), (0, 1));
    }

    /// Two trays one upon the other: of a fixed height, the lower one bears only where it fills its layer.
    #[test]
    fn a_tray_of_fixed_height_bears_where_it_fills_its_layer() {
        let brief = "title = \"two\"\n[box]\ninterior = [60, 60, 60]\nclearance = 0\n\
             [stock]\nname = \"birch plywood\"\nthickness = 2\n[layers]\nmost = 2\n[search]\ngrid = 1\n\
             [[tray]]\nname = \"lower\"\nsize = [40, 40, 20]\n[[tray.part]]\nname = \"reed\"\n\
             solid = { size = [30, 30, 12], count = 1 }\n\
             [[tray]]\nname = \"upper\"\nsize = [40, 40, 16]\n[[tray.part]]\nname = \"rod\"\nsolid = { size = [30, 30, 12], count = 1 }\n";
        let job = crate::job::read(brief, "two.toml", Format::Toml, None, &[]).unwrap();
        let i = build(&job, &job.trays).unwrap().instance;
        assert!(
            i.trays.iter().all(|t| t.fixed && t.options == [Option3 { w: 40, d: 40, h: t.options[0].h }])
        );
        let at = |layer| TrayPlace { layer, span: 1, option: 0, x: 0, y: 0 };
        let hanging = |height| {
            let trays = vec![at(0), at(1)];
            unborne(&i, &Layout { heights: vec![height, 16], trays, kept: Vec::new() })
        };
        assert_eq!([20, 21, 30].map(hanging), [0, 1, 1]);
    }
}
