//! One file a command: arguments, one library call, an exit code.

mod advise;
mod batch;
mod check;
mod compare;
mod completions;
mod coupon;
mod cut;
mod differ;
mod grow;
mod join;
mod man;
mod model;
mod plan;
mod quote;
mod schema;
mod start;
mod tolerance;

use clap::Subcommand;

use crate::console::Console;
use crate::exit::Exit;

/// What can be asked for.
#[derive(Subcommand)]
pub(crate) enum Command {
    Start(start::Start),
    Plan(plan::Plan),
    Check(check::Check),
    Cut(cut::Cut),
    Differ(differ::Differ),
    Coupon(coupon::Coupon),
    Schema(schema::Schema),
    Tolerance(tolerance::Tolerance),
    Quote(quote::Quote),
    Advise(advise::Advise),
    Grow(grow::Grow),
    Compare(compare::Compare),
    Batch(batch::Batch),
    Join(join::Join),
    Model(model::Model),
    Completions(completions::Completions),
    Man(man::Man),
}

impl Command {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        match self {
            Command::Start(it) => it.run(console),
            Command::Plan(it) => it.run(console),
            Command::Check(it) => it.run(console),
            Command::Cut(it) => it.run(console),
            Command::Differ(it) => it.run(console),
            Command::Coupon(it) => it.run(console),
            Command::Schema(it) => it.run(console),
            Command::Tolerance(it) => it.run(console),
            Command::Quote(it) => it.run(console),
            Command::Advise(it) => it.run(console),
            Command::Grow(it) => it.run(console),
            Command::Compare(it) => it.run(console),
            Command::Batch(it) => it.run(console),
            Command::Join(it) => it.run(console),
            Command::Model(it) => it.run(console),
            Command::Completions(it) => it.run(console),
            Command::Man(it) => it.run(console),
        }
    }
}

/// What to ask next where a brief has no plan.
fn advise_hint(brief: &std::path::Path) -> String {
    format!("`traywright advise {}` looks for the smallest change that makes it fit", brief.display())
}
