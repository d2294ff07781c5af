//! What a plan claims to be proven: computed from value and bound, never set.

use super::Report;
use crate::plan::{ClaimState, Plan};

/// A gap is a decimal share; beyond this many decimals it is rounding.
const GAP_ERROR: f64 = 1e-9;

pub(super) fn check(plan: &Plan, report: &mut Report) {
    let (claim, o) = (&plan.claim, &plan.objective_mm3);
    let (wasted, access, value, bound) = (o.wasted.nm3(), o.access.nm3(), o.value.nm3(), o.bound.nm3());
    if plan.tight.volumes_mm3.wasted.nm3() != wasted {
        let cause = format!("wasted is {}, in the tight plan {}", o.wasted, plan.tight.volumes_mm3.wasted);
        report.fault("C010", "objective_mm3 › wasted", cause);
    }
    if wasted.checked_add(access) != Some(value) {
        report.fault(
            "C010",
            "objective_mm3 › value",
            format!("{} is not {} + {}", o.value, o.wasted, o.access),
        );
    }
    if bound < 0 || bound > value {
        report.fault(
            "C011",
            "objective_mm3 › bound",
            format!("{} is not between 0 and {}", o.bound, o.value),
        );
    }
    let state = if value == bound {
        ClaimState::Proven
    } else if bound > 0 {
        ClaimState::Gap
    } else {
        ClaimState::Unproven
    };
    if claim.state != state {
        let cause = format!("it says {:?}, value and bound say {state:?}", claim.state);
        report.fault("C012", "claim › state", cause);
    }
    let gap = match state {
        ClaimState::Proven => Some(0.0),
        ClaimState::Gap => Some(1.0 - bound as f64 / value as f64),
        _ => None,
    };
    let agrees = match (gap, claim.gap) {
        (None, None) => true,
        // Not a number is no gap.
        (Some(a), Some(b)) => (a - b).abs() <= GAP_ERROR,
        _ => false,
    };
    if !agrees {
        report.fault("C012", "claim › gap", format!("it says {:?}, value and bound say {gap:?}", claim.gap));
    }
    if state == ClaimState::Proven && !plan.left_out.is_empty() {
        report.fault("C013", "claim › state", "parts are left out, so nothing is proven about the brief");
    }
    let known = |text: &str, words: [&str; 2]| words.contains(&text);
    if !known(&claim.curves, ["exact", "searched"]) {
        report.fault("C014", "claim › curves", format!("\"{}\" is no class of shape curves", claim.curves));
    }
    if !known(&claim.heights, ["all", "candidates"]) {
        report.fault("C014", "claim › heights", format!("\"{}\" is no class of heights", claim.heights));
    }
    if claim.bound_by.is_empty() {
        report.fault("C014", "claim › bound_by", "it names no bound");
    }
}
