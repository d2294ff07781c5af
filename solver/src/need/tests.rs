//! Check values and properties of needs.

use super::*;
use crate::job::{Face, Part, Stack, Stand};

fn mm(thousandths: i64) -> Length {
    Length::um(thousandths)
}

fn part(contents: Contents) -> Part {
    Part { name: "probe".into(), contents, mass: None }
}

fn cards() -> Stack {
    Stack {
        face: Face::Rectangle(mm(63_500), mm(88_900)),
        count: Some(54),
        each: Some(mm(300)),
        height: None,
        sleeve: None,
        stand: vec![Stand::Flat],
        piles: 1,
        least_lean: 60,
        spare_count: 0,
        ease: Length::ZERO,
        browse: 0,
        finger: Length::ZERO,
    }
}

#[test]
fn a_deck_lies_flat() {
    let need = of(&part(Contents::Stack(cards())));
    assert_eq!(need.alternatives.len(), 1);
    assert_eq!(need.alternatives[0].space, Space::Fixed { w: mm(63_500), d: mm(88_900), h: mm(16_200) });
}
