//! Reads a text for the tests of the language.

use plica::findings::Findings;
use plica::source::Span;
use plica::syntax::parse;
use plica::syntax::tree::Tree;

/// The tree of a text and its findings as `line:column name`.
pub fn read(text: &str) -> (Tree, Vec<String>) {
    let mut sink = Findings::default();
    let tree = parse(text, 0, &mut sink);
    let told = sink.list().iter().map(|f| format!("{} {}", place(text, f.place()), f.name())).collect();
    (tree, told)
}

pub fn place(text: &str, span: Span) -> String {
    let before = &text[..span.start as usize];
    let line = before.matches('\n').count() + 1;
    let column = before.chars().rev().take_while(|c| *c != '\n').count() + 1;
    format!("{line}:{column}")
}

pub fn under(text: &str, span: Span) -> &str {
    &text[span.start as usize..span.end as usize]
}
