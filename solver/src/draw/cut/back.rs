//! Files of lines read back, by code that shares nothing with what writes them: how many lines of each kind are there,
//! and how far they reach.

use std::collections::BTreeMap;

/// What was found in a file.
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
/// let sheet = files.iter().find(|f| f.name == "quay.sheet-1.svg").unwrap();
/// let counts = sheet.counts.as_ref().unwrap();
/// assert_eq!(counts.lines.get("outlines"), Some(&5));
/// assert!(counts.extents.unwrap()[0] > 4.8); // nothing nearer to the left edge, mm
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counts {
    /// Lines by the name of their group or layer.
    pub lines: BTreeMap<String, usize>,
    /// Least x and y, greatest x and y of all lines together, mm, y away from the reader; `None` where there is none.
    pub extents: Option<[f64; 4]>,
}

impl Counts {
    fn take(&mut self, [x0, y0, x1, y1]: [f64; 4]) {
        let [a, b, c, d] = self.extents.unwrap_or([x0, y0, x1, y1]);
        self.extents = Some([a.min(x0), b.min(y0), c.max(x1), d.max(y1)]);
    }

    /// Whether both found the same; a micrometre is forgiven, as arcs are worked out in floating numbers.
    ///
    /// ```
    /// use traywright::draw::Counts;
    /// let reach = |x| Counts { extents: Some([x, 0.0, 10.0, 10.0]), ..Counts::default() };
    /// assert!(reach(1.0).agrees(&reach(1.0005)) && !reach(1.0).agrees(&reach(1.002)));
    /// let mut line = reach(1.0);
    /// line.lines.insert("outlines".into(), 1);
    /// assert!(!line.agrees(&reach(1.0)));
    /// ```
    pub fn agrees(&self, other: &Counts) -> bool {
        let near = |a: &[f64; 4], b: &[f64; 4]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-3);
        self.lines == other.lines
            && match (&self.extents, &other.extents) {
                (Some(a), Some(b)) => near(a, b),
                (a, b) => a.is_none() && b.is_none(),
            }
    }
}

/// Bounds of an arc from its ends, its middle and the way it turns; y upward.
fn arc_bounds(from: (f64, f64), to: (f64, f64), centre: (f64, f64), left: bool) -> [f64; 4] {
    let r = (from.0 - centre.0).hypot(from.1 - centre.1);
    let angle = |p: (f64, f64)| (p.1 - centre.1).atan2(p.0 - centre.0);
    let (first, last) = if left { (angle(from), angle(to)) } else { (angle(to), angle(from)) };
    let turn = std::f64::consts::TAU;
    let whole = (last - first).rem_euclid(turn);
    let mut b = [from.0.min(to.0), from.1.min(to.1), from.0.max(to.0), from.1.max(to.1)];
    for k in 0..4 {
        let at = f64::from(k) * turn / 4.0;
        if (at - first).rem_euclid(turn) <= whole {
            let (x, y) = (centre.0 + r * at.cos(), centre.1 + r * at.sin());
            b = [b[0].min(x), b[1].min(y), b[2].max(x), b[3].max(y)];
        }
    }
    b
}

/// The value of an attribute.
fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let (_, rest) = tag.split_once(&format!(" {name}=\""))?;
    rest.split_once('"').map(|(value, _)| value)
}

/// Counts the lines of a sheet's SVG; groups whose names begin with `not-cut` are left out. `None` where it is none.
pub(super) fn count_svg(text: &str) -> Option<Counts> {
    let mut counts = Counts::default();
    let (mut group, mut open, mut depth) = (Vec::<String>::new(), false, None);
    for tag in text.split('<').skip(1) {
        let (tag, _) = tag.split_once('>')?;
        if tag == "/g" {
            group.pop()?;
        } else if tag == "/svg" {
            return open.then_some(counts);
        } else if tag.starts_with("svg ") {
            open = true;
        } else if tag.starts_with("g ") {
            group.push(attribute(tag, "id")?.to_owned());
        } else if tag.starts_with("rect ") && group.last().is_some_and(|g| g == "not-cut-sheet-edge") {
            depth = attribute(tag, "height")?.parse::<f64>().ok();
        } else if tag.starts_with("path ") {
            let name = group.last()?;
            if !name.starts_with("not-cut") {
                let b = path_bounds(attribute(tag, "d")?, depth?)?;
                *counts.lines.entry(name.clone()).or_default() += 1;
                counts.take(b);
            }
        }
    }
    None
}

/// Bounds of path data, turned so that y points away from the reader.
fn path_bounds(data: &str, depth: f64) -> Option<[f64; 4]> {
    let mut at: Option<(f64, f64)> = None;
    let mut all: Option<[f64; 4]> = None;
    let mut take = |b: [f64; 4]| {
        let [x0, y0, x1, y1] = all.unwrap_or(b);
        all = Some([x0.min(b[0]), y0.min(b[1]), x1.max(b[2]), y1.max(b[3])]);
    };
    let mut rest = data;
    while let Some(command) = rest.chars().next() {
        rest = rest.get(1..)?;
        let end = rest.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(rest.len());
        let (numbers, after) = rest.split_at(end);
        rest = after;
        let numbers: Vec<f64> =
            numbers.split_whitespace().map(|n| n.parse().ok()).collect::<Option<Vec<f64>>>()?;
        match (command, numbers.as_slice()) {
            ('M' | 'L', [x, y]) => {
                let p = (*x, depth - y);
                take([p.0, p.1, p.0, p.1]);
                at = Some(p);
            }
            ('A', [r, _, _, long, clockwise, x, y]) => {
                let (from, to) = (at?, (*x, depth - y));
                let (dx, dy) = (to.0 - from.0, to.1 - from.1);
                let half = dx.hypot(dy) / 2.0;
                let up = (r * r - half * half).max(0.0).sqrt() / (2.0 * half);
                // The middle lies to the left of a short arc that turns left.
                let left = *clockwise == 0.0;
                let side = if left == (*long == 0.0) { up } else { -up };
                let centre = ((from.0 + to.0) / 2.0 - dy * side, (from.1 + to.1) / 2.0 + dx * side);
                take(arc_bounds(from, to, centre, left));
                at = Some(to);
            }
            ('Z', []) => {}
            _ => return None,
        }
    }
    all
}

/// Counts the polylines of a sheet's DXF; layers whose names begin with `NOT_CUT` are left out. `None` where it is
/// none of version AC1015 in millimetres.
pub(super) fn count_dxf(text: &str) -> Option<Counts> {
    let mut lines = text.lines();
    let mut pairs = Vec::new();
    while let (Some(code), Some(value)) = (lines.next(), lines.next()) {
        pairs.push((code.trim().parse::<i32>().ok()?, value));
    }
    let header = |name: &str, code: i32| {
        let at = pairs.iter().position(|p| *p == (9, name))?;
        pairs.get(at + 1).filter(|p| p.0 == code).map(|p| p.1)
    };
    let whole = pairs.last() == Some(&(0, "EOF"));
    if header("$ACADVER", 1) != Some("AC1015") || header("$INSUNITS", 70) != Some("4") || !whole {
        return None;
    }
    let start = pairs.iter().position(|p| *p == (2, "ENTITIES"))?;
    let mut counts = Counts::default();
    for entity in pairs
        .get(start + 1..)?
        .split(|p| p.0 == 0)
        .skip(1)
        .zip(pairs.get(start + 1..)?.iter().filter(|p| p.0 == 0))
    {
        let (groups, (_, kind)) = entity;
        match *kind {
            "ENDSEC" => break,
            "LWPOLYLINE" => polyline(groups, &mut counts)?,
            _ => return None,
        }
    }
    Some(counts)
}

fn polyline(groups: &[(i32, &str)], counts: &mut Counts) -> Option<()> {
    let of = |code: i32| groups.iter().find(|g| g.0 == code).map(|g| g.1);
    let layer = of(8)?;
    let closed = of(70)? == "1";
    let mut points: Vec<(f64, f64, f64)> = Vec::new();
    for (code, value) in groups {
        match code {
            10 => points.push((value.parse().ok()?, f64::NAN, 0.0)),
            20 => points.last_mut()?.1 = value.parse().ok()?,
            42 => points.last_mut()?.2 = value.parse().ok()?,
            _ => {}
        }
    }
    if of(90)?.parse::<usize>().ok()? != points.len() || points.iter().any(|p| p.1.is_nan()) {
        return None;
    }
    if layer.starts_with("NOT_CUT") {
        return Some(());
    }
    *counts.lines.entry(layer.to_owned()).or_default() += 1;
    let mut next = points.iter().cycle().skip(1);
    for (i, (x, y, bulge)) in points.iter().copied().enumerate() {
        counts.take([x, y, x, y]);
        let Some(&(tx, ty, _)) = next.next() else { continue };
        if bulge == 0.0 || (!closed && i + 1 == points.len()) {
            continue;
        }
        // Distance of the middle from the chord, to the left of its direction, in half chords.
        let up = (1.0 - bulge * bulge) / (2.0 * bulge) / 2.0;
        let centre = ((x + tx) / 2.0 - (ty - y) * up, (y + ty) / 2.0 + (tx - x) * up);
        counts.take(arc_bounds((x, y), (tx, ty), centre, bulge > 0.0));
    }
    Some(())
}
