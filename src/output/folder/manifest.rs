//! The marker file's content: every file of the folder with a hash of what was written to it.

use super::Files;
use crate::output::fingerprint::fingerprint;
use std::collections::BTreeMap;

const HEADING: &str = "Made by Plica. Making the kit again replaces the files listed here and nothing else.";

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Manifest {
    hashes: BTreeMap<String, u128>,
}

impl Manifest {
    pub fn of(files: &Files) -> Manifest {
        Manifest { hashes: files.iter().map(|(name, content)| (name.clone(), hash(content))).collect() }
    }

    pub fn to_text(&self) -> String {
        let lines = self.hashes.iter().map(|(name, hash)| format!("{hash:032x} {name}\n"));
        format!("{HEADING}\n{}", lines.collect::<String>())
    }

    /// `None` when the text was not written by [`Manifest::to_text`].
    pub fn parse(text: &str) -> Option<Manifest> {
        let mut lines = text.lines();
        if lines.next()? != HEADING {
            return None;
        }
        let entry = |line: &str| {
            let (hash, name) = line.split_once(' ')?;
            Some((name.to_owned(), u128::from_str_radix(hash, 16).ok()?))
        };
        Some(Manifest { hashes: lines.map(entry).collect::<Option<_>>()? })
    }

    pub fn hash_of(&self, name: &str) -> Option<u128> {
        self.hashes.get(name).copied()
    }
}

/// Tells a file changed by hand from one left alone; not proof against forgery.
pub fn hash(content: &[u8]) -> u128 {
    fingerprint(content)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_manifest_reads_back_as_it_was_written() {
        let files = Files::from([("a b.svg".to_owned(), vec![1, 2]), ("views/open.png".to_owned(), vec![])]);
        let manifest = Manifest::of(&files);
        assert_eq!(Manifest::parse(&manifest.to_text()), Some(manifest));
        assert_eq!(Manifest::parse("something else\n"), None);
    }
}
