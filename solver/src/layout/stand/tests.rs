//! What is set down keeps every rule and the cutoff.

use std::sync::Arc;

use super::*;
use crate::layout::anneal::tests::drafts;
use crate::layout::decode::drafted;
use crate::layout::instance::{HeldAt, Option3, Rims, Top};
use crate::layout::model::tests::{kept, plain, tray};

/// Four walls around the top of a tray, in tenths of a step.
fn ring(o: Option3) -> Top {
    let (w, d) = (10 * o.w, 10 * o.d);
    let wall = |x, y, w, d| Rect { x, y, w, d };
    let places = [wall(0, 0, w, 3), wall(0, d - 3, w, 3), wall(0, 0, 3, d), wall(w - 3, 0, 3, d)];
    Top { size: (w, d), places: places.into() }
}

fn rimmed(instance: Instance) -> Instance {
    let rims = Rims { per_step: 10, top: Arc::new(|_, o| ring(o)), kept: [].into() };
    Instance { rims: Some(rims), access: Access::Lifts, ..instance }
}

fn free(mut roles: Vec<Role>) -> Vec<Role> {
    roles.iter_mut().for_each(|r| (r.stays, r.now) = (false, None));
    roles
}

fn aim(cutoff: i64) -> Aim {
    Aim { cutoff, nodes: 2_000, first: false }
}

/// Small problems with spans, kept and held bodies and blocked places, each with some assignments.
#[test]
fn what_is_set_down_is_valid_and_within_the_cutoff() {
    let (mut met, mut better) = (0, 0);
    for (instance, steps) in drafts() {
        let instance = rimmed(instance);
        let mut stand = Stand::new(&instance);
        for draft in steps.iter().step_by(3) {
            let layout = crate::layout::decode::decode(&instance, draft).layout;
            let roles = free(roles(&instance, &layout));
            let first = Aim { first: true, ..aim(i64::MAX / 4) };
            let Some((one, value)) = stand.seek(&draft.heights, &roles, first, 1, &Stop::never()) else {
                continue;
            };
            met += 1;
            let next = stand.seek(&draft.heights, &roles, aim(value - 1), 1, &Stop::never());
            better += usize::from(next.is_some());
            assert!(next.as_ref().is_none_or(|n| n.1 < value));
            for (layout, value) in next.into_iter().chain([(one, value)]) {
                assert_eq!((instance.feasible(&layout), unborne(&instance, &layout)), (Ok(()), 0));
                assert_eq!(instance.cost(&layout).value(), value);
                let now = drafted(&instance, &layout);
                let layers =
                    |d: &crate::layout::decode::Draft| d.trays.iter().map(|t| (t.0, t.1)).collect::<Vec<_>>();
                assert_eq!(layers(&now), layers(draft));
            }
        }
    }
    assert!(met > 15 && better > 4, "{met} {better}");
}

/// A tray in the middle of the floor and one over it: against either side of the box that one would hang.
#[test]
fn a_tray_is_shifted_until_it_rests() {
    let mut instance = plain(22, 10, 10, 2);
    instance.trays = vec![tray("reeds", &[(10, 10, 5)], 1), tray("knives", &[(10, 10, 5)], 1)];
    instance.trays[0].held = HeldAt::Point(6, 0, 0);
    let mut instance = rimmed(instance);
    instance.trays.iter_mut().for_each(|t| t.weight = 3);
    let role = |body| Role { body, layer: body, span: 1, height: 0, now: None, stays: false };
    let roles = [role(0), role(1)];
    let seek = |cutoff| Stand::new(&instance).seek(&[5, 5], &roles, aim(cutoff), 1, &Stop::never());
    let (layout, value) = seek(1_003).expect("there is such a place");
    assert_eq!((value, unborne(&instance, &layout)), (1_003, 0));
    assert!((1..12).contains(&layout.trays[1].x));
    assert!(seek(1_002).is_none());
}

/// A tray and a carton on the floor, as large as each other: what stands over them must choose the carton.
#[test]
fn trays_keep_out_of_each_others_way() {
    let mut instance = plain(20, 10, 10, 2);
    instance.trays = vec![tray("reeds", &[(10, 10, 5)], 1), tray("knives", &[(10, 10, 5)], 1)];
    instance.trays.iter_mut().enumerate().for_each(|(kind, t)| (t.kind, t.weight) = (kind, 50));
    instance.kept = vec![kept("carton", &[(10, 10, 5)])];
    let instance = rimmed(instance);
    let role = |body, layer, height| Role { body, layer, span: 1, height, now: None, stays: false };
    let roles = [role(0, 0, 0), role(1, 1, 0), role(2, 0, 5)];
    let mut stand = Stand::new(&instance);
    let (layout, value) = stand.seek(&[5, 5], &roles, aim(1_500), 1, &Stop::never()).unwrap();
    assert_eq!((value, layout.trays[1].x), (1_500, layout.kept[0].x));
    assert!(stand.seek(&[5, 5], &roles, aim(1_499), 1, &Stop::never()).is_none());
}
