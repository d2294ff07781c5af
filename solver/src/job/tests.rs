//! Whole briefs read into jobs.

use super::*;
use crate::brief::Format;

/// The sample brief of the manual; every key is in it.
const SAMPLE: &str = include_str!("../brief/sample.toml");

fn source(text: &str) -> Source {
    Source {
        name: "b.toml".into(),
        text: text.into(),
        format: Format::Toml,
        inventory: Some(("i.csv".into(), "name;tray;loose.volume\nrope;cargo;2,5 ml\n".into())),
        stock_list: Some((
            "s.toml".into(),
            "[[stock]]\nid = \"greyboard-2\"\nname = \"greyboard\"\nthickness = 2\n".into(),
        )),
    }
}

#[test]
fn the_sample_becomes_a_job() {
    let job = source(SAMPLE).read(&[]).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!(job.title, "Oddlewick crossing");
    assert_eq!(job.container.interior.w, Length::mm(310));
    assert_eq!(job.container.between, Length::um(800));
    assert_eq!(job.floor, Length::mm(2));
    assert_eq!(job.floor_stock.as_ref().unwrap().name, "greyboard");
    assert_eq!(job.trays.len(), 2);
    assert_eq!(job.trays[0].parts.len(), 4);
    assert_eq!(job.free.len(), 1);
}
