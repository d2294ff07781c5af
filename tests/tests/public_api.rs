//! The public items of the library as they were recorded: a change of them is seen in the change of docs/public-api.txt, and a
//! release that takes one away or alters it has another version. Written anew by
//! `UPDATE_API=1 cargo test -p traywright-tests --test public_api`.

use std::path::Path;

use traywright_tests::api::{Public, public};

fn items() -> Vec<Public> {
    public(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../solver/src/lib.rs"))
}

#[test]
fn the_recorded_items_are_those_of_the_source() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/public-api.txt");
    let text: String = items().iter().map(|i| format!("{}\n", i.line)).collect();
    if std::env::var_os("UPDATE_API").is_some() {
        std::fs::write(&path, &text).unwrap();
    }
    let recorded = std::fs::read_to_string(&path).unwrap_or_default();
    let gone: Vec<&str> = recorded.lines().filter(|l| !text.lines().any(|t| t == *l)).collect();
    let new: Vec<&str> = text.lines().filter(|l| !recorded.lines().any(|t| t == *l)).collect();
    assert!(
        gone.is_empty() && new.is_empty(),
        "public items have changed (gone ones break callers: raise the version); record them with UPDATE_API=1\ngone:\n{}\nnew:\n{}",
        gone.join("\n"),
        new.join("\n")
    );
}

#[test]
fn every_function_and_type_has_an_example_that_asserts() {
    let told = ["fn", "method", "struct", "enum", "trait"];
    let without: Vec<String> =
        items().into_iter().filter(|i| told.contains(&i.kind) && !i.example).map(|i| i.line).collect();
    assert!(without.is_empty(), "without an example that asserts:\n{}", without.join("\n"));
}
