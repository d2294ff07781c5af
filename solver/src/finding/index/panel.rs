//! K: panels.

use super::Entry;
use crate::finding::Severity;

/// What no brief brings about by itself.
const fn entry(code: &'static str, severity: Severity, title: &'static str, remedy: &'static str) -> Entry {
    Entry { code, severity, title, remedy, snippet: None }
}

/// What only a fault of the program or panels changed by hand can have brought about.
const fn unsound(code: &'static str, title: &'static str) -> Entry {
    let remedy = "This is a fault of the program: please report it with the brief and the plan.";
    entry(code, Severity::Fault, title, remedy)
}

pub(super) const PANEL: &[Entry] = &[
    entry(
        "K001",
        Severity::Fault,
        "less stock left beside a slot than it is thick",
        "Make the compartment there larger, take thinner stock, or join the tray with `butt`.",
    ),
    entry(
        "K002",
        Severity::Fault,
        "a panel that would fall apart",
        "Take thinner stock or join the tray with `butt`.",
    ),
    entry(
        "K003",
        Severity::Fault,
        "a panel larger than every sheet",
        "Buy a larger sheet, or make the tray smaller.",
    ),
    entry(
        "K004",
        Severity::Fault,
        "a panel larger than the bed of the machine",
        "Make the tray smaller, or have it cut on a larger machine.",
    ),
    entry(
        "K005",
        Severity::Fault,
        "a divider that ends nowhere",
        "Solve the brief again; every divider runs from a wall or divider to another.",
    ),
    entry(
        "K006",
        Severity::Fault,
        "a tray of a plan that nobody can build",
        "Take the plan as the program wrote it, or solve the brief again.",
    ),
    entry(
        "K020",
        Severity::Note,
        "an edge too short for fingers or tabs",
        "Glue it; an edge of six times the thickness takes a joint.",
    ),
    entry(
        "K021",
        Severity::Note,
        "a lid that nothing keeps in place",
        "Tie it down, or make the tray longer than six times the thickness of its stock.",
    ),
    entry(
        "K022",
        Severity::Note,
        "a tray too low or too short for grips",
        "Ask for a ribbon (`grip = \"ribbon\"`), or let it be higher.",
    ),
    entry(
        "K023",
        Severity::Note,
        "a compartment that fingers hardly reach into",
        "Make it wider or shallower, ask for `finger` room beside a stack, or tip it out.",
    ),
    unsound("K030", "two panels that share room"),
    unsound("K031", "a panel that is where none should be"),
    unsound("K032", "a slot that nothing fills"),
    unsound("K033", "panels that do not enclose what the plan has"),
    unsound("K034", "a panel that cannot be brought to its place"),
    unsound("K035", "panels that are not those of the plan"),
];
