//! `plica make`: everything needed to make a card, in one folder, whole or not at all.

use super::Outcome;
use super::args::MakeArguments;
use super::check::need_sound;
use super::console::Console;

pub fn run(arguments: &MakeArguments, console: &mut Console) -> Outcome {
    match need_sound(&arguments.file, &arguments.design, &console.err) {
        Err((words, outcome)) => {
            console.tell(&words);
            outcome
        }
        Ok(_) => {
            console.complain("this version cannot write a kit yet");
            Outcome::CouldNotRun
        }
    }
}
