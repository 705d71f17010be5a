//! `plica new`: a small sound design to start from.

use super::Outcome;
use super::args::{NewArguments, Scene};
use super::console::Console;
use super::replace;
use std::path::{Path, PathBuf};

pub fn run(arguments: &NewArguments, console: &mut Console) -> Outcome {
    let (name, design) = scene(arguments.kind);
    let path = arguments.output.clone().unwrap_or_else(|| PathBuf::from(name));
    if path == Path::new("-") {
        console.print(design);
        return Outcome::Sound;
    }
    match replace::create(&path, design.as_bytes()) {
        Ok(()) => {
            let path = console.out.text(&path.to_string_lossy());
            console.print(&format!("wrote {path}; `plica check {path}` checks it\n"));
            Outcome::Sound
        }
        Err(error) => {
            console.complain(&format!("cannot write {}: {}", path.display(), replace::why(&error)));
            Outcome::CouldNotRun
        }
    }
}

/// The usual file name and the text of a scene.
fn scene(kind: Scene) -> (&'static str, &'static str) {
    match kind {
        Scene::Folded => ("folded.plica", include_str!("designs/folded.plica")),
        Scene::Slider => ("slider.plica", include_str!("designs/slider.plica")),
        Scene::Wheel => ("wheel.plica", include_str!("designs/wheel.plica")),
    }
}
