//! `plica man`: the manual pages.

use super::Outcome;
use super::args::{Arguments, ManArguments};
use super::console::Console;
use clap::CommandFactory;

pub fn run(arguments: &ManArguments, console: &mut Console) -> Outcome {
    let mut whole = Arguments::command();
    // Filling in the tree gives the commands their full names and the options they all share.
    whole.build();
    let wanted = arguments.command.as_deref();
    let command = match wanted.and_then(|name| whole.find_subcommand(name)) {
        Some(command) => command.clone(),
        None => whole,
    };
    let mut out = Vec::new();
    match clap_mangen::Man::new(command).render(&mut out) {
        Ok(()) => {
            console.print(&String::from_utf8_lossy(&out));
            Outcome::Sound
        }
        Err(error) => {
            console.complain(&format!("cannot write the manual page: {error}"));
            Outcome::CouldNotRun
        }
    }
}
