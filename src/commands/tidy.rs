//! `plica tidy`: the layout of designs brought into order.

use super::Outcome;
use super::args::TidyArguments;
use super::console::Console;

pub fn run(_: &TidyArguments, console: &mut Console) -> Outcome {
    console.complain("this version cannot tidy yet");
    Outcome::CouldNotRun
}
