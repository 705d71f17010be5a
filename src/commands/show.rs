//! `plica show`: one pose of a card as a picture.

use super::Outcome;
use super::args::ShowArguments;
use super::check::need_sound;
use super::console::Console;
use super::replace::{create, replace, why};
use crate::output::kit::{self, View};
use crate::source::nearest;

pub fn run(arguments: &ShowArguments, console: &mut Console) -> Outcome {
    let compiled = match need_sound(&arguments.file, &arguments.design, &console.err) {
        Ok(compiled) => compiled,
        Err((words, outcome)) => {
            console.tell(&words);
            return outcome;
        }
    };
    let mut poses = compiled.states.iter().zip(&compiled.cards);
    let shown = match &arguments.pose {
        None => poses.next(),
        Some(name) => poses.find(|(state, _)| state.name == *name),
    };
    let Some((state, card)) = shown else {
        let names: Vec<&str> = compiled.states.iter().map(|s| s.name.as_str()).collect();
        let complaint = match &arguments.pose {
            _ if names.is_empty() => "the design has no pose; add one such as `pose flat {}`".to_string(),
            Some(wanted) => match nearest(wanted, names.iter().copied()) {
                Some(near) => format!("there is no pose {wanted}; did you mean {near}?"),
                None => format!("there is no pose {wanted}; there are {}", names.join(", ")),
            },
            None => "the design has no pose".to_string(),
        };
        console.complain(&complaint);
        return Outcome::CouldNotRun;
    };
    let picture = match kit::picture(&compiled.assembly, state, card, View::ThreeQuarter) {
        Ok(picture) => picture,
        Err(error) => {
            console.complain(&format!("{} cannot be drawn: {}", error.file, error.why));
            return Outcome::CouldNotRun;
        }
    };
    let path = &arguments.output;
    let written = if path.exists() { replace(path, &picture) } else { create(path, &picture) };
    if let Err(error) = written {
        let path = path.to_string_lossy().replace('\\', "/");
        console.complain(&format!("cannot write {path}: {}", why(&error)));
        return Outcome::CouldNotRun;
    }
    Outcome::Sound
}
