//! `plica completions`: what a shell needs to complete commands and options.

use super::Outcome;
use super::args::{Arguments, CompletionsArguments};
use super::console::Console;
use clap::CommandFactory;

pub fn run(arguments: &CompletionsArguments, console: &mut Console) -> Outcome {
    let mut command = Arguments::command();
    let name = command.get_name().to_string();
    let mut out = Vec::new();
    clap_complete::generate(arguments.shell, &mut command, name, &mut out);
    console.print(&String::from_utf8_lossy(&out));
    Outcome::Sound
}
