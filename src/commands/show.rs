//! `plica show`: one pose of a card as a picture.

use super::Outcome;
use super::args::ShowArguments;
use super::check::need_sound;
use super::console::Console;

pub fn run(arguments: &ShowArguments, console: &mut Console) -> Outcome {
    match need_sound(&arguments.file, &arguments.design, &console.err) {
        Err((words, outcome)) => {
            console.tell(&words);
            outcome
        }
        Ok(_) => {
            console.complain("this version cannot draw a pose yet");
            Outcome::CouldNotRun
        }
    }
}
