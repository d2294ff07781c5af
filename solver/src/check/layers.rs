//! Layers: from the floor up, one on another, within the height that lid room and cover items leave.

use super::Report;
use super::view::View;
use crate::job::HeightRule;
use crate::length::Length;

pub(super) fn check(view: &View, report: &mut Report) {
    let (rules, layers) = (&view.job.layers, &view.a.layers);
    let path = format!("{} › layers", view.name);
    if layers.len() > rules.most {
        let cause = format!("there are {} layers, at most {} are wanted", layers.len(), rules.most);
        report.fault("C030", &path, cause);
    }
    let mut top = 0;
    for (i, layer) in layers.iter().enumerate() {
        let path = format!("{path} › {}", i + 1);
        if layer.bottom.nm() != top {
            let cause = format!(
                "its bottom is at {}, the layer below ends at {}",
                layer.bottom,
                Length::from_nm(top)
            );
            report.fault("C031", &path, cause);
        }
        top = layer.bottom.nm() + layer.height.nm();
        let h = layer.height;
        let suits = h > Length::ZERO
            && match rules.heights.get(i) {
                None | Some(HeightRule::Open) => true,
                Some(HeightRule::Range(least, most)) => (*least..=*most).contains(&h),
                Some(HeightRule::Fixed(wanted)) => h == *wanted,
            };
        if !suits {
            report.fault("C032", &path, format!("a height of {h} is not what the brief asks of this layer"));
        }
        let number = i + 1;
        let used = view.a.trays.iter().any(|t| t.layers.contains(&number))
            || view.a.kept.iter().any(|k| k.layers.contains(&number));
        if !used {
            report.fault("C033", &path, "nothing stands in this layer");
        }
    }
    if top > view.ceiling {
        let (top, ceiling) = (Length::from_nm(top), Length::from_nm(view.ceiling));
        report.fault("C031", &path, format!("they reach up to {top}, free is only up to {ceiling}"));
    }
}
