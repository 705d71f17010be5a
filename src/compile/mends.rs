//! The trial of mends: a proposal is offered only after it was written in memory, compiled, and found to help.

use super::{Compiled, compile_with, patch};
use crate::findings::{Edit, Family, Finding, Findings, Mend, Severity};
use crate::layers::Kept;
use crate::meaning::Request;
use crate::source::{Library, Memory, SourceMap};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

/// Findings whose proposals are tried, in file order.
const MOST_FINDINGS: usize = 24;
/// Proposals tried for one finding, best first.
const MOST_PROPOSALS: usize = 3;
/// Bytes of text compiled for trials of one design; past this, as for a text of many megabytes, nothing is tried.
const MOST_BYTES: usize = 4 << 20;

/// Fills in [`Finding::mend`]: the first proposal under which the finding is gone and no error has come that was not
/// there before.
///
/// One kind of new error does not count against a proposal: the text of a design is read before its paper is measured,
/// so mending a line that could not be understood may bring to light a fault that was there all along.
pub fn try_mends(compiled: &mut Compiled, library: &dyn Library, request: &Request) {
    let bytes: usize = compiled.sources.files().iter().map(|f| f.text.len()).sum();
    let affordable = MOST_BYTES / bytes.max(1) / MOST_PROPOSALS;
    let before = Census::of(&compiled.findings);
    let tried: Vec<usize> = (0..compiled.findings.list().len())
        .filter(|i| compiled.findings.list().get(*i).is_some_and(|f| !f.telling.proposals.is_empty()))
        .take(MOST_FINDINGS.min(affordable))
        .collect();
    let list = compiled.findings.list();
    let trial = Trial { sources: &compiled.sources, library, request, kept: &compiled.kept };
    let mends: Vec<(usize, Option<Mend>)> = tried
        .into_par_iter()
        .map(|i| (i, list.get(i).and_then(|f| trial.first_that_helps(f, &before))))
        .collect();
    for (i, mend) in mends {
        if let Some(finding) = compiled.findings.list_mut().get_mut(i) {
            finding.mend = mend;
        }
    }
}

/// Where mends are tried.
struct Trial<'a> {
    sources: &'a SourceMap,
    library: &'a dyn Library,
    request: &'a Request,
    kept: &'a Arc<Kept>,
}

impl Trial<'_> {
    fn first_that_helps(&self, finding: &Finding, before: &Census) -> Option<Mend> {
        finding.telling.proposals.iter().take(MOST_PROPOSALS).find_map(|proposal| {
            let after = Census::of(&self.with_edits(&proposal.edits)?);
            before.is_mended(finding, &after).then(|| proposal.clone())
        })
    }

    /// The findings of the design as it would be with the edits made. `None` when they cannot be made.
    fn with_edits(&self, edits: &[Edit]) -> Option<Findings> {
        let own = self.sources.files().first()?;
        let mut texts = patch::apply(self.sources, edits)?;
        let text = texts.remove(&own.name).unwrap_or_else(|| own.text.clone());
        let overlay = texts
            .into_iter()
            .fold(Memory::over(self.library), |memory, (name, text)| memory.with(PathBuf::from(name), text));
        Some(compile_with(&text, &overlay, self.request, Arc::clone(self.kept)).ok()?.findings)
    }
}

/// How many findings there are of each name, and of each name and message.
struct Census {
    errors: BTreeMap<&'static str, (Family, usize)>,
    messages: BTreeMap<(&'static str, String), usize>,
}

impl Census {
    fn of(findings: &Findings) -> Self {
        let mut census = Census { errors: BTreeMap::new(), messages: BTreeMap::new() };
        for finding in findings.list() {
            *census.messages.entry((finding.name(), finding.telling.message.clone())).or_default() += 1;
            if finding.severity() == Severity::Error {
                census.errors.entry(finding.name()).or_insert((finding.entry.family, 0)).1 += 1;
            }
        }
        census
    }

    fn is_mended(&self, finding: &Finding, after: &Census) -> bool {
        let key = (finding.name(), finding.telling.message.clone());
        let count = |census: &Census| census.messages.get(&key).copied().unwrap_or(0);
        let of_name = |census: &Census, name| census.errors.get(name).map_or(0, |e: &(Family, usize)| e.1);
        let gone = count(after) < count(self);
        // The same said of another place or another number is no mend.
        let like_it = |census: &Census| -> usize {
            let named = census.messages.iter().filter(|((name, _), _)| *name == finding.name());
            named.map(|(_, count)| count).sum()
        };
        let none_like_it = like_it(after) < like_it(self);
        let uncovers = |family: Family| is_reading(finding.entry.family) && !is_reading(family);
        let no_new = after
            .errors
            .iter()
            .all(|(name, (family, count))| *count <= of_name(self, name) || uncovers(*family));
        gone && none_like_it && no_new
    }
}

/// Families found while the text is read, before anything is measured.
fn is_reading(family: Family) -> bool {
    matches!(family, Family::Syntax | Family::Names | Family::Kinds | Family::Values)
}

/// The edits of every tried mend that cannot alter what the maker meant, those left out that would touch the same
/// words as an earlier one.
pub fn safe_edits(findings: &Findings) -> Vec<Edit> {
    let mut out: Vec<Edit> = Vec::new();
    for mend in findings.list().iter().filter_map(|f| f.mend.as_ref()).filter(|m| m.safe) {
        let clashes = |e: &Edit| out.iter().any(|o| o.span.start <= e.span.end && e.span.start <= o.span.end);
        if !mend.edits.iter().any(clashes) {
            out.extend(mend.edits.iter().cloned());
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::compile_text;

    const HEAD: &str = "card \"Kite\"\npaper board: 200gsm, 0.25mm thick\n";

    /// The findings of a text by name, each with what its mend says.
    fn mended(text: &str) -> Vec<(&'static str, Option<String>)> {
        let request = Request { path: "kite.plica".into(), ..Request::default() };
        let mut compiled = compile_text(&format!("{HEAD}{text}"), &Memory::default(), &request).unwrap();
        try_mends(&mut compiled, &Memory::default(), &request);
        compiled.findings.list().iter().map(|f| (f.name(), f.mend.as_ref().map(|m| m.says.clone()))).collect()
    }

    #[test]
    fn a_mend_that_helps_is_kept() {
        let all = mended("let wide = 60mm\npiece kite of board { size wdie by 80mm }\n");
        assert_eq!(all, [("unknown-name", Some("write `wide`".into()))]);
    }

    /// `wide` is the nearest name, but an angle: writing it would only make another error.
    #[test]
    fn a_mend_that_makes_another_error_is_not_offered() {
        let all = mended("let wide = 60deg\npiece kite of board { size wdie by 80mm }\n");
        assert_eq!(all, [("unknown-name", None)]);
    }

    /// The slot was out of place all along; nobody could see it while the size could not be read.
    #[test]
    fn a_fault_that_a_mend_uncovers_does_not_count_against_it() {
        let piece = |size: &str| {
            format!(
                "let wide = 60mm\npiece kite of board {{\n  size {size} by 80mm\n  slot rail: 2mm wide, 90mm from left, 10mm to 40mm from top\n}}\n"
            )
        };
        let right: Vec<_> = mended(&piece("wide")).into_iter().map(|(name, _)| name).collect();
        assert!(!right.is_empty(), "the slot is a fault of its own");
        let all = mended(&piece("wdie"));
        assert_eq!(all, [("unknown-name", Some("write `wide`".into()))]);
    }

    /// 6.4 mm from the left edge of 11 mm would be 4.6 mm from the right one.
    #[test]
    fn a_mend_by_which_the_same_is_said_with_another_number_is_not_offered() {
        let piece = |width: &str| {
            mended(&format!(
                "piece kite of board {{ size {width} by 80mm hole hub: 3mm, 5mm from left, 40mm from top }}\n"
            ))
        };
        assert_eq!(piece("60mm"), [("hole-near-edge", Some("write `6.4mm`".into()))]);
        assert_eq!(piece("11mm"), [("hole-near-edge", None)]);
    }

    #[test]
    fn safe_edits_do_not_touch_one_another() {
        let request = Request::default();
        let text = format!("{HEAD}let wide = 60mm\npiece kite of bord {{ size wdie by wdie }}\n");
        let mut compiled = compile_text(&text, &Memory::default(), &request).unwrap();
        try_mends(&mut compiled, &Memory::default(), &request);
        let mut edits = safe_edits(&compiled.findings);
        edits.sort();
        assert_eq!(edits.len(), 3);
        assert!(edits.windows(2).all(|w| w[0].span.end < w[1].span.start));
    }
}
