//! What each body may choose: first layer, reach, outline, and for one layer its height.

use crate::layout::instance::{HeldAt, Instance, Option3};

/// How far up a body reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Reach {
    /// Through one layer of this height.
    One(i64),
    /// Through so many layers, two or more.
    Layers(usize),
    /// A kept item that stands out of the top layer (or on it).
    Out,
}

/// One choice of one body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Choice {
    /// First layer.
    pub layer: usize,
    pub reach: Reach,
    /// Index into the body's options or turns.
    pub shape: usize,
    pub size: Option3,
}

impl Choice {
    /// The layer after the last; what stands out reaches into one more than there are.
    pub(super) fn after(&self, most_layers: usize) -> usize {
        match self.reach {
            Reach::One(_) => self.layer + 1,
            Reach::Layers(n) => self.layer + n,
            Reach::Out => most_layers + 1,
        }
    }
}

/// A tray or a kept item, seen alike.
pub(super) struct Body<'a> {
    pub name: &'a str,
    pub shapes: &'a [Option3],
    /// Most layers it reaches through.
    pub span: usize,
    pub kept: bool,
    pub held: HeldAt,
    /// Play to the sides.
    pub side: i64,
    pub weight: i64,
}

/// Trays, then kept items.
pub(super) fn bodies(instance: &Instance) -> Vec<Body<'_>> {
    let trays = instance.trays.iter().map(|t| Body {
        name: &t.name,
        shapes: &t.options,
        span: t.span,
        kept: false,
        held: t.held,
        side: instance.side,
        weight: t.weight.max(0),
    });
    let kept = instance.kept.iter().map(|k| Body {
        name: &k.name,
        shapes: &k.turns,
        span: instance.most_layers,
        kept: true,
        held: k.held,
        side: 0,
        weight: 0,
    });
    trays.chain(kept).collect()
}

/// Every choice of a body that no other makes needless: an outline into which another fits, that needs no
/// more height, can only cost more (bearing is not part of the model).
pub(super) fn choices(instance: &Instance, body: &Body<'_>, heights: &[Vec<i64>]) -> Vec<Choice> {
    let mut out = Vec::new();
    let layers = instance.most_layers;
    let fits: Vec<usize> =
        (0..body.shapes.len()).filter(|&s| inside(instance, body, &body.shapes[s])).collect();
    let every = least(body.shapes, &fits, true);
    for layer in (0..layers).filter(|&l| may_stand(body.held, l)) {
        for &h in heights.get(layer).into_iter().flatten() {
            let low: Vec<usize> = fits.iter().copied().filter(|&s| body.shapes[s].h <= h).collect();
            out.extend(least(body.shapes, &low, false).into_iter().map(|shape| Choice {
                layer,
                reach: Reach::One(h),
                shape,
                size: body.shapes[shape],
            }));
        }
        for n in 2..=body.span.min(layers - layer) {
            let highest: i64 = heights[layer..layer + n].iter().filter_map(|h| h.last()).sum();
            for &shape in every.iter().filter(|&&s| body.shapes[s].h <= highest.min(instance.height)) {
                out.push(Choice { layer, reach: Reach::Layers(n), shape, size: body.shapes[shape] });
            }
        }
    }
    if body.kept {
        // In a layer means in one that there is: not on the last one.
        let most = if matches!(body.held, HeldAt::Layer(_)) { layers } else { layers + 1 };
        for layer in (0..most).filter(|&l| may_stand(body.held, l)) {
            for &shape in every.iter().filter(|&&s| body.shapes[s].h <= instance.height) {
                out.push(Choice { layer, reach: Reach::Out, shape, size: body.shapes[shape] });
            }
        }
    }
    out
}

fn may_stand(held: HeldAt, layer: usize) -> bool {
    match held {
        HeldAt::Free => true,
        HeldAt::Layer(l) => l == layer,
        // Layers have some height, so only the first begins at the floor.
        HeldAt::Point(_, _, z) => (z == 0) == (layer == 0),
    }
}

fn inside(instance: &Instance, body: &Body<'_>, o: &Option3) -> bool {
    let s = body.side;
    let free = o.w + 2 * s <= instance.width && o.d + 2 * s <= instance.depth;
    free && match body.held {
        HeldAt::Point(x, y, z) => {
            x >= s
                && y >= s
                && x + o.w + s <= instance.width
                && y + o.d + s <= instance.depth
                && (0..=instance.height).contains(&z)
        }
        _ => true,
    }
}

/// Those of `among` into which no other one fits (with `upright`, also in height); of equal ones the first.
fn least(shapes: &[Option3], among: &[usize], upright: bool) -> Vec<usize> {
    let within = |a: &Option3, b: &Option3| a.w <= b.w && a.d <= b.d && (!upright || a.h <= b.h);
    let needless = |s: usize| {
        among.iter().any(|&o| {
            let (a, b) = (&shapes[o], &shapes[s]);
            o != s && within(a, b) && (!within(b, a) || o < s)
        })
    };
    among.iter().copied().filter(|&s| !needless(s)).collect()
}
