//! `plica tidy`: the layout of designs brought into order, each file whole or not at all.

use super::Outcome;
use super::args::TidyArguments;
use super::console::{Console, complaint};
use super::replace;
use crate::findings::Findings;
use crate::report::{Look, terminal};
use crate::source::{Disk, Library, SourceMap};
use crate::syntax;
use rayon::prelude::*;
use std::path::{Path, PathBuf};

/// What became of one file.
enum Tidied {
    Already,
    Changed(String),
    /// It cannot be read whole; what to say of it.
    Broken(String),
    Unread(String),
}

pub fn run(arguments: &TidyArguments, console: &mut Console) -> Outcome {
    let tidy = |path: &PathBuf| tidy(path, &console.err);
    let all: Vec<Tidied> = arguments.files.par_iter().map(tidy).collect();
    let mut outcome = Outcome::Sound;
    for (path, tidied) in arguments.files.iter().zip(all) {
        let name = console.out.text(&path.to_string_lossy());
        let came_to = match tidied {
            Tidied::Already => Outcome::Sound,
            Tidied::Changed(_) if arguments.check => {
                console.print(&format!("{name}: not tidy\n"));
                Outcome::Findings
            }
            Tidied::Changed(text) => match replace::replace(path, text.as_bytes()) {
                Ok(()) => {
                    console.print(&format!("tidied {name}\n"));
                    Outcome::Sound
                }
                Err(error) => {
                    console.complain(&format!("cannot write {name}: {}", replace::why(&error)));
                    Outcome::CouldNotRun
                }
            },
            Tidied::Broken(words) => {
                console.tell(&words);
                Outcome::Findings
            }
            Tidied::Unread(words) => {
                console.tell(&words);
                Outcome::CouldNotRun
            }
        };
        outcome = outcome.max(came_to);
    }
    outcome
}

fn tidy(path: &Path, look: &Look) -> Tidied {
    let name = path.to_string_lossy();
    let (bytes, text) = match Disk.bytes(path).and_then(|bytes| Ok((bytes, Disk.text(path)?))) {
        Ok(read) => read,
        Err(error) => return Tidied::Unread(complaint(&format!("cannot read {name}: {error}"), look)),
    };
    match syntax::tidy(&text) {
        Ok(tidied) if tidied.as_bytes() == bytes => Tidied::Already,
        Ok(tidied) => Tidied::Changed(tidied),
        Err(findings) => Tidied::Broken(broken(&name, &text, &findings, look)),
    }
}

/// Why a file is left as it is.
fn broken(name: &str, text: &str, findings: &Findings, look: &Look) -> String {
    let mut sources = SourceMap::default();
    sources.add(name, text);
    let shown = |f| terminal::render(f, &sources, look) + "\n";
    let mut words: String = findings.list().iter().map(shown).collect();
    words.push_str(&complaint(&format!("{name} is left as it is: it cannot be read whole"), look));
    words
}
