//! Parts without a tray: which of them share one, among those of the same use.

use crate::job::{FreePart, Job, Part, Tray, Use};
use crate::length::{Length, Volume};
use crate::need::{self, least_area};

/// Most compartments of a tray made for free parts: more make it slow to size and clumsy to carry.
const MOST_PARTS: usize = 12;
/// Most trays that a use is split into.
const MOST_TRAYS: usize = 6;

/// Ways of sharing trays worth trying, few trays first. One empty way where there are no free parts.
///
/// Parts of a use are ordered by the clear height at which they claim least and cut into runs of like volume, so
/// that parts that want the same layer height lie together.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[part]]\n\
/// #     name = \"letters\"\nloose = { volume = \"20 ml\" }\n[[part]]\n\
/// #     name = \"parcels\"\nloose = { volume = \"25 ml\" }\n[[part]]\n\
/// #     name = \"stamps\"\nloose = { volume = \"30 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # use traywright::plan::group::ways;
/// // Three parts without a tray: in one tray, in two, in three.
/// let trays: Vec<usize> = ways(&job).iter().map(Vec::len).collect();
/// assert_eq!(trays, [1, 2, 3]);
/// ```
pub fn ways(job: &Job) -> Vec<Vec<Tray>> {
    let uses = [Use::Always, Use::Setup, Use::Seldom].map(|usage| ordered(job, usage));
    let most = uses.iter().map(|(_, parts)| parts.len()).max().unwrap_or(0).min(MOST_TRAYS);
    let mut out: Vec<Vec<Tray>> = Vec::new();
    for trays in 1..=most.max(1) {
        let way: Vec<Tray> = uses.iter().flat_map(|(usage, parts)| runs(job, *usage, parts, trays)).collect();
        if out.last().is_none_or(|last| last.len() != way.len()) {
            out.push(way);
        }
    }
    out
}

/// Every free part in a tray of its own: no other way of sharing holds a part that this one does not.
pub(super) fn alone(job: &Job) -> Vec<Tray> {
    let uses = [Use::Always, Use::Setup, Use::Seldom].map(|usage| ordered(job, usage));
    uses.iter().flat_map(|(usage, parts)| runs(job, *usage, parts, parts.len())).collect()
}

/// Parts of a use with the clear height at which each claims least, lowest first.
fn ordered(job: &Job, usage: Use) -> (Use, Vec<(Length, Volume, &FreePart)>) {
    let mut parts: Vec<(Length, Volume, &FreePart)> = job
        .free
        .iter()
        .filter(|f| f.usage == usage)
        .map(|f| {
            let (u, v) = likes(job, &f.part);
            (u, v, f)
        })
        .collect();
    parts.sort_by(|a, b| (a.0, &a.2.part.name).cmp(&(b.0, &b.2.part.name)));
    (usage, parts)
}

/// The clear height that a part likes best among the heights at which it changes, and what it claims there.
fn likes(job: &Job, part: &Part) -> (Length, Volume) {
    let base = job.floor;
    let need = need::of(part);
    need.alternatives
        .iter()
        .map(|a| a.space.least_height().max(Length::mm(20)))
        .filter_map(|u| least_area(&need, u).map(|a| (a * (u + base), u)))
        .min()
        .map_or((Length::ZERO, Volume::ZERO), |(v, u)| (u, v))
}

/// Cuts an ordered list into runs of like volume, each a tray.
fn runs(job: &Job, usage: Use, parts: &[(Length, Volume, &FreePart)], trays: usize) -> Vec<Tray> {
    if parts.is_empty() {
        return Vec::new();
    }
    let trays = trays.max(parts.len().div_ceil(MOST_PARTS)).min(parts.len());
    let whole: i128 = parts.iter().map(|p| p.1.nm3()).sum();
    let mut groups: Vec<Vec<Part>> = vec![Vec::new()];
    let mut sum = 0i128;
    for (i, (_, volume, free)) in parts.iter().enumerate() {
        let filled = groups.len() as i128;
        let left = parts.len() - i;
        let last_is_full = groups.last().is_some_and(|g| g.len() >= MOST_PARTS);
        let wanted = sum * trays as i128 >= whole * filled || left <= trays - groups.len();
        if groups.last().is_some_and(|g| !g.is_empty()) && ((wanted && groups.len() < trays) || last_is_full)
        {
            groups.push(Vec::new());
        }
        sum += volume.nm3();
        if let Some(group) = groups.last_mut() {
            group.push(free.part.clone());
        }
    }
    let word = match usage {
        Use::Always => "always",
        Use::Setup => "setup",
        Use::Seldom => "seldom",
    };
    groups
        .into_iter()
        .enumerate()
        .map(|(i, parts)| Tray {
            name: free_name(job, word, i + 1),
            usage,
            count: 1,
            lid: job.container.on_side,
            grip: None,
            span: 1,
            spare_share: 1000,
            low: false,
            held: None,
            size: None,
            joint: None,
            divider_height: None,
            parts,
        })
        .collect()
}

/// A name that no tray of the brief has.
fn free_name(job: &Job, word: &str, i: usize) -> String {
    let mut name = format!("{word} tray {i}");
    while job.trays.iter().any(|t| t.name == name) || job.kept.iter().any(|k| k.name == name) {
        name.push('\'');
    }
    name
}
