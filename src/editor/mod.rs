//! A design as an editor needs it, in plain data: findings, names with their places, the tree and as much of the typed
//! design as can be understood. A broken text gives what can still be told of it.
//!
//! Knows no protocol: places are byte spans, and whoever speaks a protocol turns them into its own.

mod symbols;

pub use symbols::{Symbol, SymbolKind};

use crate::compile::{self, Compiled};
use crate::findings::Finding;
use crate::meaning::Request;
use crate::source::{Library, LibraryError, Memory};
use std::path::PathBuf;

/// What is known of a text.
#[derive(Debug, Default)]
pub struct Analysis {
    pub compiled: Compiled,
    /// Names that the text itself declares, in file order.
    pub symbols: Vec<Symbol>,
}

impl Analysis {
    /// Findings of the text and of what it includes; spans are in [`Compiled::sources`].
    pub fn findings(&self) -> &[Finding] {
        self.compiled.findings.list()
    }

    /// The innermost name declared around a byte of the text.
    pub fn symbol_at(&self, offset: u32) -> Option<&Symbol> {
        let around = |s: &&Symbol| s.whole.start <= offset && offset <= s.whole.end;
        self.symbols.iter().filter(around).min_by_key(|s| s.whole.len())
    }
}

/// Analyses a text on its own: nothing it includes is found.
pub fn analyse(text: &str) -> Analysis {
    let request = Request { path: PathBuf::from("untitled.plica"), ..Request::default() };
    // Only a text of gigabytes cannot be taken in; of that nothing is known.
    analyse_in(text, &Memory::default(), &request).unwrap_or_default()
}

/// Analyses the text of a design as it stands in an editor, saved or not; mends are tried.
pub fn analyse_in(text: &str, library: &dyn Library, request: &Request) -> Result<Analysis, LibraryError> {
    Ok(Analysis::of(compile::compile_text(text, library, request)?, library, request))
}

impl Analysis {
    fn of(mut compiled: Compiled, library: &dyn Library, request: &Request) -> Self {
        compile::try_mends(&mut compiled, library, request);
        let symbols = symbols::of(&compiled.tree);
        Self { compiled, symbols }
    }

    /// Analyses the text after an edit; what the edit leaves as it was is not worked out again. The result is the same as
    /// that of [`analyse_in`].
    pub fn after_edit(
        &self,
        text: &str,
        library: &dyn Library,
        request: &Request,
    ) -> Result<Self, LibraryError> {
        let compiled = compile::compile_after(&self.compiled, text, library, request)?;
        Ok(Self::of(compiled, library, request))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BROKEN: &str = "card \"Kite\"\npaper board: 200gsm\nlet wide = 60mm\npiece kite of board {\n  size wide by\n  slot rail: 2mm wide, 10mm from left, 12mm to 40mm from top\n}\npose flat { }\n";

    #[test]
    fn an_edit_is_analysed_as_the_text_on_its_own() {
        let request = Request { path: PathBuf::from("untitled.plica"), ..Request::default() };
        let whole = BROKEN.replace("size wide by\n", "size wide by 80mm\n");
        let before = analyse(&whole);
        // Broken, and whole again.
        let broken = before.after_edit(BROKEN, &Memory::default(), &request).unwrap();
        let mended = broken.after_edit(&whole, &Memory::default(), &request).unwrap();
        let told = |analysis: &Analysis| format!("{:?} {:?}", analysis.findings(), analysis.symbols);
        assert_eq!(told(&broken), told(&analyse(BROKEN)));
        assert_eq!(told(&mended), told(&before));
        assert_ne!(told(&broken), told(&mended));
    }

    #[test]
    fn a_broken_text_still_has_its_names() {
        let analysis = analyse(BROKEN);
        assert!(!analysis.findings().is_empty());
        let names: Vec<(&str, SymbolKind)> =
            analysis.symbols.iter().map(|s| (s.name.as_str(), s.kind)).collect();
        assert_eq!(
            names,
            [
                ("board", SymbolKind::Paper),
                ("wide", SymbolKind::Value),
                ("kite", SymbolKind::Piece),
                ("rail", SymbolKind::Cutout),
                ("flat", SymbolKind::Pose),
            ]
        );
        let rail = &analysis.symbols[3];
        assert_eq!(&BROKEN[rail.name_span.start as usize..rail.name_span.end as usize], "rail");
        assert_eq!(rail.inside.as_deref(), Some("kite"));
        let at = BROKEN.find("12mm").map(|i| i as u32);
        assert_eq!(at.and_then(|at| analysis.symbol_at(at)).map(|s| s.name.as_str()), Some("rail"));
    }

    #[test]
    fn an_empty_text_has_none() {
        assert!(analyse("").symbols.is_empty());
    }
}
