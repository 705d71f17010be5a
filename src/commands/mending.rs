//! Tried mends shown as a diff and written into the files.

use super::replace;
use crate::compile::{Compiled, patch};
use crate::findings::Edit;
use crate::report::{Look, Style, line};
use crate::source::SourceMap;
use std::path::Path;

/// Each finding that has a tried mend, with the change.
pub fn list(compiled: &Compiled, look: &Look) -> String {
    let findings = compiled.findings.list();
    let mut out = String::new();
    for (finding, mend) in findings.iter().filter_map(|f| Some((f, f.mend.as_ref()?))) {
        out.push_str(&line::render(finding, &compiled.sources, look));
        out.push('\n');
        out.push_str(&diff(&compiled.sources, &mend.edits, look));
        out.push('\n');
    }
    let tried = findings.iter().filter(|f| f.mend.is_some()).count();
    let safe = findings.iter().filter_map(|f| f.mend.as_ref()).filter(|m| m.safe).count();
    let name = compiled.sources.files().first().map_or("", |f| f.name.as_str());
    let name = look.text(name);
    out.push_str(&match findings.len() {
        0 => format!("{name}: nothing to mend\n"),
        all => {
            format!("{name}: {tried} of {all} findings have a tried mend; --mend=write would write {safe}\n")
        }
    });
    out
}

/// The change in the unified form (POSIX `diff -U 0`).
pub fn diff(sources: &SourceMap, edits: &[Edit], look: &Look) -> String {
    let mut out = String::new();
    let mut file = None;
    // How many lines the hunks before have added in this file.
    let mut shift = 0;
    for hunk in patch::hunks(sources, edits) {
        if file.as_ref() != Some(&hunk.file) {
            let name = look.text(&hunk.file);
            out.push_str(&look.paint(Style::Heading, &format!("--- {name}\n+++ {name}")));
            out.push('\n');
            file = Some(hunk.file.clone());
            shift = 0;
        }
        let (old, new) = (hunk.old.len() as i64, hunk.new.len() as i64);
        // A side without lines is numbered by the line before it.
        let from = i64::from(hunk.line) - i64::from(old == 0);
        let to = i64::from(hunk.line) + shift - i64::from(new == 0);
        let head = format!("@@ -{from},{old} +{to},{new} @@");
        out.push_str(&look.paint(Style::Faint, &head));
        out.push('\n');
        for text in &hunk.old {
            out.push_str(&look.paint(Style::Error, &look.text(&format!("-{text}"))));
            out.push('\n');
        }
        for text in &hunk.new {
            out.push_str(&look.paint(Style::Good, &look.text(&format!("+{text}"))));
            out.push('\n');
        }
        shift += new - old;
    }
    out
}

/// Writes the edits into their files. `Err` says what could not be written.
pub fn write(compiled: &Compiled, edits: &[Edit], own: &Path) -> Result<(), String> {
    let texts = patch::apply(&compiled.sources, edits).ok_or("the mends do not go together")?;
    let own_name = compiled.sources.files().first().map(|f| f.name.as_str());
    for (name, text) in texts {
        let path = if Some(name.as_str()) == own_name { own } else { Path::new(&name) };
        replace::replace(path, text.as_bytes())
            .map_err(|error| format!("cannot write {name}: {}", replace::why(&error)))?;
    }
    Ok(())
}
