//! `plica check --watch`: the findings again whenever a design, or a file that it reads, is saved. What a change leaves
//! as it was is not worked out again.

use super::Outcome;
use super::args::CheckArguments;
use super::check::{self, Checked};
use super::console::Console;
use crate::source::{Disk, Library, LibraryError};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

/// Files are looked at so often.
const EVERY: Duration = Duration::from_millis(200);
/// A file that cannot be read is being written anew, until it was missing for so many looks.
const PATIENCE: usize = 5;

/// What a design read when it was compiled.
type Read = BTreeMap<PathBuf, Content>;
type Content = Result<Vec<u8>, LibraryError>;

/// The file system, with a note of everything that was read.
#[derive(Default)]
struct Noting {
    read: Mutex<Read>,
}

impl Library for Noting {
    fn bytes(&self, path: &Path) -> Result<Vec<u8>, LibraryError> {
        let found = Disk.bytes(path);
        let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        read.insert(path.to_path_buf(), found.clone());
        found
    }

    fn escapes(&self, root: &Path, path: &Path) -> bool {
        Disk.escapes(root, path)
    }
}

struct Watched<'a> {
    checked: Checked<'a>,
    read: Read,
    /// Looks for which something could not be read that could be read before.
    missed: usize,
}

/// Ends when nobody reads the output any more.
pub fn run(arguments: &CheckArguments, console: &Console) -> Outcome {
    let mut all: Vec<Watched> = Vec::new();
    loop {
        for (number, path) in arguments.files.iter().enumerate() {
            if all.get_mut(number).is_some_and(|watched| !watched.has_changed()) {
                continue;
            }
            let noting = Noting::default();
            let before = all.get(number).and_then(|watched| watched.checked.compiled.as_ref().ok());
            let checked = check::check(path, arguments, &noting, before);
            let (outcome, read_on) = check::report(&checked, arguments, console);
            if !read_on {
                return outcome;
            }
            let read = noting.read.into_inner().unwrap_or_else(PoisonError::into_inner);
            let watched = Watched { checked, read, missed: 0 };
            match all.get_mut(number) {
                Some(place) => *place = watched,
                None => all.push(watched),
            }
        }
        std::thread::sleep(EVERY);
    }
}

impl Watched<'_> {
    fn has_changed(&mut self) -> bool {
        let now: Vec<(&Content, Content)> =
            self.read.iter().map(|(path, before)| (before, Disk.bytes(path))).collect();
        let gone = now.iter().any(|(before, now)| before.is_ok() && now.is_err());
        self.missed = if gone { self.missed + 1 } else { 0 };
        let waits = gone && self.missed < PATIENCE;
        !waits && now.iter().any(|(before, now)| **before != *now)
    }
}
