//! What is asked of bodies, and what can be told of them before any has a place.

use super::super::decode::{BodyId, Taken};
use super::super::instance::{Access, HeldAt, Instance, Layout};
use super::Stand;

/// No outline is tried that is so much larger than the least, in percent.
const LARGER: i64 = 8;

/// What is asked of a body.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Role {
    /// The body.
    pub body: BodyId,
    /// First layer.
    pub layer: usize,
    /// Layers that a tray reaches through.
    pub span: usize,
    /// Height of a kept item as it stands.
    pub height: i64,
    /// Its outline and place so far, where it has one.
    pub now: Option<(usize, i64, i64)>,
    /// It stays there.
    pub stays: bool,
}

/// A body with everything that can be told before places.
pub(super) struct Part {
    pub(super) body: BodyId,
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) bottom: i64,
    pub(super) weight: i64,
    pub(super) seats: Vec<Seat>,
    pub(super) now: Option<(usize, i64, i64)>,
    pub(super) stays: bool,
    /// Least area with play.
    pub(super) wide: i64,
}

/// One outline of a body.
#[derive(Clone, Copy)]
pub(super) struct Seat {
    pub(super) taken: Taken,
    pub(super) claim: i64,
    /// Height of its top.
    pub(super) top: i64,
}

/// Every body stays where it is in a layout.
pub(crate) fn roles(instance: &Instance, layout: &Layout) -> Vec<Role> {
    let trays = layout.trays.iter().enumerate().map(|(body, p)| Role {
        body,
        layer: p.layer,
        span: p.span,
        height: 0,
        now: Some((p.option, p.x, p.y)),
        stays: true,
    });
    let n = layout.trays.len();
    let kept = layout.kept.iter().zip(&instance.kept).enumerate().map(|(k, (p, item))| Role {
        body: n + k,
        layer: p.layer,
        span: 1,
        height: item.turns.get(p.turn).map_or(0, |o| o.h),
        now: Some((p.turn, p.x, p.y)),
        stays: true,
    });
    trays.chain(kept).collect()
}

impl Stand<'_> {
    /// What is known of every body before any has a place; `false` where the least claims are too much already.
    pub(super) fn prepare(&mut self, heights: &[i64], roles: &[Role], cutoff: i64) -> bool {
        self.heights.clear();
        self.heights.extend(heights);
        self.parts.clear();
        for role in roles {
            let Some(part) = self.part(role) else { return false };
            self.parts.push(part);
        }
        let least: i64 = self.parts.iter().filter_map(|p| p.seats.first()).map(|s| s.claim).sum();
        let slack = cutoff - least;
        for part in &mut self.parts {
            let least = part.seats.first().map_or(0, |s| s.claim);
            let most = least + slack.min(least * LARGER / 100);
            let now = part.now.map(|n| n.0);
            part.seats
                .retain(|s| s.claim <= most || (now == Some(s.taken.choice) && s.claim <= least + slack));
        }
        slack >= 0 && self.parts.iter().all(|p| !p.seats.is_empty())
    }

    fn part(&mut self, role: &Role) -> Option<Part> {
        let (instance, n) = (self.instance, self.instance.trays.len());
        let layers = self.heights.len();
        let bottom: i64 = self.heights.iter().take(role.layer).sum();
        let mut seats = Vec::new();
        let (held, to, weight) = match role.body.checked_sub(n) {
            None => {
                let tray = instance.trays.get(role.body)?;
                let to = role.layer + role.span;
                let height: i64 = self.heights.get(role.layer..to)?.iter().sum();
                let mut choices = self.menu.at(instance, role.body, height).to_vec();
                choices.extend(role.now.map(|n| n.0).filter(|o| !choices.contains(o)));
                for choice in choices {
                    let Some(&size) = tray.options.get(choice).filter(|o| o.h <= height) else { continue };
                    let taken = Taken { size, from: role.layer, to, kept: false, held: tray.held, choice };
                    seats.push(Seat { taken, claim: size.w * size.d * height, top: bottom + height });
                }
                (tray.held, to, if instance.access == Access::Lifts { tray.weight } else { 0 })
            }
            Some(k) => {
                let item = instance.kept.get(k)?;
                let (_, after, top) = instance.kept_reach(&self.heights, role.layer, role.height);
                let to = if top > self.heights.iter().sum() { layers + 1 } else { after };
                if role.layer > layers || bottom + role.height > instance.height {
                    return None;
                }
                for (choice, &size) in item.turns.iter().enumerate().filter(|(_, o)| o.h == role.height) {
                    let taken = Taken { size, from: role.layer, to, kept: true, held: item.held, choice };
                    seats.push(Seat { taken, claim: size.w * size.d * (top - bottom), top: bottom + size.h });
                }
                (item.held, to, 0)
            }
        };
        let stands = match held {
            HeldAt::Free => true,
            HeldAt::Layer(l) => l == role.layer && l < layers,
            HeldAt::Point(_, _, z) => z == bottom,
        };
        if role.stays {
            seats.retain(|s| role.now.is_some_and(|n| n.0 == s.taken.choice));
        }
        seats.sort_by_key(|s| (s.claim, s.taken.choice));
        let g = instance.between;
        let wide = seats.iter().map(|s| (s.taken.size.w + g) * (s.taken.size.d + g)).min()?;
        let (body, from, now, stays) = (role.body, role.layer, role.now, role.stays);
        stands.then_some(Part { body, from, to, bottom, weight, seats, now, stays, wide })
    }

    /// Brings the bodies into the order in which they are set down: from the floor up, in a layer those first that cannot
    /// move, then those that reach far, then the larger ones.
    pub(super) fn arrange(&mut self, disturbed: bool) {
        let random = &mut self.random;
        self.parts.sort_by_cached_key(|p| {
            let point = p.seats.first().is_some_and(|s| matches!(s.taken.held, HeldAt::Point(..)));
            let part = if disturbed { 60 + random.below(80) as i64 } else { 100 };
            (p.from, !(point || p.stays), p.from + 1 >= p.to, -p.wide * part, p.body)
        });
        let layers = self.heights.len() + 1;
        let mut wanted = vec![0; layers];
        let mut rest = 0;
        self.rest.clear();
        self.rest.push(0);
        self.wanted.clear();
        self.wanted.push(wanted.clone());
        for p in self.parts.iter().rev() {
            rest += p.seats.first().map_or(0, |s| s.claim);
            wanted.iter_mut().take(p.to).skip(p.from).for_each(|w| *w += p.wide);
            self.rest.push(rest);
            self.wanted.push(wanted.clone());
        }
        self.rest.reverse();
        self.wanted.reverse();
        self.used.clear();
        self.used.resize(layers, 0);
        self.offers.resize_with(self.parts.len(), Vec::new);
    }
}
