//! Many boxes made by chance.

use super::assume::Assumptions;
use super::chain::{Direction, Kind, Member, Web};
use super::shape::Shape;
use super::term::{Term, of_season};
use crate::random::Random;

/// What is drawn for every made box.
pub(super) struct Parts<'a> {
    /// Per member and direction: its deviations.
    pub(super) terms: Vec<[Vec<Term>; 3]>,
    /// Per direction: that of the box.
    pub(super) container: [Option<Term>; 3],
    pub(super) members: &'a [Member],
    pub(super) webs: &'a [Web],
    /// Inside of the box, millimetres.
    pub(super) inside: [f64; 3],
}

/// A chain as the simulation sees it.
pub(super) struct Link {
    pub(super) along: Direction,
    pub(super) members: Vec<usize>,
    /// Play, millimetres.
    pub(super) play: f64,
    /// Gaps among which more play can be shared.
    pub(super) gaps: f64,
}

/// What came of the trials.
pub(super) struct Trials {
    /// Per chain: in how many trials it went in.
    pub(super) fits: Vec<usize>,
    /// Per chain: what it lacked in each trial, in rising order; negative is room to spare.
    pub(super) lacks: Vec<Vec<f64>>,
    /// In how many trials every web went in.
    pub(super) all: usize,
    /// The most that any gap lacked in each trial, in rising order: beside trays, and under the lid.
    pub(super) gap_lacks: [Vec<f64>; 2],
}

/// Makes so many boxes.
pub(super) fn run(parts: &Parts<'_>, links: &[Link], assumed: &Assumptions) -> Trials {
    let mut random = Random::new(assumed.seed);
    let n = assumed.trials;
    let mut out = Trials {
        fits: vec![0; links.len()],
        lacks: links.iter().map(|_| Vec::with_capacity(n)).collect(),
        all: 0,
        gap_lacks: [Vec::with_capacity(n), Vec::with_capacity(n)],
    };
    let season = Shape::Triangular { half: assumed.movement.value / 100.0 };
    let lengths: Vec<[f64; 3]> =
        parts.members.iter().map(|m| Direction::ALL.map(|along| along.of_size(m.size).to_mm_f64())).collect();
    for _ in 0..n {
        let growth = season.draw(&mut random);
        let room: Vec<f64> = parts
            .container
            .iter()
            .zip(parts.inside)
            .map(|(term, inside)| inside - term.as_ref().map_or(0.0, |t| t.shape.draw(&mut random)))
            .collect();
        let sizes: Vec<[f64; 3]> = parts
            .members
            .iter()
            .zip(&parts.terms)
            .zip(&lengths)
            .map(|((member, terms), length)| {
                let grows = if matches!(member.kind, Kind::Tray(_)) { growth } else { 0.0 };
                let mut made = [0.0; 3];
                for ((made, terms), length) in made.iter_mut().zip(terms).zip(length) {
                    let off: f64 = terms.iter().map(|t| t.shape.draw(&mut random)).sum();
                    *made = length + off + grows * length;
                }
                made
            })
            .collect();
        let mut worst = [f64::NEG_INFINITY; 2];
        for (k, link) in links.iter().enumerate() {
            let axis = link.along as usize;
            let taken: f64 =
                link.members.iter().filter_map(|&m| sizes.get(m)).filter_map(|s| s.get(axis)).sum();
            let lack = taken - room.get(axis).copied().unwrap_or(0.0);
            if let (Some(fits), Some(lacks)) = (out.fits.get_mut(k), out.lacks.get_mut(k)) {
                *fits += usize::from(lack <= 0.0);
                lacks.push(lack);
            }
            let side = usize::from(link.along == Direction::Height);
            if let Some(worst) = worst.get_mut(side) {
                *worst = worst.max(lack / link.gaps);
            }
        }
        for (all, worst) in out.gap_lacks.iter_mut().zip(worst) {
            all.push(worst);
        }
        out.all += usize::from(parts.webs.iter().all(|web| longest(web, &sizes) <= room_of(&room, web)));
    }
    out.lacks.iter_mut().chain(&mut out.gap_lacks).for_each(|l| l.sort_by(f64::total_cmp));
    out
}

fn room_of(room: &[f64], web: &Web) -> f64 {
    room.get(web.along as usize).copied().unwrap_or(0.0)
}

/// The longest chain of a web with these sizes: all its chains at once, however many there are.
fn longest(web: &Web, sizes: &[[f64; 3]]) -> f64 {
    let axis = web.along as usize;
    let mut reach = vec![0.0f64; sizes.len()];
    let mut most = 0.0f64;
    for (&member, pushes) in web.order.iter().zip(&web.pushes) {
        let own = sizes.get(member).and_then(|s| s.get(axis)).copied().unwrap_or(0.0);
        let to = reach.get(member).copied().unwrap_or(0.0) + own;
        most = most.max(to);
        for &next in pushes {
            if let Some(r) = reach.get_mut(next) {
                *r = r.max(to);
            }
        }
    }
    most
}

/// The terms of a chain, that of the box and that of the season with them.
pub(super) fn terms_of(parts: &Parts<'_>, link: &Link, assumed: &Assumptions) -> Vec<Term> {
    let axis = link.along as usize;
    let own = link.members.iter().filter_map(|&m| parts.terms.get(m)?.get(axis)).flatten().cloned();
    let trays: f64 = link
        .members
        .iter()
        .filter_map(|&m| parts.members.get(m))
        .filter(|m| matches!(m.kind, Kind::Tray(_)))
        .map(|m| link.along.of_size(m.size).to_mm_f64())
        .sum();
    let shared = parts.container.get(axis).cloned().flatten().into_iter().chain(of_season(trays, assumed));
    own.chain(shared).collect()
}

/// The value below which a share of the sorted values lies.
pub(super) fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let at = (share * sorted.len() as f64).ceil() as usize;
    sorted.get(at.clamp(1, sorted.len().max(1)) - 1).copied().filter(|v| v.is_finite())
}
